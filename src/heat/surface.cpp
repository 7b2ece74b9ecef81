#include <holdwarden/heat/surface.hpp>

#include <algorithm>
#include <cmath>

namespace holdwarden::heat {
namespace {

double kelvin(Celsius t) noexcept {
    return t.degrees + kZeroCelsiusInKelvin;
}

/// Dry air at 101 325 Pa: conductivity by a power law, viscosity by Sutherland's (S = 110.4 K),
/// density of an ideal gas with R = 287.05 J/(kg K), heat capacity 1007 J/(kg K).
struct AirAt {
    double k;
    double kinematic;
    double diffusivity;
    double density;
};
constexpr double kAirHeatCapacity = 1007.0;

AirAt air_at(double film_k) noexcept {
    const double k = 0.0241 * std::pow(film_k / kZeroCelsiusInKelvin, 0.81);
    const double mu = 1.716e-5 * std::pow(film_k / kZeroCelsiusInKelvin, 1.5) *
                      (kZeroCelsiusInKelvin + 110.4) / (film_k + 110.4);
    const double density = 101325.0 / (287.05 * film_k);
    return {k, mu / density, k / (density * kAirHeatCapacity), density};
}

/// Saturated vapour over water, kg/m3: Magnus' form of the vapour pressure (WMO-No. 8, Guide to
/// Instruments, annex 4.B; from memory) and the gas law, R = 461.5 J/(kg K).
double saturated_vapour(Celsius t) noexcept {
    const double c = std::clamp(t.degrees, -40.0, 110.0);
    const double pressure = 611.2 * std::exp(17.62 * c / (243.12 + c));
    return pressure / (461.5 * (c + kZeroCelsiusInKelvin));
}

} // namespace

double radiation_w_per_m2_k(double emissivity, Celsius surface, Celsius air) noexcept {
    const double s = kelvin(surface);
    const double a = kelvin(air);
    return emissivity * 5.670374e-8 * (s * s + a * a) * (s + a);
}

double evaporation_w_per_m2(double h_w_per_m2_k, Celsius surface, Celsius air,
                            double humidity) noexcept {
    constexpr double kLewis = 0.85;
    constexpr double kDensity = 1.15;
    const double latent = 2.501e6 - 2361.0 * std::clamp(surface.degrees, 0.0, 110.0);
    return h_w_per_m2_k / (kDensity * kAirHeatCapacity * std::pow(kLewis, 2.0 / 3.0)) * latent *
           (saturated_vapour(surface) - humidity * saturated_vapour(air));
}

double free_convection_w_per_m2_k(Posture posture, double size_m, Celsius surface,
                                  Celsius air) noexcept {
    const double difference = std::abs(surface.degrees - air.degrees);
    const double film = 0.5 * (kelvin(surface) + kelvin(air));
    const AirAt a = air_at(film);
    const double prandtl = a.kinematic / a.diffusivity;
    const double rayleigh =
        9.81 / film * difference * size_m * size_m * size_m / (a.kinematic * a.diffusivity);
    double nusselt = 0.0;
    const auto churchill_chu = [&](double base, double constant) {
        const double denominator =
            std::pow(1.0 + std::pow(constant / prandtl, 9.0 / 16.0), 8.0 / 27.0);
        const double root = base + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / denominator;
        return root * root;
    };
    switch (posture) {
    case Posture::vertical:
        nusselt = churchill_chu(0.825, 0.492);
        break;
    case Posture::lying_cylinder:
        nusselt = churchill_chu(0.60, 0.559);
        break;
    case Posture::facing_up:
        nusselt = rayleigh < 1e7 ? 0.54 * std::pow(rayleigh, 0.25) : 0.15 * std::cbrt(rayleigh);
        break;
    case Posture::facing_down:
        nusselt = 0.27 * std::pow(rayleigh, 0.25);
        break;
    }
    return nusselt * a.k / size_m;
}

double forced_convection_w_per_m2_k(double speed_m_per_s, double length_m, Celsius film) noexcept {
    const AirAt a = air_at(kelvin(film));
    const double reynolds = speed_m_per_s * length_m / a.kinematic;
    return 0.664 * std::sqrt(reynolds) * std::cbrt(a.kinematic / a.diffusivity) * a.k / length_m;
}

} // namespace holdwarden::heat
