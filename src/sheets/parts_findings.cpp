#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/judge/marks.hpp>
#include <holdwarden/judge/words.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <numeric>
#include <utility>

namespace holdwarden::sheets {
namespace {

using judge::Finding;
using judge::Verdict;
using records::Reading;

constexpr std::array kWorstFirst = {Verdict::not_met, Verdict::not_shown, Verdict::open,
                                    Verdict::met, Verdict::ended};

std::size_t rank(Verdict verdict) noexcept {
    const auto place = std::ranges::find(kWorstFirst, verdict);
    return static_cast<std::size_t>(place - kWorstFirst.begin());
}

/// How far on the right side, in C degrees, by the figure of the reading's own scale where there is
/// one.
double clearance_c(const judge::LimitFigure& limit, Temperature value) noexcept {
    const auto& own = value.scale() == Scale::fahrenheit ? limit.fahrenheit : limit.celsius;
    const auto& other = value.scale() == Scale::fahrenheit ? limit.celsius : limit.fahrenheit;
    const double figure = own ? own->in_celsius() : other ? other->in_celsius() : 0;
    const double above = value.in_celsius() - figure;
    return limit.hot_side ? above : -above;
}

/// The reading of the finding's stage and points that lies worst; suspect ones count against the
/// food.
const Reading* worst_reading(const SiteFacts& site, const LotRecord& lot, const Finding& finding) {
    const auto stage = stage_of(lot.history, finding);
    if (!stage || (!finding.limit.fahrenheit && !finding.limit.celsius)) {
        return nullptr;
    }
    const Instant from = lot.history.stages[*stage].from;
    const Instant to = stage_end(lot.history, *stage, site.as_of);
    const Reading* worst = nullptr;
    for (const auto& point : lot.history.points) {
        if (!finding.point.empty() && finding.point != point.point) {
            continue;
        }
        for (const Reading& reading : point.readings) {
            if (reading.at >= from && reading.at <= to &&
                (worst == nullptr || clearance_c(finding.limit, reading.value) <
                                         clearance_c(finding.limit, worst->value))) {
                worst = &reading;
            }
        }
    }
    return worst;
}

bool is_window_or_time(const Finding& finding) {
    return finding.elapsed.earliest || finding.elapsed.latest || finding.elapsed.estimate;
}

/// The margin, with the stated accuracy of the thermometer that decided.
std::string with_accuracy(const std::string& margin, const LotRecord& lot, const Finding& finding) {
    for (const Reading& reading : finding.evidence) {
        if (reading.probe < lot.history.probes.size() &&
            lot.history.probes[reading.probe].accuracy) {
            std::string text = to_text(*lot.history.probes[reading.probe].accuracy);
            text.erase(0, text.front() == '+' ? 1 : 0);
            return fmt::format(msg::margin_with_accuracy, margin, text);
        }
    }
    return margin;
}

std::string place_text(const Finding& finding) {
    std::string text = stage_title(finding.stage);
    if (!finding.point.empty()) {
        text += ", " + shown(finding.point);
    }
    return text;
}

std::string requirement_text(const Finding& finding) {
    std::string text = requirement_title(finding.requirement);
    if (finding.source == "house") {
        text = fmt::format(msg::of_the_house, text);
    }
    return text;
}

/// Findings whose flag waits for an answer come before those whose flag was answered; the others
/// keep their places.
int urgency(const LotRecord& lot, std::size_t finding) {
    const judge::AnsweredFlag* answer = answer_to_finding(lot, finding);
    return answer == nullptr ? 3 : std::min(static_cast<int>(answer->state), 3);
}

} // namespace

std::vector<std::size_t> worst_first(const judge::LotJudgement& judged) {
    std::vector<std::size_t> order(judged.findings.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) {
        const Finding& finding = judged.findings[i];
        return rank(finding.verdict) + (finding.counts ? 0 : kWorstFirst.size());
    });
    return order;
}

const Finding& telling(const judge::LotJudgement& judged) {
    const Finding* best = &judged.findings[worst_first(judged).front()];
    if (best->verdict != Verdict::met) {
        return *best;
    }
    const auto closeness = [](const Finding& finding) {
        return finding.margin.temperature
                   ? std::abs(finding.margin.temperature->in(Scale::celsius).thousandths())
                   : INT32_MAX;
    };
    for (const Finding& finding : judged.findings) {
        if (finding.counts && finding.verdict == Verdict::met &&
            closeness(finding) < closeness(*best)) {
            best = &finding;
        }
    }
    return *best;
}

std::string tally(const judge::LotJudgement& judged) {
    std::vector<std::string> parts;
    for (const Verdict verdict : kWorstFirst) {
        const auto n = std::ranges::count_if(judged.findings, [&](const Finding& finding) {
            return finding.counts && finding.verdict == verdict;
        });
        if (n > 0) {
            parts.push_back(fmt::format("{} {}", n, verdict_title(verdict)));
        }
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string verdict_words(const Finding& finding) {
    std::string words = verdict_title(finding.verdict);
    if (finding.acts_as_missed) {
        words = fmt::format(msg::treated_as_not_met, words);
    }
    if (!finding.counts) {
        words = fmt::format(msg::as_a_note, words);
    }
    return words;
}

std::string record_shows(const SiteFacts& site, const LotRecord& lot, const Finding& finding,
                         const LocalTimes& times) {
    if (is_window_or_time(finding) && finding.excursions.empty()) {
        return bracket_text(finding.elapsed);
    }
    const bool hot = finding.limit.hot_side;
    std::vector<std::string> parts;
    if (const Reading* worst = worst_reading(site, lot, finding)) {
        const std::string value = reading_text(*worst);
        parts.push_back(hot ? fmt::format(msg::lowest_at, value, times.row(worst->at))
                            : fmt::format(msg::highest_at, value, times.row(worst->at)));
    }
    for (std::size_t i = 0; i < finding.excursions.size(); ++i) {
        if (i == 3) {
            parts.push_back(fmt::format(msg::more, finding.excursions.size() - i));
            break;
        }
        const std::string length = bracket_text(finding.excursions[i].length);
        parts.push_back(hot ? fmt::format(msg::below_for, length)
                            : fmt::format(msg::above_for, length));
    }
    for (const judge::Gap& gap : finding.gaps) {
        parts.push_back(fmt::format(msg::no_reading_for, to_text(gap.to - gap.from)));
    }
    return parts.empty() ? msg::no_reading_decides : fmt::format("{}", fmt::join(parts, "; "));
}

Table findings_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    Table table{
        .caption = msg::all_findings,
        .columns = {
            {msg::requirement}, {msg::verdict}, {msg::limit}, {msg::record_shows}, {msg::margin}}};
    std::vector<std::size_t> order = worst_first(lot.judged);
    std::ranges::stable_sort(order, {}, [&](std::size_t i) { return urgency(lot, i); });
    for (const std::size_t i : order) {
        const Finding& finding = lot.judged.findings[i];
        const judge::AnsweredFlag* answer = answer_to_finding(lot, i);
        std::string margin = margin_text(finding.margin);
        if (margin.empty()) {
            margin = msg::no_margin;
        } else if (finding.margin.temperature) {
            margin = with_accuracy(margin, lot, finding);
        }
        table.rows.push_back(
            {{fmt::format("{}, {} ({})", requirement_text(finding), shown(finding.clause),
                          place_text(finding))},
             {verdict_words(finding) + (answer == nullptr ? "" : "; " + answer_title(*answer)),
              finding.verdict},
             {shown(finding.limit.text)},
             {record_shows(site, lot, finding, times)},
             {margin}});
    }
    return table;
}

std::vector<Section> details(const LotRecord& lot, const LocalTimes& times) {
    std::vector<Section> sections;
    // What is met needs its notes only, each once, behind all that it is about.
    std::vector<std::pair<std::string, std::string>> of_settled;
    for (const std::size_t i : worst_first(lot.judged)) {
        const Finding& finding = lot.judged.findings[i];
        const bool settled = finding.verdict == Verdict::met || finding.verdict == Verdict::ended;
        if (settled) {
            for (const std::string& note : finding.notes) {
                const std::string about =
                    fmt::format("{} ({})", requirement_text(finding), place_text(finding));
                const auto same = std::ranges::find(of_settled, shown(note),
                                                    &std::pair<std::string, std::string>::second);
                if (same == of_settled.end()) {
                    of_settled.emplace_back(about, shown(note));
                } else if (same->first.find(about) == std::string::npos) {
                    same->first += "; " + about;
                }
            }
            continue;
        }
        Section section{.heading = fmt::format("{} {}: {}, {} ({})", judge::mark(finding.verdict),
                                               requirement_text(finding), verdict_words(finding),
                                               shown(finding.clause), place_text(finding))};
        if (!finding.reason.empty()) {
            section.blocks.emplace_back(Paragraph{shown(finding.reason)});
        }
        Facts facts;
        for (const judge::Excursion& e : finding.excursions) {
            facts.facts.push_back(
                {capitalised(finding.limit.hot_side ? msg::below_the_limit : msg::above_the_limit),
                 fmt::format(msg::excursion, bracket_text(e.length), to_text(e.worst),
                             times.row(e.worst_at), e.degree_minutes, sign(e.worst.scale()))});
        }
        for (const judge::Gap& gap : finding.gaps) {
            facts.facts.push_back({msg::gap, times.range(gap.from, gap.to)});
        }
        if (finding.conformity) {
            facts.facts.push_back(
                {msg::chance, shown(judge::conformity_text(*finding.conformity))});
        }
        if (!finding.settle.empty()) {
            facts.facts.push_back({msg::would_settle, shown(finding.settle)});
        }
        if (!facts.facts.empty()) {
            section.blocks.emplace_back(std::move(facts));
        }
        if (!finding.evidence.empty()) {
            Table table{
                .caption = msg::deciding_readings,
                .columns = {
                    {msg::time}, {msg::reading, true}, {msg::probe}, {msg::how_it_came_in}}};
            for (const Reading& reading : finding.evidence) {
                const auto& probes = lot.history.probes;
                std::string origin =
                    reading.origin == records::Origin::typed ? msg::typed : msg::logged;
                if (reading.line > 0) {
                    origin += ", " + fmt::format(msg::in_line, reading.line);
                }
                if (reading.suspect) {
                    origin += fmt::format(", {}", msg::suspect);
                }
                table.rows.push_back(
                    {{times.row(reading.at)},
                     {reading_text(reading)},
                     {reading.probe < probes.size() ? shown(probes[reading.probe].name)
                                                    : msg::not_said},
                     {origin}});
            }
            section.blocks.emplace_back(std::move(table));
        }
        if (!finding.notes.empty()) {
            Bullets notes;
            for (const std::string& note : finding.notes) {
                notes.items.push_back(shown(note));
            }
            section.blocks.emplace_back(std::move(notes));
        }
        sections.push_back(std::move(section));
    }
    if (!of_settled.empty()) {
        Section notes{.heading = msg::notes_on_met};
        Bullets bullets;
        for (const auto& [about, note] : of_settled) {
            bullets.items.push_back(fmt::format("{}: {}", about, note));
        }
        notes.blocks.emplace_back(std::move(bullets));
        sections.push_back(std::move(notes));
    }
    return sections;
}

std::vector<Action> actions(const LotRecord& lot, const LocalTimes& times,
                            const std::string& of_lot) {
    std::vector<const judge::Flag*> flags;
    for (const judge::Flag& flag : lot.judged.flags) {
        flags.push_back(&flag);
    }
    // At once first, then by time.
    std::ranges::stable_sort(flags, [](const judge::Flag* a, const judge::Flag* b) {
        return a->by.has_value() != b->by.has_value() ? !a->by.has_value() : a->by < b->by;
    });
    std::ranges::stable_sort(flags, {},
                             [&](const judge::Flag* flag) { return urgency(lot, flag->finding); });
    std::vector<Action> asked;
    for (const judge::Flag* flag : flags) {
        const auto index = static_cast<std::size_t>(flag - lot.judged.flags.data());
        const judge::AnsweredFlag* answer = answer_to(lot, index);
        if (answer != nullptr && answer->state >= judge::AnswerState::answered) {
            continue; // told among the corrective actions
        }
        Action action;
        action.heading = of_lot.empty() ? "" : of_lot + ": ";
        if (flag->finding < lot.judged.findings.size()) {
            const Finding& finding = lot.judged.findings[flag->finding];
            action.heading += fmt::format("{} {} ({})", requirement_text(finding),
                                          verdict_words(finding), place_text(finding));
        }
        action.by = flag->by ? fmt::format(msg::act_by, times.full(*flag->by)) : msg::at_once;
        if (answer != nullptr) {
            action.heading += ": " + answer_title(*answer);
        }
        if (answer != nullptr && !answer->missing.empty()) {
            action.act.push_back(fmt::format(msg::answer_lacks, lacks_words(*answer, times)));
        }
        for (const std::string& act : flag->act) {
            action.act.push_back(shown(act));
        }
        action.source = shown(flag->source);
        action.lines = {msg::done_by, msg::done_at, msg::done_what};
        asked.push_back(std::move(action));
    }
    return asked;
}

} // namespace holdwarden::sheets
