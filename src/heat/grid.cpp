#include "grid.hpp"

#include <algorithm>
#include <numbers>

namespace holdwarden::heat::detail {
namespace {

constexpr double kPi = std::numbers::pi;

bool alike(const Face& a, const Face& b) noexcept {
    const auto same_layer = [](const Layer& x, const Layer& y) {
        return x.thickness_m == y.thickness_m && x.material.same_as(y.material);
    };
    return std::equal(a.layers.begin(), a.layers.end(), b.layers.begin(), b.layers.end(),
                      same_layer) &&
           a.air == b.air && a.surface.h_w_per_m2_k == b.surface.h_w_per_m2_k &&
           a.surface.emissivity == b.surface.emissivity &&
           a.surface.film_m2_k_per_w == b.surface.film_m2_k_per_w &&
           a.surface.wet == b.surface.wet && a.surface.humidity == b.surface.humidity;
}

void add_layers(Axis& axis, const Face& face, Side side) {
    for (std::size_t i = 0; i < face.layers.size(); ++i) {
        axis.edges.push_back(axis.edges.back() + face.layers[i].thickness_m);
        axis.layer.push_back(static_cast<int>(i));
        axis.layer_side.push_back(side);
    }
}

void add_food(Axis& axis, double length, std::size_t cells) {
    axis.food_from = axis.edges.size() - 1;
    const double start = axis.edges.back();
    for (std::size_t i = 1; i <= cells; ++i) {
        axis.edges.push_back(start + length * static_cast<double>(i) / static_cast<double>(cells));
        axis.layer.push_back(-1);
        axis.layer_side.push_back(Side::left);
    }
    axis.food_to = axis.edges.size() - 1;
}

Axis plane_axis(const Body& body, double length, Side low, Side high, std::size_t half) {
    Axis axis;
    axis.low = low;
    axis.high = high;
    axis.symmetric = alike(body.face(low), body.face(high));
    axis.edges.push_back(0.0);
    if (axis.symmetric) {
        add_food(axis, 0.5 * length, half);
        add_layers(axis, body.face(high), high);
        return axis;
    }
    const auto& outward = body.face(low).layers;
    for (std::size_t i = outward.size(); i-- > 0;) {
        axis.edges.push_back(axis.edges.back() + outward[i].thickness_m);
        axis.layer.push_back(static_cast<int>(i));
        axis.layer_side.push_back(low);
    }
    add_food(axis, length, 2 * half);
    add_layers(axis, body.face(high), high);
    return axis;
}

Axis radial_axis(const Body& body, AxisKind kind, std::size_t half) {
    Axis axis;
    axis.kind = kind;
    axis.high = kRound;
    axis.edges.push_back(0.0);
    add_food(axis, 0.5 * body.diameter_m, half);
    add_layers(axis, body.face(kRound), kRound);
    return axis;
}

} // namespace

double Axis::volume(std::size_t cell) const noexcept {
    const double a = edges[cell];
    const double b = edges[cell + 1];
    switch (kind) {
    case AxisKind::plane:
        return (symmetric ? 2.0 : 1.0) * (b - a);
    case AxisKind::round:
        return kPi * (b * b - a * a);
    case AxisKind::ball:
        return 4.0 / 3.0 * kPi * (b * b * b - a * a * a);
    }
    return 0.0;
}

double Axis::area(std::size_t edge) const noexcept {
    const double r = edges[edge];
    switch (kind) {
    case AxisKind::plane:
        return symmetric ? 2.0 : 1.0;
    case AxisKind::round:
        return 2.0 * kPi * r;
    case AxisKind::ball:
        return 4.0 * kPi * r * r;
    }
    return 0.0;
}

double Axis::place(std::size_t cell) const noexcept {
    const double from = edges[food_from];
    const double to = edges[food_to];
    const double share = (middle(cell) - from) / (to - from);
    return symmetric ? share : 2.0 * share - 1.0;
}

std::vector<double> Axis::centre_weights() const {
    std::vector<double> weights(cells(), 0.0);
    if (symmetric) { // an even function of the distance: quadratic through two cells
        weights[food_from] = 9.0 / 8.0;
        weights[food_from + 1] = -1.0 / 8.0;
        return weights;
    }
    const std::size_t middle_edge = (food_from + food_to) / 2; // cubic through four cells
    weights[middle_edge - 2] = -1.0 / 16.0;
    weights[middle_edge - 1] = 9.0 / 16.0;
    weights[middle_edge] = 9.0 / 16.0;
    weights[middle_edge + 1] = -1.0 / 16.0;
    return weights;
}

std::vector<Axis> axes_of(const Body& body, int cells_per_half) {
    const auto half = static_cast<std::size_t>(cells_per_half);
    switch (body.form) {
    case Form::slab:
        return {plane_axis(body, body.thickness_m, Side::bottom, Side::top, half)};
    case Form::brick:
        return {plane_axis(body, body.length_m, Side::left, Side::right, half),
                plane_axis(body, body.width_m, Side::front, Side::back, half),
                plane_axis(body, body.thickness_m, Side::bottom, Side::top, half)};
    case Form::cylinder: {
        std::vector<Axis> axes{radial_axis(body, AxisKind::round, half)};
        if (body.thickness_m > 0.0) {
            axes.push_back(plane_axis(body, body.thickness_m, Side::bottom, Side::top, half));
        }
        return axes;
    }
    case Form::sphere:
        return {radial_axis(body, AxisKind::ball, half)};
    }
    return {};
}

} // namespace holdwarden::heat::detail
