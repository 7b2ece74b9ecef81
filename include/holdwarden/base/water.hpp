#pragma once

#include <string>
#include <string_view>

namespace holdwarden {

/// An air pressure as it is at the place (station pressure), not reduced to sea level.
struct Pressure {
    double pascals = 0;
};

/// Reads "834.3hPa", "834 mbar", "83.43 kPa", "24.64inHg" (3386.389 Pa each, NIST SP 811, App. B.8,
/// from memory); 300 to 1100 hPa. Throws Error{bad_input}.
Pressure parse_pressure(std::string_view text);
/// "834.3 hPa".
std::string to_text(Pressure pressure);

/// The air pressure of the standard atmosphere (ISO 2533:1975; ICAO Doc 7488) at a height above sea
/// level, -500 m to 6,000 m (asserted): 101325 (1 - 0.0065 H / 288.15)^5.25588 Pa. Weather moves it
/// by about 20 hPa either way.
Pressure standard_pressure_at(double height_m);

/// Where water boils under this pressure, in degrees Celsius: the saturation line of IAPWS-IF97
/// (2007), region 4, equation 31. 300 to 1100 hPa (asserted).
double boiling_point_c(Pressure pressure);

} // namespace holdwarden
