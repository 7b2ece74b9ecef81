#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/water.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace holdwarden {
namespace {

constexpr double kLowestPa = 30'000;
constexpr double kHighestPa = 110'000;

struct PressureUnit {
    std::string_view name;
    double pascals;
};
constexpr std::array<PressureUnit, 4> kUnits{
    {{"hPa", 100.0}, {"mbar", 100.0}, {"kPa", 1000.0}, {"inHg", 3386.389}}};

} // namespace

Pressure parse_pressure(std::string_view text) {
    const auto refused = [&](std::string_view why) {
        return Error{ErrorKind::bad_input,
                     {.what = fmt::format("pressure '{}' {}", for_display(text, 60), why),
                      .where = "",
                      .fix = "write the pressure at your place, such as 834.3hPa or 24.64inHg"}};
    };
    const std::string_view all = trimmed(text);
    const auto end = std::min(all.find_first_not_of("0123456789.,+-"), all.size());
    const auto thousandths = parse_thousandths(trimmed(all.substr(0, end)));
    if (!thousandths) {
        throw refused("cannot be read");
    }
    const std::string_view unit = trimmed(all.substr(end));
    const auto* const found = std::find_if(kUnits.begin(), kUnits.end(),
                                           [&](const auto& one) { return one.name == unit; });
    if (found == kUnits.end()) {
        throw refused(unit.empty() ? "has no unit" : "has a unit that is not known");
    }
    const Pressure pressure{*thousandths / 1000.0 * found->pascals};
    if (pressure.pascals < kLowestPa || pressure.pascals > kHighestPa) {
        throw refused("is no air pressure: 300 to 1100 hPa");
    }
    return pressure;
}

std::string to_text(Pressure pressure) {
    return fmt::format("{:.1f} hPa", pressure.pascals / 100.0);
}

Pressure standard_pressure_at(double height_m) {
    assert(height_m >= -500 && height_m <= 6000);
    return {101'325.0 * std::pow(1.0 - 0.0065 * height_m / 288.15, 5.25588)};
}

double boiling_point_c(Pressure pressure) {
    assert(pressure.pascals >= kLowestPa && pressure.pascals <= kHighestPa);
    // n1 to n10 of IAPWS-IF97, table 34.
    constexpr std::array<double, 10> n{
        0.11670521452767e4,  -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
        -0.32325550322333e7, 0.14915108613530e2,  -0.48232657361591e4, 0.40511340542057e6,
        -0.23855557567849,   0.65017534844798e3};
    const double beta = std::pow(pressure.pascals / 1e6, 0.25);
    const double e = beta * beta + n[2] * beta + n[5];
    const double f = n[0] * beta * beta + n[3] * beta + n[6];
    const double g = n[1] * beta * beta + n[4] * beta + n[7];
    const double d = 2 * g / (-f - std::sqrt(f * f - 4 * e * g));
    const double sum = n[9] + d;
    const double kelvin = (sum - std::sqrt(sum * sum - 4 * (n[8] + n[9] * d))) / 2;
    return kelvin - 273.15;
}

} // namespace holdwarden
