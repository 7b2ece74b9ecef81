#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/time_axis.hpp>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace holdwarden;
using namespace holdwarden::sheets;

// The clock changes are those of the IANA time zone database (2025b, from memory: Denver goes back
// at 2026-11-01 08:00Z and forward at 2026-03-08 09:00Z; Lord Howe goes back half an hour at
// 2026-04-04 15:00Z). US rule: Energy Policy Act of 2005, section 110.
namespace {

Instant at(const char* text) {
    return *parse_rfc3339(text);
}

const Zone kDenver = Zone::named("America/Denver");

std::vector<std::string> labels(const std::vector<AxisTick>& ticks) {
    std::vector<std::string> all;
    for (const AxisTick& tick : ticks) {
        all.push_back(tick.clock + (tick.offset.empty() ? "" : " " + tick.offset));
    }
    return all;
}

} // namespace

TEST_CASE("the hour that the clocks repeat is shown twice, each with its offset") {
    const auto ticks =
        axis_ticks(at("2026-10-31T22:00:00-06:00"), at("2026-11-01T05:00:00-07:00"), kDenver, 10);
    CHECK(labels(ticks) == std::vector<std::string>{"22:00", "23:00", "00:00", "01:00 -06:00",
                                                    "01:00 -07:00", "02:00", "03:00", "04:00",
                                                    "05:00"});
    // True time: each of these is one hour after the one before.
    for (std::size_t i = 1; i < ticks.size(); ++i) {
        CHECK(ticks[i].at - ticks[i - 1].at == Span::hours(1));
    }
}

TEST_CASE("an axis of coarse steps still shows both passes of the repeated hour") {
    const auto ticks =
        axis_ticks(at("2026-10-31T12:00:00-06:00"), at("2026-11-01T12:00:00-07:00"), kDenver, 10);
    const auto all = labels(ticks);
    CHECK(std::ranges::count(all, "01:00 -06:00") == 1);
    CHECK(std::ranges::count(all, "01:00 -07:00") == 1);
    CHECK(all.front() == "12:00");
    CHECK(all.back() == "12:00");
    CHECK(ticks.back().at - ticks.front().at == Span::hours(25));
    for (const AxisTick& tick : ticks) {
        CHECK(clock_text(tick.at, kDenver) == tick.clock);
    }
}

TEST_CASE("an hour that the clocks skip has no tick") {
    const auto ticks =
        axis_ticks(at("2026-03-07T23:00:00-07:00"), at("2026-03-08T05:00:00-06:00"), kDenver, 6);
    CHECK(labels(ticks) ==
          std::vector<std::string>{"23:00", "00:00", "01:00", "03:00", "04:00", "05:00"});
    CHECK(ticks[3].at - ticks[2].at == Span::hours(1));
}

TEST_CASE("the date stands at the first tick and at the first of each date") {
    const auto ticks =
        axis_ticks(at("2026-03-07T22:00:00-07:00"), at("2026-03-08T04:00:00-06:00"), kDenver, 6);
    CHECK(ticks[0].date == "2026-03-07");
    CHECK(ticks[1].date.empty());
    CHECK(ticks[2].date == "2026-03-08");
    CHECK(ticks[2].clock == "00:00");
}

TEST_CASE("a change of half an hour keeps ticks on the wall clock") {
    const Zone zone = Zone::named("Australia/Lord_Howe");
    const auto ticks = axis_ticks(at("2026-04-04T13:00:00Z"), at("2026-04-04T17:00:00Z"), zone, 10);
    for (const AxisTick& tick : ticks) {
        CHECK(clock_text(tick.at, zone) == tick.clock);
    }
    const auto all = labels(ticks);
    CHECK(std::ranges::count(all, "01:30 +11:00") == 1);
    CHECK(std::ranges::count(all, "01:30 +10:30") == 1);
}

TEST_CASE("ticks of an axis of any length are neither too many nor none") {
    const Instant from = at("2026-10-31T12:34:56-06:00");
    for (const std::int64_t minutes : {1, 7, 59, 61, 600, 1500, 4321, 20'000, 400'000, 3'000'000}) {
        const auto ticks = axis_ticks(from, from + Span::minutes(minutes), kDenver, 10);
        INFO(minutes);
        CHECK(ticks.size() <= 14);
        CHECK(ticks.size() >= (minutes >= 7 ? 2 : 1));
    }
}

TEST_CASE("a night runs from noon to noon in true time") {
    // Denver, 31 October 2026: 25 hours; 7 March 2026: 23 hours; an ordinary night: 24.
    const auto hours = [](int year, unsigned month, unsigned day) {
        const Period night = night_of({year, month, day}, kDenver);
        return (night.to - night.from).ms() / 3'600'000;
    };
    CHECK(hours(2026, 10, 31) == 25);
    CHECK(hours(2026, 3, 7) == 23);
    CHECK(hours(2026, 7, 1) == 24);
    CHECK(night_of({2026, 10, 31}, kDenver).from == at("2026-10-31T18:00:00Z"));
}

TEST_CASE("TIM-8: a sheet says which of its days is not 24 hours long", "[TIM-8]") {
    const LocalTimes back{kDenver, night_of({2026, 10, 31}, kDenver)};
    REQUIRE(back.day_notes().size() == 1);
    CHECK(back.day_notes()[0].find("2026-11-01 has 25 hours") == 0);
    CHECK(back.day_notes()[0].find("from 02:00 to 01:00") != std::string::npos);
    const LocalTimes forward{kDenver, night_of({2026, 3, 7}, kDenver)};
    REQUIRE(forward.day_notes().size() == 1);
    CHECK(forward.day_notes()[0].find("2026-03-08 has 23 hours") == 0);
    CHECK(forward.day_notes()[0].find("from 02:00 to 03:00") != std::string::npos);
    const LocalTimes plain{kDenver, night_of({2026, 7, 1}, kDenver)};
    CHECK(plain.day_notes().empty());
    const Zone lord_howe = Zone::named("Australia/Lord_Howe");
    const LocalTimes half{lord_howe, night_of({2026, 4, 4}, lord_howe)};
    REQUIRE(half.day_notes().size() == 1);
    CHECK(half.day_notes()[0].find("2026-04-05 has 1 d 30 min") == 0);
}

TEST_CASE("in the repeated hour each row prints its offset, on an ordinary night none does",
          "[TIM-8]") {
    const LocalTimes night{kDenver, night_of({2026, 10, 31}, kDenver)};
    CHECK(night.row(at("2026-11-01T07:30:00Z")) == "2026-11-01 01:30 -06:00");
    CHECK(night.row(at("2026-11-01T08:30:00Z")) == "2026-11-01 01:30 -07:00");
    const LocalTimes plain{kDenver, night_of({2026, 7, 1}, kDenver)};
    CHECK(plain.row(at("2026-07-02T07:30:00Z")) == "2026-07-02 01:30");
    CHECK(plain.full(at("2026-07-02T07:30:00Z")) == "2026-07-02 01:30 -06:00");
}

TEST_CASE("a period that ends within the repeated hour still prints offsets") {
    const LocalTimes times{kDenver,
                           {at("2026-11-01T00:00:00-06:00"), at("2026-11-01T01:45:00-06:00")}};
    CHECK(times.row(at("2026-11-01T01:30:00-06:00")) == "2026-11-01 01:30 -06:00");
}
