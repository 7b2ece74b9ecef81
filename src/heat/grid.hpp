#pragma once
// The tensor grid of one body: up to three axes, each cut into cells.

#include <holdwarden/heat/body.hpp>

#include <array>
#include <optional>
#include <vector>

namespace holdwarden::heat::detail {

enum class AxisKind { plane, round, ball };

/// One axis. Cells run from `low` to `high`; a symmetric axis begins at the middle of the body.
struct Axis {
    AxisKind kind = AxisKind::plane;
    bool symmetric = true;
    Side low = Side::left; ///< when not symmetric
    Side high = Side::right;
    std::vector<double> edges;    ///< one more than cells
    std::vector<int> layer;       ///< of each cell: -1 food, else index into the face's layers
    std::vector<Side> layer_side; ///< of each cell in a layer
    std::size_t food_from = 0;    ///< cells [food_from, food_to) are food
    std::size_t food_to = 0;

    std::size_t cells() const noexcept { return edges.size() - 1; }
    double width(std::size_t cell) const noexcept { return edges[cell + 1] - edges[cell]; }
    double middle(std::size_t cell) const noexcept { return 0.5 * (edges[cell + 1] + edges[cell]); }
    double volume(std::size_t cell) const noexcept; ///< this axis' factor of the volume
    double area(std::size_t edge) const noexcept;   ///< this axis' factor of a face's area
    double place(std::size_t cell) const noexcept;  ///< -1..1 from surface to surface
    std::vector<double> centre_weights() const;     ///< of each cell, for the body's middle
};

/// The axes of a body: slab and sphere one, cylinder one or two, brick three. The number of cells
/// is `cells_per_half` from the middle to each surface, and one for each layer.
std::vector<Axis> axes_of(const Body& body, int cells_per_half);

} // namespace holdwarden::heat::detail
