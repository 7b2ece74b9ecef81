#include <holdwarden/base/vocabulary.hpp>

#include <algorithm>
#include <array>
#include <cstddef>

namespace holdwarden {
namespace {

template <class Enum, std::size_t N>
struct Names {
    std::array<Enum, N> values;
    std::array<std::string_view, N> names;

    constexpr std::string_view name(Enum value) const noexcept {
        return names[static_cast<std::size_t>(value)];
    }

    std::optional<Enum> value(std::string_view name) const noexcept {
        const auto found = std::find(names.begin(), names.end(), name);
        if (found == names.end()) {
            return std::nullopt;
        }
        return values[static_cast<std::size_t>(found - names.begin())];
    }
};

constexpr Names<Stage, 11> kStages{
    {Stage::preparing, Stage::initial_heating, Stage::cooking, Stage::resting, Stage::hot_holding,
     Stage::cooling, Stage::cold_holding, Stage::frozen, Stage::thawing, Stage::reheating,
     Stage::time_control},
    {"preparing", "initial-heating", "cooking", "resting", "hot-holding", "cooling", "cold-holding",
     "frozen", "thawing", "reheating", "time-control"}};

constexpr Names<Outcome, 5> kOutcomes{
    {Outcome::served, Outcome::discarded, Outcome::split, Outcome::merged, Outcome::handed_on},
    {"served", "discarded", "split", "merged", "handed-on"}};

constexpr Names<FoodKind, 12> kFoods{
    {FoodKind::intact_roast, FoodKind::whole_cut, FoodKind::ground, FoodKind::injected,
     FoodKind::poultry, FoodKind::stuffed, FoodKind::fish, FoodKind::eggs, FoodKind::game,
     FoodKind::plant, FoodKind::packaged_ready_to_eat, FoodKind::other_tcs},
    {"intact-roast", "whole-cut", "ground", "injected", "poultry", "stuffed", "fish", "eggs",
     "game", "plant", "packaged-ready-to-eat", "other-tcs"}};

constexpr Names<OvenKind, 3> kOvens{
    {OvenKind::still_dry, OvenKind::convection, OvenKind::high_humidity},
    {"still-dry", "convection", "high-humidity"}};

} // namespace

std::string_view to_name(Stage stage) noexcept {
    return kStages.name(stage);
}
std::string_view to_name(Outcome outcome) noexcept {
    return kOutcomes.name(outcome);
}
std::string_view to_name(FoodKind food) noexcept {
    return kFoods.name(food);
}
std::string_view to_name(OvenKind oven) noexcept {
    return kOvens.name(oven);
}

std::optional<Stage> stage_named(std::string_view name) noexcept {
    return kStages.value(name);
}
std::optional<Outcome> outcome_named(std::string_view name) noexcept {
    return kOutcomes.value(name);
}
std::optional<FoodKind> food_named(std::string_view name) noexcept {
    return kFoods.value(name);
}
std::optional<OvenKind> oven_named(std::string_view name) noexcept {
    return kOvens.value(name);
}

std::span<const Stage> all_stages() noexcept {
    return kStages.values;
}
std::span<const FoodKind> all_foods() noexcept {
    return kFoods.values;
}
std::span<const OvenKind> all_ovens() noexcept {
    return kOvens.values;
}

} // namespace holdwarden
