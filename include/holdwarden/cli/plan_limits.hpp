#pragma once

#include <holdwarden/codes/pack.hpp>
#include <holdwarden/heat/plan_cool.hpp>

#include <optional>

namespace holdwarden::cli {

/// The hot-holding limit a pack prints for cooked food, in the scale asked for if it prints that,
/// else in the other. nullopt if the pack has none.
std::optional<Temperature> hot_holding_limit(const codes::Pack& pack, Scale scale);

/// The pack's cooling windows. nullopt when it does not have a first window and a total (or a
/// second window) that the planner's two-step form can express.
struct PackWindows {
    heat::CoolingWindows windows;
    Temperature from = Temperature::of_thousandths(0, Scale::celsius);
    Temperature middle = Temperature::of_thousandths(0, Scale::celsius);
    Temperature end = Temperature::of_thousandths(0, Scale::celsius);
    std::string clauses;
};
std::optional<PackWindows> cooling_windows(const codes::Pack& pack, Scale scale);

} // namespace holdwarden::cli
