#pragma once

// Draws for the property tests: thermometers, times of reading, cooled courses. Everything is drawn
// through RapidCheck, so that a failing case shrinks and its seed repeats it.

#include "curves.hpp"
#include "lots.hpp"

#include <rapidcheck.h>
#include <rapidcheck/catch.h>

#include <array>
#include <cmath>

namespace holdwarden::test {

/// The property's description is its test's name: one property a test.
inline std::string property_name() {
    return Catch::getResultCapture().getCurrentTestName();
}

inline double fahrenheit_in(Scale scale, double degrees) {
    return scale == Scale::fahrenheit ? degrees : (degrees - 32.0) / 1.8;
}

/// From `low` up to, not including, `high`, evenly at every size of a case.
inline int whole(int low, int high) {
    return *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(low, high));
}

/// A whole number of hundredths between two bounds.
inline double between(double low, double high) {
    return whole(static_cast<int>(low * 100.0), static_cast<int>(high * 100.0) + 1) / 100.0;
}

/// The only finding of a requirement, or nullptr. (Catch's REQUIRE must not throw through a
/// property.)
inline const Finding* find(const LotJudgement& j, const std::string& requirement) {
    const auto found = std::ranges::find(j.findings, requirement, &Finding::requirement);
    return found == j.findings.end() ? nullptr : &*found;
}

inline Display any_display() {
    constexpr std::array<std::int32_t, 4> kSteps{1000, 100, 500, 10};
    constexpr std::array<Display::Rounding, 3> kRoundings{
        Display::Rounding::nearest, Display::Rounding::down, Display::Rounding::up};
    Display display;
    display.scale = *rc::gen::element(Scale::fahrenheit, Scale::celsius);
    display.step = *rc::gen::elementOf(kSteps);
    display.rounding = *rc::gen::elementOf(kRoundings);
    return display;
}

/// Instants of reading between two bounds, ascending: a usual spacing, each up to half of it early
/// or late.
inline std::vector<std::int64_t> any_times(std::int64_t from, std::int64_t to,
                                           const std::vector<double>& spacings_min) {
    const double spacing = *rc::gen::elementOf(spacings_min) * 60'000.0;
    const bool jittered = *rc::gen::arbitrary<bool>();
    const bool at_start = *rc::gen::arbitrary<bool>();
    std::vector<std::int64_t> times;
    double t = static_cast<double>(from) + (at_start ? 0.0 : spacing * between(0, 1));
    while (t <= static_cast<double>(to) && times.size() < 400) {
        times.push_back(static_cast<std::int64_t>(t));
        t += jittered ? spacing * between(0.3, 1.5) : spacing;
    }
    return times;
}

inline Instant moment(std::int64_t ms) {
    return kStart + Span::milliseconds(ms);
}
inline std::int64_t ms_of(Instant at) {
    return (at - kStart).ms();
}

inline records::Reading shown_reading(const Course& course, const Display& display,
                                      std::int64_t ms) {
    records::Reading r;
    r.at = moment(ms);
    r.value = Temperature::of_thousandths(display.shown(course.degrees(ms)), display.scale);
    return r;
}

inline std::vector<records::Reading> read(const Course& course, const Display& display,
                                          const std::vector<std::int64_t>& times) {
    std::vector<records::Reading> readings;
    for (const std::int64_t ms : times) {
        readings.push_back(shown_reading(course, display, ms));
    }
    return readings;
}

/// Counts what a property saw, so that one that never saw a `met` cannot pass for proven.
struct Seen {
    int cases = 0;
    int met = 0;
    int not_met = 0;

    void count(Verdict verdict) {
        ++cases;
        met += verdict == Verdict::met ? 1 : 0;
        not_met += verdict == Verdict::not_met ? 1 : 0;
    }
    /// Share of a count, in hundredths.
    int percent(int counted) const { return cases == 0 ? 0 : 100 * counted / cases; }
};

} // namespace holdwarden::test
