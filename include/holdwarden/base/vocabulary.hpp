#pragma once

#include <optional>
#include <span>
#include <string_view>

namespace holdwarden {

/// What is being done to a lot.
enum class Stage {
    preparing,
    initial_heating, ///< the first heating of a cook in two steps (non-continuous cooking)
    cooking,
    resting,
    hot_holding,
    cooling,
    cold_holding,
    frozen,
    thawing,
    reheating,
    time_control, ///< time as a public health control
};

/// How a lot's life ended. After the last three its food lives on: in the parts it was split into,
/// in the lot it was merged into, in another kitchen.
enum class Outcome { served, discarded, split, merged, handed_on };
/// Whether the food itself was gone with the lot: served or discarded.
constexpr bool ends_food(Outcome outcome) noexcept {
    return outcome == Outcome::served || outcome == Outcome::discarded;
}

/// What the food is, as far as the codes' rows tell kinds apart.
enum class FoodKind {
    intact_roast,
    whole_cut,
    ground,
    injected, ///< or mechanically tenderized
    poultry,
    stuffed,
    fish,
    eggs,
    game,
    plant,
    packaged_ready_to_eat,
    other_tcs, ///< takes the strictest row
};

/// How an oven heats, as the roast rows tell them apart.
enum class OvenKind { still_dry, convection, high_humidity };

std::string_view to_name(Stage stage) noexcept;
std::string_view to_name(Outcome outcome) noexcept;
std::string_view to_name(FoodKind food) noexcept;
std::string_view to_name(OvenKind oven) noexcept;

std::optional<Stage> stage_named(std::string_view name) noexcept;
std::optional<Outcome> outcome_named(std::string_view name) noexcept;
std::optional<FoodKind> food_named(std::string_view name) noexcept;
std::optional<OvenKind> oven_named(std::string_view name) noexcept;

/// In the order of the enumeration, for lists and error messages.
std::span<const Stage> all_stages() noexcept;
std::span<const FoodKind> all_foods() noexcept;
std::span<const OvenKind> all_ovens() noexcept;

} // namespace holdwarden
