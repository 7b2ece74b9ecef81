#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace holdwarden::intake {

/// A date and time of day as written, and the offset if %z read one.
struct PatternTime {
    std::int64_t ms = 0; ///< of the clock that was read, from 1970-01-01 00:00:00 of that clock
    std::optional<int> offset_min; ///< minutes east of Greenwich
};

/// Reads `text` by a strftime pattern, all of it. nullopt if it is not of that form or names an
/// impossible date.
std::optional<PatternTime> parse_by_pattern(std::string_view text, const std::string& pattern);

} // namespace holdwarden::intake
