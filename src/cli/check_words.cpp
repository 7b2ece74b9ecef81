#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/check_words.hpp>

#include <fmt/format.h>

#include <cmath>

namespace holdwarden::cli {
namespace {

using records::CheckMethod;

const char* words_of(CheckMethod method) {
    switch (method) {
    case CheckMethod::ice_point:
        return "ice point";
    case CheckMethod::boiling_point:
        return "boiling point";
    case CheckMethod::reference:
        return "reference";
    case CheckMethod::side_by_side:
        return "side by side";
    }
    return "";
}

/// A tenth of a degree, which is all that a kitchen's check can tell.
std::string tenth(Temperature t) {
    const auto rounded = static_cast<std::int32_t>(std::lround(t.thousandths() / 100.0)) * 100;
    return to_text(Temperature::of_thousandths(rounded, t.scale()));
}

std::string tenth(TemperatureDelta d) {
    const auto rounded = static_cast<std::int32_t>(std::lround(d.thousandths() / 100.0)) * 100;
    return to_text(TemperatureDelta::of_thousandths(rounded, d.scale()));
}

std::string against(const records::ProbeCheck& check) {
    if (check.pressure) {
        return " at " + to_text(*check.pressure);
    }
    if (check.altitude) {
        return " at " + to_text(*check.altitude);
    }
    if (check.reference.empty()) {
        return "";
    }
    const std::string certificate =
        check.certificate.empty() ? "" : ", certificate " + for_display(check.certificate);
    return " of " + for_display(check.reference) + certificate;
}

} // namespace

std::string size_text(TemperatureDelta size) {
    return to_text(Temperature::of_thousandths(size.thousandths(), size.scale()));
}

std::string check_sentence(const std::string& probe, const records::ProbeCheck& check) {
    std::string text = fmt::format(
        "{}, {}: showed {} for {}{}, {}", for_display(probe), words_of(check.method),
        to_text(check.found), tenth(check.expected), against(check), tenth(error_found(check)));
    if (check.method == CheckMethod::side_by_side) {
        return text + " between the two";
    }
    text +=
        fmt::format(", {} {}", passed(check) ? "within" : "NOT within", size_text(check.tolerance));
    if (check.left) {
        text += fmt::format("; adjusted, then {} ({}, {} {})", to_text(*check.left),
                            tenth(error_left(check)), usable_after(check) ? "within" : "NOT within",
                            size_text(check.tolerance));
    }
    return text;
}

std::vector<std::string> check_advice(const records::Thermometer& probe,
                                      const records::ProbeCheck& check) {
    std::vector<std::string> advice;
    if (check.method != CheckMethod::side_by_side && !usable_after(check)) {
        advice.emplace_back("Take it out of use until it has been adjusted and checked again, or "
                            "replace it.");
    }
    if (check.method == CheckMethod::side_by_side && error_found(check).thousandths() > 0) {
        advice.emplace_back(
            "It reads higher than the other: where it records heat treatment, that favours the "
            "food. Set it to agree, and never to read higher (21 CFR 113.40).");
    }
    if (probe.display_step && records::too_coarse(*probe.display_step)) {
        advice.push_back(
            fmt::format("Its display moves in steps of {}: too coarse for food (FDA Food Code "
                        "2022, 4-204.112: 2 °F or 1 °C at most).",
                        size_text(*probe.display_step)));
    }
    return advice;
}

std::string check_steps(CheckMethod method, const std::optional<Temperature>& expected) {
    const std::string value = expected ? tenth(*expected) : "";
    switch (method) {
    case CheckMethod::ice_point:
        return "Ice point\n"
               "1. Fill a deep cup with crushed ice; add just enough clean cold water to close the "
               "gaps.\n"
               "2. Stir, and let it stand for a minute. There must be ice down to the bottom.\n"
               "3. Hold the tip in the middle, clear of bottom and sides, as deep as its sensing "
               "part\n   needs (a dial stem: 5 cm, 2 in, at least).\n"
               "4. Wait until the display stands still, then read it. It should show " +
               value +
               ",\n   at any altitude.\n"
               "5. Enter what it showed before you adjust anything.\n";
    case CheckMethod::boiling_point:
        return "Boiling point\n"
               "1. Bring clean water to a full, rolling boil in a deep pot. No salt.\n"
               "2. Hold the tip just below the surface, clear of bottom and sides. Mind steam and "
               "splashes.\n"
               "3. Wait until the display stands still, then read it. It should show " +
               value +
               "\n   here. Weather moves that by about 1 °F (0.5 °C) either way: give --pressure "
               "if you have\n   the pressure at your place, never the sea-level one of a "
               "forecast.\n"
               "4. Enter what it showed before you adjust anything.\n";
    case CheckMethod::reference:
        return "Reference\n"
               "1. Put both tips side by side into stirred water near the temperature you use it "
               "at.\n"
               "2. Wait until both displays stand still, then read both at once, in one scale.\n"
               "3. Enter both, the reference by its id and certificate.\n";
    case CheckMethod::side_by_side:
        return "Side by side\n"
               "1. Read both instruments at one moment, at one place, in one scale.\n"
               "2. Enter both. The difference is kept; it proves neither right.\n";
    }
    return "";
}

std::string schedule_sentence(const records::Store& store, const records::CheckSchedule& schedule) {
    std::string who = "Every thermometer without a rule of its own";
    for (const auto& probe : store.probes()) {
        if (schedule.probe && probe.id == *schedule.probe) {
            who = for_display(probe.facts.name);
        }
    }
    if (schedule.ended) {
        return who + ": no checks are asked for";
    }
    const unsigned n = schedule.days > 0 ? schedule.days : schedule.months;
    return fmt::format("{} is checked every {}{}{}", who, n == 1 ? "" : std::to_string(n) + " ",
                       schedule.days > 0 ? "day" : "month", n == 1 ? "" : "s");
}

} // namespace holdwarden::cli
