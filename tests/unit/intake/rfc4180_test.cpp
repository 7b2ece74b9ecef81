// RFC 4180 (October 2005), section 2, rule by rule.
#include "text_rows.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::intake;

namespace {

const std::string kHeader = "time,probe,temp_f\r\n";

std::string probe_of(const std::string& row, const std::string& end = "\r\n") {
    const Collected got = read_text(kHeader + row + end);
    REQUIRE(got.summary.rejected == 0);
    REQUIRE(got.lots.size() == 1);
    return got.lots[0].series.at(0).probe;
}

} // namespace

TEST_CASE("rows end in CRLF, LF is taken as well", "[intake][rfc4180]") {
    // Rule 1.
    for (const std::string end : {"\r\n", "\n"}) {
        const Collected got =
            read_text("time,probe,temp_f" + end + "2026-11-01T00:00:00Z,core,140" + end +
                      "2026-11-01T00:01:00Z,core,139.5" + end);
        CHECK(got.summary.accepted == 2);
        CHECK(got.lots[0].series[0].readings[1].value ==
              Temperature::of_thousandths(139'500, Scale::fahrenheit));
        CHECK(got.lots[0].series[0].readings[1].line == 3);
    }
}

TEST_CASE("the last row may lack its line end and the summary says so", "[intake][rfc4180]") {
    // Rule 2.
    const Collected got = read_text(kHeader + "2026-11-01T00:00:00Z,core,140");
    CHECK(got.summary.accepted == 1);
    REQUIRE(got.summary.notes.size() == 1);
    CHECK(got.summary.notes[0].find("no line end") != std::string::npos);
}

TEST_CASE("a last row that stops short is rejected", "[intake]") {
    const Collected got =
        read_text(kHeader + "2026-11-01T00:00:00Z,core,140\r\n2026-11-01T00:01:00Z,co");
    CHECK(got.summary.accepted == 1);
    REQUIRE(got.rejects.size() == 1);
    CHECK(got.rejects[0].line == 3);
    CHECK(got.rejects[0].reason.find("the file ends within this row") != std::string::npos);
}

TEST_CASE("every row has as many fields as the header", "[intake][rfc4180]") {
    // Rules 3 and 4.
    const Collected got = read_text(kHeader + "2026-11-01T00:00:00Z,core,140,1\r\n"
                                              "2026-11-01T00:01:00Z,core\r\n"
                                              "2026-11-01T00:02:00Z,core,141\r\n");
    CHECK(got.summary.rows == 3);
    CHECK(got.summary.accepted == 1);
    REQUIRE(got.rejects.size() == 2);
    CHECK(got.rejects[0].reason == "the row has 4 fields and the header 3");
    CHECK(got.rejects[1].reason == "the row has 2 fields and the header 3");
}

TEST_CASE("blanks inside quotes belong to the field, blanks around a bare field do not",
          "[intake][rfc4180]") {
    // Rule 4 keeps all blanks; a log typed by hand has them behind its commas, so bare fields are
    // trimmed.
    CHECK(probe_of("2026-11-01T00:00:00Z,\" core \",140") == " core ");
    CHECK(probe_of("2026-11-01T00:00:00Z, core , 140") == "core");
    CHECK(probe_of("2026-11-01T00:00:00Z,point end,140") == "point end");
}

TEST_CASE("fields may be quoted", "[intake][rfc4180]") {
    // Rule 5.
    CHECK(probe_of("\"2026-11-01T00:00:00Z\",\"core\",\"140\"") == "core");
    CHECK(probe_of("2026-11-01T00:00:00Z,\"\u00e9paule\",140") == "\u00e9paule");
}

TEST_CASE("quoted fields may hold line ends, quotes and separators", "[intake][rfc4180]") {
    // Rules 6 and 7.
    CHECK(probe_of("2026-11-01T00:00:00Z,\"a,b\",140") == "a,b");
    CHECK(probe_of("2026-11-01T00:00:00Z,\"a\r\nb\",140") == "a\r\nb");
    CHECK(probe_of("2026-11-01T00:00:00Z,\"the \"\"flat\"\"\",140") == "the \"flat\"");
    CHECK(probe_of("2026-11-01T00:00:00Z,\"\"\"\",140") == "\"");
    const Collected got = read_text(kHeader + "2026-11-01T00:00:00Z,\"a\nb\",140\r\n"
                                              "2026-11-01T00:01:00Z,core,nonsense\r\n");
    CHECK(got.rejects.at(0).line == 4); // the line end inside the quotes counts
}

TEST_CASE("quotes out of place spoil their own row only", "[intake][rfc4180]") {
    // Rule 5: unquoted fields hold no quotes; erratum 5714: nothing follows a closing quote.
    const Collected got = read_text(kHeader + "2026-11-01T00:00:00Z,co\"re,140\r\n"
                                              "2026-11-01T00:01:00Z,\"core\" x,140\r\n"
                                              "2026-11-01T00:02:00Z,\"core,140\r\n"
                                              "2026-11-01T00:03:00Z,core,140\r\n");
    REQUIRE(got.rejects.size() == 3);
    CHECK(got.rejects[0].reason == "a quote stands inside an unquoted field");
    CHECK(got.rejects[1].reason == "something follows a closing quote");
    CHECK(got.rejects[2].reason == "a quote opens and does not close");
    CHECK(got.rejects[2].line == 4);
    CHECK(got.summary.accepted == 1);
}
