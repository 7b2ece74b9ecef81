#include "values.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/reading.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::intake {
namespace {

std::string not_a_temperature(std::string_view text, bool decimal_comma) {
    const std::string shown = for_display(text, 60);
    if (!decimal_comma && text.find(',') != std::string_view::npos) {
        return fmt::format("temperature '{}' has a comma; if it is the decimal sign, give "
                           "--decimal-comma",
                           shown);
    }
    if (decimal_comma && text.find('.') != std::string_view::npos) {
        return fmt::format("temperature '{}' has a point, and the comma is the decimal sign here",
                           shown);
    }
    return fmt::format("'{}' is not a temperature", shown);
}

} // namespace

ReadValue read_value(std::string_view text, std::optional<Scale> scale, bool decimal_comma) {
    if (text.empty()) {
        return {std::nullopt, "the temperature is empty"};
    }
    std::optional<Temperature> value;
    if (const auto bare = parse_thousandths(text, decimal_comma)) {
        if (!scale) {
            return {std::nullopt, fmt::format("temperature '{}' has no scale; give --scale F or C",
                                              for_display(text, 60))};
        }
        value = Temperature::of_thousandths(*bare, *scale);
    } else {
        std::string with_point{text};
        if (decimal_comma) {
            std::replace(with_point.begin(), with_point.end(), ',', '.');
        }
        try {
            value = parse_temperature(with_point);
        } catch (const Error&) {
            return {std::nullopt, not_a_temperature(text, decimal_comma)};
        }
        if (scale && value->scale() != *scale) {
            return {std::nullopt, fmt::format("temperature '{}' is not in the column's scale, {}",
                                              for_display(text, 60), sign(*scale))};
        }
    }
    if (!records::plausible(*value)) {
        return {std::nullopt, fmt::format("{} is outside {} to {}, what a probe in food can show",
                                          to_text(*value), number_text(records::kLowestCelsius),
                                          to_text(records::kHighestCelsius))};
    }
    return {value, ""};
}

std::optional<Scale> scale_named(std::string_view text) {
    for (const std::string_view lead : {"°", "º", "deg"}) {
        if (text.starts_with(lead)) {
            text.remove_prefix(lead.size());
            break;
        }
    }
    for (const std::string_view name : {"F", "f", "Fahrenheit", "fahrenheit"}) {
        if (text == name) {
            return Scale::fahrenheit;
        }
    }
    for (const std::string_view name : {"C", "c", "Celsius", "celsius"}) {
        if (text == name) {
            return Scale::celsius;
        }
    }
    return std::nullopt;
}

} // namespace holdwarden::intake
