// Conformity of a reading with a limit: JCGM 106:2012 (7.3, 7.4, 8; clause numbers from memory),
// ILAC-G8:09/2019 4.2.3. The sixteen rows were computed from the formulas with an independent
// program; row 16 is the worked example of JCGM 106, 7.4, whose published answer is about 66 %.
#include <holdwarden/judge/conformity.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace holdwarden;
using namespace holdwarden::judge;

namespace {

TemperatureDelta c(double degrees) {
    return TemperatureDelta::of_thousandths(static_cast<std::int32_t>(std::lround(degrees * 1000)),
                                            Scale::celsius);
}

struct OneSided {
    int number;
    double limit;
    double reading;
    bool upper;
    double u;
    double probability;
    Zone4 zone;
};

} // namespace

TEST_CASE("MET-6: one-sided check values 1 to 12") {
    const OneSided rows[] = {
        {1, 5.0, 4.2, true, 0.50, 0.94520, Zone4::conditional_pass},
        {2, 5.0, 4.2, true, 0.25, 0.99931, Zone4::pass},
        {3, 5.0, 5.0, true, 0.50, 0.50000, Zone4::conditional_pass},
        {4, 5.0, 5.6, true, 0.50, 0.11507, Zone4::conditional_fail},
        {5, 74.0, 74.0, false, 0.50, 0.50000, Zone4::conditional_pass},
        {6, 74.0, 74.5, false, 0.50, 0.84134, Zone4::conditional_pass},
        {7, 74.0, 75.0, false, 0.50, 0.97725, Zone4::pass},
        {8, 74.0, 73.6, false, 0.50, 0.21186, Zone4::conditional_fail},
        {9, 57.0, 57.8, false, 0.35, 0.98886, Zone4::pass},
        {10, 60.0, 61.0, false, 0.60, 0.95221, Zone4::conditional_pass},
        {11, -18.0, -18.4, true, 0.50, 0.78814, Zone4::conditional_pass},
        {12, 5.0, 4.0, true, 0.58, 0.95766, Zone4::conditional_pass},
    };
    for (const OneSided& r : rows) {
        INFO(r.number);
        const TemperatureDelta clearance = c(r.upper ? r.limit - r.reading : r.reading - r.limit);
        const StandardUncertainty u{r.u, Scale::celsius};
        CHECK(probability_of_conformity(clearance, u) == Approx(r.probability).margin(0.000005));
        CHECK((zone_of(clearance, u) == r.zone));
    }
}

TEST_CASE("a reading beyond the guard band fails, one at its edge fails conditionally") {
    // ILAC-G8:09/2019, 4.2.3: fail when y > T + U, conditional fail up to and including it; U = 2
    // u.
    const StandardUncertainty u{0.50, Scale::celsius};
    CHECK((zone_of(c(-1.000), u) == Zone4::conditional_fail));
    CHECK((zone_of(c(-1.001), u) == Zone4::fail));
    CHECK((zone_of(c(0.999), u) == Zone4::conditional_pass));
    CHECK((zone_of(c(1.000), u) == Zone4::pass));
    CHECK((zone_of(c(1.001), u) == Zone4::pass));
}

TEST_CASE("MET-6: two-sided check values 13 to 16") {
    struct TwoSided {
        int number;
        double lower, upper, reading, u, probability;
        bool can_pass; ///< an acceptance interval is left between the guard bands
    };
    const TwoSided rows[] = {{13, 0, 5, 0.3, 0.5, 0.72575, true},
                             {14, 0, 5, 4.6, 0.5, 0.78814, true},
                             {15, -1, 1, 0.6, 0.25, 0.94520, true},
                             {16, 12.5, 16.3, 13.6, 1.8, 0.66263, false}};
    for (const TwoSided& r : rows) {
        INFO(r.number);
        const StandardUncertainty u{r.u, Scale::celsius};
        const TemperatureDelta above = c(r.reading - r.lower);
        const TemperatureDelta below = c(r.upper - r.reading);
        CHECK(probability_between(above, below, u) == Approx(r.probability).margin(0.000005));
        // holdwarden judges each limit by itself: the worse of the two is the outcome. All four
        // pass simply, fail with a guard band of U, and pass conditionally.
        CHECK((above.thousandths() >= 0 && below.thousandths() >= 0));
        const Zone4 worse = std::max(zone_of(above, u), zone_of(below, u));
        CHECK((worse == Zone4::conditional_pass));
        // 16: 2 U = 7.2 °C is wider than the 3.8 °C between the limits, so that no reading passes.
        bool passes = false;
        for (double y = r.lower; y <= r.upper; y += 0.05) {
            passes = passes || (zone_of(c(y - r.lower), u) == Zone4::pass &&
                                zone_of(c(r.upper - y), u) == Zone4::pass);
        }
        CHECK(passes == r.can_pass);
    }
}

TEST_CASE("uncertainty parts combine in quadrature") {
    // GUM examples: +-1 C thermometer, 0.1 C display, reference 0.2 C gives u = 0.612 when the
    // reference's 0.2 C is itself a standard uncertainty; here the reference is a tolerance of 0.2
    // * sqrt(3) = 0.346 C.
    const Instrument a{c(1.0), c(0.1), c(0.3464)};
    CHECK(combined(a, Scale::celsius).degrees == Approx(0.612).margin(0.0005));
    const Instrument b{c(0.5), c(0.1), c(0.3464)};
    CHECK(combined(b, Scale::celsius).degrees == Approx(0.352).margin(0.0005));
    CHECK(combined({c(1.0), {}, {}}, Scale::celsius).degrees == Approx(0.5774).margin(0.00005));
    CHECK(combined({c(1.0), {}, {}}, Scale::fahrenheit).degrees ==
          Approx(0.5774 * 1.8).margin(0.0001));
    const TemperatureDelta in_f = TemperatureDelta::of_thousandths(1800, Scale::fahrenheit);
    CHECK(combined({in_f, {}, {}}, Scale::celsius).degrees == Approx(0.5774).margin(0.00005));
}
