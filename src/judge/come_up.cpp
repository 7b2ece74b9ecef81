// How long food takes to come up to cooking temperature: toxin may form on the way, and no cook
// afterwards takes it away.
#include "internal/rules.hpp"
#include "internal/window.hpp"
#include "messages.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using codes::Side;
using codes::TemperatureLimit;
using records::Reading;

namespace {

/// Cooking stages that share one clock: a cook that is not shown to meet its table does not end it,
/// so that cooking again does not start it anew.
struct Heating {
    const StageSpan* first = nullptr;
    const StageSpan* last = nullptr; ///< its findings speak for the heating
};

std::vector<Heating> heatings(const Case& c, const std::vector<Finding>& findings) {
    std::vector<Heating> all;
    bool goes_on = false;
    for (const StageSpan& stage : c.stages()) {
        if (stage.stage != Stage::cooking) {
            continue;
        }
        if (!goes_on) {
            all.push_back({&stage, &stage});
        }
        all.back().last = &stage;
        goes_on = !cook_met(findings, stage);
    }
    return all;
}

/// From the last reading at or below the cold figure to the first above it. Without such a reading
/// the earliest start is unknown: the food may have been on its way for long.
ClockStart leaving(const Case& c, Readings all, Readings heated, const TemperatureLimit& cold) {
    ClockStart start;
    const auto above = [&](const Reading& r) { return cold.side(r.value) == Side::wrong; };
    const auto first_hot = std::ranges::find_if(heated, above);
    const Instant until =
        first_hot == heated.end() ? heated.back().at + Span::milliseconds(1) : first_hot->at;
    const Reading* last_cold = nullptr;
    bool cold_as_read = false;
    for (const Reading& r : before(all, until)) {
        cold_as_read = cold_as_read || !above(r);
        if (c.says(r, cold) == Says::right) {
            last_cold = &r;
        }
    }
    if (last_cold == nullptr) {
        start.guarded_unsure = cold_as_read;
        if (first_hot != heated.end()) {
            start.at.latest = first_hot->at;
            start.evidence.push_back(*first_hot);
        }
        return start;
    }
    start.at.earliest = last_cold->at;
    start.evidence.push_back(*last_cold);
    const Readings later = after(all, last_cold->at);
    const auto left = std::ranges::find_if(later, above);
    if (left != later.end() && left->at <= heated.back().at) {
        start.at.latest = left->at;
        start.estimate = interpolated(*last_cold, *left, cold);
        start.evidence.push_back(*left);
    }
    return start;
}

Finding come_up_finding(const Case& c, const codes::Requirement& requirement,
                        const codes::WindowRule& rule, const Heating& heating,
                        const Case::Series& series) {
    const StageSpan& stage = *heating.last;
    Finding f = start_finding(requirement, stage, series.point);
    f.limit = figure_of(*rule.to);
    f.limit.within = rule.within.span;
    f.limit.time_included = rule.within.figure_included;
    const Readings heated = between(series.readings, heating.first->from, stage.to);
    const Scale scale = heated.empty() ? Scale::fahrenheit : heated.front().value.scale();
    const std::string target = rule.to->figure_text(scale);
    const std::string cold = rule.from->figure_text(scale);
    f.limit.text = window_text(cold, target, rule.within);
    if (heated.empty()) {
        f.verdict = stage.running ? Verdict::open : Verdict::not_shown;
        f.reason = msg::not_read_while_heated;
        f.settle = fmt::format(msg::leave_and_reach, cold, target);
        f.acts_as_missed = !stage.running;
        return f;
    }
    const ClockStart start = leaving(c, series.readings, heated, *rule.from);
    // Dips below the target count: what counts is when it was reached for good.
    const Reached end = reached(c, before(series.readings, heating.first->from), heated, *rule.to);
    judge_window(c, f, start, end, rule.within, {c.now(), c.end().has_value()},
                 {fmt::format(msg::food_left, cold), fmt::format(msg::reading_at_or_below, cold),
                  target, fmt::format(msg::still_below, target)});
    if (heating.first != heating.last) {
        f.notes.push_back(fmt::format(msg::cook_runs_on, c.day_and_clock(heating.first->from)));
    }
    return f;
}

} // namespace

void judge_come_up(const Case& c, std::vector<Finding>& findings) {
    const codes::Requirement* requirement = c.pack().find_one("come-up", c.lot().food);
    const auto* rule =
        requirement == nullptr ? nullptr : std::get_if<codes::WindowRule>(&requirement->rule);
    if (rule == nullptr || !rule->from || !rule->to) {
        return;
    }
    std::vector<Finding> found;
    for (const Heating& heating : heatings(c, findings)) {
        bool any = false;
        for (const Case::Series& series : c.series()) {
            if (!between(series.readings, heating.first->from, heating.last->to).empty()) {
                found.push_back(come_up_finding(c, *requirement, *rule, heating, series));
                any = true;
            }
        }
        if (!any) {
            found.push_back(come_up_finding(c, *requirement, *rule, heating, {"", {}}));
        }
    }
    findings.insert(findings.end(), std::make_move_iterator(found.begin()),
                    std::make_move_iterator(found.end()));
}

} // namespace holdwarden::judge
