#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/adopted.hpp>
#include <holdwarden/judge/words.hpp>
#include <holdwarden/records/house_rules.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <iterator>

namespace holdwarden::judge {
namespace {

/// The lot of that name among a merged lot and all it came of; `lot` itself if none has it.
const records::LotHistory& lot_called(const records::LotHistory& lot,
                                      const std::string& name) noexcept {
    for (const records::LotHistory& source : lot.sources) {
        if (source.name == name) {
            return source;
        }
        const records::LotHistory& found = lot_called(source, name);
        if (found.name == name) {
            return found;
        }
    }
    return lot;
}

/// The longest time between two readings of a lot's food, trusted or not, in [gap.from, gap.to].
Span longest_silence(const records::LotHistory& lot, const Gap& gap) {
    std::vector<Instant> at{gap.from, gap.to};
    for (const records::PointSeries& series : lot.points) {
        for (const records::Reading& r : between(series.readings, gap.from, gap.to)) {
            at.push_back(r.at);
        }
    }
    std::ranges::sort(at);
    Span longest;
    for (std::size_t i = 1; i < at.size(); ++i) {
        longest = std::max(longest, at[i] - at[i - 1]);
    }
    return longest;
}

bool is_hold(const Finding& f) {
    return f.requirement == "hot-holding" || f.requirement == "hot-holding-roast" ||
           f.requirement == "cold-holding";
}

/// The house's own largest interval: one finding for each hold, made of the code's findings under
/// that interval. A silence is seen for certain, so that it is a miss, not a doubt.
std::vector<Finding> interval_findings(const Case& c, const LotJudgement& judged,
                                       const std::string& clause) {
    const Span interval = c.settings().largest_interval;
    std::vector<Finding> found;
    for (const Finding& hold : judged.findings) {
        if (!is_hold(hold)) {
            continue;
        }
        const bool same_stage = !found.empty() && found.back().stage_from == hold.stage_from &&
                                found.back().stage == hold.stage;
        if (!same_stage) {
            Finding f;
            f.requirement = records::kLargestInterval;
            f.code = hold.code;
            f.clause = clause;
            f.stage = hold.stage;
            f.stage_from = hold.stage_from;
            f.verdict = Verdict::met;
            f.limit.text = fmt::format(msg::limit_a_reading_every, to_text(interval));
            f.limit.within = interval;
            found.push_back(std::move(f));
        }
        Finding& f = found.back();
        f.evidence.insert(f.evidence.end(), hold.evidence.begin(), hold.evidence.end());
        for (const Gap& gap : hold.gaps) {
            const bool known = std::ranges::any_of(
                f.gaps, [&](const Gap& g) { return g.from == gap.from && g.to == gap.to; });
            if (!known) {
                f.gaps.push_back(gap);
            }
            const Span silence = longest_silence(lot_called(c.lot(), hold.through), gap);
            f.verdict =
                worse(f.verdict, silence > interval ? Verdict::not_met : Verdict::not_shown);
        }
        if (hold.verdict == Verdict::open) {
            f.verdict = worse(f.verdict, Verdict::open);
        }
    }
    for (Finding& f : found) {
        settle_evidence(f);
        if (f.evidence.empty()) {
            f.verdict = worse(f.verdict, Verdict::not_shown);
        }
        if (f.gaps.empty()) {
            f.reason = f.evidence.empty() ? msg::no_reading_in_food
                                          : fmt::format(msg::no_longer_silence, to_text(interval));
            continue;
        }
        const Gap& gap =
            *std::ranges::max_element(f.gaps, {}, [](const Gap& g) { return g.to - g.from; });
        f.margin.time = interval - (gap.to - gap.from);
        f.reason = either(f.verdict == Verdict::not_met, msg::house_silence,
                          msg::house_silence_trusted, c.clock(gap.from), c.clock(gap.to),
                          to_text(gap.to - gap.from), to_text(interval));
    }
    return found;
}

std::string not_judged(const codes::HouseLimit& limit, const Error& why) {
    const std::string_view words = requirement_words(limit.requirement);
    return fmt::format(msg::house_limit_not_judged, words.empty() ? limit.requirement : words,
                       why.text().what);
}

/// The findings of the house's limits of one part. The code's pack with the house's figures in the
/// code's places: what a figure hangs on (an earned exception, a reheat that resets a clock) stays
/// the code's.
std::vector<Finding> house_findings(const records::LotHistory& lot, const Adopted& adopted,
                                    const Settings& settings, const Part& part,
                                    std::vector<std::string>& notes) {
    codes::Pack sharpened = *adopted.pack;
    std::vector<std::string> ids;
    std::vector<Finding> findings;
    for (const codes::HouseLimit& limit : adopted.house) {
        if (limit.requirement == records::kLargestInterval) {
            Settings closer = settings;
            closer.largest_interval = limit.within.value_or(settings.largest_interval);
            const Case c{lot, *adopted.pack, closer};
            const LotJudgement judged = judge_part(lot, *adopted.pack, closer, part);
            findings = interval_findings(c, judged, codes::house_clause(limit));
            continue;
        }
        try {
            const codes::Requirement requirement =
                codes::house_requirement(limit, *adopted.pack, lot.food);
            std::erase_if(sharpened.requirements, [&](const codes::Requirement& r) {
                return r.id == requirement.id && r.covers(lot.food);
            });
            sharpened.requirements.push_back(requirement);
            ids.push_back(requirement.id);
        } catch (const Error& error) {
            notes.push_back(not_judged(limit, error));
        }
    }
    if (!ids.empty()) {
        for (Finding& f : judge_part(lot, sharpened, settings, part).findings) {
            if (std::ranges::find(ids, f.requirement) != ids.end()) {
                findings.push_back(std::move(f));
            }
        }
    }
    for (Finding& f : findings) {
        f.source = "house";
    }
    return findings;
}

void add_notes(LotJudgement& j, const std::vector<std::string>& notes) {
    for (const std::string& note : notes) {
        if (std::ranges::find(j.notes, note) == j.notes.end()) {
            j.notes.push_back(note);
        }
    }
}

const SpanBracket& longer(const SpanBracket& a, const SpanBracket& b) noexcept {
    return a.latest.value_or(Span{}) < b.latest.value_or(Span{}) ? b : a;
}

/// Adds what another part came to.
void append(LotJudgement& j, LotJudgement part) {
    for (Flag& flag : part.flags) {
        flag.finding += j.findings.size();
        j.flags.push_back(std::move(flag));
    }
    std::ranges::move(part.findings, std::back_inserter(j.findings));
    std::ranges::move(part.cooks, std::back_inserter(j.cooks));
    std::ranges::move(part.judged_by, std::back_inserter(j.judged_by));
    j.below_hot_limit = longer(j.below_hot_limit, part.below_hot_limit);
    j.between_limits = longer(j.between_limits, part.between_limits);
    add_notes(j, part.notes);
}

void add_house(LotJudgement& j, std::vector<Finding> findings) {
    if (findings.empty()) {
        return;
    }
    j.house_overall = overall(findings);
    for (Finding& f : findings) {
        if (f.counts && (f.verdict == Verdict::not_met || f.verdict == Verdict::not_shown)) {
            Flag flag;
            flag.finding = j.findings.size();
            flag.id = "house/" + flag_id(f);
            flag.act = {msg::act_on_house_limit};
            if (f.requirement == records::kLargestInterval) {
                flag.act = {msg::act_read_as_often};
            }
            flag.source = f.clause;
            j.flags.push_back(std::move(flag));
        }
        j.findings.push_back(std::move(f));
    }
}

/// The parts in which at least one stage began by the as-of instant; for a lot without such stages,
/// what is in force then.
std::vector<std::size_t> parts_used(const records::LotHistory& lot,
                                    std::span<const Adopted> adopted, Instant as_of) {
    const auto part_at = [&](Instant at) {
        std::size_t part = 0;
        for (std::size_t i = 1; i < adopted.size() && adopted[i].from <= at; ++i) {
            part = i;
        }
        return part;
    };
    std::vector<std::size_t> used;
    for (const Instant began : stage_starts(lot)) {
        if (began <= as_of && (used.empty() || used.back() != part_at(began))) {
            used.push_back(part_at(began));
        }
    }
    if (used.empty()) {
        used.push_back(part_at(as_of));
    }
    return used;
}

codes::TemperatureLimit end_of(Temperature figure, codes::Words words) {
    return figure.scale() == Scale::fahrenheit
               ? codes::TemperatureLimit{figure, std::nullopt, words}
               : codes::TemperatureLimit{std::nullopt, figure, words};
}

/// A note if `held` left the band on that side, else nothing.
std::vector<std::string> left_band(const Case& c, const Band& band, bool upwards,
                                   const StageSpan& stage, const std::string& point,
                                   Readings held) {
    const codes::TemperatureLimit limit = upwards ? end_of(band.high, codes::Words::at_or_below)
                                                  : end_of(band.low, codes::Words::at_or_above);
    const auto depth = [&](const records::Reading& r) {
        return limit.clearance(r.value).in(Scale::celsius).thousandths();
    };
    const records::Reading* first = nullptr;
    const records::Reading* furthest = nullptr;
    for (const records::Reading& r : held) {
        if (r.suspect || limit.side(r.value) == codes::Side::right) {
            continue;
        }
        first = first == nullptr ? &r : first;
        furthest = furthest == nullptr || depth(r) < depth(*furthest) ? &r : furthest;
    }
    if (first == nullptr) {
        return {};
    }
    return {either(upwards, msg::left_band_upwards, msg::left_band_downwards, point,
                   to_text(band.low), to_text(band.high), to_words(stage.stage),
                   c.day_and_clock(first->at), to_text(furthest->value),
                   c.day_and_clock(furthest->at))};
}

} // namespace

std::vector<Instant> stage_starts(const records::LotHistory& lot) {
    std::vector<Instant> starts;
    for (const records::StageEntry& stage : lot.stages) {
        starts.push_back(stage.from);
    }
    for (const records::LotHistory& source : lot.sources) {
        std::ranges::copy(stage_starts(source), std::back_inserter(starts));
    }
    std::ranges::sort(starts);
    return starts;
}

namespace {

/// What a stand-in would have called met is open as well: somebody has to settle it.
void ask_for_the_pack(LotJudgement& judged) {
    for (std::size_t i = 0; i < judged.findings.size(); ++i) {
        if (std::ranges::none_of(judged.flags, [&](const Flag& f) { return f.finding == i; })) {
            judged.flags.push_back({.finding = i,
                                    .id = flag_id(judged.findings[i]),
                                    .act = {msg::act_get_pack},
                                    .by = std::nullopt,
                                    .source = msg::common_practice,
                                    .planned = false});
        }
    }
    std::ranges::sort(judged.flags, {}, &Flag::finding);
}

/// A pack that stands in for another proves nothing by that one.
void show_nothing(LotJudgement& judged, const std::string& why, const Part& part,
                  const records::LotHistory& lot) {
    for (Finding& f : judged.findings) {
        f.reason = fmt::format(msg::pack_stands_in, why, f.code, to_words(f.verdict), f.reason);
        f.verdict = Verdict::not_shown;
        f.counts = true;
    }
    if (judged.findings.empty()) {
        for (const records::StageEntry& stage : lot.stages) {
            if (part.holds(stage.from)) {
                Finding f;
                f.requirement = std::string{kCodeNotHere};
                f.stage = stage.stage;
                f.stage_from = stage.from;
                f.reason = why;
                judged.findings.push_back(std::move(f));
                break;
            }
        }
    }
    judged.overall = Verdict::not_shown;
    ask_for_the_pack(judged);
}

LotJudgement judge_parts(const records::LotHistory& lot, std::span<const Adopted> adopted,
                         const Settings& settings) {
    LotJudgement all;
    std::vector<Finding> house;
    std::vector<std::string> house_notes;
    const std::vector<std::size_t> used = parts_used(lot, adopted, settings.as_of);
    Verdict worst_part = Verdict::ended;
    for (const std::size_t i : used) {
        Part part;
        if (used.size() > 1 && i > 0) {
            part.from = adopted[i].from;
        }
        if (used.size() > 1 && i + 1 < adopted.size()) {
            part.until = adopted[i + 1].from;
        }
        Settings own = settings;
        own.largest_interval = adopted[i].largest_interval;
        LotJudgement judged = judge_part(lot, *adopted[i].pack, own, part);
        if (!adopted[i].stands_in.empty()) {
            show_nothing(judged, adopted[i].stands_in, part, lot);
        }
        if (used.size() > 1) {
            const auto starts = stage_starts(lot);
            judged.judged_by.front().from =
                *std::ranges::find_if(starts, [&](Instant began) { return part.holds(began); });
        }
        worst_part = worse(worst_part, judged.overall);
        if (i == used.front()) {
            all = std::move(judged);
        } else {
            append(all, std::move(judged));
        }
        std::ranges::move(house_findings(lot, adopted[i], own, part, house_notes),
                          std::back_inserter(house));
    }
    // Of a merged lot, a source of which nothing is judged proves nothing: judge_merged said so.
    all.overall = lot.sources.empty() ? overall(all.findings) : worst_part;
    if (lot.sources.empty() || used.size() > 1) {
        note_nothing_judged(all);
    }
    add_house(all, std::move(house));
    add_notes(all, house_notes);
    return all;
}

} // namespace

LotJudgement judge_adopted(const records::LotHistory& lot, std::span<const Adopted> adopted,
                           const Settings& settings) {
    assert(!adopted.empty());
    assert(std::ranges::is_sorted(adopted, {}, &Adopted::from));
    return judge_as_told(lot, settings, [&](const records::LotHistory& told) {
        return judge_parts(told, adopted, settings);
    });
}

void add_band_notes(LotJudgement& j, const records::LotHistory& lot, std::span<const Band> bands,
                    const Settings& settings) {
    const codes::Pack no_code;
    const Case c{lot, no_code, settings};
    for (const StageSpan& stage : c.stages()) {
        if (!is_hot_hold(stage.stage)) {
            continue;
        }
        for (const Band& band : bands) {
            if (!band.unit.empty() && band.unit != stage.entry->unit) {
                continue;
            }
            const Instant from = std::max(stage.from, band.from);
            const Instant to = std::min(stage.to, band.to.value_or(stage.to));
            for (const Case::Series& series : c.series()) {
                const Readings held = between(series.readings, from, to);
                for (const bool upwards : {true, false}) {
                    add_notes(j, left_band(c, band, upwards, stage, series.point, held));
                }
            }
        }
    }
}

} // namespace holdwarden::judge
