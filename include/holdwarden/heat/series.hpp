#pragma once

#include <vector>

namespace holdwarden::heat {

/// Bodies with an exact series in one coordinate. The length is the half-thickness of the wall, the
/// radius of the others.
enum class Solid { wall, cylinder, sphere };

/// One term of the series: root of the characteristic equation and its coefficient.
struct SeriesTerm {
    double root = 0;
    double coefficient = 0;
};

/// The first `count` terms for a Biot number h L / k above 0.
/// Wall: z tan z = Bi. Cylinder: z J1(z) / J0(z) = Bi. Sphere: 1 - z cot z = Bi.
/// Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, ch. 5 (from memory).
std::vector<SeriesTerm> series_terms(Solid solid, double biot, int count);

/// The share of the first temperature difference to the surroundings that is left,
/// (T - Ta) / (T0 - Ta), at `place` (0 centre, 1 surface), after Fourier number a t / L^2; uniform
/// start, constant surroundings. Biot and Fourier above 0. Error under 1e-10 from Fourier 1e-3 on.
double difference_left(Solid solid, double biot, double fourier, double place);

/// The same, averaged over the body.
double mean_difference_left(Solid solid, double biot, double fourier);

/// A slab from x = 0 to 1 (in thicknesses) with Biot numbers h L / k of its own at each face, L the
/// whole thickness; Fourier number a t / L^2. Carslaw & Jaeger, Conduction of Heat in Solids,
/// 3.11 (from memory).
double slab_difference_left(double biot_at_0, double biot_at_1, double fourier, double x);

} // namespace holdwarden::heat
