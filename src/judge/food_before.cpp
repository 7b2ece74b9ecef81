// In what state food came into a stage: hot, cold, or nobody can tell.
#include "internal/intervals.hpp"
#include "internal/rules.hpp"

#include <algorithm>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using records::Reading;

namespace {

/// What was done to the food before stage `i`. A first heating changes nothing where the code has
/// no rule for it: it is no reheat.
const StageSpan* treated_before(const Case& c, std::size_t i) {
    const StageSpan* previous = done_before(c.stages(), i);
    const bool ruled = c.pack().find_one("initial-heating", c.lot().food) != nullptr;
    while (previous != nullptr && previous->stage == Stage::initial_heating && !ruled) {
        previous = done_before(c.stages(), static_cast<std::size_t>(previous - c.stages().data()));
    }
    return previous;
}

bool any_reading(const Case& c, Instant from, Instant to, auto test) {
    return std::ranges::any_of(c.series(), [&](const Case::Series& series) {
        return std::ranges::any_of(between(series.readings, from, to), test);
    });
}

/// From when the food was to be cooled before stage `i`, which a cooling stage precedes: cooling
/// stages that follow each other are one.
Instant cooling_began(const Case& c, std::size_t i) {
    Instant began = c.stages()[i].from;
    for (std::size_t k = i; k-- > 0;) {
        const Stage stage = c.stages()[k].stage;
        if (stage == Stage::cooling) {
            began = c.stages()[k].from;
        } else if (stage != Stage::preparing) {
            break;
        }
    }
    return began;
}

/// Whether some point was last read cold before the first stage that tells what was done to the
/// food.
bool read_cold_before(const Case& c, Instant at) {
    const TemperatureLimit* cold = hold_limit(c, "cold-holding");
    return cold != nullptr && std::ranges::any_of(c.series(), [&](const Case::Series& series) {
               const Readings earlier = before(series.readings, at);
               return !earlier.empty() && c.says(earlier.back(), *cold) == Says::right;
           });
}

} // namespace

bool read_hot_by(const Case& c, Instant at) {
    const TemperatureLimit* hot = hold_limit(c, "hot-holding");
    return hot != nullptr &&
           any_reading(c, Instant::from_unix_ms(INT64_MIN), at,
                       [&](const Reading& r) { return hot->side(r.value) == codes::Side::right; });
}

std::vector<Interval> shown_right(const Case& c, const TemperatureLimit& limit) {
    std::vector<Interval> good; // what was left out between two readings was like them
    for (const Case::Series& series : c.series()) {
        const Reading* previous = nullptr;
        for (const Reading& r : series.readings) {
            if (c.says(r, limit) == Says::right) {
                good.push_back({r.left_out > 0 && previous != nullptr ? previous->at : r.at, r.at});
            }
            previous = &r;
        }
    }
    return joined(std::move(good));
}

bool stays_hot(const Case& c, Instant from, Instant to) {
    const TemperatureLimit* hot = hold_limit(c, "hot-holding");
    if (hot == nullptr || any_reading(c, from, to, [&](const Reading& r) {
            return hot->side(r.value) == codes::Side::wrong;
        })) {
        return false;
    }
    const std::vector<Interval> good = shown_right(c, *hot);
    auto next = std::ranges::upper_bound(good, from, {}, &Interval::from);
    Instant last = next == good.begin() ? from : std::prev(next)->to;
    for (; next != good.end() && last < to; ++next) {
        if (next->from - last > c.settings().largest_interval) {
            return false;
        }
        last = next->to;
    }
    return last >= to || std::max(to, c.now()) - last <= c.settings().largest_interval;
}

ColdIn put_in_cold(const Case& c, std::size_t i) {
    const StageSpan& stage = c.stages()[i];
    if (!is_hot_hold(stage.stage)) {
        return ColdIn::no;
    }
    const StageSpan* previous = treated_before(c, i);
    if (previous == nullptr) {
        return read_cold_before(c, stage.from) ? ColdIn::yes : ColdIn::no;
    }
    if (!is_cold(previous->stage)) {
        return ColdIn::no;
    }
    const TemperatureLimit* hot = hold_limit(c, "hot-holding");
    if (previous->stage != Stage::cooling || hot == nullptr) {
        return ColdIn::yes;
    }
    // A cooling that was broken off while the food was still hot is a hold, not a reheat.
    const Instant began = cooling_began(c, i);
    const bool fell = any_reading(c, began, stage.from, [&](const Reading& r) {
        return hot->side(r.value) == codes::Side::wrong;
    });
    return fell ? ColdIn::yes : stays_hot(c, began, stage.from) ? ColdIn::no : ColdIn::perhaps;
}

} // namespace holdwarden::judge
