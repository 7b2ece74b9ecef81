#pragma once

#include <holdwarden/base/temperature.hpp>

#include <optional>
#include <string_view>

namespace holdwarden::judge {

/// A standard uncertainty, in degrees of one scale. GUM, JCGM 100:2008.
struct StandardUncertainty {
    double degrees = 0;
    Scale scale = Scale::celsius;
};

/// What is known of how far a thermometer may be off.
struct Instrument {
    TemperatureDelta accuracy; ///< stated, plus or minus a: a / sqrt(3), rectangular
    std::optional<TemperatureDelta> display_step; ///< d: d / sqrt(12)
    std::optional<TemperatureDelta>
        reference; ///< what it was checked against, or the correction, plus or minus: / sqrt(3)
};

/// The parts combined in quadrature, in `scale`. A difference carries no offset of 32: u[F] = 1.8
/// u[C]. GUM, JCGM 100:2008, 4.3.7 and 5.1.2 (clause numbers from memory).
StandardUncertainty combined(const Instrument& instrument, Scale scale) noexcept;

/// The chance, 0 to 1, that the true value is on the right side, for a normal error: Phi((y - T) /
/// u) for a lower limit, Phi((T - y) / u) for an upper one. JCGM 106:2012, 7.3 (clause number from
/// memory). `clearance` is how far the reading lies on the right side, in the scale of `u`.
double probability_of_conformity(TemperatureDelta clearance, StandardUncertainty u) noexcept;

/// The same between two limits: Phi((T_U - y) / u) - Phi((T_L - y) / u). JCGM 106:2012, 7.4.
double probability_between(TemperatureDelta above_lower, TemperatureDelta below_upper,
                           StandardUncertainty u) noexcept;

/// ILAC-G8:09/2019, 4.2.3: where a reading lies, with a guard band of U = 2 u on either side of the
/// limit.
enum class Zone4 { pass, conditional_pass, conditional_fail, fail };
/// "pass", "conditional pass", ...
std::string_view to_words(Zone4 zone) noexcept;
Zone4 zone_of(TemperatureDelta clearance, StandardUncertainty u) noexcept;

} // namespace holdwarden::judge
