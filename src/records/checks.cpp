#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

namespace holdwarden::records {
namespace {

constexpr std::array<CheckMethod, 4> kMethods{CheckMethod::ice_point, CheckMethod::boiling_point,
                                              CheckMethod::reference, CheckMethod::side_by_side};
constexpr std::array<std::string_view, 4> kMethodNames{"ice-point", "boiling-point", "reference",
                                                       "side-by-side"};

double metres(const Altitude& altitude) noexcept {
    return static_cast<double>(altitude.micrometres) / 1e6;
}

Error refused(std::string what, std::string fix) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

bool within(TemperatureDelta error, TemperatureDelta tolerance) noexcept {
    const TemperatureDelta most =
        tolerance.scale() == error.scale() ? tolerance : tolerance.in(error.scale());
    return std::abs(error.thousandths()) <= most.thousandths();
}

void check_scales(const ProbeCheck& check) {
    const Scale scale = check.found.scale();
    if (check.expected.scale() != scale || (check.left && check.left->scale() != scale)) {
        throw refused("the readings of one check are in two scales",
                      "read both thermometers in the same scale");
    }
    if (check.tolerance.thousandths() <= 0) {
        throw refused("a tolerance of nothing is never kept", "give one above zero: 2F, 1C");
    }
}

void check_boiling(const ProbeCheck& check) {
    const Temperature computed =
        expected_boiling(check.pressure, check.altitude, check.found.scale());
    const bool flat = std::abs(difference(check.expected, computed).thousandths()) > 20;
    if (!flat) {
        return;
    }
    const Temperature flat_value = check.found.scale() == Scale::fahrenheit
                                       ? Temperature::of_degrees(212, Scale::fahrenheit)
                                       : Temperature::of_degrees(100, Scale::celsius);
    const bool low = check.expected == flat_value && !check.pressure && check.altitude &&
                     metres(*check.altitude) <= static_cast<double>(kFlatBoilingUpToM);
    if (!low) {
        throw refused(fmt::format("water boils at {} here, not at {}", to_text(computed),
                                  to_text(check.expected)),
                      "leave the expected value out: it follows from pressure or altitude");
    }
}

} // namespace

std::string_view to_name(CheckMethod method) noexcept {
    return kMethodNames[static_cast<std::size_t>(method)];
}

std::optional<CheckMethod> check_method_named(std::string_view name) noexcept {
    const auto* const found = std::find(kMethodNames.begin(), kMethodNames.end(), name);
    if (found == kMethodNames.end()) {
        return std::nullopt;
    }
    return kMethods[static_cast<std::size_t>(found - kMethodNames.begin())];
}

std::span<const CheckMethod> all_check_methods() noexcept {
    return kMethods;
}

TemperatureDelta error_found(const ProbeCheck& check) noexcept {
    return difference(check.found, check.expected);
}

TemperatureDelta error_left(const ProbeCheck& check) noexcept {
    return difference(check.left.value_or(check.found), check.expected);
}

bool passed(const ProbeCheck& check) noexcept {
    return check.method != CheckMethod::side_by_side && within(error_found(check), check.tolerance);
}

bool usable_after(const ProbeCheck& check) noexcept {
    return check.method != CheckMethod::side_by_side && within(error_left(check), check.tolerance);
}

TemperatureDelta usual_tolerance(Scale scale) noexcept {
    return scale == Scale::fahrenheit ? TemperatureDelta::of_thousandths(2000, scale)
                                      : TemperatureDelta::of_thousandths(1000, scale);
}

bool too_coarse(TemperatureDelta display_step) noexcept {
    return display_step.thousandths() > usual_tolerance(display_step.scale()).thousandths();
}

Temperature ice_point(Scale scale) noexcept {
    return scale == Scale::fahrenheit ? Temperature::of_degrees(32, scale)
                                      : Temperature::of_degrees(0, scale);
}

Temperature expected_boiling(const std::optional<Pressure>& pressure,
                             const std::optional<Altitude>& altitude, Scale scale) {
    if (!pressure && !altitude) {
        throw refused("where water boils here is not known",
                      "give the pressure at the place with --pressure 834hPa, or its altitude with "
                      "--altitude 5280ft");
    }
    if (pressure && altitude) {
        const Pressure usual = standard_pressure_at(metres(*altitude));
        if (std::abs(usual.pascals - pressure->pascals) > 5000) {
            throw refused(fmt::format("{} is not the pressure at {}, where {} is usual",
                                      to_text(*pressure), to_text(*altitude), to_text(usual)),
                          "give the pressure at the place itself, not the one reduced to sea level "
                          "that forecasts print");
        }
    }
    const double celsius =
        boiling_point_c(pressure ? *pressure : standard_pressure_at(metres(*altitude)));
    const double degrees = scale == Scale::fahrenheit ? celsius * 1.8 + 32 : celsius;
    return Temperature::of_thousandths(static_cast<std::int32_t>(std::lround(degrees * 1000)),
                                       scale);
}

void check_probe_check(const ProbeCheck& check) {
    check_scales(check);
    check_plausible(check.found);
    check_plausible(check.expected);
    if (check.left) {
        check_plausible(*check.left);
    }
    check_text("reference", check.reference, kLongestName);
    check_text("certificate", check.certificate);
    check_text("person", check.person, kLongestName);
    check_text("note", check.note);
    const bool against_another =
        check.method == CheckMethod::reference || check.method == CheckMethod::side_by_side;
    if (against_another == trimmed(check.reference).empty()) {
        throw refused(against_another ? "the other instrument is not named"
                                      : "a fixed point of water needs no reference instrument",
                      against_another ? "say which with --against" : "leave --against out");
    }
    if (check.method != CheckMethod::boiling_point && (check.pressure || check.altitude)) {
        throw refused("pressure and altitude bear on a boiling point only", "leave them out");
    }
    if (check.method == CheckMethod::side_by_side && check.left) {
        throw refused("a thermometer is not adjusted to one that is not a reference",
                      "leave the value after adjusting out, or name a reference");
    }
    if (check.method == CheckMethod::ice_point &&
        check.expected != ice_point(check.found.scale())) {
        throw refused("ice in water is at " + to_text(ice_point(check.found.scale())),
                      "leave the expected value out");
    }
    if (check.method == CheckMethod::boiling_point) {
        check_boiling(check);
    }
}

} // namespace holdwarden::records
