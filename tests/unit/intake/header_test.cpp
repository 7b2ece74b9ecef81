#include "text_rows.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::intake;

namespace {

std::string message_of(const std::string& text, const CsvOptions& options = {}) {
    try {
        read_text(text, options);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::bad_input);
        CHECK_FALSE(error.text().fix.empty());
        return error.what();
    }
    return "no error";
}

} // namespace

TEST_CASE("a header that cannot be used is an error that says how to mend it", "[intake]") {
    const auto says = [](const std::string& text, const std::string& part) {
        INFO(text);
        CHECK_THAT(message_of(text), Catch::Contains(part));
    };
    says("", "the file is empty");
    says("\n\n  \n", "the file is empty");
    says("\xEF\xBB\xBF", "the file is empty");
    says("probe,temp_f\n", "no column called 'time'");
    says("time,probe\n", "no temperature column");
    says("time,humidity\n", "no temperature in it");
    says("time,probe,temp_f,temp_c\n", "more than one temperature column");
    says("time,time,temp_f\n", "two columns are called 'time'");
    says("time,core_f,core_c\n", "two columns hold the probe 'core'");
    says("time,probe;temp_f\n", "does not tell what separates");
    says(std::string{"\xFF\xFEt\0i\0m\0e\0", 10}, "UTF-16");
    says("time,probe,temp_f\r2026-11-01T00:00:00Z,core,140\r", "bare carriage return");
    says("time,\"probe,temp_f\n", "quote opens");
    CsvOptions options;
    options.columns = {{"Zeit", "time"}};
    CHECK_THAT(message_of("time,core_f\n", options), Catch::Contains("no column 'Zeit'"));
}

TEST_CASE("a byte order mark, upper case and unused columns do no harm", "[intake]") {
    const Collected got = read_text("\xEF\xBB\xBFTime,Probe,Humidity,TEMP_F\n"
                                    "2026-11-01T00:00:00Z,core,40,140\n");
    CHECK(got.summary.accepted == 1);
    REQUIRE(got.summary.notes.size() == 1);
    CHECK(got.summary.notes[0] == "column 'Humidity' not used");
}

TEST_CASE("semicolons and tabs are told by the header line", "[intake]") {
    CHECK(read_text("time;probe;temp_f\n2026-11-01T00:00:00Z;core;140\n").summary.accepted == 1);
    CHECK(read_text("time\tprobe\ttemp_f\n2026-11-01T00:00:00Z\tcore\t140\n").summary.accepted ==
          1);
    CsvOptions options;
    options.separator = ';';
    CHECK(read_text("time;probe;temp_f\n2026-11-01T00:00:00Z;a,b;140\n", options)
              .lots.at(0)
              .series.at(0)
              .probe == "a,b");
}

TEST_CASE("the decimal comma is read when asked for, and only then", "[intake]") {
    const std::string text = "time;probe;temp_c\n2026-11-01T00:00:00Z;core;59,25\n";
    CHECK_THAT(read_text(text).rejects.at(0).reason, Catch::Contains("--decimal-comma"));
    CsvOptions options;
    options.decimal_comma = true;
    const Collected got = read_text(text, options);
    CHECK(got.lots.at(0).series.at(0).readings.at(0).value ==
          Temperature::of_thousandths(59'250, Scale::celsius));
}

TEST_CASE("columns of other names are mapped", "[intake]") {
    CsvOptions options;
    options.columns = {{"Stamp", "time"}, {"Sensor", "probe"}, {"Reading", "temp_c"}};
    CHECK(read_text("Stamp,Sensor,Reading\n2026-11-01T00:00:00Z,core,60\n", options)
              .summary.accepted == 1);
}

TEST_CASE("one column a probe, an empty cell being no reading", "[intake]") {
    const Collected got = read_text("time,flat_f,point_c,note\n"
                                    "2026-11-01T00:00:00Z,140.5,60,x\n"
                                    "2026-11-01T00:01:00Z,,59.9,\n"
                                    "2026-11-01T00:02:00Z,,,\n"
                                    "2026-11-01T00:03:00Z,139,oops,\n");
    REQUIRE(got.lots.size() == 1);
    REQUIRE(got.lots[0].series.size() == 2);
    CHECK(got.lots[0].series[0].probe == "flat");
    CHECK(got.lots[0].series[0].readings.size() == 2);
    CHECK(got.lots[0].series[1].readings.size() == 2);
    CHECK(got.lots[0].series[1].readings[0].value == Temperature::of_degrees(60, Scale::celsius));
    CHECK(got.summary.rows == 4);
    CHECK(got.summary.accepted == 4);
    REQUIRE(got.rejects.size() == 1);
    CHECK(got.rejects[0].line == 5);
    CHECK(got.rejects[0].reason == "probe 'point': 'oops' is not a temperature");
}

TEST_CASE("without a probe column one temperature is the core's", "[intake]") {
    const Collected got = read_text("time,temp_f\n2026-11-01T00:00:00Z,140\n");
    CHECK(got.lots.at(0).series.at(0).probe == "core");
}
