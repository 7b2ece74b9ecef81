#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/chest.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdwarden::heat {
namespace {

void positive(double value, const char* field, const char* unit) {
    if (!(std::isfinite(value) && value > 0.0)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("{} of {} {} is impossible", field, value, unit),
                     .where = field,
                     .fix = fmt::format("give a number above 0, in {}", unit)}};
    }
}

} // namespace

double wall_conductance_w_per_k(const Chest& chest) {
    const double a = chest.inside_length_m;
    const double b = chest.inside_width_m;
    const double c = chest.inside_height_m;
    const double wall = chest.wall_m;
    positive(a, "inside length of the chest", "m");
    positive(b, "inside width of the chest", "m");
    positive(c, "inside height of the chest", "m");
    positive(wall, "wall of the chest", "m");
    positive(chest.foam_conductivity_w_per_m_k, "foam conductivity", "W/(m K)");
    positive(chest.inner_h_w_per_m2_k, "inner surface coefficient of the chest", "W/(m2 K)");
    positive(chest.outer_h_w_per_m2_k, "outer surface coefficient of the chest", "W/(m2 K)");
    if (std::min({a, b, c}) <= wall / 5.0) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("a wall of {} m is too thick for the chest", wall),
                     .where = "wall of the chest",
                     .fix = "give less than five times the smallest inside length"}};
    }
    const auto box_area = [](double x, double y, double z) {
        return 2.0 * (x * y + y * z + z * x);
    };
    const double inner = box_area(a, b, c);
    const double outer = box_area(a + 2 * wall, b + 2 * wall, c + 2 * wall);
    const double shape = inner / wall + 0.54 * 4.0 * (a + b + c) + 0.15 * 8.0 * wall;
    return 1.0 / (1.0 / (chest.inner_h_w_per_m2_k * inner) +
                  1.0 / (chest.foam_conductivity_w_per_m_k * shape) +
                  1.0 / (chest.outer_h_w_per_m2_k * outer));
}

Celsius preheated(const Chest& chest, Celsius before, double water_kg, Celsius water) {
    positive(water_kg, "hot water", "kg");
    positive(chest.capacity_j_per_k, "heat capacity of the chest", "J/K");
    const double heat = water_kg * 4190.0;
    return Celsius{(heat * water.degrees + chest.capacity_j_per_k * before.degrees) /
                   (heat + chest.capacity_j_per_k)};
}

} // namespace holdwarden::heat
