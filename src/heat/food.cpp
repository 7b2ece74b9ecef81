#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/food.hpp>

#include <fmt/format.h>

#include <cmath>

namespace holdwarden::heat {
namespace {

/// a + b t + c t^2, t in degrees Celsius.
struct Quadratic {
    double a;
    double b;
    double c;
    double at(double t) const noexcept { return a + t * (b + t * c); }
};

struct ComponentFit {
    Quadratic conductivity;
    Quadratic density;
    Quadratic heat_capacity;
};

// In the order of Component. Choi & Okos (1986). Water's heat capacity begins with 4176.2, as the
// paper has it; a reprint with 4128.9 is 1.3 % under the steam tables.
constexpr std::array<ComponentFit, 6> kFits{{
    {{0.57109, 1.7625e-3, -6.7036e-6},
     {997.18, 3.1439e-3, -3.7574e-3},
     {4176.2, -0.090864, 5.4731e-3}},
    {{0.17881, 1.1958e-3, -2.7178e-6}, {1329.9, -0.51840, 0.0}, {2008.2, 1.2089, -1.3129e-3}},
    {{0.18071, -2.7604e-4, -1.7749e-7}, {925.59, -0.41757, 0.0}, {1984.2, 1.4733, -4.8008e-3}},
    {{0.20141, 1.3874e-3, -4.3312e-6}, {1599.1, -0.31046, 0.0}, {1548.8, 1.9625, -5.9399e-3}},
    {{0.18331, 1.2497e-3, -3.1683e-6}, {1311.5, -0.36589, 0.0}, {1845.9, 1.8306, -4.6509e-3}},
    {{0.32962, 1.4011e-3, -2.9069e-6}, {2423.8, -0.28063, 0.0}, {1092.6, 1.8896, -3.6817e-3}},
}};

constexpr std::array kAll{Component::water,        Component::protein, Component::fat,
                          Component::carbohydrate, Component::fibre,   Component::ash};

double part(const Composition& food, Component which) noexcept {
    switch (which) {
    case Component::water:
        return food.water_g;
    case Component::protein:
        return food.protein_g;
    case Component::fat:
        return food.fat_g;
    case Component::carbohydrate:
        return food.carbohydrate_g;
    case Component::fibre:
        return food.fibre_g;
    case Component::ash:
        return food.ash_g;
    }
    return 0.0;
}

// Composition order: water, protein, fat, ash, carbohydrate without fibre, fibre.
constexpr KnownFood kFoods[] = {
    {"beef-brisket",
     "beef brisket, whole, cooked",
     "USDA SR26, NDB 13367",
     {51.54, 26.79, 19.52, 0.95, 0, 0}},
    {"beef-flat",
     "beef brisket, flat half, cooked",
     "USDA SR26, NDB 13369",
     {58.90, 32.90, 8.01, 1.03, 0, 0}},
    {"beef-point",
     "beef brisket, point half, cooked",
     "USDA SR26, NDB 13371",
     {46.05, 23.53, 28.50, 0.84, 0, 0}},
    {"pork-shoulder",
     "pork shoulder, whole, cooked",
     "USDA SR26, NDB 10071",
     {54.80, 23.28, 21.39, 1.11, 0, 0}},
    {"pork-butt",
     "pork shoulder, blade half, cooked",
     "USDA SR26, NDB 10083",
     {57.47, 23.11, 18.86, 1.23, 0, 0}},
    {"chicken-dark",
     "chicken, dark meat, cooked",
     "USDA SR26, NDB 05045",
     {63.06, 27.37, 9.73, 1.02, 0, 0}},
    {"chicken-breast",
     "chicken breast, cooked",
     "USDA SR26, NDB 05064",
     {65.26, 31.02, 3.57, 1.06, 0, 0}},
    {"turkey-breast",
     "turkey breast, cooked",
     "USDA SR26, NDB 05711",
     {67.53, 29.51, 1.97, 1.25, 0, 0}},
    {"beans", "pinto beans, boiled", "USDA SR26, NDB 16043", {62.95, 9.01, 0.65, 1.17, 17.22, 9.0}},
    {"kidney-beans",
     "kidney beans, boiled",
     "USDA SR26, NDB 16028",
     {66.94, 8.67, 0.50, 1.09, 16.40, 6.4}},
    {"chili", "chili with beans", "USDA SR26, NDB 16059", {75.51, 5.71, 5.49, 1.38, 7.51, 4.4}},
    {"refried-beans",
     "mashed beans",
     "USDA SR26, NDB 16103",
     {76.15, 5.41, 1.17, 2.01, 10.16, 5.1}},
    {"stew", "beef stew", "USDA SR26, NDB 22905", {80.78, 4.41, 5.53, 1.43, 6.95, 0.9}},
    {"beef-stock", "beef stock", "USDA SR26, NDB 06170", {95.89, 1.97, 0.09, 0.70, 1.20, 0}, true},
    {"chicken-stock",
     "chicken stock",
     "USDA SR26, NDB 06172",
     {92.15, 2.52, 1.20, 0.63, 3.53, 0},
     true},
    {"gravy", "beef gravy", "USDA SR26, NDB 06116", {87.48, 3.75, 2.36, 1.60, 4.41, 0.4}},
    {"rice", "white rice, cooked", "USDA SR26, NDB 20045", {68.44, 2.69, 0.28, 0.41, 27.77, 0.4}},
};

} // namespace

Properties component(Component which, Celsius at) noexcept {
    const ComponentFit& fit = kFits[static_cast<std::size_t>(which)];
    return Properties{fit.density.at(at.degrees), fit.heat_capacity.at(at.degrees),
                      fit.conductivity.at(at.degrees)};
}

Properties mixture(const Composition& food, Celsius at, Mixing mixing, double porosity) {
    double sum = 0.0;
    for (const Component which : kAll) {
        const double grams = part(food, which);
        if (!(grams >= 0.0) || !std::isfinite(grams)) {
            throw Error{ErrorKind::bad_input,
                        {.what = fmt::format("a food's part of {} g in 100 g is impossible", grams),
                         .where = "composition",
                         .fix = "each part is 0 g or more"}};
        }
        sum += grams;
    }
    if (!(sum > 0.0)) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the composition is empty",
                     .where = "composition",
                     .fix = "give water, protein, fat, ash, carbohydrate and fibre in g/100 g"}};
    }
    if (!(porosity >= 0.0 && porosity < 1.0)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("a porosity of {} is impossible", porosity),
                     .where = "porosity",
                     .fix = "the share of air is 0 to under 1"}};
    }
    double volume = 0.0; // m3 per kg
    double heat_capacity = 0.0;
    for (const Component which : kAll) {
        const double share = part(food, which) / sum;
        const Properties p = component(which, at);
        volume += share / p.density_kg_per_m3;
        heat_capacity += share * p.heat_capacity_j_per_kg_k;
    }
    double along = 0.0;
    double across = 0.0;
    for (const Component which : kAll) {
        const Properties p = component(which, at);
        const double by_volume = part(food, which) / sum / p.density_kg_per_m3 / volume;
        along += by_volume * p.conductivity_w_per_m_k;
        across += by_volume / p.conductivity_w_per_m_k;
    }
    return Properties{(1.0 - porosity) / volume, heat_capacity,
                      mixing == Mixing::parallel ? along : 1.0 / across};
}

std::span<const KnownFood> known_foods() noexcept {
    return kFoods;
}

const KnownFood* food_by_name(std::string_view name) noexcept {
    for (const KnownFood& food : kFoods) {
        if (food.name == name) {
            return &food;
        }
    }
    return nullptr;
}

} // namespace holdwarden::heat
