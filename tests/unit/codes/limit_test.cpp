#include "../../../src/codes/figures.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

Temperature t(const char* text) {
    return parse_temperature(text);
}

Side side(const char* limit, const char* reading) {
    return parse_limit(limit).side(t(reading));
}

} // namespace

TEST_CASE("a reading is compared with the figure printed for its own scale") {
    // FDA Food Code 2022, 3-501.16(A)(1): 135 °F (57 °C). 57 °C is 134.6 °F: the two differ.
    CHECK(side("135 °F (57 °C) or above", "57.0C") == Side::right);
    CHECK(side("135 °F (57 °C) or above", "56.999C") == Side::wrong);
    CHECK(side("135 °F (57 °C) or above", "134.6F") == Side::wrong);
    CHECK(side("135 °F (57 °C) or above", "134.999F") == Side::wrong);
    CHECK(side("135 °F (57 °C) or above", "135F") == Side::right);
    // 3-501.14(A)(1): 70 °F (21 °C); 21 °C is 69.8 °F.
    CHECK(side("70 °F (21 °C) or below", "70F") == Side::right);
    CHECK(side("70 °F (21 °C) or below", "21.1C") == Side::wrong);
    // 3-501.16(A)(2): 41 °F (5 °C), an exact pair.
    for (const char* right : {"41F", "5C", "40.9F", "4.9C"}) {
        CHECK(side("41 °F (5 °C) or below", right) == Side::right);
    }
    for (const char* wrong : {"41.001F", "5.001C"}) {
        CHECK(side("41 °F (5 °C) or below", wrong) == Side::wrong);
    }
}

TEST_CASE("the code's words decide whether the figure itself will do") {
    // SI 1995/2200 reg. 13 (Scotland): above 63 °C; WSI 2006/31 Sch. 4 para. 6: 63 °C or above.
    CHECK(side("above 63 °C", "63C") == Side::wrong);
    CHECK(side("above 63 °C", "63.001C") == Side::right);
    CHECK(side("63 °C or above", "63C") == Side::right);
    CHECK(side("63 °C or above", "62.999C") == Side::wrong);
    // Minnesota Rules 4626.0408: less than 41 °F.
    CHECK(side("below 41 °F", "41F") == Side::wrong);
    CHECK(side("below 41 °F", "40.999F") == Side::right);
    CHECK(side("41 °F or below", "41F") == Side::right);
}

TEST_CASE("where one scale is printed, the other is compared exactly") {
    // 9 C = 5 (F - 32), NIST SP 811 (2008), B.8 (from memory): 63 °C is 145.4 °F, 5 °C is 41 °F.
    CHECK(side("63 °C or above", "145.4F") == Side::right);
    CHECK(side("63 °C or above", "145.399F") == Side::wrong);
    CHECK(side("above 63 °C", "145.4F") == Side::wrong);
    CHECK(side("above 63 °C", "145.401F") == Side::right);
    CHECK(side("5 °C or below", "41F") == Side::right);
    CHECK(side("5 °C or below", "41.001F") == Side::wrong);
    CHECK(side("135 °F or above", "57.222C") == Side::wrong); // 134.9996 °F
    CHECK(side("135 °F or above", "57.223C") == Side::right); // 135.0014 °F
}

TEST_CASE("the margin is counted in the reading's scale and rounds towards the wrong side") {
    const auto f = [](int n) { return TemperatureDelta::of_thousandths(n, Scale::fahrenheit); };
    const auto c = [](int n) { return TemperatureDelta::of_thousandths(n, Scale::celsius); };
    const TemperatureLimit hot = parse_limit("135 °F (57 °C) or above");
    CHECK(hot.clearance(t("140F")) == f(5000));
    CHECK(hot.clearance(t("134.6F")) == f(-400));
    CHECK(hot.clearance(t("60C")) == c(3000));
    const TemperatureLimit cold = parse_limit("41 °F (5 °C) or below");
    CHECK(cold.clearance(t("40F")) == f(1000));
    CHECK(cold.clearance(t("6C")) == c(-1000));
    // 135 °F is 57.2222… °C: 2.7777… °C of margin become 2.777, a shortfall of 0.2222… becomes
    // 0.223.
    const TemperatureLimit one = parse_limit("135 °F or above");
    CHECK(one.clearance(t("60C")) == c(2777));
    CHECK(one.clearance(t("57C")) == c(-223));
}

TEST_CASE("a guard band asks for the limit and the band") {
    // JCGM 106:2012, 8.3.3 (from memory): acceptance limit = tolerance limit with a guard band.
    // FSIS Cooking Guideline (2021): for 165 °F and a thermometer of 1 degree, set 166 °F or
    // higher.
    const TemperatureLimit limit = parse_limit("165 °F or above");
    const auto band = TemperatureDelta::of_thousandths(1000, Scale::fahrenheit);
    CHECK(limit.clears(t("166F"), band));
    CHECK_FALSE(limit.clears(t("165.999F"), band));
    CHECK(limit.clears(t("165F"), TemperatureDelta::of_thousandths(0, Scale::fahrenheit)));
    CHECK_FALSE(parse_limit("above 165 °F")
                    .clears(t("165F"), TemperatureDelta::of_thousandths(0, Scale::fahrenheit)));
    // A band of 1 C degree is 1.8 F degrees.
    const auto celsius = TemperatureDelta::of_thousandths(1000, Scale::celsius);
    CHECK(limit.clears(t("166.8F"), celsius));
    CHECK_FALSE(limit.clears(t("166.799F"), celsius));
}

TEST_CASE("a limit reads back what it prints") {
    for (const char* text : {"135 °F (57 °C) or above", "41 °F (5 °C) or below", "above 63 °C",
                             "below 8 °C", "54.4 °C or above", "-18 °C or below"}) {
        CHECK(parse_limit(text).to_text() == text);
    }
    CHECK(parse_limit("57 °C (135 °F) or above").to_text() == "135 °F (57 °C) or above");
    CHECK(parse_limit("135 °F (57 °C) or above").figures() == "135 °F (57 °C)");
    CHECK(parse_limit("135 °F (57 °C) or above").figure_text(Scale::celsius) == "57 °C");
    CHECK(parse_limit("63 °C or above").figure_text(Scale::fahrenheit) == "about 145.4 °F");
}

TEST_CASE("a limit that cannot be read is refused") {
    for (const char* text :
         {"", "135 °F", "135 or above", "135 K or above", "or above", "above",
          "above 63 °C or above", "135 °F (57 °C or above", "135 °F (57 °F) or above",
          "135 °F () or above", "135 °F or above (57 °C)", "at least 135 °F"}) {
        INFO(text);
        CHECK_THROWS_AS(parse_limit(text), Error);
    }
}

TEST_CASE("two figures of one limit lie within 1.2 F degrees") {
    CHECK_NOTHROW(parse_limit("120 °F (49 °C) or above"));  // 120.2 °F
    CHECK_NOTHROW(parse_limit("51.2 °F (10 °C) or above")); // 50 °F
    CHECK_THROWS_AS(parse_limit("51.201 °F (10 °C) or above"), Error);
    CHECK_THROWS_AS(parse_limit("48.799 °F (10 °C) or above"), Error);
    CHECK_THROWS_AS(parse_limit("120 °F (48 °C) or above"), Error); // 118.4 °F
    CHECK_THROWS_AS(parse_limit("135 °F (75 °C) or above"), Error);
    CHECK_THROWS_AS(parse_limit("41 °F (41 °C) or below"), Error);
}

TEST_CASE("a time limit includes its figure unless the code says less than") {
    // FDA Food Code 3-501.14: "within 2 hours"; SI 2005/2059 Sch. 4 para. 7: "less than two hours".
    const TimeLimit within = parse_time_limit("2 h");
    CHECK(within.allows(Span::hours(2)));
    CHECK_FALSE(within.allows(Span::hours(2) + Span::milliseconds(1)));
    const TimeLimit under = parse_time_limit("less than 2 h");
    CHECK_FALSE(under.allows(Span::hours(2)));
    CHECK(under.allows(Span::hours(2) - Span::milliseconds(1)));
    for (const char* text : {"", "2", "2 °F", "less than", "0 s", "-2 h", "within 2 h"}) {
        INFO(text);
        CHECK_THROWS_AS(parse_time_limit(text), Error);
    }
}

TEST_CASE("masses are read in the units codes print") {
    // 1 lb = 453.59237 g: NIST SP 811 (2008), B.8 (from memory).
    CHECK(parse_mass_g("10 lb") == 4536);
    CHECK(parse_mass_g("4.5 kg") == 4500);
    CHECK(parse_mass_g("500 g") == 500);
    CHECK(parse_mass_g("1lb") == 454);
    for (const char* text : {"", "10", "lb", "10 stone", "-1 kg", "0 kg", "ten lb"}) {
        INFO(text);
        CHECK_THROWS_AS(parse_mass_g(text), Error);
    }
}
