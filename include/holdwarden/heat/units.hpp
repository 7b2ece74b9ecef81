#pragma once

#include <holdwarden/base/temperature.hpp>

#include <compare>

namespace holdwarden::heat {

/// A temperature for physics: degrees Celsius in double precision. Readings and limits keep their
/// own scale (base Temperature) and come in by `celsius`.
struct Celsius {
    double degrees = 0.0;
    friend constexpr auto operator<=>(const Celsius&, const Celsius&) noexcept = default;
};

inline Celsius celsius(Temperature t) noexcept {
    return Celsius{t.in_celsius()};
}

/// Zero Celsius in kelvin (BIPM SI Brochure, 9th edition, 2.3.1; from memory).
inline constexpr double kZeroCelsiusInKelvin = 273.15;

} // namespace holdwarden::heat
