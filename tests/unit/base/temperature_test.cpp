#include <holdwarden/base/error.hpp>
#include <holdwarden/base/temperature.hpp>

#include <catch2/catch.hpp>

#include <compare>

using namespace holdwarden;

namespace {

template <class A, class B>
concept Addable = requires(A a, B b) {
    a + b;
};
static_assert(!Addable<Temperature, Temperature>);      // 4 °C + 4 °C is not 8 °C
static_assert(!std::three_way_comparable<Temperature>); // a limit compares, in the reading's scale
static_assert(!std::is_constructible_v<Temperature, double>); // no temperature without its scale

constexpr auto F = Scale::fahrenheit;
constexpr auto C = Scale::celsius;

} // namespace

TEST_CASE("fixed points agree across the scales") {
    // NIST SP 811 (2008), B.8 (from memory): t_C = (t_F - 32) / 1.8. Water freezes at 32 °F, boils
    // at 212 °F. Tolerance: two roundings of double arithmetic.
    CHECK(Temperature::of_degrees(32, F).in_celsius() == Approx(0.0).margin(1e-12));
    CHECK(Temperature::of_degrees(212, F).in_celsius() == Approx(100.0).margin(1e-12));
    CHECK(Temperature::of_degrees(-40, C).in_fahrenheit() == Approx(-40.0).margin(1e-12));
    CHECK(Temperature::of_thousandths(37000, C).in_fahrenheit() == Approx(98.6).margin(1e-12));
    CHECK((physical_order(Temperature::of_degrees(5, C), Temperature::of_degrees(41, F)) == 0));
    CHECK((physical_order(Temperature::of_degrees(60, C), Temperature::of_degrees(140, F)) == 0));
    CHECK((physical_order(Temperature::of_degrees(57, C), Temperature::of_degrees(135, F)) <
           0)); // 134.6 °F
    CHECK((physical_order(Temperature::of_degrees(63, C), Temperature::of_degrees(145, F)) >
           0)); // 145.4 °F
}

TEST_CASE("a decimal stays what was entered") {
    CHECK(to_text(parse_temperature("139.5F")) == "139.5 °F");
    CHECK(to_text(parse_temperature("140 °F")) == "140 °F");
    CHECK(to_text(parse_temperature("60.25C")) == "60.25 °C");
    CHECK(to_text(parse_temperature("-0.4 c")) == "-0.4 °C");
    CHECK(to_text(parse_temperature("141", F)) == "141 °F");
    CHECK(parse_temperature("140.0F") == parse_temperature("140F"));
    CHECK_FALSE(parse_temperature("60C") == parse_temperature("140F"));
}

TEST_CASE("more decimals than are kept never move a reading onto or across a hundredth") {
    CHECK(parse_thousandths("134.9996") == 134'999);
    CHECK(parse_thousandths("135.0004") == 135'001);
    CHECK(parse_thousandths("134.60000000000002") ==
          134'600); // binary noise of a converting logger
    CHECK(parse_thousandths("57.22222") == 57'222);
    CHECK(parse_thousandths("-0.0004") == -1);
}

TEST_CASE("what is not a finite decimal number is refused") {
    for (const char* text : {"", "nan", "inf", "-inf", "0x10", "1.2.3", "140F", " 140", "140 ",
                             "--4", "1e400", "1,5", "+"}) {
        INFO(text);
        CHECK_FALSE(parse_thousandths(text).has_value());
    }
    CHECK(parse_thousandths("1,5", true) == 1500);
    CHECK_FALSE(parse_thousandths("1.5", true).has_value());
}

TEST_CASE("a temperature without a usable scale or number is refused with the way to write it") {
    for (const char* text : {"140", "140K", "F", "", "140FF", "warm"}) {
        INFO(text);
        try {
            parse_temperature(text);
            FAIL("accepted");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::bad_input);
            CHECK(error.text().fix.find("140F") != std::string::npos);
        }
    }
}

TEST_CASE("a difference carries no offset of 32") {
    // A correction of -0.4 C degrees is -0.72 F degrees (GUM, JCGM 100:2008: u[F] = 1.8 u[C]).
    CHECK(TemperatureDelta::of_thousandths(-400, C).in(F) ==
          TemperatureDelta::of_thousandths(-720, F));
    CHECK(TemperatureDelta::of_thousandths(2000, F).in(C).thousandths() ==
          1112); // 1.111.., away from zero
    CHECK_THROWS_AS(parse_delta("-1F"), Error);
}

TEST_CASE("the codes' paired figures are not equal, and the difference is the published one") {
    // The pairs the FDA Food Code 2022 prints (3-401.11, 3-403.11, 3-501.14, 3-501.16); exact minus
    // printed Celsius by t_C = (t_F - 32) / 1.8 (NIST SP 811 (2008), B.8), to a thousandth.
    struct Pair {
        int fahrenheit;
        int celsius;
        double exact_minus_printed;
    };
    for (const Pair& pair :
         {Pair{41, 5, 0.0}, Pair{70, 21, 0.111}, Pair{130, 54, 0.444}, Pair{135, 57, 0.222},
          Pair{145, 63, -0.222}, Pair{155, 68, 0.333}, Pair{165, 74, -0.111}}) {
        INFO(pair.fahrenheit);
        const auto f = Temperature::of_degrees(pair.fahrenheit, F);
        const auto c = Temperature::of_degrees(pair.celsius, C);
        CHECK(f.in_celsius() - c.degrees() == Approx(pair.exact_minus_printed).margin(0.0006));
        const auto sign = pair.exact_minus_printed > 0.0   ? std::strong_ordering::greater
                          : pair.exact_minus_printed < 0.0 ? std::strong_ordering::less
                                                           : std::strong_ordering::equal;
        CHECK((physical_order(f, c) == sign));
    }
}

TEST_CASE("two signs are no number") {
    CHECK_FALSE(parse_thousandths("+-5").has_value());
    CHECK_FALSE(parse_thousandths("++5").has_value());
    CHECK_FALSE(parse_thousandths("-+5").has_value());
    CHECK(parse_thousandths("+5") == 5000);
}

TEST_CASE("a difference and a sum stay in their scale") {
    const auto limit = Temperature::of_degrees(135, F);
    CHECK(difference(Temperature::of_thousandths(133'800, F), limit) ==
          TemperatureDelta::of_thousandths(-1200, F));
    CHECK(shifted(limit, TemperatureDelta::of_thousandths(-500, F)) ==
          Temperature::of_thousandths(134'500, F));
    CHECK(to_text(TemperatureDelta::of_thousandths(500, F)) == "+0.5 °F");
    CHECK(to_text(TemperatureDelta::of_thousandths(-1000, C)) == "-1 °C");
    CHECK(to_text(TemperatureDelta::of_thousandths(0, F)) == "0 °F");
}
