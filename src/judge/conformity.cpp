#include "messages.hpp"

#include <holdwarden/judge/conformity.hpp>

#include <cmath>

namespace holdwarden::judge {
namespace {

double size_in(TemperatureDelta d, Scale scale) noexcept {
    const double own = d.thousandths() / 1000.0;
    if (d.scale() == scale) {
        return own;
    }
    return scale == Scale::fahrenheit ? own * 1.8 : own / 1.8;
}

double phi(double z) noexcept {
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

} // namespace

StandardUncertainty combined(const Instrument& instrument, Scale scale) noexcept {
    double squares = 0;
    const auto add = [&](const std::optional<TemperatureDelta>& part, double divisor_squared) {
        if (part) {
            const double size = size_in(*part, scale);
            squares += size * size / divisor_squared;
        }
    };
    add(instrument.accuracy, 3.0);
    add(instrument.display_step, 12.0);
    add(instrument.reference, 3.0);
    return {std::sqrt(squares), scale};
}

double probability_of_conformity(TemperatureDelta clearance, StandardUncertainty u) noexcept {
    return phi(size_in(clearance, u.scale) / u.degrees);
}

double probability_between(TemperatureDelta above_lower, TemperatureDelta below_upper,
                           StandardUncertainty u) noexcept {
    return phi(size_in(below_upper, u.scale) / u.degrees) -
           phi(-size_in(above_lower, u.scale) / u.degrees);
}

std::string_view to_words(Zone4 zone) noexcept {
    switch (zone) {
    case Zone4::pass:
        return msg::zone_pass;
    case Zone4::conditional_pass:
        return msg::zone_conditional_pass;
    case Zone4::conditional_fail:
        return msg::zone_conditional_fail;
    case Zone4::fail:
        return msg::zone_fail;
    }
    return msg::zone_fail;
}

Zone4 zone_of(TemperatureDelta clearance, StandardUncertainty u) noexcept {
    // A thousandth of a millidegree keeps "exactly on the acceptance limit" a pass in binary
    // arithmetic.
    constexpr double kSlack = 1e-9;
    const double y = size_in(clearance, u.scale);
    if (y >= 2 * u.degrees - kSlack) {
        return Zone4::pass;
    }
    if (y >= 0) {
        return Zone4::conditional_pass;
    }
    return y >= -2 * u.degrees - kSlack ? Zone4::conditional_fail : Zone4::fail;
}

} // namespace holdwarden::judge
