#include <holdwarden/base/error.hpp>
#include <holdwarden/records/measures.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;

TEST_CASE("measures are read in kitchen units, exactly") {
    // NIST Handbook 44, appendix C (from memory): 1 lb = 453.59237 g, 1 in = 25.4 mm,
    // 1 ft = 304.8 mm, 16 oz = 1 lb.
    CHECK(parse_mass("5.4kg") == Mass{5400});
    CHECK(parse_mass("850 g") == Mass{850});
    CHECK(parse_mass("10 lb") == Mass{4536});   // 4535.9
    CHECK(parse_mass("100lb") == Mass{45'359}); // 45359.2
    CHECK(parse_mass("16oz") == parse_mass("1lb"));
    CHECK(parse_length("2.5in") == Length{63'500});
    CHECK(parse_length("60mm") == parse_length("6 cm"));
    CHECK(parse_altitude("5,280 ft") == Altitude{1'609'344'000, AltitudeUnit::feet}); // a mile
    CHECK(parse_altitude("-2m") == Altitude{-2'000'000, AltitudeUnit::metres});
}

TEST_CASE("measures print as they were given") {
    CHECK(to_text(parse_altitude("5280ft")) == "5280 ft");
    CHECK(to_text(parse_altitude("1609 m")) == "1609 m");
    CHECK(to_text(parse_mass("5.4kg")) == "5.4 kg");
    CHECK(to_text(parse_mass("850g")) == "850 g");
    CHECK(to_text(parse_length("2.5in")) == "63.5 mm");
}

TEST_CASE("a measure without a known unit, or out of range, is refused with an example") {
    for (const char* text : {"", "5", "5stone", "kg", "0kg", "-1kg", "2000kg", "5,4kg", "1e9kg"}) {
        INFO(text);
        CHECK_THROWS_WITH(parse_mass(text), Catch::Matchers::Contains("5.4kg"));
    }
    CHECK_THROWS_AS(parse_length("3m"), Error);
    CHECK_THROWS_AS(parse_altitude("30000ft"), Error);
    CHECK_THROWS_AS(parse_altitude("52,80ft"), Error);
}
