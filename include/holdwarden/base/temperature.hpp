#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace holdwarden {

enum class Scale : char { celsius = 'C', fahrenheit = 'F' };

/// A difference between two temperatures of one scale, in thousandths of a degree. It carries no
/// offset of 32: a correction of -0.4 C degrees is -0.72 F degrees.
class TemperatureDelta {
public:
    static constexpr TemperatureDelta of_thousandths(std::int32_t thousandths,
                                                     Scale scale) noexcept {
        return TemperatureDelta{thousandths, scale};
    }

    constexpr std::int32_t thousandths() const noexcept { return thousandths_; }
    constexpr Scale scale() const noexcept { return scale_; }

    /// The size of the same difference in `scale`, rounded away from zero to a thousandth, so that
    /// a guard band or a tolerance never shrinks in conversion.
    TemperatureDelta in(Scale scale) const noexcept;

    friend constexpr bool operator==(TemperatureDelta, TemperatureDelta) noexcept = default;

private:
    constexpr TemperatureDelta(std::int32_t thousandths, Scale scale) noexcept
        : thousandths_{thousandths}, scale_{scale} {}

    std::int32_t thousandths_;
    Scale scale_;
};

/// A temperature as it was measured: its decimal value, kept exactly to a thousandth of a degree,
/// and the scale it was read in. Two temperatures have no order of their own; a limit compares
/// itself with a reading in the reading's scale (codes::TemperatureLimit).
class Temperature {
public:
    static constexpr Temperature of_thousandths(std::int32_t thousandths, Scale scale) noexcept {
        return Temperature{thousandths, scale};
    }
    static constexpr Temperature of_degrees(std::int32_t degrees, Scale scale) noexcept {
        return Temperature{degrees * 1000, scale};
    }

    constexpr std::int32_t thousandths() const noexcept { return thousandths_; }
    constexpr Scale scale() const noexcept { return scale_; }

    /// Degrees Celsius, for physics and display only; never for a comparison with a limit.
    /// t_C = (t_F - 32) / 1.8: NIST SP 811 (2008), B.8 (from memory).
    double in_celsius() const noexcept;
    /// Degrees Fahrenheit, for display only.
    double in_fahrenheit() const noexcept;
    double degrees() const noexcept { return thousandths_ / 1000.0; }

    friend constexpr bool operator==(Temperature, Temperature) noexcept = default;

private:
    constexpr Temperature(std::int32_t thousandths, Scale scale) noexcept
        : thousandths_{thousandths}, scale_{scale} {}

    std::int32_t thousandths_;
    Scale scale_;
};

/// The order of two temperatures as physical quantities, exact across scales (9 C = 5 F - 160).
std::strong_ordering physical_order(Temperature a, Temperature b) noexcept;

/// a - b. Both must be of one scale (asserted).
TemperatureDelta difference(Temperature a, Temperature b) noexcept;

/// a + d. Both must be of one scale (asserted).
Temperature shifted(Temperature a, TemperatureDelta d) noexcept;

/// Reads a plain decimal number ("139.5", "-4", ".5", no blanks, no exponent unless `e` is there)
/// into thousandths. A fourth decimal and beyond is rounded to the nearest thousandth, but never
/// onto or across a hundredth it was not on, so that no comparison with a published limit changes;
/// binary noise below 1e-9 degree (134.60000000000002) is dropped. nullopt when it is not a finite
/// number or exceeds +-2,000,000 degrees. `decimal_comma` makes the comma, and only it, the decimal
/// sign.
std::optional<std::int32_t> parse_thousandths(std::string_view text, bool decimal_comma = false);

/// Reads "140F", "60 C", "139.5 °F", "140 degF"; a bare number takes `bare` when given.
/// Throws Error{bad_input} saying what is wrong and how to write it.
Temperature parse_temperature(std::string_view text, std::optional<Scale> bare = std::nullopt);

/// Reads a size such as "1F", "0.5 C" (a tolerance, an accuracy): at or above zero.
TemperatureDelta parse_delta(std::string_view text, std::optional<Scale> bare = std::nullopt);

/// "139.5 °F": the shortest decimal that is exact.
std::string to_text(Temperature t);
/// "139.5": the number alone.
std::string number_text(Temperature t);
/// "+0.5 °F", "-1 °F", "0 °F".
std::string to_text(TemperatureDelta d);
/// "°F" or "°C".
std::string_view sign(Scale scale) noexcept;
/// 'F' or 'C', for machine-readable output.
constexpr char letter(Scale scale) noexcept {
    return static_cast<char>(scale);
}

} // namespace holdwarden
