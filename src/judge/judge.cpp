#include "internal/hypotheses.hpp"
#include "internal/merged.hpp"
#include "internal/rules.hpp"
#include "internal/time_out.hpp"
#include "messages.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/judge/suspect.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

namespace holdwarden::judge {

namespace {

/// "Either will do": of a cook's two ways the better one counts, the other stays as a note.
void settle_cooking_ways(const Case& c, std::vector<Finding>& findings) {
    for (const StageSpan& stage : c.stages()) {
        const auto plain = Case::worst_of(findings, "cooking", stage);
        const auto roast = Case::worst_of(findings, "cooking-roast", stage);
        if (stage.stage != Stage::cooking || !plain || !roast) {
            continue;
        }
        const char* not_needed = *roast < *plain ? "cooking" : "cooking-roast";
        for (Finding& f : findings) {
            if (f.requirement == not_needed && f.stage_from == stage.from &&
                f.stage == stage.stage) {
                f.counts = false;
                f.notes.push_back(fmt::format(msg::row_not_needed,
                                              *roast < *plain ? "cooking-roast" : "cooking"));
            }
        }
    }
}

/// Alternatives of one stage: the option whose worst finding is best counts, the others stay as
/// notes.
void settle_options(std::vector<Finding>& findings) {
    using Key = std::tuple<Instant, Stage>;
    std::map<Key, std::map<std::string, Verdict>> options;
    for (const Finding& f : findings) {
        if (!f.option.empty() && f.counts) {
            const auto [at, fresh] =
                options[{f.stage_from, f.stage}].try_emplace(f.option, f.verdict);
            at->second = fresh ? f.verdict : worse(at->second, f.verdict);
        }
    }
    for (Finding& f : findings) {
        const auto here = options.find({f.stage_from, f.stage});
        if (f.option.empty() || !f.counts || here == options.end()) {
            continue;
        }
        const auto best = std::ranges::min_element(
            here->second, {}, [](const auto& option) { return option.second; });
        if (f.option != best->first) {
            f.counts = false;
            f.notes.push_back(fmt::format(msg::an_alternative, best->first));
        }
    }
}

/// Whether the pack has any limit for what this stage does to the food.
bool has_limit_for(const Case& c, Stage stage) {
    const auto has = [&](std::string_view id) { return !c.pack().find(id, c.lot().food).empty(); };
    switch (stage) {
    case Stage::initial_heating:
        return has("initial-heating");
    case Stage::cooking:
        return has("cooking") || has("cooking-roast");
    case Stage::resting:
    case Stage::hot_holding:
        return has("hot-holding");
    case Stage::cooling:
        return std::ranges::any_of(c.pack().requirements, [&](const codes::Requirement& r) {
            return r.id.starts_with("cooling-") && r.covers(c.lot().food);
        });
    case Stage::cold_holding:
    case Stage::thawing:
        return has("cold-holding");
    case Stage::reheating:
        return has("reheating");
    case Stage::time_control:
        return has("time-control");
    case Stage::preparing:
    case Stage::frozen:
        return true; // no published limit of their own to miss
    }
    return true;
}

/// A pack's silence is no approval: what it has no limit for is named.
void note_unjudged(const Case& c, const Part& part, LotJudgement& j) {
    std::vector<Stage> named;
    for (const StageSpan& s : c.stages()) {
        if (part.holds(s.from) && !has_limit_for(c, s.stage) &&
            std::ranges::find(named, s.stage) == named.end()) {
            named.push_back(s.stage);
            j.notes.push_back(fmt::format(msg::no_limit_for_stage, to_words(s.stage)));
        }
    }
}

void note_probes(const Case& c, LotJudgement& j) {
    std::size_t suspects = 0;
    for (const Case::Series& series : c.series()) {
        suspects += static_cast<std::size_t>(
            std::ranges::count_if(series.readings, &records::Reading::suspect));
        for (const StuckRun& run : stuck_runs(series.readings)) {
            j.notes.push_back(fmt::format(msg::perhaps_stuck, series.point, run.readings,
                                          c.day_and_clock(run.from), c.day_and_clock(run.to)));
        }
    }
    if (suspects > 0) {
        j.notes.push_back(either(suspects == 1, msg::suspect_one, msg::suspect_many, suspects));
    }
    if (c.settings().zone.beyond_rules(c.settings().as_of)) {
        j.notes.push_back(msg::clock_changes_unknown);
    }
}

/// A lot whose food lives on elsewhere proves nothing about a time that still runs there: the
/// parts, or the lot it became, carry the clock.
void hand_over_clocks(const Case& c, LotJudgement& j) {
    if (!c.end() || ends_food(c.end()->outcome)) {
        return;
    }
    for (Finding& f : j.findings) {
        const bool runs_on =
            f.requirement == "date-mark" || (f.requirement == "time-control" && still_out(c));
        if (runs_on && f.verdict == Verdict::met) {
            f.verdict = Verdict::ended;
            f.reason = fmt::format(msg::ended_in_time, to_words(c.end()->outcome),
                                   c.day_and_clock(c.end()->at));
        }
    }
    j.overall = overall(j.findings);
    j.notes.push_back(either(c.end()->outcome == Outcome::handed_on,
                             msg::record_carried_on_elsewhere, msg::record_carried_on,
                             to_words(c.end()->outcome), c.day_and_clock(c.end()->at)));
}

/// One history, its values taken as they stand, and of that what belongs to `part`. No flags and no
/// notes of the lot yet.
LotJudgement judge_values(const Case& c, const Part& part) {
    LotJudgement j;
    j.lot = c.lot().name;
    j.food = c.lot().food;
    const auto& stages = c.stages();
    for (const StageSpan& stage : stages) {
        if (stage.stage == Stage::cooking) {
            judge_cooking(c, stage, j.findings);
        }
    }
    judge_come_up(c, j.findings);
    judge_part_cook(c, j.findings);
    const RoastCook roast = roast_cook(c, j.findings);
    settle_cooking_ways(c, j.findings);
    std::vector<Finding> reheats;
    for (std::size_t i = 0; i < stages.size(); ++i) {
        if (stages[i].stage == Stage::reheating || put_in_cold(c, i) != ColdIn::no) {
            judge_reheat(c, stages[i], roast, reheats);
        }
    }
    cap_reheats(c, reheats);
    doubt_reheats(c, reheats);
    const auto cold_from = judge_cooling(c, reheats, j.findings);
    for (std::size_t i = 0; i < stages.size(); ++i) {
        if (is_hot_hold(stages[i].stage)) {
            judge_hot_hold(c, i, roast, j.findings);
        } else if (stages[i].stage == Stage::cold_holding || stages[i].stage == Stage::thawing ||
                   !cold_from[i].empty()) {
            judge_cold_hold(c, i, cold_from[i], j.findings);
        } else if (stages[i].stage == Stage::cooling) {
            judge_left_in_cooling(c, i, j.findings);
        }
        if (stages[i].stage == Stage::cooking || stages[i].stage == Stage::reheating) {
            judge_left_in_heating(c, i, roast, j.findings);
        }
        judge_left_in_preparing(c, i, roast, j.findings);
        judge_time_without_rule(c, i, j.findings);
    }
    j.findings.insert(j.findings.end(), reheats.begin(), reheats.end());
    judge_time_control(c, j.findings);
    judge_date_mark(c, j.findings);
    std::ranges::stable_sort(j.findings, {}, &Finding::stage_from);
    settle_options(j.findings);
    std::erase_if(j.findings, [&](const Finding& f) { return !part.holds(f.stage_from); });
    j.below_hot_limit = time_below_hot_limit(c, roast);
    j.between_limits = time_between_limits(c);
    note_cooks(c, part, j);
    return j;
}

void take_longer(SpanBracket& into, const SpanBracket& other) {
    if (other.latest && (!into.latest || *other.latest > *into.latest)) {
        into = other;
    }
}

/// By what was read, and by what the thermometers' checks say it should have been: the worst
/// counts, but that a correction on which the checks before and after agree takes the place of what
/// was read.
LotJudgement judge_corrected(const records::LotHistory& lot, const codes::Pack& pack,
                             const Settings& settings, const Part& part) {
    const Hypotheses hypotheses{lot};
    const std::optional<Shifted> agreed = hypotheses.agreed();
    const Case c{agreed ? agreed->lot : lot, pack, settings};
    LotJudgement j = judge_values(c, part);
    if (agreed) {
        put_back(j.findings, agreed->lot, lot);
        j.notes.push_back(fmt::format(msg::by_agreed_checks, listed(agreed->probes)));
    }
    for (const Hypotheses::Hypothesis& one : hypotheses.others()) {
        const Case other{one.shifted.lot, pack, settings};
        LotJudgement judged = judge_values(other, part);
        put_back(judged.findings, one.shifted.lot, lot);
        add_hypothesis(j, one.kind, one.shifted, std::move(judged.findings));
        take_longer(j.below_hot_limit, judged.below_hot_limit);
        take_longer(j.between_limits, judged.between_limits);
        take_lesser_claims(j.cooks, judged.cooks);
    }
    std::ranges::stable_sort(j.findings, {}, &Finding::stage_from);
    return j;
}

} // namespace

LotJudgement judge_life(const records::LotHistory& lot, const codes::Pack& pack,
                        const Settings& settings, const Part& part) {
    const Case c{lot, pack, settings};
    LotJudgement j = judge_corrected(lot, pack, settings, part);
    for (Finding& f : j.findings) {
        f.code = pack.id;
    }
    j.judged_by.push_back(
        {pack.id, pack.title, pack.edition, pack.caution, settings.largest_interval, std::nullopt});
    j.overall = overall(j.findings);
    note_unjudged(c, part, j);
    note_probes(c, j);
    note_checks(c, j);
    hand_over_clocks(c, j);
    j.flags = flags_for(c, j);
    return j;
}

LotJudgement judge_part(const records::LotHistory& lot, const codes::Pack& pack,
                        const Settings& settings, const Part& part) {
    return lot.sources.empty() ? judge_life(lot, pack, settings, part)
                               : judge_merged(lot, pack, settings, part);
}

void note_nothing_judged(LotJudgement& j) {
    if (j.findings.empty()) {
        j.notes.insert(j.notes.begin(), msg::nothing_judged);
    }
}

LotJudgement judge_lot(const records::LotHistory& lot, const codes::Pack& pack,
                       const Settings& settings) {
    return judge_as_told(lot, settings, [&](const records::LotHistory& told) {
        LotJudgement j = judge_part(told, pack, settings, {});
        if (told.sources.empty()) {
            note_nothing_judged(j);
        }
        return j;
    });
}

} // namespace holdwarden::judge
