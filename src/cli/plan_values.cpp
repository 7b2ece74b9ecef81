#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/plan_values.hpp>

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace holdwarden::cli {
namespace {

struct Unit {
    const char* name;
    double factor;
};
constexpr Unit kLengths[] = {{"mm", 0.001}, {"cm", 0.01}, {"in", 0.0254}, {"ft", 0.3048}, {"m", 1}};
constexpr Unit kMasses[] = {{"kg", 1}, {"lb", 0.45359237}, {"oz", 0.028349523125}, {"g", 0.001}};

std::string quoted(const Field& field) {
    return fmt::format("{} '{}'", field.option, for_display(field.text, 60));
}

std::optional<double> plain(std::string_view text) {
    text = trimmed(text);
    double value = 0.0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (code != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

template <std::size_t N>
std::optional<std::pair<std::string_view, double>> with_unit(std::string_view text,
                                                             const Unit (&units)[N]) {
    text = trimmed(text);
    for (const Unit& unit : units) {
        if (text.ends_with(unit.name)) {
            text.remove_suffix(std::string_view{unit.name}.size());
            return std::pair{trimmed(text), unit.factor};
        }
    }
    return std::nullopt;
}

std::vector<std::string_view> split(std::string_view text, std::string_view by) {
    std::vector<std::string_view> parts;
    for (;;) {
        const auto at = text.find(by);
        parts.push_back(trimmed(text.substr(0, at)));
        if (at == std::string_view::npos) {
            return parts;
        }
        text.remove_prefix(at + by.size());
    }
}

[[noreturn]] void out_of_range(const Field& field, const std::string& range) {
    wrong_value(quoted(field) + " is out of range", "give " + range);
}

double in_range(const Field& field, double value, const std::string& range) {
    if (!(value >= field.low && value <= field.high)) {
        out_of_range(field, range);
    }
    return value;
}

std::string length_range(const Field& f) {
    return fmt::format("{:g} to {:g} m ({:g} to {:g} in), with its unit: mm, cm, m, in or ft",
                       f.low, f.high, std::round(f.low / 0.0254 * 100) / 100,
                       std::round(f.high / 0.0254 * 10) / 10);
}

std::vector<double> several_lengths(const Field& field, std::size_t count) {
    const auto unit = with_unit(field.text, kLengths);
    const std::vector<std::string_view> parts =
        unit ? split(unit->first, "x") : std::vector<std::string_view>{};
    std::vector<double> lengths;
    for (const std::string_view part : parts) {
        if (const auto value = plain(part)) {
            lengths.push_back(in_range(field, *value * unit->second, length_range(field)));
        }
    }
    if (lengths.size() != count || parts.size() != count) {
        wrong_value(quoted(field) + fmt::format(" is not {} lengths", count),
                    count == 3 ? "write it like 50x32x30cm" : "write it like 50x30cm");
    }
    return lengths;
}

std::string celsius_text(const Field& f) {
    return fmt::format("{:g} to {:g} °C ({:g} to {:g} °F), with its scale, such as 140F", f.low,
                       f.high, std::round(f.low * 1.8 + 32), std::round(f.high * 1.8 + 32));
}

} // namespace

void wrong_value(const std::string& what, const std::string& fix) {
    throw Error{ErrorKind::usage, {.what = what, .where = "", .fix = fix}};
}

double number_value(const Field& field, const char* unit) {
    const auto value = plain(field.text);
    const std::string range = fmt::format("{:g} to {:g} {}", field.low, field.high, unit);
    if (!value) {
        wrong_value(quoted(field) + " is not a number", "give " + range);
    }
    return in_range(field, *value, range);
}

heat::Range number_range(const Field& field, const char* unit) {
    const auto parts = split(field.text, "..");
    const auto low = plain(parts.front());
    const auto high = plain(parts.back());
    const std::string range = fmt::format("{:g} to {:g} {}, as one number or a range like 6..11",
                                          field.low, field.high, unit);
    if (parts.size() > 2 || !low || !high || *low > *high) {
        wrong_value(quoted(field) + " is not a number or a range", "give " + range);
    }
    return {in_range(field, *low, range), in_range(field, *high, range)};
}

double length_m(const Field& field) {
    const auto unit = with_unit(field.text, kLengths);
    const auto value = unit ? plain(unit->first) : std::nullopt;
    if (!value) {
        wrong_value(quoted(field) + " is not a length", "give " + length_range(field));
    }
    return in_range(field, *value * unit->second, length_range(field));
}

std::array<double, 3> lengths_m(const Field& field) {
    const auto v = several_lengths(field, 3);
    return {v[0], v[1], v[2]};
}

std::array<double, 2> two_lengths_m(const Field& field) {
    const auto v = several_lengths(field, 2);
    return {v[0], v[1]};
}

double mass_kg(const Field& field) {
    const auto unit = with_unit(field.text, kMasses);
    const auto value = unit ? plain(unit->first) : std::nullopt;
    const std::string range =
        fmt::format("{:g} to {:g} kg ({:.1f} to {:.0f} lb), with its unit: g, kg, oz or lb",
                    field.low, field.high, field.low / 0.45359237, field.high / 0.45359237);
    if (!value) {
        wrong_value(quoted(field) + " is not a mass", "give " + range);
    }
    return in_range(field, *value * unit->second, range);
}

heat::Range celsius_range(const Field& field) {
    const auto parts = split(field.text, "..");
    std::optional<heat::Range> range;
    try {
        const Temperature high = parse_temperature(parts.back());
        const Temperature low =
            parts.size() == 1 ? high : parse_temperature(parts.front(), high.scale());
        range = heat::Range{low.in_celsius(), high.in_celsius()};
    } catch (const Error&) {
        range = std::nullopt;
    }
    if (parts.size() > 2 || !range || range->low > range->high) {
        wrong_value(quoted(field) + " is not a temperature or a range of them",
                    "give " + celsius_text(field) + " or 60F..70F");
    }
    in_range(field, range->low, celsius_text(field));
    in_range(field, range->high, celsius_text(field));
    return *range;
}

heat::Celsius celsius_value(const Field& field) {
    const heat::Range range = celsius_range(field);
    if (range.low != range.high) {
        wrong_value(quoted(field) + " is a range", "give one temperature");
    }
    return heat::Celsius{range.low};
}

Temperature limit_value(const char* option, const std::string& text) {
    try {
        return parse_temperature(text);
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at(option).text()};
    }
}

Span span_value(const char* option, const std::string& text, Span most) {
    std::optional<Span> span;
    try {
        span = parse_span(text);
    } catch (const Error&) {
        span = std::nullopt;
    }
    if (!span || *span <= Span{} || *span > most) {
        wrong_value(
            fmt::format("{} '{}' is not a length of time it takes", option, for_display(text, 60)),
            fmt::format("give more than nothing and at most {}, such as 90min or 8h",
                        to_text(most)));
    }
    return *span;
}

heat::Range hours_range(const Field& field) {
    const auto parts = split(field.text, "..");
    std::optional<heat::Range> range;
    try {
        range = heat::Range{parse_span(parts.front()).in_seconds() / 3600.0,
                            parse_span(parts.back()).in_seconds() / 3600.0};
    } catch (const Error&) {
        range = std::nullopt;
    }
    const std::string fix =
        fmt::format("give {:g} to {:g} h, such as 90min or 10h..14h", field.low, field.high);
    if (parts.size() > 2 || !range || range->low > range->high) {
        wrong_value(quoted(field) + " is not a time or a range of times", fix);
    }
    in_range(field, range->low, fix.substr(5));
    in_range(field, range->high, fix.substr(5));
    return *range;
}

std::size_t count_value(const char* option, const std::string& text, std::size_t most) {
    const double value = number_value({option, text, 1.0, static_cast<double>(most)}, "(a count)");
    if (value != std::floor(value)) {
        wrong_value(fmt::format("{} '{}' is not a whole number", option, for_display(text, 60)),
                    fmt::format("give 1 to {}", most));
    }
    return static_cast<std::size_t>(value);
}

bool plan_wants_json(const std::string& format) {
    if (!format.empty() && format != "text" && format != "json") {
        wrong_value(fmt::format("--format '{}' is not known", for_display(format, 60)),
                    "give text or json");
    }
    return format == "json";
}

std::string degrees_text(heat::Celsius t, Scale scale) {
    const double value = scale == Scale::celsius ? t.degrees : t.degrees * 1.8 + 32.0;
    return fmt::format("{:.1f} {}", value, sign(scale));
}

std::string limit_text(heat::Celsius t, Scale scale) {
    const double value = scale == Scale::celsius ? t.degrees : t.degrees * 1.8 + 32.0;
    return fmt::format("{:g} {}", std::round(value * 10.0) / 10.0, sign(scale));
}

std::string hours_text(Span span) {
    const auto minutes = static_cast<std::int64_t>(std::llround(span.in_minutes()));
    const std::int64_t size = std::abs(minutes);
    const char* minus = minutes < 0 ? "-" : "";
    return size < 60 ? fmt::format("{}{} min", minus, size)
                     : fmt::format("{}{} h {:02} min", minus, size / 60, size % 60);
}

std::string band_text(const heat::SpanBand& band, Span looked) {
    if (!band.low) {
        return fmt::format("not within {}", to_text(looked));
    }
    if (!band.high || !band.middle) {
        return fmt::format("from {} on, or not within {}", hours_text(*band.low), to_text(looked));
    }
    return fmt::format("{} to {} (middle {})", hours_text(*band.low), hours_text(*band.high),
                       hours_text(*band.middle));
}

std::string share_text(double share) {
    return fmt::format("in {:.0f} of 100 cases", 100.0 * share);
}

const heat::KnownFood& known_food(const std::string& name) {
    const heat::KnownFood* food = heat::food_by_name(name);
    if (food == nullptr) {
        std::string names;
        for (const heat::KnownFood& known : heat::known_foods()) {
            names += (names.empty() ? "" : ", ") + std::string{known.name};
        }
        wrong_value(
            fmt::format("--food '{}' is not a food the planner knows", for_display(name, 60)),
            "give one of " + names);
    }
    return *food;
}

} // namespace holdwarden::cli
