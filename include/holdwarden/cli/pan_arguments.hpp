#pragma once

#include <holdwarden/cli/command.hpp>
#include <holdwarden/heat/plan_cool.hpp>

#include <string>

namespace holdwarden::cli {

/// The options that describe a pan of food, the same for plan cool and forecast.
struct PanArguments {
    std::string food;
    std::string depth;
    std::string pan = "50x30cm";
    std::string pot; ///< inside diameter of a round pot, instead of a pan
    std::string container = "steel-pan";
    std::string container_depth;
    bool uncovered = false;

    void declare(Arguments& arguments);
    bool given() const noexcept { return !food.empty() || !depth.empty(); }
    /// Everything but method, start and windows. Throws Error{usage} naming the option.
    heat::CoolQuestion to_question() const;
};

/// Throws Error{usage} listing the methods.
const heat::CoolingMethod& method_argument(const std::string& name);

} // namespace holdwarden::cli
