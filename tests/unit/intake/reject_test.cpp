#include "text_rows.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::intake;

namespace {

/// The reason the second line of a file of this header is rejected for.
std::string reason_of(const std::string& header, const std::string& row,
                      const CsvOptions& options = {}) {
    const Collected got = read_text(header + "\n" + row + "\n", options);
    if (got.summary.accepted != 0 || got.rejects.size() != 1) {
        return "accepted";
    }
    CHECK(got.rejects[0].line == 2);
    return got.rejects[0].reason;
}

} // namespace

TEST_CASE("values that are no temperature are rejected with the reason",
          "[intake][REC-23][REC-4]") {
    const auto says = [](const std::string& value, const std::string& part) {
        INFO(value);
        CHECK_THAT(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,core," + value),
                   Catch::Contains(part));
    };
    says("", "the temperature is empty");
    says("   ", "the temperature is empty");
    for (const char* word : {"nan", "NaN", "-nan", "inf", "-Infinity", "1e999", "OPEN", "0x3C",
                             "--5", "+-5", "6 0", "60.5.1", "1 2F"}) {
        says(word, "is not a temperature");
    }
    says("-80.001", "outside -80 to 500 °C");
    says("500.001", "outside -80 to 500 °C");
    says("-32768", "outside -80 to 500 °C");
    says("1e30", "is not a temperature");
    says("140F", "is not in the column's scale");
    CHECK(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,core,-80") == "accepted");
    CHECK(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,core,500") == "accepted");
    CHECK(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,core,60 °C") == "accepted");
}

TEST_CASE("a bare number needs a scale", "[intake]") {
    CHECK_THAT(reason_of("time,probe,temp", "2026-11-01T00:00:00Z,core,60"),
               Catch::Contains("no scale; give --scale"));
    CHECK(reason_of("time,probe,temp", "2026-11-01T00:00:00Z,core,60C") == "accepted");
    CHECK_THAT(reason_of("time,probe,temp,scale", "2026-11-01T00:00:00Z,core,60,K"),
               Catch::Contains("'K' is not a scale"));
    CHECK(reason_of("time,probe,temp,scale", "2026-11-01T00:00:00Z,core,60,C") == "accepted");
    CsvOptions options;
    options.scale = Scale::fahrenheit;
    CHECK(reason_of("time,probe,temp", "2026-11-01T00:00:00Z,core,140", options) == "accepted");
}

TEST_CASE("times that cannot be read are rejected", "[intake]") {
    const auto says = [](const std::string& time, const std::string& part,
                         const CsvOptions& options = {}) {
        INFO(time);
        CHECK_THAT(reason_of("time,probe,temp_c", time + ",core,60", options),
                   Catch::Contains(part));
    };
    says("", "the time is empty");
    says("yesterday", "cannot be read");
    says("2026-02-30T00:00:00Z", "cannot be read");
    says("2026-11-01T24:00:00Z", "cannot be read");
    says("2026-11-01T00:00:00Zjunk", "cannot be read");
    says("2026-11-01T00:00:00+25:00", "cannot be read");
    says("26-11-01T00:00:00Z", "cannot be read");
    says("1793514600", "cannot be read");
    says("2026-11-01 01:30:00", "no zone is named; give --zone");
    says("2040-07-01 12:00:00", "not known past 2037", in_zone("America/Chicago"));
    CsvOptions unix_time;
    unix_time.time_format = "unix";
    says("1793514600.5", "whole seconds", unix_time);
    says("99999999999999", "whole seconds", unix_time);
}

TEST_CASE("an instant past 2037 is taken from RFC 3339 and noted", "[intake]") {
    // HowardHinnant/date issue 794: zone files list their changes to 2037 only.
    const Collected got = read_text("time,probe,temp_c\n2040-07-01T12:00:00-05:00,core,60\n",
                                    in_zone("America/Chicago"));
    CHECK(got.summary.accepted == 1);
    REQUIRE(got.summary.notes.size() == 1);
    CHECK_THAT(got.summary.notes[0], Catch::Contains("past 2037"));
}

TEST_CASE("bytes that are not text are rejected", "[intake]") {
    CHECK_THAT(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,co\xFF,60"),
               Catch::Contains("not well-formed UTF-8"));
    CHECK_THAT(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,co\xC3\x28,60"),
               Catch::Contains("not well-formed UTF-8"));
    CHECK_THAT(reason_of("time,probe,temp_c", std::string{"2026-11-01T00:00:00Z,co\0re,60", 29}),
               Catch::Contains("NUL byte"));
}

TEST_CASE("a row longer than any sensible one is rejected and the next is read", "[intake]") {
    CsvOptions options;
    options.longest_row_bytes = 1000;
    const std::string good = "2026-11-01T00:00:00Z,core,60\n";
    const std::string text = "time,probe,temp_c\n" + std::string(1'000'000, 'x') + "\n" + good +
                             "2026-11-01T00:01:00Z,\"" + std::string(5000, 'y') + "\n" + good;
    const Collected got = read_text(text, options);
    CHECK(got.summary.rows == 4);
    CHECK(got.summary.duplicates == 1);
    REQUIRE(got.rejects.size() == 2);
    CHECK(got.rejects[0].line == 2);
    CHECK(got.rejects[0].text.size() <= 204);
    CHECK(got.rejects[1].line == 4);
}

TEST_CASE("unknown stages, nameless probes and hostile names are rejected or shown harmlessly",
          "[intake]") {
    CHECK_THAT(reason_of("time,probe,temp_c,stage", "2026-11-01T00:00:00Z,core,60,resing"),
               Catch::Contains("'resing' is no stage"));
    CHECK(reason_of("time,probe,temp_c", "2026-11-01T00:00:00Z,,60") == "the row names no probe");
    const Collected got = read_text("time,probe,temp_c\n2026-11-01T00:00:00Z,\x1B[2J,hot\n");
    CHECK(got.rejects.at(0).text == "2026-11-01T00:00:00Z,\\x1B[2J,hot");
}

TEST_CASE("more probes than any sensible file has are rejected", "[intake]") {
    CsvOptions options;
    options.most_series = 2;
    const Collected got = read_text("time,probe,temp_c\n"
                                    "2026-11-01T00:00:00Z,a,60\n2026-11-01T00:00:00Z,b,60\n"
                                    "2026-11-01T00:00:00Z,c,60\n2026-11-01T00:01:00Z,a,60\n",
                                    options);
    CHECK(got.summary.accepted == 3);
    CHECK(got.rejects.at(0).line == 4);
}

TEST_CASE("a row that ends a lot needs no temperature", "[intake]") {
    const Collected got = read_text("time,lot,probe,temp_f,stage\n"
                                    "2026-11-01T00:00:00Z,brisket,core,140,hot-holding\n"
                                    "2026-11-01T01:00:00Z,brisket,core,140,\n"
                                    "2026-11-01T02:00:00Z,brisket,,,served\n"
                                    "2026-11-01T02:00:00Z,brisket,,,cooling\n");
    REQUIRE(got.lots.size() == 1);
    CHECK(got.summary.accepted == 3);
    REQUIRE(got.rejects.size() == 1);
    CHECK(got.rejects[0].reason == "the temperature is empty");
    REQUIRE(got.lots[0].marks.size() == 2);
    CHECK(got.lots[0].marks[0].stage == Stage::hot_holding);
    CHECK(got.lots[0].marks[1].outcome == Outcome::served);
}

TEST_CASE("a missing file, a folder and an unreadable name are told apart", "[intake]") {
    CHECK_THROWS_WITH(file_source("/nonexistent/hold.csv"), Catch::Contains("there is no file"));
    std::string first(10, ' ');
    CHECK_THROWS_WITH(file_source("/")(first.data(), first.size()),
                      Catch::Contains("cannot be read"));
}
