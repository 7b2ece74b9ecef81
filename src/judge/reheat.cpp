// Reheating for hot holding: the temperature and its time, and how long the food took to get there.
#include "internal/rules.hpp"
#include "internal/window.hpp"
#include "messages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace holdwarden::judge {

using codes::Side;
using codes::TemperatureLimit;
using records::Reading;

namespace {

/// The clock starts when the food leaves the cold limit upwards, or with the stage if it is already
/// above.
ClockStart rising_start(const Case& c, Readings all, const StageSpan& stage,
                        const TemperatureLimit& cold) {
    ClockStart start;
    const Readings inside = between(all, stage.from, stage.to);
    const auto above = [&](const Reading& r) { return cold.side(r.value) == Side::wrong; };
    const auto first_above = std::ranges::find_if(inside, above);
    const Instant until =
        first_above == inside.end() ? Instant::from_unix_ms(INT64_MAX) : first_above->at;
    for (const Reading& r : before(inside, until)) {
        if (c.says(r, cold) == Says::right) {
            start.at.earliest = r.at;
            start.evidence = {r};
        }
    }
    const Readings earlier = before(all, stage.from);
    const bool already_above = !earlier.empty() && above(earlier.back());
    if (!start.at.earliest) {
        start.at.earliest = stage.from;
        start.estimate = stage.from;
    }
    if (first_above != inside.end()) {
        start.at.latest = already_above && start.evidence.empty() ? stage.from : first_above->at;
        if (!start.evidence.empty()) {
            start.estimate = interpolated(start.evidence.front(), *first_above, cold);
        }
        start.evidence.push_back(*first_above);
    }
    return start;
}

/// The food whose rows a reheat goes by. What came ready to eat in its package and was heated here
/// before is food like any other: its own row is for the first time out of the package.
FoodKind reheated_as(const Case& c, const StageSpan& stage) {
    const bool heated_before = std::ranges::any_of(c.stages(), [&](const StageSpan& s) {
        return s.from < stage.from &&
               (s.stage == Stage::initial_heating || s.stage == Stage::cooking ||
                s.stage == Stage::reheating || is_hot_hold(s.stage));
    });
    return heated_before && c.lot().food == FoodKind::packaged_ready_to_eat ? FoodKind::other_tcs
                                                                            : c.lot().food;
}

/// The alternatives this food may be reheated by in `stage`.
std::vector<const codes::Requirement*> ways(const Case& c, const RoastCook& roast,
                                            const StageSpan& stage) {
    std::vector<const codes::Requirement*> found;
    for (const codes::Requirement* requirement :
         c.pack().find("reheating", reheated_as(c, stage))) {
        const auto* rule = std::get_if<codes::TableRule>(&requirement->rule);
        if (rule != nullptr && !rule->rows.empty() && (!rule->needs_roast_cook || roast.earned)) {
            found.push_back(requirement);
        }
    }
    return found;
}

const codes::TableRule& table_of(const codes::Requirement& way) {
    return std::get<codes::TableRule>(way.rule);
}

struct BestWay {
    const codes::Requirement* requirement = nullptr;
    Dwell dwell;     ///< what its rows give
    Verdict verdict; ///< with its ovens
};

BestWay best_way(const Case& c, const std::vector<const codes::Requirement*>& list,
                 Readings readings, const StageSpan& stage) {
    BestWay best;
    for (const codes::Requirement* requirement : list) {
        const codes::TableRule& table = table_of(*requirement);
        Dwell dwell = judge_rows(c, table.rows, readings, stage);
        const Verdict verdict = with_oven(c, table, stage, dwell.verdict);
        if (best.requirement == nullptr || verdict < best.verdict) {
            best = {requirement, std::move(dwell), verdict};
        }
    }
    return best;
}

Finding temperature_finding(const Case& c, const BestWay& way, Readings readings,
                            const StageSpan& stage, const std::string& point) {
    Finding f = start_finding(*way.requirement, stage, point);
    const codes::TableRow& row = *way.dwell.row;
    f.limit = figure_of(row.at);
    f.limit.within = row.keep;
    f.limit.text = row.keep == Span{}
                       ? row.at.to_text()
                       : fmt::format(msg::kept_for, row.at.to_text(), to_text(row.keep));
    f.verdict = way.dwell.verdict;
    f.elapsed = way.dwell.kept;
    for (const Reading& r : way.dwell.evidence) {
        add_evidence(f, r);
    }
    if (readings.empty()) {
        f.verdict = f.verdict == Verdict::open ? Verdict::open : Verdict::not_shown;
        f.reason = msg::not_read_while_reheated;
        f.settle = fmt::format(msg::reading_would, f.limit.text);
        f.acts_as_missed = f.verdict == Verdict::not_shown;
        return f;
    }
    const Reading& hottest =
        *std::ranges::max_element(readings, [](const Reading& a, const Reading& b) {
            return physical_order(a.value, b.value) < 0;
        });
    tell_margin(c, f, way.dwell);
    const std::string read =
        fmt::format(msg::value_at, to_text(hottest.value), c.clock(hottest.at));
    if (f.verdict == Verdict::met) {
        f.reason = row.keep == Span{} ? fmt::format(msg::hottest, read)
                                      : fmt::format(msg::hottest_kept, read,
                                                    row.at.figure_text(hottest.value.scale()),
                                                    to_text(*way.dwell.kept.earliest));
    } else if (f.verdict == Verdict::not_shown) {
        f.reason =
            fmt::format(msg::hottest_not_shown, read, row.at.figure_text(hottest.value.scale()),
                        to_text(*way.dwell.kept.earliest), to_text(*way.dwell.kept.latest));
        f.settle = would_show_kept(row);
        f.acts_as_missed = true;
    } else {
        f.reason = fmt::format(msg::hottest_asked, read, f.limit.text);
        f.settle = f.verdict == Verdict::open ? fmt::format(msg::reading_will, f.limit.text) : "";
    }
    add_oven(c, table_of(*way.requirement), stage, f);
    return f;
}

/// One point's readings of one reheat.
struct Reheat {
    const StageSpan& stage;
    StageSpan since;  ///< with the reheats before it that it may go on from
    StageSpan surely; ///< with those that it surely goes on from
    Readings all;
    const std::string& point;
};

/// What a reheat did at one point; at the worst of them where this one was not read in it.
std::optional<Verdict> done_at(const std::vector<Finding>& reheats, const StageSpan& stage,
                               const std::string& point) {
    for (const Finding& f : reheats) {
        if (f.requirement == "reheating" && f.stage_from == stage.from && f.point == point) {
            return f.verdict;
        }
    }
    return Case::worst_of(reheats, "reheating", stage);
}

/// The reheat, with those before it that it goes on from because they did no better than `best` at
/// this point: a pause in which nothing else was done to the food starts no clock anew.
StageSpan gone_on(const Case& c, const StageSpan& stage, const std::vector<Finding>& reheats,
                  const std::string& point, Verdict best) {
    StageSpan whole = stage;
    for (std::size_t i = c.stages().size(); i-- > 1;) {
        const StageSpan* before = done_before(c.stages(), i);
        if (stage.stage == Stage::reheating && c.stages()[i].from == whole.from &&
            before != nullptr && before->stage == Stage::reheating &&
            done_at(reheats, *before, point) >= best) {
            whole.from = before->from;
        }
    }
    return whole;
}

ClockStart start_of(const Case& c, const codes::WindowRule& rule, const Reheat& reheat) {
    if (!rule.from) {
        const Instant since = reheat.since.from;
        return {.at = {since, reheat.surely.from}, .estimate = since, .evidence = {}};
    }
    ClockStart start = rising_start(c, reheat.all, reheat.since, *rule.from);
    start.at.latest = rising_start(c, reheat.all, reheat.surely, *rule.from).at.latest;
    return start;
}

/// How long the food took to reach one target. A touch before `kept_from` was no reheat.
Finding time_to(const Case& c, const codes::Requirement& requirement, const codes::WindowRule& rule,
                const TemperatureLimit& target, const std::optional<Instant>& kept_from,
                const Reheat& reheat) {
    Finding f = start_finding(requirement, reheat.stage, reheat.point);
    const Readings inside = between(reheat.all, reheat.stage.from, reheat.stage.to);
    const ClockStart start = start_of(c, rule, reheat);
    // The first time the target is reached, and kept as its row asks, ends the clock: cooling off
    // later is holding's matter.
    Reached end;
    const auto counts = [&](const Reading& r) { return !kept_from || r.at >= *kept_from; };
    const auto hot = std::ranges::find_if(inside, [&](const Reading& r) {
        return counts(r) && target.side(r.value) == Side::right && !r.suspect;
    });
    const auto sure = std::ranges::find_if(
        inside, [&](const Reading& r) { return counts(r) && c.says(r, target) == Says::right; });
    end.as_read = hot != inside.end();
    const Reading* last_cold = nullptr;
    for (const Reading& r : end.as_read ? before(inside, hot->at) : inside) {
        if (target.side(r.value) == Side::wrong) {
            last_cold = &r;
        }
    }
    if (last_cold != nullptr) {
        end.earliest = last_cold->at;
        end.last_wrong = last_cold->at;
        end.evidence.push_back(*last_cold);
    }
    if (sure != inside.end()) {
        end.latest = sure->at;
        end.evidence.push_back(*sure);
        if (last_cold != nullptr) {
            end.estimate = interpolated(*last_cold, *sure, target);
        }
    }
    const Scale scale = inside.front().value.scale();
    f.limit = figure_of(target);
    f.limit.within = rule.within.span;
    f.limit.time_included = rule.within.figure_included;
    f.limit.text = window_text(rule.from ? rule.from->figure_text(scale) : msg::start_of_reheating,
                               target.figure_text(scale), rule.within);
    const std::string figure = target.figure_text(scale);
    const WindowWords words{rule.from ? fmt::format(msg::food_left, rule.from->figure_text(scale))
                                      : msg::reheating_began,
                            msg::reading_at_start, figure, fmt::format(msg::still_below, figure)};
    judge_window(c, f, start, end, rule.within, {c.now(), c.end().has_value()}, words);
    return f;
}

/// From when a row was kept as read. Under the guarded rule too: what was no reheat as read does
/// not become one because of the band.
std::optional<Instant> kept_as_read(const Case& c, const codes::TableRow& row, Readings inside,
                                    const StageSpan& stage) {
    Settings plain = c.settings();
    plain.rule = DecisionRule::as_read;
    return judge_rows(Case{c.lot(), c.pack(), plain}, {row}, inside, stage).kept_from;
}

/// A row that the reheat may go by, and how long the food took to reach it.
struct TimedRow {
    const codes::TableRow* row = nullptr;
    bool kept = false; ///< the record shows it reached and kept
    Finding time;
};

/// Any one row will do: in time by a row that is shown kept is met; missed only if every row that
/// the readings leave possible is missed.
Finding time_by_rows(const Case& c, const codes::Requirement& requirement,
                     const codes::WindowRule& rule,
                     const std::vector<const codes::Requirement*>& list, const Reheat& reheat) {
    const StageSpan& stage = reheat.stage;
    const Readings inside = between(reheat.all, stage.from, stage.to);
    std::vector<TimedRow> possible;
    const codes::TableRow* first = nullptr;
    std::size_t rows = 0;
    for (const codes::Requirement* way : list) {
        for (const codes::TableRow& row : table_of(*way).rows) {
            first = first == nullptr ? &row : first;
            ++rows;
            const Dwell dwell = judge_rows(c, {row}, inside, stage);
            const Verdict kept = with_oven(c, table_of(*way), stage, dwell.verdict);
            if (kept != Verdict::not_met) {
                const auto kept_from =
                    dwell.kept_from ? dwell.kept_from : kept_as_read(c, row, inside, stage);
                possible.push_back({&row, kept == Verdict::met,
                                    time_to(c, requirement, rule, row.at, kept_from, reheat)});
            }
        }
    }
    if (possible.empty()) {
        return time_to(c, requirement, rule, first->at, std::nullopt, reheat);
    }
    // A row shown kept speaks before one that is only possible, where both say the same.
    std::ranges::stable_sort(possible, [](const TimedRow& a, const TimedRow& b) {
        return std::pair{a.time.verdict, !a.kept} < std::pair{b.time.verdict, !b.kept};
    });
    TimedRow& best = possible.front();
    if (best.time.verdict == Verdict::met && !best.kept && rows > 1) {
        best.time.verdict = stage.running ? Verdict::open : Verdict::not_shown;
        best.time.acts_as_missed = !stage.running;
        best.time.reason += " " + fmt::format(msg::but_not_kept, to_text(best.row->keep));
    }
    return best.time;
}

void judge_time(const Case& c, const std::vector<const codes::Requirement*>& list, Readings all,
                const StageSpan& stage, const std::string& point, std::vector<Finding>& findings) {
    const codes::Requirement* requirement = c.pack().find_one("reheating-time", c.lot().food);
    const auto* rule =
        requirement == nullptr ? nullptr : std::get_if<codes::WindowRule>(&requirement->rule);
    if (rule == nullptr) {
        return;
    }
    if (between(all, stage.from, stage.to).empty()) {
        Finding f = start_finding(*requirement, stage, point);
        f.verdict = stage.running ? Verdict::open : Verdict::not_shown;
        f.reason = msg::not_read_while_reheated;
        f.acts_as_missed = !stage.running;
        findings.push_back(std::move(f));
        return;
    }
    const Reheat reheat{stage, gone_on(c, stage, findings, point, Verdict::not_shown),
                        gone_on(c, stage, findings, point, Verdict::not_met), all, point};
    findings.push_back(rule->to ? time_to(c, *requirement, *rule, *rule->to, std::nullopt, reheat)
                                : time_by_rows(c, *requirement, *rule, list, reheat));
}

/// Why the exception for roasts did not help a reheat of one.
void say_why_no_roast(const Case& c, const RoastCook& roast, const StageSpan& stage, Finding& f) {
    if (c.lot().food != FoodKind::intact_roast || f.verdict == Verdict::met) {
        return;
    }
    for (const codes::Requirement* way : c.pack().find("reheating", c.lot().food)) {
        const auto* table = std::get_if<codes::TableRule>(&way->rule);
        if (table == nullptr || !table->needs_roast_cook) {
            continue;
        }
        const std::string oven = oven_lacks(c, *table, stage);
        if (!roast.earned) {
            f.notes.push_back(fmt::format(msg::roast_reheat_not_earned, way->clause, roast.why));
        } else if (!oven.empty()) {
            f.notes.push_back(fmt::format(msg::roast_reheat_oven, way->clause, oven));
        }
    }
}

} // namespace

void judge_reheat(const Case& c, const StageSpan& stage, const RoastCook& roast,
                  std::vector<Finding>& findings) {
    const RoastCook roast_here = roast_in(c, roast, stage);
    const auto list = ways(c, roast_here, stage);
    if (list.empty()) {
        return;
    }
    bool any = false;
    const auto judge_series = [&](const std::string& point, Readings all) {
        const Readings readings = between(all, stage.from, stage.to);
        const BestWay way = best_way(c, list, readings, stage);
        findings.push_back(temperature_finding(c, way, readings, stage, point));
        settle_evidence(findings.back());
        say_why_no_roast(c, roast_here, stage, findings.back());
        judge_time(c, list, all, stage, point, findings);
    };
    for (const Case::Series& series : c.series()) {
        if (!between(series.readings, stage.from, stage.to).empty()) {
            judge_series(series.point, series.readings);
            any = true;
        }
    }
    if (!any) {
        judge_series("", {});
    }
}

void cap_reheats(const Case& c, std::vector<Finding>& reheats) {
    std::optional<int> most;
    for (const codes::Requirement* requirement : c.pack().find("reheating", c.lot().food)) {
        const auto* rule = std::get_if<codes::TableRule>(&requirement->rule);
        if (rule != nullptr && rule->most_times) {
            most = most ? std::min(*most, *rule->most_times) : *rule->most_times;
        }
    }
    if (!most) {
        return;
    }
    std::vector<Instant> starts;
    for (Finding& f : reheats) {
        if (std::ranges::find(starts, f.stage_from) == starts.end()) {
            starts.push_back(f.stage_from);
        }
        if (f.requirement == "reheating" && std::ssize(starts) > *most) {
            f.verdict = Verdict::not_met;
            f.reason = fmt::format(msg::reheat_number, starts.size(), *most, f.reason);
        }
    }
}

void doubt_reheats(const Case& c, std::vector<Finding>& reheats) {
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        if (put_in_cold(c, i) != ColdIn::perhaps) {
            continue;
        }
        for (Finding& f : reheats) {
            if (f.stage_from == c.stages()[i].from && f.verdict == Verdict::not_met) {
                f.verdict = Verdict::not_shown;
                f.acts_as_missed = true;
                f.reason += std::string{" "} + msg::perhaps_never_cold;
            }
        }
    }
}

} // namespace holdwarden::judge
