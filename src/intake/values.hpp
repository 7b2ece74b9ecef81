#pragma once

#include <holdwarden/base/temperature.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace holdwarden::intake {

/// A plain decimal of up to six digits before the point and three behind, as loggers write it.
/// nullopt: not of that form, look closer.
inline std::optional<std::int32_t> quick_thousandths(std::string_view text, char point) noexcept {
    const char* p = text.data();
    const char* const end = p + text.size();
    const bool negative = p != end && *p == '-';
    p += negative ? 1 : 0;
    const char* const whole = p;
    std::int32_t n = 0;
    for (; p != end && *p >= '0' && *p <= '9'; ++p) {
        if (p - whole == 6) {
            return std::nullopt;
        }
        n = n * 10 + (*p - '0');
    }
    if (p == whole) {
        return std::nullopt;
    }
    std::int32_t weight = 1000;
    if (p != end) {
        if (*p != point || ++p == end) {
            return std::nullopt;
        }
        for (; p != end && *p >= '0' && *p <= '9' && weight > 1; ++p) {
            n = n * 10 + (*p - '0');
            weight /= 10;
        }
        if (p != end) {
            return std::nullopt;
        }
    }
    n *= weight;
    return negative ? -n : n;
}

/// A temperature, or why the text is none.
struct ReadValue {
    std::optional<Temperature> value;
    std::string reason;
};

/// Every form the reader takes: a decimal in `scale`, or a number with its own scale behind it.
/// Also checks that the value can be one of a food or its surroundings.
ReadValue read_value(std::string_view text, std::optional<Scale> scale, bool decimal_comma);

/// "F", "c", "°F", "Celsius".
std::optional<Scale> scale_named(std::string_view text);

} // namespace holdwarden::intake
