#pragma once
// Published cooling measurements and the program's prediction of each. Sizes the source does not
// print are derived from mass and thickness as a cylinder; surface coefficients are the planner's
// own ranges, not fitted to the rows.

#include <holdwarden/heat/course.hpp>
#include <holdwarden/heat/range.hpp>

#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

namespace published {

using namespace holdwarden;
using namespace holdwarden::heat;

struct Row {
    std::string what;
    std::string source;
    Body body;
    double start_c;
    Range air_c;
    Range h; ///< on every face
    double from_c;
    double to_c;
    Range measured_h;          ///< hours; `high` infinite: "more than"
    bool start_uneven = false; ///< the source's first hours are faster than any surface allows
};

struct Predicted {
    double low_h = 0.0;
    double high_h = 0.0;
};

inline double hours_between(const Row& row, double h, double air) {
    Body body = row.body;
    body.set_all({.h_w_per_m2_k = h});
    const Situation s{.pieces = {{body, Start::uniform(Celsius{row.start_c})}},
                      .air = Celsius{air},
                      .enclosure = {},
                      .cells_per_half = 8,
                      .tolerance_k = 1e-6};
    const double stop = row.to_c - 0.3;
    const Course course = simulate(
        s, {.until = Span::hours(120), .first = Span::minutes(1), .largest = Span::minutes(6)},
        [&](const Sample& sample) { return sample.pieces.front().centre.degrees < stop; });
    const auto at = [&](double limit) -> double {
        if (limit >= row.start_c) {
            return 0.0;
        }
        const auto t = falls_below(course, 0, &State::centre, Celsius{limit});
        return t ? t->in_seconds() / 3600.0 : std::numeric_limits<double>::infinity();
    };
    return at(row.to_c) - at(row.from_c);
}

inline Predicted predict(const Row& row) {
    return {hours_between(row, row.h.high, row.air_c.low),
            hours_between(row, row.h.low, row.air_c.high)};
}

/// Whether the prediction's range, widened by the 20 % that field data scatter by, meets what was
/// measured.
inline bool agrees(const Row& row, const Predicted& p) {
    return p.low_h / 1.2 <= row.measured_h.high && p.high_h * 1.2 >= row.measured_h.low;
}

inline Body block(double a, double b, double c, const Material& m) {
    return {.form = Form::brick,
            .length_m = a,
            .width_m = b,
            .thickness_m = c,
            .diameter_m = 0.0,
            .material = m,
            .faces = {}};
}

inline Body roll(double diameter, double kg, const Material& m) {
    const double area = std::numbers::pi / 4.0 * diameter * diameter;
    return {.form = Form::cylinder,
            .length_m = 0.0,
            .width_m = 0.0,
            .thickness_m = kg / m.density_kg_per_m3() / area,
            .diameter_m = diameter,
            .material = m,
            .faces = {}};
}

inline std::vector<Row> rows() {
    const double more = std::numeric_limits<double>::infinity();
    const Material beef = Material::of(food_by_name("beef-flat")->composition);
    const Material ham = Material::of(food_by_name("pork-butt")->composition);
    const Material rice = Material::of(food_by_name("rice")->composition);
    const Material sauce = Material::of(food_by_name("gravy")->composition);
    const Material meat_sauce = Material::of(food_by_name("chili")->composition);
    const Range moving{15, 40};    // blast chiller, 1 to 5 m/s
    const Range still{4, 12};      // chill room at 0.2 m/s, bagged or in a mould
    const Range immersed{46, 300}; // water that moves little
    const Range walk_in{8, 20};
    const std::string james = "James & James 2002, Meat Refrigeration, table 16.7";
    const std::string table4 = "James & James 2002, table 16.4";
    const Body big = block(0.33, 0.16, 0.13, beef);
    std::vector<Row> all{
        {"3.75 kg beef block, water 1 °C, 50 to 12 °C",
         james,
         big,
         70,
         {0, 2},
         immersed,
         50,
         12,
         {4.2, 4.2}},
        {"the same, 70 to 8 °C", james, big, 70, {0, 2}, immersed, 70, 8, {6.9, 6.9}},
        {"the same, 70 to 50 °C", james, big, 70, {0, 2}, immersed, 70, 50, {1.5, 1.5}, true},
        {"the same, air 1 °C 1 m/s, 50 to 12 °C",
         james,
         big,
         70,
         {0, 2},
         moving,
         50,
         12,
         {4.2, 4.2}},
        {"the same, air 1 °C 1 m/s, 70 to 8 °C", james, big, 70, {0, 2}, moving, 70, 8, {8.1, 8.1}},
        {"beef slab 50 mm, air 0 °C 1.2 m/s, 70 to 10 °C",
         james,
         block(0.20, 0.09, 0.05, beef),
         70,
         {0, 0},
         moving,
         70,
         10,
         {2.1, 2.1}},
        {"rolled forequarter 110 mm, water 0 °C, 70 to 10 °C",
         james,
         roll(0.11, 2.7, beef),
         70,
         {0, 0},
         immersed,
         70,
         10,
         {3.6, 3.6}},
        {"rolled silverside 110 mm, air 0 °C 1.2 m/s, 70 to 10 °C",
         james,
         roll(0.11, 2.7, beef),
         70,
         {0, 0},
         moving,
         70,
         10,
         {4.9, 4.9}},
        {"7 kg ham in mould, air -2 °C 5 m/s, 50 to 12 °C",
         james,
         roll(0.17, 7.0, ham),
         70,
         {-2, -2},
         moving,
         50,
         12,
         {3.8, 3.8}},
        {"ham 6.35 kg 191 mm, chill room 17 to 6 °C, 70 to 50 °C",
         table4,
         roll(0.191, 6.35, ham),
         70.5,
         {6, 17},
         still,
         70,
         50,
         {3.6, 3.8}},
        {"ham 7.26 kg 178 mm bagged, chill room, 70 to 50 °C",
         table4,
         roll(0.178, 7.26, ham),
         70,
         {6, 17},
         still,
         70,
         50,
         {4.7, 4.8}},
        {"ham 7.26 kg 178 mm bagged, chill room, 70 to 10 °C",
         table4,
         roll(0.178, 7.26, ham),
         70,
         {6, 8},
         still,
         70,
         10,
         {20, 20}},
        {"bacon joint 4.08 kg 114 mm, air 20 to 12 °C, 73 to 50 °C",
         table4,
         roll(0.114, 4.08, ham),
         73,
         {12, 20},
         still,
         73,
         50,
         {2.6, 2.7}},
        {"joints over 5 kg, water, 74 to 10 °C",
         "Sun & Wang 2003, abstract",
         roll(0.16, 5.0, beef),
         74,
         {0, 2},
         immersed,
         74,
         10,
         {5, more}},
        {"joints over 5 kg, air blast, 74 to 10 °C",
         "Sun & Wang 2003, abstract",
         roll(0.16, 5.0, beef),
         74,
         {0, 2},
         moving,
         74,
         10,
         {7, more}},
        {"joints over 5 kg, slow air, 74 to 10 °C",
         "Sun & Wang 2003, abstract",
         roll(0.16, 5.0, beef),
         74,
         {0, 4},
         still,
         74,
         10,
         {9, more}},
        {"rice 10 cm, refrigerator, 50 to 10 °C",
         "Muftugil 2016, abstract",
         block(0.30, 0.24, 0.10, rice),
         50,
         {1, 5},
         walk_in,
         50,
         10,
         {12.5, 13.5}},
        {"sauce, 8 gal container, refrigerated, 105 to 57 °F",
         "Dickerson & Read 1973, abstract",
         {.form = Form::cylinder,
          .length_m = 0,
          .width_m = 0,
          .thickness_m = 0.34,
          .diameter_m = 0.34,
          .material = sauce,
          .faces = {}},
         60,
         {1, 5},
         {5, 12},
         40.56,
         13.89,
         {25, 25}},
        {"meat sauce 70 mm, conventional air blast, 85 to 10 °C",
         "James & James 2002, p. 332",
         block(0.50, 0.30, 0.07, meat_sauce),
         85,
         {0, 3},
         {8, 25},
         85,
         10,
         {6.5, more}},
    };
    return all;
}

} // namespace published
