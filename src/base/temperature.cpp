#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <cassert>
#include <charconv>
#include <cmath>
#include <cstdlib>

namespace holdwarden {
namespace {

constexpr double kLargestDegrees = 2'000'000.0;

/// ceil(|a * b / c|) with the sign of a.
std::int32_t scaled_away_from_zero(std::int32_t a, std::int64_t b, std::int64_t c) noexcept {
    const std::int64_t size = (std::llabs(std::int64_t{a}) * b + c - 1) / c;
    return static_cast<std::int32_t>(a < 0 ? -size : size);
}

/// Nine tenths of a micro-unit: Fahrenheit thousandths times 5, Celsius thousandths times 9 plus
/// 160 degrees, so that both scales meet in whole numbers.
std::int64_t common_units(Temperature t) noexcept {
    const std::int64_t n = t.thousandths();
    return t.scale() == Scale::fahrenheit ? n * 5 : n * 9 + 160'000;
}

struct NumberAndUnit {
    std::string_view number;
    std::optional<Scale> scale;
};

/// Splits "139.5 °F" into number and scale; a bare number has no scale. nullopt if the unit is
/// unknown.
std::optional<NumberAndUnit> split_unit(std::string_view text) {
    text = trimmed(text);
    const auto end = text.find_first_not_of("0123456789.,+-");
    if (end == std::string_view::npos) {
        return NumberAndUnit{text, std::nullopt};
    }
    const std::string_view number = trimmed(text.substr(0, end));
    std::string_view unit = trimmed(text.substr(end));
    for (const std::string_view lead :
         {std::string_view{"°"}, std::string_view{"º"}, std::string_view{"deg"}}) {
        if (unit.starts_with(lead)) {
            unit = trimmed(unit.substr(lead.size()));
            break;
        }
    }
    if (unit == "F" || unit == "f") {
        return NumberAndUnit{number, Scale::fahrenheit};
    }
    if (unit == "C" || unit == "c") {
        return NumberAndUnit{number, Scale::celsius};
    }
    return std::nullopt;
}

struct Parsed {
    std::int32_t thousandths;
    Scale scale;
};

Parsed parse_with_unit(std::string_view text, std::optional<Scale> bare, std::string_view what) {
    const auto fail = [&](std::string_view why) -> Error {
        return Error{ErrorKind::bad_input,
                     {.what = fmt::format("{} '{}' {}", what, for_display(text), why),
                      .where = "",
                      .fix = "write a number and its scale, such as 140F or 60C"}};
    };
    const auto parts = split_unit(text);
    if (!parts || parts->number.empty()) {
        throw fail("cannot be read");
    }
    const auto scale = parts->scale ? parts->scale : bare;
    if (!scale) {
        throw fail("has no scale");
    }
    const auto thousandths = parse_thousandths(parts->number);
    if (!thousandths) {
        throw fail("is not a number");
    }
    return {*thousandths, *scale};
}

std::string decimal(std::int32_t thousandths) {
    const std::int32_t whole = std::abs(thousandths) / 1000;
    std::int32_t rest = std::abs(thousandths) % 1000;
    std::string text = fmt::format("{}{}", thousandths < 0 ? "-" : "", whole);
    if (rest != 0) {
        std::string digits = fmt::format("{:03}", rest);
        while (digits.back() == '0') {
            digits.pop_back();
        }
        text += "." + digits;
    }
    return text;
}

} // namespace

TemperatureDelta TemperatureDelta::in(Scale scale) const noexcept {
    if (scale == scale_) {
        return *this;
    }
    return scale == Scale::fahrenheit
               ? TemperatureDelta{scaled_away_from_zero(thousandths_, 9, 5), scale}
               : TemperatureDelta{scaled_away_from_zero(thousandths_, 5, 9), scale};
}

double Temperature::in_celsius() const noexcept {
    return scale_ == Scale::celsius ? degrees() : (degrees() - 32.0) / 1.8;
}

double Temperature::in_fahrenheit() const noexcept {
    return scale_ == Scale::fahrenheit ? degrees() : degrees() * 1.8 + 32.0;
}

std::strong_ordering physical_order(Temperature a, Temperature b) noexcept {
    return common_units(a) <=> common_units(b);
}

TemperatureDelta difference(Temperature a, Temperature b) noexcept {
    assert(a.scale() == b.scale());
    return TemperatureDelta::of_thousandths(a.thousandths() - b.thousandths(), a.scale());
}

Temperature shifted(Temperature a, TemperatureDelta d) noexcept {
    assert(a.scale() == d.scale());
    return Temperature::of_thousandths(a.thousandths() + d.thousandths(), a.scale());
}

std::optional<std::int32_t> parse_thousandths(std::string_view text, bool decimal_comma) {
    if (text.empty() || text.size() > 40) {
        return std::nullopt;
    }
    std::string plain{text};
    if (decimal_comma) {
        if (plain.find('.') != std::string::npos) {
            return std::nullopt;
        }
        if (const auto comma = plain.find(','); comma != std::string::npos) {
            plain[comma] = '.';
        }
    }
    std::string_view digits = plain;
    if (digits.front() == '+') {
        digits.remove_prefix(1);
        if (digits.starts_with('-')) {
            return std::nullopt;
        }
    }
    if (digits.empty() || digits.find_first_not_of("0123456789.eE+-") != std::string_view::npos) {
        return std::nullopt; // also nan, inf and hexadecimal, which from_chars would take
    }
    double degrees = 0.0;
    const auto [end, code] = std::from_chars(digits.data(), digits.data() + digits.size(), degrees);
    if (code != std::errc{} || end != digits.data() + digits.size() || !std::isfinite(degrees) ||
        std::abs(degrees) > kLargestDegrees) {
        return std::nullopt;
    }
    const double scaled = degrees * 1000.0;
    double nearest = std::round(scaled);
    const bool exact = std::abs(scaled - nearest) <= 1e-6; // 1e-9 degree
    if (!exact && std::fmod(nearest, 10.0) == 0.0) {
        nearest += scaled < nearest ? -1.0 : 1.0; // stay on the side of the hundredth it came from
    }
    return static_cast<std::int32_t>(nearest);
}

Temperature parse_temperature(std::string_view text, std::optional<Scale> bare) {
    const auto parsed = parse_with_unit(text, bare, "temperature");
    return Temperature::of_thousandths(parsed.thousandths, parsed.scale);
}

TemperatureDelta parse_delta(std::string_view text, std::optional<Scale> bare) {
    const auto parsed = parse_with_unit(text, bare, "temperature difference");
    if (parsed.thousandths < 0) {
        throw Error{
            ErrorKind::bad_input,
            {.what = fmt::format("temperature difference '{}' is below zero", for_display(text)),
             .where = "",
             .fix = "write its size, such as 1F or 0.5C"}};
    }
    return TemperatureDelta::of_thousandths(parsed.thousandths, parsed.scale);
}

std::string number_text(Temperature t) {
    return decimal(t.thousandths());
}

std::string to_text(Temperature t) {
    return fmt::format("{} {}", decimal(t.thousandths()), sign(t.scale()));
}

std::string to_text(TemperatureDelta d) {
    return fmt::format("{}{} {}", d.thousandths() > 0 ? "+" : "", decimal(d.thousandths()),
                       sign(d.scale()));
}

std::string_view sign(Scale scale) noexcept {
    return scale == Scale::fahrenheit ? "°F" : "°C";
}

} // namespace holdwarden
