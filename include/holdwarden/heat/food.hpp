#pragma once

#include <holdwarden/heat/units.hpp>

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace holdwarden::heat {

/// What a food is made of, in grams per 100 g. Need not add up to 100: mixing divides by the sum.
struct Composition {
    double water_g = 0;
    double protein_g = 0;
    double fat_g = 0;
    double ash_g = 0;
    double carbohydrate_g = 0; ///< without fibre
    double fibre_g = 0;
};

/// Bulk properties at one temperature.
struct Properties {
    double density_kg_per_m3 = 0;
    double heat_capacity_j_per_kg_k = 0;
    double conductivity_w_per_m_k = 0;

    double diffusivity_m2_per_s() const noexcept {
        return conductivity_w_per_m_k / (density_kg_per_m3 * heat_capacity_j_per_kg_k);
    }
};

enum class Component { water, protein, fat, carbohydrate, fibre, ash };

/// One component's properties, for 0 to 150 °C, unfrozen. Choi & Okos (1986), in Food Engineering
/// and Process Applications 1, pp. 93-101; reprinted in the ASHRAE Handbook, Refrigeration,
/// "Thermal Properties of Foods", tables 1 and 2.
Properties component(Component which, Celsius at) noexcept;

/// How conductivities of the parts add up. Parallel is the upper bound and fits unfrozen moist
/// food to about 10 %; series is the lower bound.
enum class Mixing { parallel, series };

/// The mixture by mass fractions: 1/density and heat capacity add by mass, conductivity by volume.
/// `porosity` is the share of the volume that is air, 0 to under 1 (density only). Throws
/// Error{bad_input} if a part is negative or not finite or nothing is there.
Properties mixture(const Composition& food, Celsius at, Mixing mixing = Mixing::parallel,
                   double porosity = 0.0);

/// A food the planner knows by name.
struct KnownFood {
    std::string_view name;   ///< "beef-flat"
    std::string_view title;  ///< "beef brisket, flat half, cooked"
    std::string_view source; ///< the table row the composition was taken from
    Composition composition;
    bool flows = false; ///< thin liquid: moves by itself when cooled, and can be stirred
};

/// USDA National Nutrient Database for Standard Reference, release 26; fibre taken out of
/// "carbohydrate by difference".
std::span<const KnownFood> known_foods() noexcept;
const KnownFood* food_by_name(std::string_view name) noexcept;

} // namespace holdwarden::heat
