// Food that no hold looks after, though it was to be kept hot or cold.
#include "internal/rules.hpp"
#include "messages.hpp"

#include <holdwarden/base/time_text.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using records::Reading;

namespace {

bool heats(Stage stage) noexcept {
    return stage == Stage::cooking || stage == Stage::reheating;
}

/// The end of the heatings that follow each other from stage `i` on; nullopt: one goes on there.
std::optional<Instant> end_of_heatings(const std::vector<StageSpan>& stages, std::size_t i) {
    for (std::size_t k = i;
         k-- > 0 && (heats(stages[k].stage) || stages[k].stage == Stage::preparing);) {
        if (heats(stages[k].stage)) {
            return std::nullopt;
        }
    }
    Instant end = stages[i].to;
    for (std::size_t k = i + 1;
         k < stages.size() && (heats(stages[k].stage) || stages[k].stage == Stage::preparing);
         ++k) {
        end = stages[k].to;
    }
    return end;
}

/// A time from a hot reading to the next, or to the end, in which the food was read below the limit
/// while it was said to be heated.
struct Fallen {
    const Reading* hot;
    const Reading* below;
};

std::optional<Fallen> longest_fall(const Case& c, Readings readings, Instant end,
                                   const TemperatureLimit& limit) {
    const auto in_heating = [&](Instant at) {
        return std::ranges::any_of(c.stages(), [&](const StageSpan& s) {
            return heats(s.stage) && s.from <= at && at <= s.to;
        });
    };
    std::optional<Fallen> longest;
    Span length = c.settings().largest_interval;
    Fallen now{nullptr, nullptr};
    const auto close = [&](Instant until) {
        if (now.hot != nullptr && now.below != nullptr && until - now.hot->at > length) {
            length = until - now.hot->at;
            longest = now;
        }
    };
    for (const Reading& r : readings) {
        const Says says = c.says(r, limit);
        if (says == Says::right) {
            close(r.at);
            now = {&r, nullptr};
        } else if (says == Says::wrong && now.hot != nullptr && in_heating(r.at)) {
            now.below = &r;
        }
    }
    close(end);
    return longest;
}

/// What is prepared in entries that follow each other, between two holds of one sort.
struct Prepared {
    Instant from;
    Instant to;
    const StageSpan* hold; ///< the one that follows
};

/// The preparing that stage `i` begins; nullopt: it begins none, or none between two such holds.
std::optional<Prepared> prepared_from(const std::vector<StageSpan>& stages, std::size_t i) {
    if (stages[i].stage != Stage::preparing || i == 0 || stages[i - 1].stage == Stage::preparing ||
        stages[i - 1].stage == Stage::time_control) {
        return std::nullopt;
    }
    const auto next = std::find_if(stages.begin() + static_cast<std::ptrdiff_t>(i), stages.end(),
                                   [](const StageSpan& s) { return s.stage != Stage::preparing; });
    if (next == stages.end()) {
        return std::nullopt;
    }
    const bool goes_on = is_cold(stages[i - 1].stage) ? next->stage == Stage::cold_holding
                                                      : is_hot_hold(next->stage);
    return goes_on ? std::optional{Prepared{stages[i].from, next->from, &*next}} : std::nullopt;
}

/// The longest time within what was prepared for which none of `right` vouches.
Span longest_silence(const Prepared& p, const std::vector<Interval>& right) {
    Span longest;
    Instant last = p.from;
    for (const Interval& one : right) {
        longest = std::max(longest, std::min(one.from, p.to) - last);
        last = std::max(last, one.to);
    }
    return std::max(longest, p.to - last);
}

/// A time between readings of one point on the right side, in which one was on the wrong side.
struct Beyond {
    Span length{};
    const Reading* worst = nullptr;
};

/// The longest within what was prepared.
Beyond longest_beyond(const Case& c, const Prepared& p, Readings readings,
                      const TemperatureLimit& limit) {
    Beyond longest;
    Beyond now;
    Instant right = p.from;
    const auto close = [&](Instant at) {
        now.length = at - right;
        if (now.worst != nullptr && now.length > longest.length) {
            longest = now;
        }
        now.worst = nullptr;
        right = at;
    };
    const Readings inside = between(readings, p.from, p.to);
    for (std::size_t i = 0; i < inside.size();) {
        const std::size_t first = i;
        const Says says = c.says_instant(inside, i, limit);
        if (says == Says::right) {
            close(inside[first].at);
        }
        for (std::size_t k = first; says == Says::wrong && k < i; ++k) {
            if (now.worst == nullptr || further_out(inside[k], *now.worst, limit)) {
                now.worst = &inside[k];
            }
        }
    }
    close(p.to);
    return longest;
}

} // namespace

void judge_left_in_heating(const Case& c, std::size_t i, const RoastCook& cook,
                           std::vector<Finding>& findings) {
    const StageSpan& stage = c.stages()[i];
    const codes::Requirement* requirement = hot_requirement(c, cook);
    const TemperatureLimit* limit = hold_limit(requirement);
    const std::optional<Instant> end = end_of_heatings(c.stages(), i);
    if (limit == nullptr || !end) {
        return;
    }
    for (const Case::Series& series : c.series()) {
        const auto fall = longest_fall(c, between(series.readings, stage.from, *end), *end, *limit);
        if (!fall) {
            continue;
        }
        Finding f = start_finding(*requirement, stage, series.point);
        f.limit = figure_of(*limit);
        f.verdict = Verdict::not_shown;
        f.acts_as_missed = true;
        f.reason = fmt::format(msg::left_in_heating, limit->to_text(), c.clock(fall->hot->at),
                               to_text(c.settings().largest_interval));
        add_evidence(f, *fall->hot);
        add_evidence(f, *fall->below);
        settle_evidence(f);
        findings.push_back(std::move(f));
    }
}

void judge_left_in_preparing(const Case& c, std::size_t i, const RoastCook& cook,
                             std::vector<Finding>& findings) {
    const std::optional<Prepared> prepared = prepared_from(c.stages(), i);
    if (!prepared) {
        return;
    }
    const codes::Requirement* requirement =
        is_hot_hold(prepared->hold->stage) ? hot_requirement(c, roast_in(c, cook, *prepared->hold))
                                           : c.pack().find_one("cold-holding", c.lot().food);
    const TemperatureLimit* limit = hold_limit(requirement);
    if (limit == nullptr) {
        return;
    }
    bool any = false;
    const auto add = [&](const std::string& point, Span unproven, const Reading* worst) {
        if (unproven <= kLongestPreparing) {
            return;
        }
        Finding f = start_finding(*requirement, c.stages()[i], point);
        f.limit = figure_of(*limit);
        f.verdict = Verdict::not_shown;
        f.acts_as_missed = true;
        f.reason =
            fmt::format(msg::left_in_preparing, c.clock(prepared->from), c.clock(prepared->to),
                        limit->to_text(), to_text(unproven), to_text(kLongestPreparing));
        if (worst != nullptr) {
            add_evidence(f, *worst);
        }
        findings.push_back(std::move(f));
        any = true;
    };
    for (const Case::Series& series : c.series()) {
        const Beyond beyond = longest_beyond(c, *prepared, series.readings, *limit);
        add(series.point, beyond.length, beyond.worst);
    }
    if (!any) {
        add("", longest_silence(*prepared, shown_right(c, *limit)), nullptr);
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
