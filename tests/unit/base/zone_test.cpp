// Local time against the IANA time zone database, release 2025b, and the US Energy Policy Act of
// 2005 (from memory): daylight time from the second Sunday of March to the first of November. The
// instants were worked out with Python's zoneinfo from the same release.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/zone.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;

namespace {

Resolved resolved(const char* zone, const char* wall) {
    const auto parsed = parse_wall(wall);
    REQUIRE(parsed.has_value());
    return Zone::named(zone).resolve(*parsed);
}

Instant at(const char* rfc3339) {
    const auto parsed = parse_rfc3339(rfc3339);
    REQUIRE(parsed.has_value());
    return *parsed;
}

Instant local(const char* zone, const char* wall) {
    return parse_instant(wall, Zone::named(zone));
}

} // namespace

TEST_CASE("TIM-9: a wall time that was shown once is that instant", "[TIM-9]") {
    struct Case {
        const char* zone;
        const char* wall;
        const char* offset;
        const char* utc;
        std::int64_t unix_s;
    };
    const Case cases[] = {
        {"America/Chicago", "2026-03-07 23:30:00", "-06:00", "2026-03-08T05:30:00Z", 1772947800},
        {"America/Chicago", "2026-03-08 01:59:59", "-06:00", "2026-03-08T07:59:59Z", 1772956799},
        {"America/Chicago", "2026-03-08 03:00:00", "-05:00", "2026-03-08T08:00:00Z", 1772956800},
        {"America/Chicago", "2026-11-01 02:00:00", "-06:00", "2026-11-01T08:00:00Z", 1793520000},
        {"Europe/London", "2026-03-29 02:00:00", "+01:00", "2026-03-29T01:00:00Z", 1774746000},
        {"Australia/Lord_Howe", "2026-10-04 02:30:00", "+11:00", "2026-10-03T15:30:00Z",
         1791041400},
        {"America/Phoenix", "2026-03-08 02:30:00", "-07:00", "2026-03-08T09:30:00Z", 1772962200},
        {"Asia/Kathmandu", "2026-01-01 00:00:00", "+05:45", "2025-12-31T18:15:00Z", 1767204900},
    };
    for (const Case& c : cases) {
        INFO(c.zone << " " << c.wall);
        const Resolved found = resolved(c.zone, c.wall);
        REQUIRE(std::holds_alternative<Once>(found));
        const Instant instant = std::get<Once>(found).at;
        CHECK(instant == Instant::from_unix_s(c.unix_s));
        CHECK(to_utc_text(instant) == c.utc);
        const Zone zone = Zone::named(c.zone);
        CHECK(offset_text(instant, zone) == c.offset);
        CHECK(zone.wall(instant) == *parse_wall(c.wall));
    }
}

TEST_CASE("a wall time that was shown twice has both instants", "[TIM-9]") {
    struct Case {
        const char* zone;
        const char* wall;
        std::int64_t first_s;
        std::int64_t second_s;
    };
    const Case cases[] = {
        {"America/Chicago", "2026-11-01 01:30:00", 1793514600, 1793518200},
        {"Europe/London", "2026-10-25 01:30:00", 1792888200, 1792891800},
        {"Australia/Sydney", "2026-04-05 02:30:00", 1775316600, 1775320200},
        {"Australia/Lord_Howe", "2026-04-05 01:45:00", 1775313900, 1775315700}, // half an hour
    };
    for (const Case& c : cases) {
        INFO(c.zone << " " << c.wall);
        const Resolved found = resolved(c.zone, c.wall);
        REQUIRE(std::holds_alternative<Twice>(found));
        CHECK(std::get<Twice>(found).first == Instant::from_unix_s(c.first_s));
        CHECK(std::get<Twice>(found).second == Instant::from_unix_s(c.second_s));
    }
}

TEST_CASE("a wall time that was never shown has its neighbours", "[TIM-9]") {
    struct Case {
        const char* zone;
        const char* wall;
        const char* after;
    };
    // The first instants after the gap: 03:00 CDT, 02:00 BST, 03:00 AEDT, 02:30 +11.
    const Case cases[] = {
        {"America/Chicago", "2026-03-08 02:30:00", "2026-03-08T08:00:00Z"},
        {"Europe/London", "2026-03-29 01:30:00", "2026-03-29T01:00:00Z"},
        {"Australia/Sydney", "2026-10-04 02:30:00", "2026-10-03T16:00:00Z"},
        {"Australia/Lord_Howe", "2026-10-04 02:15:00", "2026-10-03T15:30:00Z"},
    };
    for (const Case& c : cases) {
        INFO(c.zone << " " << c.wall);
        const Resolved found = resolved(c.zone, c.wall);
        REQUIRE(std::holds_alternative<Never>(found));
        CHECK(std::get<Never>(found).after == at(c.after));
        CHECK(std::get<Never>(found).before == at(c.after) - Span::milliseconds(1));
    }
}

TEST_CASE("the edges of the repeated and the missing hour belong to one side") {
    // America/Chicago, 2026: 01:00:00 to 01:59:59 twice on 1 November, 02:00:00 to 02:59:59 never
    // on 8 March.
    CHECK(std::holds_alternative<Once>(resolved("America/Chicago", "2026-11-01 00:59:59.999")));
    CHECK(std::holds_alternative<Twice>(resolved("America/Chicago", "2026-11-01 01:00:00")));
    CHECK(std::holds_alternative<Twice>(resolved("America/Chicago", "2026-11-01 01:59:59.999")));
    CHECK(std::holds_alternative<Once>(resolved("America/Chicago", "2026-11-01 02:00:00")));
    CHECK(std::holds_alternative<Never>(resolved("America/Chicago", "2026-03-08 02:00:00")));
    CHECK(std::holds_alternative<Never>(resolved("America/Chicago", "2026-03-08 02:59:59.999")));
}

TEST_CASE("TIM-2: the length of a night on which the clocks change is its true length", "[TIM-2][TIM-9]") {
    struct Case {
        const char* zone;
        const char* from;
        const char* to;
        Span length;
    };
    const Case cases[] = {
        {"America/Chicago", "2026-03-07 23:30", "2026-03-08 05:30", Span::hours(5)},
        {"America/Chicago", "2026-10-31 23:30", "2026-11-01 05:30", Span::hours(7)},
        {"Europe/London", "2026-03-28 23:00", "2026-03-29 05:00", Span::hours(5)},
        {"Europe/London", "2026-10-24 23:00", "2026-10-25 05:00", Span::hours(7)},
        {"Australia/Sydney", "2026-04-04 23:00", "2026-04-05 05:00", Span::hours(7)},
        {"Australia/Lord_Howe", "2026-04-04 23:00", "2026-04-05 05:00", Span::minutes(390)},
        {"Australia/Lord_Howe", "2026-10-03 23:00", "2026-10-04 05:00", Span::minutes(330)},
        {"America/Denver", "2026-10-31 18:00", "2026-11-01 06:00", Span::hours(13)},
    };
    for (const Case& c : cases) {
        INFO(c.zone << " " << c.from);
        CHECK((local(c.zone, c.to) - local(c.zone, c.from) == c.length));
    }
}

TEST_CASE("an ambiguous time is refused with both readings, each of which is then taken",
          "[TIM-7]") {
    const Zone denver = Zone::named("America/Denver");
    try {
        parse_instant("2026-11-01 01:30", denver);
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::bad_input);
        CHECK(error.text().what.find("2026-11-01 01:30") != std::string::npos);
        CHECK(error.text().what.find("America/Denver") != std::string::npos);
        CHECK(error.text().fix.find("2026-11-01T01:30:00-06:00") != std::string::npos);
        CHECK(error.text().fix.find("2026-11-01T01:30:00-07:00") != std::string::npos);
    }
    CHECK(parse_instant("2026-11-01T01:30:00-06:00", denver) == at("2026-11-01T07:30:00Z"));
    CHECK(parse_instant("2026-11-01T01:30:00-07:00", denver) == at("2026-11-01T08:30:00Z"));
}

TEST_CASE("a missing time is refused with its neighbours", "[TIM-7]") {
    try {
        parse_instant("2026-03-08 02:30", Zone::named("America/Denver"));
        FAIL("accepted");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::bad_input);
        CHECK(error.text().fix.find("2026-03-08T01:59:59-07:00") != std::string::npos);
        CHECK(error.text().fix.find("2026-03-08T03:00:00-06:00") != std::string::npos);
    }
}

TEST_CASE("the system's zone data carries its rules forward", "[TIM-9]") {
    // With "slim" zone files and a library that ignores their closing rule, July 2030 would be CST.
    const Zone chicago = Zone::named("America/Chicago");
    CHECK(chicago.abbreviation(at("2030-07-01T18:00:00Z")) == "CDT");
    CHECK(chicago.abbreviation(at("2030-12-01T18:00:00Z")) == "CST");
    CHECK(chicago.offset_s(at("2037-07-01T18:00:00Z")) == -5 * 3600);
}

TEST_CASE("past the listed rules an instant is flagged where the clocks change, and only there") {
    const Zone chicago = Zone::named("America/Chicago");
    CHECK_FALSE(chicago.beyond_rules(at("2037-12-31T23:59:59Z")));
    CHECK(chicago.beyond_rules(at("2038-01-01T00:00:00Z")));
    CHECK(chicago.beyond_rules(at("2038-07-01T18:00:00Z")));
    CHECK_FALSE(Zone::named("America/Phoenix").beyond_rules(at("2038-07-01T18:00:00Z")));
    CHECK_FALSE(Zone::utc().beyond_rules(at("2038-07-01T18:00:00Z")));
}

TEST_CASE("a zone knows whether its clocks change") {
    CHECK(Zone::named("America/Denver").has_rules(at("2026-11-01T00:00:00Z")));
    CHECK_FALSE(Zone::named("America/Phoenix").has_rules(at("2026-11-01T00:00:00Z")));
    CHECK_FALSE(Zone::named("Asia/Kathmandu").has_rules(at("2026-11-01T00:00:00Z")));
}

TEST_CASE("an unknown zone is refused with a name that works") {
    for (const char* name : {"Larkspur/Yard", "", "MDT!", "../etc/passwd", "america/denver"}) {
        INFO(name);
        try {
            Zone::named(name);
            FAIL("accepted");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::bad_input);
            CHECK(error.text().fix.find("America/Denver") != std::string::npos);
        }
    }
}

TEST_CASE("a day starts at its first instant, though midnight was skipped or repeated") {
    // America/Sao_Paulo skipped 00:00 to 01:00 on 2018-11-04; America/Havana repeats it on
    // 2026-11-01.
    CHECK(start_of({2018, 11, 4}, Zone::named("America/Sao_Paulo")) == at("2018-11-04T03:00:00Z"));
    CHECK(start_of({2026, 11, 1}, Zone::named("America/Havana")) == at("2026-11-01T04:00:00Z"));
    CHECK(start_of({2026, 11, 1}, Zone::named("America/Denver")) == at("2026-11-01T06:00:00Z"));
    CHECK((start_of({2026, 11, 2}, Zone::named("America/Denver")) -
               start_of({2026, 11, 1}, Zone::named("America/Denver")) ==
           Span::hours(25)));
}
