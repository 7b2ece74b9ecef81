// The answer for a cook at three in the morning: the verdict and what to do, then why.
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/check_result.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/judge/marks.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using judge::Finding;
using judge::Verdict;

constexpr std::size_t kColumns = 80;
constexpr std::size_t kMostRejectsShown = 5;

std::string shown(const std::string& name) {
    return for_display(name, 60);
}

std::string upper(std::string_view text) {
    std::string out{text};
    std::transform(out.begin(), out.end(), out.begin(), [](char c) {
        return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    });
    return out;
}

class Printer {
public:
    Printer(std::ostream& out, const CheckResult& result) : out_{out}, result_{result} {}

    void print();

private:
    std::string time(Instant at) const {
        return result_.zone_named ? local_text_with_offset(at, result_.settings.zone)
                                  : to_utc_text(at);
    }
    /// "  Limit     135 °F ..." with the lines that follow under the text.
    void labelled(std::string_view label, const std::string& text);
    void headline(const CheckedLot& lot);
    void why(const CheckedLot& lot);
    void finding(const CheckedLot& lot, const Finding& finding);
    void evidence(const CheckedLot& lot, const Finding& finding);
    void basis();
    void file();
    void caution();

    std::ostream& out_;
    const CheckResult& result_;
};

/// The finding that speaks for the lot: the worst that counts, one that is acted on first.
const Finding* speaking(const CheckedLot& lot) {
    const Finding* chosen = nullptr;
    for (const Finding& f : lot.judgement.findings) {
        if (!f.counts || f.source == "house" || f.verdict != lot.judgement.overall) {
            continue;
        }
        if (chosen == nullptr || (f.acts_as_missed && !chosen->acts_as_missed)) {
            chosen = &f;
        }
    }
    return chosen;
}

const judge::Flag* flag_of(const CheckedLot& lot, const Finding* finding) {
    for (const judge::Flag& flag : lot.judgement.flags) {
        if (finding == &lot.judgement.findings[flag.finding]) {
            return &flag;
        }
    }
    return nullptr;
}

std::string title_of(const judge::LotJudgement& judgement, const std::string& code) {
    const auto by = std::ranges::find(judgement.judged_by, code, &judge::JudgedBy::id);
    return by == judgement.judged_by.end() ? code : by->title;
}

/// What the house's own limits say, beside the code's verdict and never in its place.
std::string house_text(const judge::LotJudgement& j) {
    std::vector<std::string> missed;
    for (const Finding& f : j.findings) {
        if (f.source == "house" && f.counts && f.verdict == *j.house_overall &&
            std::ranges::find(missed, f.requirement) == missed.end()) {
            missed.push_back(f.requirement);
        }
    }
    return fmt::format("House limits, beside the code: {} {} ({}).", judge::mark(*j.house_overall),
                       to_words(*j.house_overall), listed(missed));
}

std::string subject(const Finding& f) {
    return f.point.empty() ? f.requirement
                           : fmt::format("{}, point {}", f.requirement, shown(f.point));
}

std::string margin_text(const Finding& f) {
    std::string text;
    if (f.margin.temperature) {
        text = to_text(*f.margin.temperature);
    }
    if (f.margin.time) {
        text += (text.empty() ? "" : ", ") + to_text(*f.margin.time);
    }
    return text;
}

std::string elapsed_text(const judge::SpanBracket& b) {
    std::vector<std::string> parts;
    if (b.earliest) {
        parts.push_back(fmt::format("at least {}", to_text(*b.earliest)));
    }
    if (b.latest) {
        parts.push_back(fmt::format("at most {}", to_text(*b.latest)));
    }
    if (b.estimate) {
        parts.push_back(fmt::format("about {} (an estimate, never judged)", to_text(*b.estimate)));
    }
    return listed(parts);
}

/// What to do where no finding asks for anything.
std::string calm_advice(const CheckedLot& lot, const Finding* f) {
    switch (lot.judgement.overall) {
    case Verdict::met:
        return "Nothing is asked for by this record. Go on as you do, and go on logging.";
    case Verdict::open:
        return f != nullptr && !f->settle.empty()
                   ? "Go on, and log. " + f->settle
                   : "Go on, and log: the time allowed has not run out.";
    case Verdict::ended:
        return "Nothing more: the food was served or discarded before the time ran out.";
    default:
        return "Measure the food now, log it, and ask the person in charge.";
    }
}

void Printer::labelled(std::string_view label, const std::string& text) {
    constexpr std::size_t kIndent = 12;
    std::string lines = folded(text, kIndent, kColumns);
    lines.replace(2, label.size(), label);
    out_ << lines;
}

void Printer::headline(const CheckedLot& lot) {
    const Finding* f = speaking(lot);
    const Verdict verdict = lot.judgement.overall;
    std::string line = fmt::format("{} {}  {}", judge::mark(verdict), upper(to_words(verdict)),
                                   shown(lot.judgement.lot));
    if (f != nullptr && verdict != Verdict::met && verdict != Verdict::ended) {
        line += fmt::format(": {}", subject(*f));
    }
    if (f != nullptr && f->acts_as_missed) {
        line += " (act as if not met)";
    }
    out_ << line << "\n";
    if (const auto& aside = lot.judgement.set_aside) {
        out_ << folded(fmt::format("With all readings: {}. With {} set aside: {}. {}",
                                   to_words(aside->as_recorded), aside->readings,
                                   to_words(aside->left_out),
                                   aside->verified ? "A second person verified this."
                                                   : "No second person has verified this: the "
                                                     "worse counts."),
                       4, kColumns);
    }
    const judge::Flag* flag = flag_of(lot, f);
    std::vector<std::string> act;
    if (flag != nullptr) {
        act = flag->act;
    } else {
        act.push_back(calm_advice(lot, f));
    }
    for (std::size_t i = 0; i < act.size(); ++i) {
        std::string lines = folded(act[i], 4, kColumns);
        lines.replace(0, 3, i == 0 ? "Do:" : "  -");
        out_ << lines;
    }
    if (flag != nullptr && flag->by) {
        out_ << "    By " << time(*flag->by) << "\n";
    }
    if (flag != nullptr) {
        out_ << folded(fmt::format("Who says so: {}", flag->source), 4, kColumns);
    }
    if (lot.judgement.house_overall) {
        out_ << folded(house_text(lot.judgement), 4, kColumns);
    }
}

void Printer::evidence(const CheckedLot& lot, const Finding& f) {
    bool first = true;
    for (const records::Reading& r : f.evidence) {
        const std::string probe =
            r.probe < lot.lot.probes.size() ? shown(lot.lot.probes[r.probe].name) : "";
        std::string line = fmt::format("  {:<10}{}  {:>9}  {}", first ? "Readings" : "", time(r.at),
                                       to_text(r.value), probe);
        if (r.line != 0) {
            line += fmt::format(", line {}", r.line);
        }
        if (r.suspect) {
            line += ", suspect";
        }
        out_ << line << "\n";
        first = false;
    }
}

void Printer::finding(const CheckedLot& lot, const Finding& f) {
    const bool house = f.source == "house";
    out_ << fmt::format("{} {:<9}  {}{}\n", judge::mark(f.verdict), to_words(f.verdict), subject(f),
                        house ? " (the house's limit)" : "");
    if (!f.reason.empty()) {
        out_ << folded(f.reason, 2, kColumns);
    }
    labelled("Limit", house ? fmt::format("{} ({})", f.limit.text, f.clause)
                            : fmt::format("{} ({} {})", f.limit.text,
                                          title_of(lot.judgement, f.code), f.clause));
    labelled("In stage", fmt::format("{} from {}", to_name(f.stage), time(f.stage_from)));
    const std::string took = elapsed_text(f.elapsed);
    if (!took.empty() && f.elapsed.latest != Span{}) {
        labelled("Took", took);
    }
    if (const std::string text = margin_text(f); !text.empty()) {
        labelled("Margin", text);
    }
    if (f.conformity) {
        labelled("Chance", judge::conformity_text(*f.conformity));
    }
    evidence(lot, f);
    if (!f.settle.empty()) {
        labelled("Settling", f.settle);
    }
    if (!f.counts) {
        labelled("Note", "This does not enter the lot's verdict.");
    }
    for (const std::string& note : f.notes) {
        labelled("Note", for_display(note, 400));
    }
}

void Printer::why(const CheckedLot& lot) {
    if (result_.lots.size() > 1) {
        out_ << fmt::format("\nLot {}: {}\n", shown(lot.judgement.lot),
                            to_words(lot.judgement.overall));
    } else {
        out_ << "\n";
    }
    std::vector<const Finding*> order;
    for (const Finding& f : lot.judgement.findings) {
        order.push_back(&f);
    }
    const Finding* first = speaking(lot);
    std::stable_sort(order.begin(), order.end(), [&](const Finding* a, const Finding* b) {
        const auto rank = [&](const Finding* f) {
            return f == first ? 100 : static_cast<int>(f->verdict) + (f->counts ? 10 : 0);
        };
        return rank(a) > rank(b);
    });
    for (const Finding* f : order) {
        finding(lot, *f);
    }
    const std::string below = elapsed_text(lot.judgement.below_hot_limit);
    if (!below.empty() && lot.judgement.below_hot_limit.latest != Span{}) {
        out_ << folded(fmt::format("Below the hot limit, rests and holds added up: {}.", below), 0,
                       kColumns);
    }
    const std::string between = elapsed_text(lot.judgement.between_limits);
    if (!between.empty() && lot.judgement.between_limits.latest != Span{}) {
        out_ << folded(
            fmt::format("Between the cold and the hot limit, over its whole life: {}.", between), 0,
            kColumns);
    }
    for (const judge::CookNote& note : lot.judgement.cooks) {
        out_ << folded(fmt::format("Point {}, the cook from {}. {}", shown(note.point),
                                   time(note.stage_from), judge::cook_text(note)),
                       0, kColumns);
    }
    for (const std::string& note : lot.judgement.notes) {
        out_ << folded(for_display(note, 400), 0, kColumns);
    }
    for (const judge::JudgedBy& by : lot.judgement.judged_by) {
        if (by.from) {
            out_ << folded(fmt::format("Stages that began from {} on are judged by {} {} ({}), "
                                       "which the site followed then.",
                                       time(*by.from), by.title, by.edition, by.id),
                           0, kColumns);
        }
    }
}

void Printer::basis() {
    const judge::Settings& s = result_.settings;
    std::vector<std::string> packs;
    std::vector<std::string> intervals;
    const auto add = [](std::vector<std::string>& list, std::string one) {
        if (std::ranges::find(list, one) == list.end()) {
            list.push_back(std::move(one));
        }
    };
    for (const judge::JudgedBy& by : judged_by(result_)) {
        add(packs, fmt::format("{} {} ({})", by.title, by.edition, by.id));
        add(intervals, to_text(by.largest_interval));
    }
    std::string text =
        fmt::format("Judged by {}, as of {}, readings ", listed(packs), time(s.as_of));
    text += s.rule == judge::DecisionRule::guarded ? "guarded by the thermometer's accuracy"
                                                   : "as read";
    if (s.tolerance) {
        text += fmt::format(
            " (stated as ± {})",
            to_text(Temperature::of_thousandths(s.tolerance->thousandths(), s.tolerance->scale())));
    }
    text += fmt::format("; largest interval {}.", listed(intervals));
    out_ << "\n" << folded(text, 0, kColumns);
}

void Printer::file() {
    if (!result_.file) {
        return;
    }
    const intake::Summary& s = result_.file->summary;
    std::string text =
        fmt::format("Read from {}: rows {}, readings taken {}, rejected {}",
                    shown(result_.file->name == "-" ? "standard input" : result_.file->name),
                    s.rows, s.accepted, s.rejected);
    const auto add = [&](std::uint64_t n, std::string_view what) {
        if (n > 0) {
            text += fmt::format(", {} {}", what, n);
        }
    };
    add(s.duplicates, "repeated and dropped");
    add(s.conflicts, "in conflict (the worse counts)");
    add(s.out_of_order, "out of order and sorted");
    out_ << folded(text + ".", 0, kColumns);
    std::size_t shown = 0;
    for (const intake::Reject& reject : result_.file->rejects) {
        if (shown == kMostRejectsShown) {
            break;
        }
        ++shown;
        out_ << folded(fmt::format("line {}: {}", reject.line, reject.reason), 2, kColumns);
    }
    if (s.rejected > shown) {
        out_ << fmt::format("  and {} more; --format json lists them.\n", s.rejected - shown);
    }
    for (const std::string& note : s.notes) {
        out_ << folded(note + ".", 2, kColumns);
    }
}

void Printer::caution() {
    out_ << "\n"
         << folded("Caution: this judges a record, not the food. Your local code, your regulator "
                   "and the person in charge come first. When in doubt, throw it out.",
                   0, kColumns);
    for (const auto& [id, pack] : result_.packs) {
        if (!pack.caution.empty()) {
            out_ << folded(pack.caution, 0, kColumns);
        }
    }
}

void Printer::print() {
    std::vector<const CheckedLot*> order;
    for (const CheckedLot& lot : result_.lots) {
        order.push_back(&lot);
    }
    std::stable_sort(order.begin(), order.end(), [](const CheckedLot* a, const CheckedLot* b) {
        return a->judgement.overall > b->judgement.overall; // the worst first
    });
    for (const CheckedLot* lot : order) {
        headline(*lot);
    }
    for (const CheckedLot* lot : order) {
        why(*lot);
    }
    basis();
    file();
    caution();
}

} // namespace

void print_check_text(std::ostream& out, const CheckResult& result) {
    Printer{out, result}.print();
}

} // namespace holdwarden::cli
