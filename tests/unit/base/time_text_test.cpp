#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;

namespace {

std::string as_utc(std::string_view text) {
    const auto at = parse_rfc3339(text);
    return at ? to_utc_text(*at) : "refused";
}

} // namespace

TEST_CASE("the examples of RFC 3339 are read") {
    // RFC 3339 (2002), section 5.8. Its leap-second examples name 1990-12-31T23:59:60Z, kept as the
    // second after it (POSIX counts no leap second).
    CHECK(as_utc("1985-04-12T23:20:50.52Z") == "1985-04-12T23:20:50.520Z");
    CHECK(as_utc("1996-12-19T16:39:57-08:00") == "1996-12-20T00:39:57Z");
    CHECK(as_utc("1990-12-31T23:59:60Z") == "1991-01-01T00:00:00Z");
    CHECK(as_utc("1990-12-31T15:59:60-08:00") == "1991-01-01T00:00:00Z");
    CHECK(as_utc("1937-01-01T12:00:27.87+00:20") == "1937-01-01T11:40:27.870Z");
}

TEST_CASE("the other forms of RFC 3339 are read") {
    // Section 5.6: lower case t and z, a blank for T; section 4.3: -00:00 is UTC, local offset
    // unknown.
    CHECK(as_utc("2026-11-01t07:30:00z") == "2026-11-01T07:30:00Z");
    CHECK(as_utc("2026-11-01 01:30:00-06:00") == "2026-11-01T07:30:00Z");
    CHECK(as_utc("2026-11-01T07:30:00-00:00") == "2026-11-01T07:30:00Z");
    CHECK(as_utc("2026-11-01T07:30:00.123456789Z") == "2026-11-01T07:30:00.123Z");
    CHECK(as_utc("1970-01-01T00:00:00Z") == "1970-01-01T00:00:00Z");
    CHECK(as_utc("1969-12-31T23:59:59.999Z") == "1969-12-31T23:59:59.999Z");
    CHECK(parse_rfc3339("1969-12-31T23:59:59.999Z") == Instant::from_unix_ms(-1));
    CHECK(as_utc("2028-02-29T12:00:00Z") == "2028-02-29T12:00:00Z");
}

TEST_CASE("what is not RFC 3339 is refused") {
    for (const char* text : {"",
                             "2026-11-01",
                             "2026-11-01T07:30:00",
                             "2026-11-01T07:30:00Zjunk",
                             "26-11-01T07:30:00Z",
                             "2026-02-30T07:30:00Z",
                             "2026-13-01T07:30:00Z",
                             "2026-00-01T07:30:00Z",
                             "2026-11-00T07:30:00Z",
                             "2026-11-01T24:00:00Z",
                             "2026-11-01T07:60:00Z",
                             "2026-11-01T07:30:61Z",
                             "2026-11-01T07:30:00+6:00",
                             "2026-11-01T07:30:00+06",
                             "2026-11-01T07:30:00+24:00",
                             "2026-11-01T07:30:00.Z",
                             "2026/11/01T07:30:00Z",
                             "2026-11-01T07:30:00 Z",
                             "+2026-11-01T07:30:00Z",
                             "2027-02-29T12:00:00Z"}) {
        INFO(text);
        CHECK_FALSE(parse_rfc3339(text).has_value());
    }
}

TEST_CASE("second 60 is taken at the end of a UTC day only") {
    // RFC 3339 (2002), section 5.7: a leap second ends a UTC day.
    CHECK_FALSE(parse_rfc3339("2026-11-01T07:30:60Z").has_value());
    CHECK_FALSE(parse_rfc3339("1990-12-31T23:59:60-08:00").has_value());
    CHECK(as_utc("2016-12-31T23:59:60.250Z") == "2017-01-01T00:00:00.250Z");
}

TEST_CASE("a wall time carries no offset") {
    CHECK(parse_wall("2026-11-01 01:30") == WallTime{1793496600000});
    CHECK(parse_wall("2026-11-01T01:30:15") == WallTime{1793496615000});
    CHECK(parse_wall("2026-11-01 01:30:15.5") == WallTime{1793496615500});
    for (const char* text : {"2026-11-01 01:30Z", "2026-11-01", "01:30", "2026-11-01 1:30",
                             "2026-11-31 01:30", "11/01/2026 01:30", "2026-11-01 01:30 PM"}) {
        INFO(text);
        CHECK_FALSE(parse_wall(text).has_value());
    }
}

TEST_CASE("an unreadable time is refused with the way to write it") {
    try {
        parse_instant("half past one", Zone::named("America/Denver"));
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::bad_input);
        CHECK(error.text().what.find("half past one") != std::string::npos);
        CHECK(error.text().fix.find("2026-11-01 01:30") != std::string::npos);
    }
}

TEST_CASE("an instant is written as UTC, as RFC 3339 and as the wall showed it") {
    const Zone denver = Zone::named("America/Denver");
    const Instant second_pass = *parse_rfc3339("2026-11-01T08:30:00Z");
    CHECK(to_utc_text(second_pass) == "2026-11-01T08:30:00Z");
    CHECK(to_rfc3339(second_pass, denver) == "2026-11-01T01:30:00-07:00");
    CHECK(local_text(second_pass, denver) == "2026-11-01 01:30");
    CHECK(local_text_with_offset(second_pass, denver) == "2026-11-01 01:30 -07:00");
    CHECK(clock_text(second_pass + Span::seconds(7), denver) == "01:30:07");
    CHECK(offset_text(second_pass, Zone::named("Asia/Kathmandu")) == "+05:45");
    CHECK(to_rfc3339(second_pass + Span::milliseconds(20), denver) ==
          "2026-11-01T01:30:00.020-07:00");
}

TEST_CASE("what is written as RFC 3339 reads back as the same instant") {
    const Zone denver = Zone::named("America/Denver");
    const Instant from = *parse_rfc3339("2026-11-01T05:00:00Z");
    for (int i = 0; i < 4 * 60; ++i) { // over both passes of the repeated hour
        const Instant at = from + Span::minutes(i) + Span::milliseconds(i);
        CHECK(parse_rfc3339(to_rfc3339(at, denver)) == at);
        CHECK(parse_rfc3339(to_utc_text(at)) == at);
    }
}

TEST_CASE("dates are checked, counted and written") {
    CHECK(parse_date("2026-11-01") == LocalDate{2026, 11, 1});
    CHECK(to_text(LocalDate{2026, 3, 8}) == "2026-03-08");
    for (const char* text :
         {"2026-02-29", "2026-04-31", "2026-1-1", "01-11-2026", "2026-11-01 00:00", ""}) {
        INFO(text);
        CHECK_FALSE(parse_date(text).has_value());
    }
    // 1772956800 s / 86400 s: the epoch second of 2026-03-08T08:00:00Z, IEEE 1003.1 4.16 (from
    // memory).
    CHECK(day_number({2026, 3, 8}) == 1772956800 / 86400);
    CHECK(day_number({1970, 1, 1}) == 0);
    CHECK(day_number({1969, 12, 31}) == -1);
    for (const std::int64_t day : {-25567L, -1L, 0L, 59L, 11016L, 20758L}) {
        CHECK(day_number(date_from_day_number(day)) == day);
    }
    CHECK(date_of(*parse_wall("2026-11-01 00:00")) == LocalDate{2026, 11, 1});
    CHECK(date_of(WallTime{-1}) == LocalDate{1969, 12, 31});
}

TEST_CASE("an instant that an offset carries out of the years 1900 to 9999 is refused", "[base]") {
    // RFC 3339, 1: years of four digits. No thermometer logged before 1900 (our choice).
    CHECK(parse_rfc3339("9999-12-31T23:59:59.999Z"));
    CHECK(parse_rfc3339("1900-01-01T00:00:00Z"));
    CHECK_FALSE(parse_rfc3339("9999-12-31T23:59:59.999-12:59"));
    CHECK_FALSE(parse_rfc3339("1900-01-01T00:00:00+00:01"));
}
