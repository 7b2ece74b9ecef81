#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/measures.hpp>

#include <algorithm>
#include <array>
#include <optional>
#include <span>

namespace holdwarden::records {
namespace {

/// A unit's size as a fraction of the smallest unit kept: `num / den` of it for a thousandth.
struct UnitSize {
    std::string_view name;
    std::int64_t num;
    std::int64_t den;
};

struct Kind {
    std::string_view what;
    std::string_view example;
    std::span<const UnitSize> units;
    std::int64_t least;
    std::int64_t most;
};

// Grams: NIST Handbook 44, appendix C (from memory): 1 lb = 453.59237 g, 1 oz = lb/16.
constexpr std::array<UnitSize, 4> kMasses{{{"kg", 1, 1},
                                           {"g", 1, 1000},
                                           {"lb", 45'359'237, 100'000'000},
                                           {"oz", 45'359'237, 1'600'000'000}}};
// Micrometres: 1 in = 25.4 mm, 1 ft = 304.8 mm, exactly (the same).
constexpr std::array<UnitSize, 3> kLengths{{{"mm", 1, 1}, {"cm", 10, 1}, {"in", 254, 10}}};
constexpr std::array<UnitSize, 2> kAltitudes{{{"m", 1000, 1}, {"ft", 3048, 10}}};

constexpr Kind kMass{"mass", "5.4kg or 12lb", kMasses, 1, 1'000'000};
constexpr Kind kLength{"thickness", "60mm or 2.5in", kLengths, 1, 2'000'000};
constexpr Kind kAltitude{"altitude", "5280ft or 1609m", kAltitudes, -500'000'000, 6'000'000'000};

struct Measured {
    std::int64_t value;
    std::string_view unit;
};

std::string without_group_commas(std::string_view text) {
    // "5,280": a comma before exactly three digits groups; any other comma stays and is refused.
    std::string plain;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto digit = [&](std::size_t k) {
            return k < text.size() && text[k] >= '0' && text[k] <= '9';
        };
        const bool groups = text[i] == ',' && i > 0 && digit(i - 1) && digit(i + 1) &&
                            digit(i + 2) && digit(i + 3) && !digit(i + 4);
        if (!groups) {
            plain += text[i];
        }
    }
    return plain;
}

Measured parse(std::string_view text, const Kind& kind) {
    const auto fail = [&](std::string_view why) {
        return Error{
            ErrorKind::bad_input,
            {.what = std::string{kind.what} + " '" + for_display(text) + "' " + std::string{why},
             .where = "",
             .fix = "write it like " + std::string{kind.example}}};
    };
    const std::string plain = without_group_commas(trimmed(text));
    const std::string_view all = plain;
    const auto end = std::min(all.find_first_not_of("0123456789.,+-"), all.size());
    const std::string_view unit = trimmed(all.substr(end));
    const auto thousandths = parse_thousandths(trimmed(all.substr(0, end)));
    if (!thousandths) {
        throw fail("cannot be read");
    }
    const auto found = std::find_if(kind.units.begin(), kind.units.end(),
                                    [&](const UnitSize& size) { return size.name == unit; });
    if (found == kind.units.end()) {
        throw fail(unit.empty() ? "has no unit" : "has a unit that is not known");
    }
    const std::int64_t scaled = std::int64_t{*thousandths} * found->num;
    const std::int64_t half = scaled < 0 ? -found->den / 2 : found->den / 2;
    const std::int64_t value = (scaled + half) / found->den;
    if (value < kind.least || value > kind.most) {
        throw fail("is out of range");
    }
    return {value, found->name};
}

std::string decimal(std::int64_t thousandths) {
    return number_text(
        Temperature::of_thousandths(static_cast<std::int32_t>(thousandths), Scale::celsius));
}

} // namespace

Mass parse_mass(std::string_view text) {
    return Mass{parse(text, kMass).value};
}

Length parse_length(std::string_view text) {
    return Length{parse(text, kLength).value};
}

Altitude parse_altitude(std::string_view text) {
    const Measured measured = parse(text, kAltitude);
    return {measured.value, measured.unit == "ft" ? AltitudeUnit::feet : AltitudeUnit::metres};
}

std::string to_text(Mass mass) {
    return mass.grams >= 1000 ? decimal(mass.grams) + " kg" : std::to_string(mass.grams) + " g";
}

std::string to_text(Length length) {
    return decimal(length.micrometres) + " mm";
}

std::string to_text(Altitude altitude) {
    return altitude.unit == AltitudeUnit::feet ? decimal(altitude.micrometres * 10 / 3048) + " ft"
                                               : decimal(altitude.micrometres / 1000) + " m";
}

} // namespace holdwarden::records
