#pragma once

#include <holdwarden/heat/units.hpp>

namespace holdwarden::heat {

/// How a surface gives heat to what surrounds it.
struct Surface {
    double h_w_per_m2_k = 8.0; ///< convection; with radiation in it if emissivity is 0
    double emissivity = 0.0;   ///< 0..1: radiation on top of h, to surroundings at air temperature
    double film_m2_k_per_w = 0.0; ///< resistance of wrap and enclosed air between food and air
    bool wet = false;             ///< uncovered and moist: evaporates (film must then be 0)
    double humidity = 0.8;        ///< relative, of the air, 0..1; used when wet
};

/// Radiation as a coefficient: e s (Ts^2 + Ta^2)(Ts + Ta), kelvin, s = 5.670374e-8 W/(m2 K4).
double radiation_w_per_m2_k(double emissivity, Celsius surface, Celsius air) noexcept;

/// Heat carried off by evaporation from a wet surface, W/m2: h_c / (rho cp Le^(2/3)) (rho_v,sat(Ts)
/// - phi rho_v,sat(Ta)) times the latent heat (Chilton-Colburn analogy; Incropera & DeWitt, ch. 6,
/// from memory). Negative when vapour condenses.
double evaporation_w_per_m2(double h_w_per_m2_k, Celsius surface, Celsius air,
                            double humidity) noexcept;

enum class Posture { vertical, facing_up, facing_down, lying_cylinder };

/// Free convection in air. Churchill & Chu (1975) for vertical plates and cylinders, McAdams for
/// horizontal plates; Incropera & DeWitt, ch. 9 (from memory). `size_m`: height, area over
/// perimeter, or diameter.
double free_convection_w_per_m2_k(Posture posture, double size_m, Celsius surface,
                                  Celsius air) noexcept;

/// Laminar flow along a plate, mean: Nu = 0.664 Re^(1/2) Pr^(1/3) (Pohlhausen; Incropera & DeWitt,
/// ch. 7, from memory), air at the film temperature.
double forced_convection_w_per_m2_k(double speed_m_per_s, double length_m, Celsius film) noexcept;

} // namespace holdwarden::heat
