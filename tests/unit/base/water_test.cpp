#include <holdwarden/base/error.hpp>
#include <holdwarden/base/water.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;

TEST_CASE("CHK-5: water boils at the saturation line of IAPWS-IF97") {
    // IAPWS-IF97 (2007), table 36 (from memory): Ts(0.1 MPa) = 372.755919 K.
    CHECK(boiling_point_c({100'000}) == Approx(372.755919 - 273.15).margin(1e-6));
    // An independent equation, Wagner and Pruss (IAPWS SR1-86(1992)), agrees at 1 atm: 99.974 C.
    CHECK(boiling_point_c({101'325}) == Approx(99.9743).margin(1e-4));
    CHECK(boiling_point_c({95'000}) == Approx(98.1783).margin(1e-4));
    CHECK(boiling_point_c({103'000}) == Approx(100.4343).margin(1e-4));
}

TEST_CASE("CHK-5: where water boils at a height follows the standard atmosphere") {
    // ISO 2533:1975 pressures (ICAO Doc 7488, table), with the IAPWS saturation line.
    struct Row {
        double height_m, pascals, boils_c;
    };
    for (const Row& row : {Row{0, 101'325.00, 99.9743}, Row{500, 95'460.84, 98.3125},
                           Row{1000, 89'874.56, 96.6488}, Row{1500, 84'555.99, 94.9830},
                           Row{2000, 79'495.20, 93.3151}, Row{2500, 74'682.52, 91.6449},
                           Row{3000, 70'108.53, 89.9723}, Row{4000, 61'640.21, 86.6193}}) {
        INFO(row.height_m);
        const Pressure pressure = standard_pressure_at(row.height_m);
        CHECK(pressure.pascals == Approx(row.pascals).margin(0.2)); // the exponent's last digit
        CHECK(boiling_point_c(pressure) == Approx(row.boils_c).margin(1e-4));
    }
    // 5,280 ft: 202.31 F.
    CHECK(boiling_point_c(standard_pressure_at(1609.344)) * 1.8 + 32 ==
          Approx(202.31).margin(0.01));
}

TEST_CASE("a pressure is read with its unit") {
    CHECK(parse_pressure("834.3hPa").pascals == Approx(83'430));
    CHECK(parse_pressure("834.3 mbar").pascals == Approx(83'430));
    CHECK(parse_pressure("83.43 kPa").pascals == Approx(83'430));
    // NIST SP 811 (2008), App. B.8 (from memory): inch of mercury, conventional, 3386.389 Pa.
    CHECK(parse_pressure("24.64inHg").pascals == Approx(83'440.6).margin(0.1));
    CHECK(to_text(parse_pressure("834.3hPa")) == "834.3 hPa");
    for (const char* bad : {"", "834.3", "hPa", "834.3psi", "83hPa", "1100.1hPa", "8,34hPa"}) {
        INFO(bad);
        CHECK_THROWS_AS(parse_pressure(bad), Error);
    }
    CHECK_NOTHROW(parse_pressure("1100hPa"));
    CHECK_NOTHROW(parse_pressure("300hPa"));
}
