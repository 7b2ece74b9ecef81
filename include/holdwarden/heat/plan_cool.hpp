#pragma once

#include <holdwarden/heat/course.hpp>
#include <holdwarden/heat/range.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::heat {

/// What stands around a pan.
struct CoolingMethod {
    std::string_view name;   ///< "walk-in"
    std::string_view title;  ///< "walk-in refrigerator"
    std::string_view source; ///< where the coefficients come from
    Range air_c;
    Range top_h_w_per_m2_k;       ///< on the food or its cover
    Range wall_h_w_per_m2_k;      ///< on the container's bottom and sides
    std::optional<Range> water_c; ///< around bottom and sides, if not the air
    Span stirred_every;           ///< zero: not stirred
};
std::span<const CoolingMethod> cooling_methods() noexcept;
const CoolingMethod* method_by_name(std::string_view name) noexcept;

/// What a container is made of.
struct ContainerKind {
    std::string_view name; ///< "steel-pan"
    double wall_m;
    Properties wall;
};
std::span<const ContainerKind> container_kinds() noexcept;
const ContainerKind* container_by_name(std::string_view name) noexcept;

/// The two windows of a cooling rule, as the caller's code pack prints them: from `from` to
/// `middle` within `first`, to `end` within `total` counted from the same start.
struct CoolingWindows {
    Celsius from;
    Celsius middle;
    Celsius end;
    Span first;
    Span total;
};

/// A pan before any reading exists.
struct CoolQuestion {
    Material food;
    double length_m = 0.0; ///< inside the container
    double width_m = 0.0;
    double depth_m = 0.0;               ///< of the food
    double container_depth_m = 0;       ///< 0: not said
    std::optional<double> diameter_m{}; ///< a round pot instead of length and width
    ContainerKind container{};
    bool covered = true; ///< a lid or film touching nothing: dry, with an air gap under it
    bool flows = false;  ///< thin liquid: moves by itself, conducts 3 to 10 times as well
    CoolingMethod method{};
    Range depth_factor{0.95, 1.05};
    Range conductivity_factor{0.9, 1.1};
    Range humidity{0.6, 0.95};
    Celsius start{};
    CoolingWindows windows{};
    std::size_t samples = 200;
    std::uint64_t seed = 1;
    int cells_per_half = 4;
};

struct CoolPlan {
    std::vector<Span> times;
    std::vector<CelsiusBand> warmest; ///< of the food's warmest spot at those times
    SpanBand first;                   ///< from falling below `from` to reaching `middle`
    SpanBand total;                   ///< to reaching `end`
    SpanBand starts;                  ///< when the food falls below `from`, from now
    double share_first = 0.0;         ///< of samples within the first window
    double share_both = 0.0;          ///< of samples within both
    std::optional<Span> margin_first; ///< window less the late (90 %) time; negative: too late
    std::optional<Span> margin_total; ///< nullopt: not reached while the plan looks
    /// Both windows within the late edge. Never a verdict.
    bool fits() const noexcept { return share_both >= 0.9; }
};

/// Throws Error{bad_input} naming the field: a depth beyond the container, surroundings that are
/// not colder than the end of the window (then it says that this method cannot reach it), a start
/// below `from`; "not covered" for frozen food.
CoolPlan plan_cool(const CoolQuestion& question);

/// The greatest depth, to 1 mm, at which plan_cool's plan `fits`; nullopt if not even 1 cm does.
std::optional<double> greatest_depth_m(const CoolQuestion& question);

/// The situation of one sample: `u` are its coordinates (8, each 0..1).
Situation cool_situation(const CoolQuestion& question, std::span<const double> u);

} // namespace holdwarden::heat
