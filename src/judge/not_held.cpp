// Food that no hold looks after, though it was to be kept hot or cold.
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using records::Reading;

void judge_left_in_heating(const Case& c, std::size_t i, const RoastCook& cook,
                           std::vector<Finding>& findings) {
    const StageSpan& stage = c.stages()[i];
    const codes::Requirement* requirement = hot_requirement(c, cook);
    const TemperatureLimit* limit = hold_limit(requirement);
    if (limit == nullptr) {
        return;
    }
    for (const Case::Series& series : c.series()) {
        const Readings inside = between(series.readings, stage.from, stage.to);
        const auto hot = std::find_if(inside.rbegin(), inside.rend(), [&](const Reading& r) {
            return c.says(r, *limit) == Says::right;
        });
        if (hot == inside.rend() || c.says(inside.back(), *limit) != Says::wrong ||
            stage.to - hot->at <= c.settings().largest_interval) {
            continue;
        }
        Finding f = start_finding(*requirement, stage, series.point);
        f.limit = figure_of(*limit);
        f.verdict = Verdict::not_shown;
        f.acts_as_missed = true;
        f.reason = fmt::format(msg::left_in_heating, limit->to_text(), c.clock(hot->at),
                               to_text(c.settings().largest_interval));
        add_evidence(f, *hot);
        add_evidence(f, inside.back());
        settle_evidence(f);
        findings.push_back(std::move(f));
    }
}

void judge_time_without_rule(const Case& c, std::size_t i, std::vector<Finding>& findings) {
    const StageSpan& stage = c.stages()[i];
    if (stage.entry->stage != Stage::time_control || stage.stage == Stage::time_control) {
        return;
    }
    const StageSpan* previous = done_before(c.stages(), i);
    const bool came_hot = previous != nullptr && !is_cold(previous->stage);
    const codes::Requirement* requirement =
        c.pack().find_one(came_hot ? "hot-holding" : "cold-holding", c.lot().food);
    const TemperatureLimit* limit = hold_limit(requirement);
    if (limit == nullptr) {
        return;
    }
    Finding f = start_finding(*requirement, stage, "");
    f.limit = figure_of(*limit);
    f.verdict = Verdict::not_shown;
    f.acts_as_missed = true;
    f.reason = fmt::format(msg::no_rule_for_time, limit->to_text());
    findings.push_back(std::move(f));
}

} // namespace holdwarden::judge
