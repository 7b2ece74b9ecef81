#pragma once

#include <holdwarden/base/temperature.hpp>

#include <compare>
#include <optional>
#include <string>

namespace holdwarden::codes {

/// On which side of the figure the food must be, and whether the figure itself will do.
enum class Words {
    at_or_above, ///< "135 °F or above"
    above,       ///< "above 63 °C"
    at_or_below, ///< "41 °F or less"
    below,       ///< "less than 41 °F"
};

/// Whether a reading lies where the words want it.
enum class Side { right, wrong };

/// A temperature limit with the figure the code prints for each scale. The two are not equal (57 °C
/// is 134.6 °F, not 135 °F): a reading is compared with the figure of its own scale. Where a code
/// prints one scale only, a reading of the other is compared with that figure exactly, in
/// whole-number arithmetic.
class TemperatureLimit {
public:
    /// At least one figure must be given (asserted); each must be of its scale.
    TemperatureLimit(std::optional<Temperature> fahrenheit, std::optional<Temperature> celsius,
                     Words words);

    std::optional<Temperature> printed(Scale scale) const noexcept;
    Words words() const noexcept { return words_; }
    bool wants_hot() const noexcept {
        return words_ == Words::at_or_above || words_ == Words::above;
    }

    /// The order of the reading relative to the figure of its own scale.
    std::strong_ordering order(Temperature reading) const noexcept;
    Side side(Temperature reading) const noexcept;

    /// How far the reading lies on the right side, in the reading's scale; negative on the wrong
    /// side. Exact where the scale is printed; else rounded towards the wrong side.
    TemperatureDelta clearance(Temperature reading) const noexcept;

    /// Whether the reading is on the right side by at least `band` (in the reading's scale): JCGM
    /// 106, guarded acceptance.
    bool clears(Temperature reading, TemperatureDelta band) const noexcept;

    /// "135 °F (57 °C) or above", "above 63 °C".
    std::string to_text() const;
    /// "135 °F (57 °C)": the figures as printed.
    std::string figures() const;
    /// "135 °F": the figure for one scale; a converted one is marked "about".
    std::string figure_text(Scale scale) const;

    friend bool operator==(const TemperatureLimit&, const TemperatureLimit&) noexcept = default;

private:
    std::optional<Temperature> fahrenheit_;
    std::optional<Temperature> celsius_;
    Words words_;
};

} // namespace holdwarden::codes
