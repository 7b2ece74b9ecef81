#include "target.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/zone.hpp>

using namespace holdwarden;
using fuzz::require;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const Zone denver = Zone::named("America/Denver");
    const std::string_view text = fuzz::text_of(data, size);
    if (const auto at = parse_rfc3339(text)) {
        require(parse_rfc3339(to_utc_text(*at)) == at, "a printed instant reads back as itself");
        require(parse_instant(text, denver) == *at, "an offset needs no zone");
    }
    if (const auto wall = parse_wall(text)) {
        denver.resolve(*wall);
    }
    try {
        parse_instant(text, denver);
    } catch (const Error&) { // refused
    }
    if (const auto date = parse_date(text)) {
        require(date_from_day_number(day_number(*date)) == *date, "a date is its day's number");
        require(parse_date(to_text(*date)) == date, "a printed date reads back as itself");
    }
    try {
        const Span span = parse_span(text);
        require(span >= Span{}, "a span is not below zero");
        to_text(span);
    } catch (const Error&) { // refused
    }
    return 0;
}
