#include <holdwarden/base/error.hpp>
#include <holdwarden/base/instant.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;

namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
    a + b;
};
static_assert(!Addable<Instant, Instant>); // two points of time have no sum
static_assert(!std::is_convertible_v<int, Span>);

} // namespace

TEST_CASE("a length of time is read in the forms people write") {
    CHECK((parse_span("2h") == Span::hours(2)));
    CHECK((parse_span("30min") == Span::minutes(30)));
    CHECK((parse_span("1h30m") == Span::minutes(90)));
    CHECK((parse_span("90 s") == Span::seconds(90)));
    CHECK((parse_span(" 2 h 5 min ") == Span::minutes(125)));
    CHECK((parse_span("7d") == Span::hours(168)));
    CHECK((parse_span("250ms") == Span::milliseconds(250)));
    CHECK((parse_span("2 hours") == parse_span("120 minutes")));
    CHECK((parse_span("1 day") == parse_span("86400 seconds")));
    CHECK((parse_span("0 min") == Span{}));
}

TEST_CASE("what is not a length of time is refused with the way to write it") {
    for (const char* text : {"", "2", "h", "-5min", "-0h", "2 fortnights", "1.5h", "2h junk",
                             "99999999999999999999h", "200000 d", "2H"}) {
        INFO(text);
        try {
            parse_span(text);
            FAIL("accepted");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::bad_input);
            CHECK(error.text().fix.find("1h30m") != std::string::npos);
        }
    }
}

TEST_CASE("a length of time is written in days, hours, minutes and seconds") {
    CHECK(to_text(Span::minutes(125)) == "2 h 5 min");
    CHECK(to_text(Span::hours(2)) == "2 h");
    CHECK(to_text(Span::seconds(47)) == "47 s");
    CHECK(to_text(Span::minutes(27 * 60 + 20)) == "1 d 3 h 20 min");
    CHECK(to_text(Span{}) == "0 min");
    CHECK(to_text(Span::milliseconds(20)) == "20 ms");
    CHECK(to_text(Span::minutes(-5)) == "-5 min");
}

TEST_CASE("a written length reads back as itself, to the second") {
    for (std::int64_t s = 0; s < 400'000; s += 977) {
        CHECK((parse_span(to_text(Span::seconds(s))) == Span::seconds(s)));
    }
}
