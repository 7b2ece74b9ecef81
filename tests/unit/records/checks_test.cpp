#include <holdwarden/base/error.hpp>
#include <holdwarden/records/checks.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;

namespace {

constexpr Temperature f(std::int32_t thousandths) {
    return Temperature::of_thousandths(thousandths, Scale::fahrenheit);
}
constexpr Temperature c(std::int32_t thousandths) {
    return Temperature::of_thousandths(thousandths, Scale::celsius);
}
const Altitude kLarkspur{1'609'344'000, AltitudeUnit::feet}; // 5,280 ft

ProbeCheck ice(Temperature found) {
    return {.probe = ProbeId::of(1),
            .method = CheckMethod::ice_point,
            .found = found,
            .expected = ice_point(found.scale()),
            .tolerance = usual_tolerance(found.scale())};
}

ProbeCheck boiling(Temperature found, Temperature expected, std::optional<Altitude> altitude,
                   std::optional<Pressure> pressure = std::nullopt) {
    return {.probe = ProbeId::of(1),
            .method = CheckMethod::boiling_point,
            .found = found,
            .expected = expected,
            .pressure = pressure,
            .altitude = altitude,
            .tolerance = usual_tolerance(found.scale())};
}

Altitude metres(std::int64_t m) {
    return {m * 1'000'000, AltitudeUnit::metres};
}

} // namespace

TEST_CASE("CHK-1: a check passes within its tolerance, the figure included") {
    // FDA Food Code 2022, 4-203.11 (from memory; read in the California statute that mirrors it):
    // +-1 C for Celsius or both scales, +-2 F for Fahrenheit alone.
    CHECK(passed(ice(f(34'000))));
    CHECK(passed(ice(f(30'000))));
    CHECK_FALSE(passed(ice(f(34'100))));
    CHECK_FALSE(passed(ice(f(29'900))));
    CHECK(passed(ice(c(1'000))));
    CHECK_FALSE(passed(ice(c(1'100))));
    ProbeCheck adjusted = ice(f(35'000));
    adjusted.left = f(32'400);
    CHECK_FALSE(passed(adjusted));
    CHECK(usable_after(adjusted));
    CHECK(error_found(adjusted) == TemperatureDelta::of_thousandths(3'000, Scale::fahrenheit));
    CHECK(error_left(adjusted) == TemperatureDelta::of_thousandths(400, Scale::fahrenheit));
    adjusted.left = f(28'000);
    CHECK_FALSE(usable_after(adjusted));
    // +-1 C is +-1.8 F for a thermometer that shows both.
    ProbeCheck both = ice(f(33'800));
    both.tolerance = usual_tolerance(Scale::celsius);
    CHECK(passed(both));
    both.found = f(33'900);
    CHECK_FALSE(passed(both));
}

TEST_CASE("CHK-1: what a check needs is there, and nothing that belongs to another method") {
    CHECK_NOTHROW(check_probe_check(ice(f(32'000))));
    ProbeCheck check = ice(f(32'000));
    check.expected = f(33'000); // ice is at 32 F
    CHECK_THROWS_AS(check_probe_check(check), Error);
    check = ice(f(32'000));
    check.expected = c(0);
    CHECK_THROWS_AS(check_probe_check(check), Error);
    check = ice(f(32'000));
    check.altitude = kLarkspur; // changes nothing at the ice point
    CHECK_THROWS_AS(check_probe_check(check), Error);
    check = ice(f(32'000));
    check.tolerance = TemperatureDelta::of_thousandths(0, Scale::fahrenheit);
    CHECK_THROWS_AS(check_probe_check(check), Error);
    check = ice(f(140'000));
    check.method = CheckMethod::reference;
    check.expected = f(140'000);
    CHECK_THROWS_AS(check_probe_check(check), Error); // which one?
    check.reference = "lab-7";
    CHECK_NOTHROW(check_probe_check(check));
    check.method = CheckMethod::side_by_side;
    CHECK_NOTHROW(check_probe_check(check));
    CHECK_FALSE(passed(check)); // proves neither
    check.left = f(140'000);
    CHECK_THROWS_AS(check_probe_check(check), Error);
}

TEST_CASE("CHK-5: the expected boiling point follows from pressure, else altitude") {
    // ISO 2533:1975 and IAPWS-IF97: 94.618 C, 202.31 F at 5,280 ft; 98.1783 C at 950 hPa.
    CHECK(expected_boiling({}, kLarkspur, Scale::fahrenheit).thousandths() ==
          Approx(202'312).margin(2));
    CHECK(expected_boiling({}, kLarkspur, Scale::celsius).thousandths() ==
          Approx(94'618).margin(1));
    CHECK(expected_boiling(Pressure{95'000}, {}, Scale::celsius).thousandths() ==
          Approx(98'178).margin(1));
    CHECK_THROWS_AS(expected_boiling({}, {}, Scale::celsius), Error);
    // The pressure of a forecast is reduced to sea level: 1013 hPa is never at 5,280 ft.
    CHECK_THROWS_AS(expected_boiling(Pressure{101'300}, kLarkspur, Scale::celsius), Error);
    CHECK_NOTHROW(expected_boiling(Pressure{82'000}, kLarkspur, Scale::celsius));
}

TEST_CASE("CHK-5: a flat 100 C is refused above 150 m") {
    CHECK_THROWS_AS(check_probe_check(boiling(f(212'000), f(212'000), kLarkspur)), Error);
    CHECK_THROWS_AS(check_probe_check(boiling(c(100'000), c(100'000), metres(151))), Error);
    CHECK_NOTHROW(check_probe_check(boiling(c(100'000), c(100'000), metres(150))));
    CHECK_NOTHROW(check_probe_check(boiling(f(212'000), f(212'000), metres(0))));
    CHECK_THROWS_AS(check_probe_check(boiling(c(100'000), c(101'000), metres(150))), Error);
    CHECK_THROWS_AS(check_probe_check(boiling(c(100'000), c(100'000), {})), Error);
    const Temperature there = expected_boiling({}, kLarkspur, Scale::fahrenheit);
    CHECK_NOTHROW(check_probe_check(boiling(f(202'000), there, kLarkspur)));
    // With a pressure there is nothing to assume, however low the place.
    CHECK_THROWS_AS(check_probe_check(boiling(c(100'000), c(100'000), metres(0), Pressure{99'000})),
                    Error);
}

TEST_CASE("CHK-6: a display coarser than 2 F or 1 C is pointed out") {
    // FDA Food Code 2022, 4-204.112 (from memory; read in a state text).
    const auto step = [](std::int32_t n, Scale scale) {
        return too_coarse(TemperatureDelta::of_thousandths(n, scale));
    };
    CHECK_FALSE(step(2'000, Scale::fahrenheit));
    CHECK(step(2'001, Scale::fahrenheit));
    CHECK_FALSE(step(1'000, Scale::celsius));
    CHECK(step(1'001, Scale::celsius));
    CHECK(step(5'000, Scale::fahrenheit));
}

TEST_CASE("each method of checking has a name that leads back to it") {
    for (const CheckMethod method : all_check_methods()) {
        CHECK(check_method_named(to_name(method)) == method);
    }
    CHECK_FALSE(check_method_named("guess").has_value());
}
