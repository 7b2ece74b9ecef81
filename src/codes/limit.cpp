#include "messages.hpp"

#include <holdwarden/codes/limit.hpp>

#include <fmt/format.h>

#include <cassert>
#include <cmath>

namespace holdwarden::codes {
namespace {

/// Floor of n / d for d > 0.
std::int64_t floor_div(std::int64_t n, std::int64_t d) noexcept {
    return n / d - (n % d < 0 ? 1 : 0);
}

/// reading - figure in thousandths of the reading's scale, as a fraction with denominator 5 or 9 (1
/// when the same scale).
struct Fraction {
    std::int64_t n;
    std::int64_t d;
};

Fraction distance(Temperature reading, Temperature figure) noexcept {
    const std::int64_t r = reading.thousandths();
    const std::int64_t f = figure.thousandths();
    if (reading.scale() == figure.scale()) {
        return {r - f, 1};
    }
    if (reading.scale() == Scale::fahrenheit) {
        return {r * 5 - (f * 9 + 160'000), 5}; // figure in F thousandths is (9 f + 160000) / 5
    }
    return {r * 9 - (f - 32'000) * 5, 9}; // figure in C thousandths is 5 (f - 32000) / 9
}

} // namespace

TemperatureLimit::TemperatureLimit(std::optional<Temperature> fahrenheit,
                                   std::optional<Temperature> celsius, Words words)
    : fahrenheit_{fahrenheit}, celsius_{celsius}, words_{words} {
    assert(fahrenheit_ || celsius_);
    assert(!fahrenheit_ || fahrenheit_->scale() == Scale::fahrenheit);
    assert(!celsius_ || celsius_->scale() == Scale::celsius);
}

std::optional<Temperature> TemperatureLimit::printed(Scale scale) const noexcept {
    return scale == Scale::fahrenheit ? fahrenheit_ : celsius_;
}

std::strong_ordering TemperatureLimit::order(Temperature reading) const noexcept {
    const auto own = printed(reading.scale());
    return distance(reading, own ? *own : fahrenheit_ ? *fahrenheit_ : *celsius_).n <=> 0;
}

Side TemperatureLimit::side(Temperature reading) const noexcept {
    const auto o = order(reading);
    const bool right = words_ == Words::at_or_above   ? o >= 0
                       : words_ == Words::above       ? o > 0
                       : words_ == Words::at_or_below ? o <= 0
                                                      : o < 0;
    return right ? Side::right : Side::wrong;
}

TemperatureDelta TemperatureLimit::clearance(Temperature reading) const noexcept {
    const auto own = printed(reading.scale());
    const Fraction above = distance(reading, own ? *own : fahrenheit_ ? *fahrenheit_ : *celsius_);
    const std::int64_t right =
        wants_hot() ? floor_div(above.n, above.d) : floor_div(-above.n, above.d);
    return TemperatureDelta::of_thousandths(static_cast<std::int32_t>(right), reading.scale());
}

bool TemperatureLimit::clears(Temperature reading, TemperatureDelta band) const noexcept {
    return side(reading) == Side::right &&
           clearance(reading).thousandths() >= band.in(reading.scale()).thousandths();
}

std::string TemperatureLimit::figures() const {
    if (fahrenheit_ && celsius_) {
        return fmt::format("{} ({})", holdwarden::to_text(*fahrenheit_),
                           holdwarden::to_text(*celsius_));
    }
    return holdwarden::to_text(fahrenheit_ ? *fahrenheit_ : *celsius_);
}

std::string TemperatureLimit::to_text() const {
    const std::string text = figures();
    switch (words_) {
    case Words::at_or_above:
        return fmt::format(msg::at_or_above, text);
    case Words::above:
        return fmt::format(msg::above, text);
    case Words::at_or_below:
        return fmt::format(msg::at_or_below, text);
    case Words::below:
        return fmt::format(msg::below, text);
    }
    return text;
}

std::string TemperatureLimit::figure_text(Scale scale) const {
    if (const auto own = printed(scale)) {
        return holdwarden::to_text(*own);
    }
    const Temperature other = fahrenheit_ ? *fahrenheit_ : *celsius_;
    const double converted =
        scale == Scale::fahrenheit ? other.in_fahrenheit() : other.in_celsius();
    return fmt::format(msg::about, std::round(converted * 10.0) / 10.0, sign(scale));
}

} // namespace holdwarden::codes
