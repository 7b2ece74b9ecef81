#pragma once
// Inside `codes` only: the figures of a pack's file, written as codes print them.

#include <holdwarden/codes/pack.hpp>

#include <cstdint>
#include <string_view>

namespace holdwarden::codes {

/// Reads "135 °F (57 °C) or above", "above 63 °C", "41 °F or below", "below 8 °C". Throws
/// Error{bad_input}, also when the two figures are further apart than rounding explains (1.2 °F).
TemperatureLimit parse_limit(std::string_view text);

/// Reads "2 h" (the figure included) or "less than 2 h". Throws Error{bad_input}.
TimeLimit parse_time_limit(std::string_view text);

/// Reads "10 lb", "4.5 kg" or "500 g" into whole grams, rounded to nearest. 1 lb = 453.59237 g:
/// NIST SP 811 (2008), B.8 (from memory). Throws Error{bad_input}.
std::int64_t parse_mass_g(std::string_view text);

} // namespace holdwarden::codes
