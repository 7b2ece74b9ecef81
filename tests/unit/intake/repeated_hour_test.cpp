// Local times about the changes of the clocks, in files. Expected epoch seconds: computed with the
// IANA time zone database 2025b by Python's zoneinfo; text form: RFC 3339.
#include "text_rows.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::intake;

namespace {

std::string long_form(const std::vector<std::string>& times, const std::string& probe = "core") {
    std::string text;
    int tenths = 1400;
    for (const std::string& time : times) {
        --tenths;
        text += time + "," + probe + "," + std::to_string(tenths / 10) + "." +
                std::to_string(tenths % 10) + "\n";
    }
    return text;
}

const std::string kHeader = "time,probe,temp_f\n";

std::vector<std::int64_t> seconds_of(const CollectedSeries& series) {
    std::vector<std::int64_t> out;
    for (const auto& reading : series.readings) {
        out.push_back(reading.at.unix_ms() / 1000);
    }
    return out;
}

std::vector<std::int64_t> seconds(const std::string& zone, const std::vector<std::string>& times) {
    const Collected got = read_text(kHeader + long_form(times), in_zone(zone));
    return got.lots.empty() ? std::vector<std::int64_t>{} : seconds_of(got.lots[0].series[0]);
}

using Times = std::vector<std::int64_t>;

} // namespace

TEST_CASE("local times that occur once become their instant", "[intake][dst]") {
    CHECK(seconds("America/Chicago",
                  {"2026-03-07 23:30:00", "2026-03-08 01:59:59", "2026-03-08 03:00:00"}) ==
          Times{1772947800, 1772956799, 1772956800});
    CHECK(seconds("America/Chicago", {"2026-11-01 02:00:00"}) == Times{1793520000});
    CHECK(seconds("Europe/London", {"2026-03-29 02:00:00"}) == Times{1774746000});
    CHECK(seconds("Australia/Lord_Howe", {"2026-10-04 02:30:00"}) == Times{1791041400});
    CHECK(seconds("America/Phoenix", {"2026-03-08 02:30:00"}) == Times{1772962200});
    CHECK(seconds("Asia/Kathmandu", {"2026-01-01 00:00:00"}) == Times{1767204900});
}

TEST_CASE("local times that never occur are rejected with their neighbours",
          "[intake][dst][TIM-7]") {
    const auto reason = [](const std::string& zone, const std::string& time) {
        const Collected got = read_text(kHeader + long_form({time}), in_zone(zone));
        return got.rejects.size() == 1 ? got.rejects[0].reason : "accepted";
    };
    const std::string chicago = reason("America/Chicago", "2026-03-08 02:30:00");
    CHECK_THAT(chicago, Catch::Contains("never showed"));
    CHECK_THAT(chicago, Catch::Contains("2026-03-08T01:59:59-06:00"));
    CHECK_THAT(chicago, Catch::Contains("2026-03-08T03:00:00-05:00"));
    CHECK_THAT(reason("Europe/London", "2026-03-29 01:30:00"), Catch::Contains("never showed"));
    CHECK_THAT(reason("Australia/Sydney", "2026-10-04 02:30:00"), Catch::Contains("never showed"));
    CHECK_THAT(reason("Australia/Lord_Howe", "2026-10-04 02:15:00"),
               Catch::Contains("never showed"));
}

TEST_CASE("the order of the rows tells the passes of a repeated hour apart", "[intake][dst]") {
    CHECK(seconds("America/Chicago", {"2026-11-01 00:30:00", "2026-11-01 01:30:00",
                                      "2026-11-01 01:30:00", "2026-11-01 02:00:00"})
              .size() == 2); // equal times: no step back, so the order does not tell
    CHECK(seconds("America/Chicago",
                  {"2026-11-01 00:30:00", "2026-11-01 01:30:00", "2026-11-01 01:00:00",
                   "2026-11-01 01:30:00", "2026-11-01 02:00:00"}) ==
          Times{1793511000, 1793514600, 1793516400, 1793518200, 1793520000});
    CHECK(seconds("Europe/London",
                  {"2026-10-25 01:30:00", "2026-10-25 01:00:00", "2026-10-25 01:30:00"}) ==
          Times{1792888200, 1792890000, 1792891800});
    CHECK(seconds("Australia/Sydney",
                  {"2026-04-05 02:30:00", "2026-04-05 02:00:00", "2026-04-05 02:30:00"}) ==
          Times{1775316600, 1775318400, 1775320200});
    CHECK(seconds("Australia/Lord_Howe", {"2026-04-05 01:45:00", "2026-04-05 01:30:00",
                                          "2026-04-05 01:45:00", "2026-04-05 02:00:00"}) ==
          Times{1775313900, 1775314800, 1775315700, 1775316600});
}

TEST_CASE("rows of a repeated hour without a step back are rejected, both readings offered",
          "[intake][dst]") {
    const std::string text = kHeader + long_form({"2026-11-01 00:30:00", "2026-11-01 01:30:00",
                                                  "2026-11-01 01:40:00", "2026-11-01 02:00:00"});
    const Collected got = read_text(text, in_zone("America/Chicago"));
    CHECK(got.summary.accepted == 2);
    REQUIRE(got.rejects.size() == 2);
    CHECK(got.rejects[0].line == 3);
    CHECK_THAT(got.rejects[0].reason, Catch::Contains("2026-11-01T01:30:00-05:00"));
    CHECK_THAT(got.rejects[0].reason, Catch::Contains("2026-11-01T01:30:00-06:00"));
    CHECK_THAT(got.rejects[0].reason, Catch::Contains("--repeated-hour"));

    CsvOptions first = in_zone("America/Chicago");
    first.repeated_hour = RepeatedHour::first;
    CHECK(seconds_of(read_text(text, first).lots[0].series[0]) ==
          Times{1793511000, 1793514600, 1793515200, 1793520000});
    first.repeated_hour = RepeatedHour::second;
    CHECK(seconds_of(read_text(text, first).lots[0].series[0]) ==
          Times{1793511000, 1793518200, 1793518800, 1793520000});
}

TEST_CASE("two steps back in a repeated hour are disorder, not a change of the clocks",
          "[intake][dst]") {
    const Collected got = read_text(
        kHeader + long_form({"2026-11-01 01:30:00", "2026-11-01 01:10:00", "2026-11-01 01:05:00"}),
        in_zone("America/Chicago"));
    CHECK(got.summary.rejected == 3);
}

TEST_CASE("a series that was out of order before, or leaves the hour backwards, is not trusted",
          "[intake][dst]") {
    const Collected late = read_text(
        kHeader + long_form({"2026-11-01 00:30:00", "2026-11-01 00:20:00", "2026-11-01 01:50:00",
                             "2026-11-01 01:10:00", "2026-11-01 02:10:00"}),
        in_zone("America/Chicago"));
    CHECK(late.summary.rejected == 2);
    CHECK(late.summary.out_of_order == 1);
    const Collected backwards = read_text(
        kHeader + long_form({"2026-11-01 01:50:00", "2026-11-01 01:10:00", "2026-11-01 00:50:00"}),
        in_zone("America/Chicago"));
    CHECK(backwards.summary.rejected == 2);
    CHECK(backwards.summary.accepted == 1);
}

TEST_CASE("each probe of a long file has an order of its own", "[intake][dst]") {
    const std::vector<std::string> night{"2026-11-01 00:50:00", "2026-11-01 01:50:00",
                                         "2026-11-01 01:10:00", "2026-11-01 02:10:00"};
    const Times expected{1793512200, 1793515800, 1793517000, 1793520600};
    // One probe after the other: between them the wall clock runs back.
    const Collected apart = read_text(
        kHeader + long_form(night, "flat") + long_form(night, "point"), in_zone("America/Chicago"));
    REQUIRE(apart.lots.at(0).series.size() == 2);
    CHECK(seconds_of(apart.lots[0].series[0]) == expected);
    CHECK(seconds_of(apart.lots[0].series[1]) == expected);
}

TEST_CASE("two loggers a few seconds apart are no change of the clocks", "[intake][dst]") {
    const Collected got =
        read_text(kHeader + "2026-11-01 00:50:00,a,140\n2026-11-01 00:50:00,b,140\n"
                            "2026-11-01 01:30:05,a,140\n"
                            "2026-11-01 01:30:03,b,140\n"
                            "2026-11-01 02:10:00,a,140\n"
                            "2026-11-01 02:10:00,b,140\n",
                  in_zone("America/Chicago"));
    CHECK(got.summary.rejected == 2);
}

TEST_CASE("a probe read once in the hour follows the order of the whole file", "[intake][dst]") {
    const Collected got = read_text(kHeader + "2026-11-01 00:50:00,a,140\n"
                                              "2026-11-01 01:40:00,a,140\n"
                                              "2026-11-01 01:50:00,hand,141\n"
                                              "2026-11-01 01:10:00,a,140\n"
                                              "2026-11-01 01:20:00,other,142\n"
                                              "2026-11-01 02:10:00,hand,140\n"
                                              "2026-11-01 02:20:00,a,140\n",
                                    in_zone("America/Chicago"));
    CHECK(got.summary.rejected == 0);
    REQUIRE(got.lots.at(0).series.size() == 3);
    CHECK(seconds_of(got.lots[0].series[1]) == Times{1793515800, 1793520600});
    CHECK(seconds_of(got.lots[0].series[2]) == Times{1793517600});
}

TEST_CASE("a wide row in the repeated hour is placed whole and rejected once", "[intake][dst]") {
    const std::string rows = "time,a_f,b_f\n2026-11-01 01:50:00,140,141\n";
    const Collected placed =
        read_text(rows + "2026-11-01 01:10:00,139,140\n", in_zone("America/Chicago"));
    CHECK(placed.summary.accepted == 4);
    CHECK(seconds_of(placed.lots.at(0).series.at(1)) == Times{1793515800, 1793517000});
    const Collected open = read_text(rows, in_zone("America/Chicago"));
    CHECK(open.summary.rejected == 1);
}

TEST_CASE("rows waiting for their order are bounded", "[intake][dst]") {
    CsvOptions options = in_zone("America/Chicago");
    options.most_held_rows = 2;
    const Collected got = read_text(
        kHeader + long_form({"2026-11-01 01:10:00", "2026-11-01 01:20:00", "2026-11-01 01:30:00"}),
        options);
    CHECK(got.summary.rejected == 3);
    CHECK_THAT(got.rejects.at(0).reason, Catch::Contains("too many rows wait"));
}

TEST_CASE("other forms of time are read when named", "[intake]") {
    const auto first = [](const std::string& format, const std::string& time,
                          const std::string& zone) {
        CsvOptions options = in_zone(zone);
        options.time_format = format;
        const Collected got = read_text("time;temp_f\n" + time + ";140\n", options);
        return got.lots.empty() ? -1 : got.lots[0].series[0].readings[0].at.unix_ms();
    };
    CHECK(first("unix", "1793520000", "America/Chicago") == 1793520000'000);
    CHECK(first("unix-ms", "1793520000125", "America/Chicago") == 1793520000'125);
    CHECK(first("%d.%m.%Y %H:%M", "01.11.2026 02:00", "America/Chicago") == 1793520000'000);
    CHECK(first("%m/%d/%Y %I:%M:%S %p", "11/01/2026 02:00:00 AM", "America/Chicago") ==
          1793520000'000);
    CHECK(first("%Y-%m-%dT%H:%M:%S%z", "2026-11-01T02:00:00-0600", "America/Chicago") ==
          1793520000'000);
    CHECK(first("%d.%m.%Y %H:%M", "01.11.2026 02:00 and more", "America/Chicago") == -1);
    CHECK(first("%d.%m.%Y %H:%M", "31.02.2026 02:00", "America/Chicago") == -1);
    CHECK(first("", "2026-12-31T23:59:60Z", "America/Chicago") == 1798761600'000);
    CHECK(first("", "2026-11-01T02:00:00.250-06:00", "America/Chicago") == 1793520000'250);
}
