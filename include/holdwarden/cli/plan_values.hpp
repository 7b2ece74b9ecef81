#pragma once

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/heat/food.hpp>
#include <holdwarden/heat/range.hpp>

#include <array>
#include <string>

namespace holdwarden::cli {

/// What each plan and forecast says of itself.
inline constexpr const char* kEstimateCaution = "An estimate. It never changes a verdict: the "
                                                "thermometer in the food, your local code and your "
                                                "regulator decide.";

/// What a plan's option holds: its name for messages, its text, and the accepted range in `unit`.
struct Field {
    const char* option;
    const std::string& text;
    double low;
    double high;
};

// All throw Error{usage} that names the option, the accepted range and the unit.

/// A plain number; `unit` is for the message.
double number_value(const Field& field, const char* unit);
/// "8" or "6..11".
heat::Range number_range(const Field& field, const char* unit);
/// "8cm", "80 mm", "0.08m", "3in"; a bare number is refused. In metres, as is the range.
double length_m(const Field& field);
/// "50x32x30cm": the unit once, at the end.
std::array<double, 3> lengths_m(const Field& field);
/// "30x20cm".
std::array<double, 2> two_lengths_m(const Field& field);
/// "5kg", "11 lb", "800g", "12oz". In kilograms.
double mass_kg(const Field& field);
/// "90C", "194F", "60F..70F"; the first may leave the scale to the second. In °C, as is the range.
heat::Range celsius_range(const Field& field);
heat::Celsius celsius_value(const Field& field);
Temperature limit_value(const char* option, const std::string& text);
/// "8h", "90min": above zero, at most `most`.
Span span_value(const char* option, const std::string& text, Span most);
/// "2h..3h" or "2h". In hours.
heat::Range hours_range(const Field& field);
/// 1 to `most`.
std::size_t count_value(const char* option, const std::string& text, std::size_t most);

[[noreturn]] void wrong_value(const std::string& what, const std::string& fix);
/// "text" or "json"; empty is text.
bool plan_wants_json(const std::string& format);

/// "140.2 °F" in the scale asked for, one decimal.
std::string degrees_text(heat::Celsius t, Scale scale);
/// "140 °F" for a whole number.
std::string limit_text(heat::Celsius t, Scale scale);
/// "2 h 05 min".
std::string hours_text(Span span);
/// "2 h 05 min to 3 h 10 min (middle 2 h 30 min)", "from 2 h 05 min on, or never", "not within 12
/// h".
std::string band_text(const heat::SpanBand& band, Span looked);

/// "in 93 of 100 cases".
std::string share_text(double share);
/// A food the planner knows. Throws Error{usage} listing their names.
const heat::KnownFood& known_food(const std::string& name);

} // namespace holdwarden::cli
