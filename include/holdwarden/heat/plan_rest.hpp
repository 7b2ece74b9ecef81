#pragma once

#include <holdwarden/heat/chest.hpp>
#include <holdwarden/heat/course.hpp>
#include <holdwarden/heat/range.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::heat {

/// One part of a piece, as a brick, cylinder or sphere: a brisket has two, of unlike thickness.
struct Part {
    std::string name; ///< "core", "flat"
    Form form = Form::brick;
    double length_m = 0.0;
    double width_m = 0.0;
    double thickness_m = 0.0;
    double diameter_m = 0.0;
    bool joined =
        false; ///< one end (of its length) lies against the other part: no heat passes there
    Material material;
};

/// A chest that is not known exactly.
struct ChestQuestion {
    Chest chest;
    Range wall_factor{0.8, 1.3}; ///< times the computed conductance: foam, damp, gaps
    /// Instead of the computed conductance and its factor, if known (measured, say); above 0.
    std::optional<Range> ua_w_per_k;
    Range leak_w_per_k{0.05, 0.20}; ///< past the lid
    Range start_c{20.0, 24.0};      ///< inside temperature when the food goes in
    double filling_j_per_k = 0.0;   ///< towels and trays that start at the same temperature
    /// Of the walls, half way out, beside `chest.capacity_j_per_k`; starts between inside and air.
    double wall_capacity_j_per_k = 0.0;
};

/// A rest or hold before any reading exists.
struct RestQuestion {
    std::vector<Part> parts;
    int pieces = 1;
    Range size_factor{0.95, 1.05};       ///< times every length
    Range conductivity_factor{0.9, 1.1}; ///< mixing rules are good to about 10 %
    Range start_centre_c{90.0, 95.0};
    double start_surface_minus_centre_k = 0.0;
    Range air_c{20.0, 24.0}; ///< around the pieces, or around the chest
    /// On the pieces. Still air and radiation take 10 to 13 W/(m2 K) from a matt surface and 4 to 8
    /// from a shiny one; 1 to 3 mm of air inside the wrap brings both down to this.
    Range h_w_per_m2_k{5.0, 9.0};
    /// Times h, for the bottom, which lies on a board or tray; 1 on a rack. Assumed, no source.
    double resting_face_factor = 0.5;
    std::optional<ChestQuestion> chest; ///< else in the open, or in a cabinet at `air_c`
    std::vector<Celsius> limits;
    Span until = Span::hours(12);
    Span every = Span::minutes(30); ///< between rows of the temperature table
    std::size_t samples = 200;
    std::uint64_t seed = 1;
    int cells_per_half = 3;
};

struct CrossingBand {
    Celsius limit;
    SpanBand time;
};

/// A named temperature of the plan: the middle of a part, its surface.
struct PlannedPoint {
    std::string name;                    ///< "core", "flat", "surface"
    std::vector<CelsiusBand> course;     ///< one for each time of the plan
    std::vector<CrossingBand> crossings; ///< one for each limit asked for
};

struct RestPlan {
    std::vector<Span> times;
    std::vector<PlannedPoint> points; ///< each part's middle, then the surface of the thinnest part
    std::vector<CelsiusBand> air;     ///< around the pieces
    double piece_kg = 0.0;
};

/// Samples the question. Throws Error{bad_input} naming the field for what no piece or chest can
/// be; Error{bad_input} "not covered" for food that starts or ends below freezing.
RestPlan plan_rest(const RestQuestion& question);

/// The situation of one sample: `u` are its coordinates (8, each 0..1).
Situation rest_situation(const RestQuestion& question, std::span<const double> u);

/// Of a brisket, pork shoulder or another piece of which only the cooked mass is known: parts in
/// usual proportions (common practice, no source), `two_parts` for a brisket.
std::vector<Part> usual_parts(double cooked_kg, const Material& material, bool two_parts);

} // namespace holdwarden::heat
