#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace holdwarden::records {

/// A mass in whole grams, above zero.
struct Mass {
    std::int64_t grams = 0;
    friend constexpr bool operator==(Mass, Mass) noexcept = default;
};

/// A length in whole micrometres (an inch is 25,400 of them), so that inches and millimetres are
/// both kept exactly.
struct Length {
    std::int64_t micrometres = 0;
    friend constexpr bool operator==(Length, Length) noexcept = default;
};

enum class AltitudeUnit : char { metres = 'm', feet = 'f' };

/// Height above sea level, and the unit it was given in. A foot is exactly 304,800 micrometres.
struct Altitude {
    std::int64_t micrometres = 0;
    AltitudeUnit unit = AltitudeUnit::metres;
    friend constexpr bool operator==(Altitude, Altitude) noexcept = default;
};

/// Reads "5.4kg", "5400 g", "12 lb", "8oz" (the avoirdupois pound is 453.59237 g exactly; the
/// result is rounded to a gram). Above zero, at most 1000 kg. Throws Error{bad_input}.
Mass parse_mass(std::string_view text);

/// Reads "60mm", "6 cm", "2.5in". Above zero, at most 2 m. Throws Error{bad_input}.
Length parse_length(std::string_view text);

/// Reads "5280ft", "5,280 ft", "1609m"; -500 m to 6,000 m. Throws Error{bad_input}.
Altitude parse_altitude(std::string_view text);

std::string to_text(Mass mass);         ///< "5.4 kg", "850 g"
std::string to_text(Length length);     ///< "63.5 mm"
std::string to_text(Altitude altitude); ///< "5280 ft", "1609 m"

} // namespace holdwarden::records
