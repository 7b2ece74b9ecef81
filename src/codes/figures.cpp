#include "figures.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <array>
#include <cstdlib>
#include <utility>

namespace holdwarden::codes {
namespace {

Error bad(std::string what, std::string fix) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

Error unreadable_limit(std::string_view text) {
    return bad(fmt::format("limit '{}' cannot be read", for_display(text)),
               "write it like \"135 °F (57 °C) or above\", \"41 °F or below\", \"above 63 °C\" or "
               "\"below 8 °C\"");
}

bool take_front(std::string_view& text, std::string_view word) {
    if (!text.starts_with(word)) {
        return false;
    }
    text = trimmed(text.substr(word.size()));
    return true;
}

bool take_back(std::string_view& text, std::string_view word) {
    if (!text.ends_with(word)) {
        return false;
    }
    text = trimmed(text.substr(0, text.size() - word.size()));
    return true;
}

/// Takes the words of comparison off `text`, leaving the figures.
Words take_words(std::string_view& text, std::string_view whole) {
    int found = 0;
    Words words{};
    const auto try_one = [&](bool took, Words meant) {
        found += took ? 1 : 0;
        words = took ? meant : words;
    };
    try_one(take_back(text, " or above"), Words::at_or_above);
    try_one(take_back(text, " or below"), Words::at_or_below);
    try_one(take_front(text, "above "), Words::above);
    try_one(take_front(text, "below "), Words::below);
    if (found != 1) {
        throw unreadable_limit(whole);
    }
    return words;
}

/// Codes round a converted figure to a whole degree Celsius at most: 0.5 °C is 0.9 °F; a figure cut
/// instead of rounded makes up to 1.2 °F plausible. More is a slip of the pen.
void check_pair(Temperature fahrenheit, Temperature celsius, std::string_view text) {
    constexpr std::int64_t kMost = 1200 * 5; // thousandths of a degree Fahrenheit, times 5
    const std::int64_t apart = std::int64_t{fahrenheit.thousandths()} * 5 -
                               (std::int64_t{celsius.thousandths()} * 9 + 160'000);
    if (std::llabs(apart) > kMost) {
        throw bad(fmt::format("limit '{}': {} and {} are not the same temperature, they are "
                              "{:.1f} °F apart",
                              for_display(text), to_text(fahrenheit), to_text(celsius),
                              static_cast<double>(std::llabs(apart)) / 5000.0),
                  "copy both figures again from the code; leave out the second if it prints one");
    }
}

} // namespace

TemperatureLimit parse_limit(std::string_view whole) {
    std::string_view text = trimmed(whole);
    const Words words = take_words(text, whole);
    std::string_view second;
    if (const auto open = text.find('('); open != std::string_view::npos) {
        if (!text.ends_with(')')) {
            throw unreadable_limit(whole);
        }
        second = text.substr(open + 1, text.size() - open - 2);
        text = trimmed(text.substr(0, open));
    }
    std::optional<Temperature> fahrenheit;
    std::optional<Temperature> celsius;
    const auto take = [&](std::string_view figure) {
        const Temperature t = parse_temperature(figure);
        auto& into = t.scale() == Scale::fahrenheit ? fahrenheit : celsius;
        if (into) {
            throw bad(fmt::format("limit '{}' gives {} twice", for_display(whole), sign(t.scale())),
                      "give one figure for each scale, as the code prints them");
        }
        into = t;
    };
    take(text);
    if (second.data() != nullptr) {
        take(second);
    }
    if (fahrenheit && celsius) {
        check_pair(*fahrenheit, *celsius, whole);
    }
    return TemperatureLimit{fahrenheit, celsius, words};
}

TimeLimit parse_time_limit(std::string_view whole) {
    std::string_view text = trimmed(whole);
    const bool strict = take_front(text, "less than ");
    const Span span = parse_span(text);
    if (span == Span{}) {
        throw bad(fmt::format("time limit '{}' allows no time at all", for_display(whole)),
                  "give the time that the code allows");
    }
    return TimeLimit{.span = span, .figure_included = !strict};
}

std::int64_t parse_mass_g(std::string_view whole) {
    constexpr std::array<std::pair<std::string_view, std::int64_t>, 3> kUnits{
        {{"lb", 45'359'237}, {"kg", 100'000'000}, {"g", 100'000}}}; // 1e-8 g per thousandth
    const std::string_view text = trimmed(whole);
    for (const auto& [unit, per_thousandth] : kUnits) {
        if (!text.ends_with(unit)) {
            continue;
        }
        const auto n = parse_thousandths(trimmed(text.substr(0, text.size() - unit.size())));
        if (n && *n > 0) {
            return (std::int64_t{*n} * per_thousandth + 50'000'000) / 100'000'000;
        }
        break;
    }
    throw bad(fmt::format("mass '{}' cannot be read", for_display(whole)),
              "write it like \"10 lb\", \"4.5 kg\" or \"500 g\"");
}

} // namespace holdwarden::codes
