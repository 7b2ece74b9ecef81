#pragma once

#include <holdwarden/heat/simulation.hpp>

namespace holdwarden::heat {

/// An insulated chest by its inside and its walls.
struct Chest {
    double inside_length_m = 0.50;
    double inside_width_m = 0.32;
    double inside_height_m = 0.30;
    double wall_m = 0.040;
    /// Polyurethane foam; CIBSE Guide A, table 3.37.
    double foam_conductivity_w_per_m_k = 0.028;
    double inner_h_w_per_m2_k = 8.0;
    double outer_h_w_per_m2_k = 8.0;
    double capacity_j_per_k = 6200.0; ///< liner, half the foam, air
};

/// Conductance through all walls: 1/UA = 1/(hi Ai) + 1/(k S) + 1/(ho Ao), with Langmuir's shape
/// factor S = Ai/L + 0.54 * 4 (a + b + c) + 0.15 * 8 L (Incropera & DeWitt, table 4.1, from
/// memory). Throws Error{bad_input} unless each inside length is over a fifth of the wall, the
/// condition of the formula, and all numbers are above 0.
double wall_conductance_w_per_k(const Chest& chest);

/// Temperature of the chest after `water_kg` of hot water stood in it until both were equal: (m c
/// Tw + C T0) / (m c + C), c = 4190 J/(kg K). The water is taken out again.
Celsius preheated(const Chest& chest, Celsius before, double water_kg, Celsius water);

} // namespace holdwarden::heat
