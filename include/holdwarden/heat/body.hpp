#pragma once

#include <holdwarden/heat/material.hpp>
#include <holdwarden/heat/surface.hpp>

#include <array>
#include <optional>
#include <vector>

namespace holdwarden::heat {

enum class Form { slab, brick, cylinder, sphere };

/// The faces of a body. A slab has bottom and top; a cylinder stands on bottom with top above and
/// its round face in the place of left; a sphere has only the round one.
enum class Side : std::size_t { left, right, front, back, bottom, top };
inline constexpr Side kRound = Side::left;

/// A sheet between food and surroundings: a pan's wall, foam, a lid. First layer next to the food.
struct Layer {
    double thickness_m = 0.0;
    Material material;
};

struct Face {
    Surface surface;
    std::optional<Celsius> air; ///< of its own; else the air of the situation
    std::vector<Layer> layers;
};

/// A piece of food. Left to right is `length_m`, front to back `width_m`, bottom to top
/// `thickness_m` (for a cylinder its height, 0 for one without ends: per metre).
struct Body {
    Form form = Form::brick;
    double length_m = 0.0;
    double width_m = 0.0;
    double thickness_m = 0.0;
    double diameter_m = 0.0;
    Material material;
    std::array<Face, 6> faces{};

    Face& face(Side side) noexcept { return faces[static_cast<std::size_t>(side)]; }
    const Face& face(Side side) const noexcept { return faces[static_cast<std::size_t>(side)]; }
    void set_all(const Surface& surface) noexcept {
        for (Face& f : faces) {
            f.surface = surface;
        }
    }
    double volume_m3() const noexcept; ///< per m2 for a slab, per m for an endless cylinder
    double mass_kg() const noexcept { return volume_m3() * material.density_kg_per_m3(); }
};

/// Throws Error{bad_input} naming the field, its range and its unit: sizes 1 mm to 5 m, surface
/// coefficients 0 to 100000 W/(m2 K), emissivity and humidity 0 to 1.
void check(const Body& body);

} // namespace holdwarden::heat
