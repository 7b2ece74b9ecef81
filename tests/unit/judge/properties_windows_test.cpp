// Cooling windows against simulated food. FDA Food Code 2022, 3-501.14(A): 135 °F (57 °C) to 70 °F
// (21 °C) within 2 h, to 41 °F (5 °C) or less within 6 h in all.
//
// What is provable. A record shows what the thermometer displayed at some instants. Where the
// display rounds, the truth here is what it would have displayed at every instant, since no judge
// can see behind the digits; the guarded rule with a band as wide as the thermometer can be wrong
// must hold for the food itself.
// - Food that only cools: `met` proves that the time from the last instant at the start figure or
// above to
//   the first at the target is within the limit; `not met` that it is longer.
// - Food that also warms, spikes and dips unseen: `met` proves that, from the last time at or above
// the start
//   figure before a reading showed it below, the target was reached within the limit, and that no
//   reading later than the limit showed it above the target. A dip between two readings stays
//   unknown to everyone.
#include "random_record.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

struct Window {
    const char* id;
    std::int32_t from_f, from_c, to_f, to_c; ///< degrees, as printed
    Span within;

    std::int32_t from(Scale s) const { return 1000 * (s == Scale::fahrenheit ? from_f : from_c); }
    std::int32_t to(Scale s) const { return 1000 * (s == Scale::fahrenheit ? to_f : to_c); }
};
constexpr std::array<Window, 2> kWindows{
    Window{"cooling-first-window", 135, 57, 70, 21, Span::hours(2)},
    Window{"cooling-total", 135, 57, 41, 5, Span::hours(6)}};

/// Food that cools towards 30 to 38 °F; monotone unless `rough`.
Course cooled(Scale scale, bool rough) {
    Course course{{0, fahrenheit_in(scale, between(133, 165))}};
    const int pieces = whole(1, 5);
    const double tau = between(50, 190);
    const double ambient = between(30, 38);
    for (int i = 0; i < pieces; ++i) {
        course.towards(fahrenheit_in(scale, ambient), tau, between(60, 240));
        const int trouble = rough ? whole(0, 5) : 0;
        const double now = course.last_degrees();
        const double step = fahrenheit_in(scale, between(1, 50)) - fahrenheit_in(scale, 0);
        if (trouble == 1) { // warms and stays warm
            course.line(between(1, 30), now + step);
        } else if (trouble == 2) { // a spike
            course.line(between(0.2, 3), now + step).line(between(0.2, 3), now);
        } else if (trouble == 3) { // a dip
            course.line(between(0.2, 9), now - step).line(between(0.2, 9), now);
        } else if (trouble == 4) {
            course.line(between(1, 90), now);
        }
    }
    course.towards(fahrenheit_in(scale, ambient), tau, between(1, 300));
    return course;
}

const std::vector<double> kSpacings{1, 2, 5, 10, 20, 30, 45, 90};

Lot cooling_lot(const std::vector<records::Reading>& readings) {
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.history().points.push_back({"core", readings});
    return lot;
}

/// The last instant at or above the start figure, and the first at or below the target, of monotone
/// food.
struct Truth {
    bool started_above;
    std::optional<std::int64_t> elapsed; ///< nullopt: the target is never reached
};
Truth truth(const Course& course, const std::function<bool(double)>& above_start,
            const std::function<bool(double)>& at_target) {
    const auto hot = stretches(course, 0, course.last_ms(), above_start);
    const auto cold = stretches(course, 0, course.last_ms(), at_target);
    const std::int64_t start = hot.empty() ? 0 : hot.back().last;
    return {!hot.empty(), cold.empty() ? std::nullopt : std::optional{cold.front().first - start}};
}

} // namespace

TEST_CASE("food that only cools: windows are met, and missed, only when they truly are") {
    std::array<Seen, 2> seen;
    rc::prop(property_name(), [&] {
        const Display display = any_display();
        const Course course = cooled(display.scale, false);
        const auto times = any_times(0, course.last_ms(), kSpacings);
        RC_PRE(!times.empty());
        const auto judged = cooling_lot(read(course, display, times)).judged(fda());
        for (std::size_t i = 0; i < kWindows.size(); ++i) {
            const Window& w = kWindows[i];
            const Finding* const finding = find(judged, w.id);
            if (finding == nullptr) {
                continue; // never seen to fall below the start figure
            }
            const Finding& f = *finding;
            seen[i].count(f.verdict);
            const Truth is = truth(
                course, [&](double d) { return display.shown(d) >= w.from(display.scale); },
                [&](double d) { return display.shown(d) <= w.to(display.scale); });
            if (f.verdict == Verdict::met) {
                RC_ASSERT(is.started_above);
                RC_ASSERT(is.elapsed.has_value());
                RC_ASSERT(*is.elapsed <= w.within.ms());
            }
            if (f.verdict == Verdict::not_met) {
                // To a millisecond: the start lies between two whole ones.
                RC_ASSERT((!is.elapsed || *is.elapsed >= w.within.ms()));
            }
            if (is.elapsed && f.elapsed.latest) {
                RC_ASSERT(f.elapsed.latest->ms() >= *is.elapsed);
            }
            if (is.elapsed && is.started_above && f.elapsed.earliest) {
                RC_ASSERT(f.elapsed.earliest->ms() <= *is.elapsed);
            }
        }
    });
    for (const Seen& s : seen) {
        CHECK(s.percent(s.met) >= 5);
        CHECK(s.percent(s.not_met) >= 1);
    }
}

TEST_CASE(
    "food that warms, spikes and dips: a met window was kept from its start to its readings") {
    std::array<Seen, 2> seen;
    rc::prop(property_name(), [&] {
        const Display display = any_display();
        const Course course = cooled(display.scale, true);
        const auto times = any_times(0, course.last_ms(), kSpacings);
        RC_PRE(!times.empty());
        const auto readings = read(course, display, times);
        const auto judged = cooling_lot(readings).judged(fda());
        for (std::size_t i = 0; i < kWindows.size(); ++i) {
            const Window& w = kWindows[i];
            const Finding* const finding = find(judged, w.id);
            if (finding == nullptr) {
                continue;
            }
            const Finding& f = *finding;
            seen[i].count(f.verdict);
            if (f.verdict != Verdict::met) {
                continue;
            }
            const auto below = std::ranges::find_if(readings, [&](const records::Reading& r) {
                return r.value.thousandths() < w.from(display.scale);
            });
            RC_ASSERT(below != readings.end());
            const auto hot = stretches(course, 0, ms_of(below->at), [&](double d) {
                return display.shown(d) >= w.from(display.scale);
            });
            RC_ASSERT(!hot.empty());
            const std::int64_t start = hot.back().last;
            const auto cold = stretches(course, start, course.last_ms(), [&](double d) {
                return display.shown(d) <= w.to(display.scale);
            });
            RC_ASSERT(!cold.empty());
            RC_ASSERT(cold.front().first - start <= w.within.ms());
            for (const records::Reading& r : readings) {
                if (ms_of(r.at) > start + w.within.ms()) {
                    RC_ASSERT(r.value.thousandths() <= w.to(display.scale));
                }
            }
        }
    });
    for (const Seen& s : seen) {
        CHECK(s.percent(s.met) >= 3);
    }
}

TEST_CASE("guarded by as much as the thermometer errs, a met window holds for the food itself") {
    // JCGM 106:2012, 8.3.3: guarded acceptance keeps the expanded uncertainty away from the limit.
    std::array<Seen, 2> seen;
    rc::prop(property_name(), [&] {
        const Scale scale = *rc::gen::element(Scale::fahrenheit, Scale::celsius);
        const std::int32_t accuracy = whole(1, 2000);
        const Course course = cooled(scale, false);
        const auto times = any_times(0, course.last_ms(), {1, 2, 5, 10, 20, 30});
        RC_PRE(!times.empty());
        std::vector<records::Reading> readings;
        for (const std::int64_t ms : times) {
            records::Reading r;
            r.at = moment(ms);
            const double error = accuracy * between(-1, 1);
            r.value = Temperature::of_thousandths(
                static_cast<std::int32_t>(std::trunc(course.degrees(ms) * 1000.0 + error)), scale);
            readings.push_back(r);
        }
        const auto judged = cooling_lot(readings).judged(
            fda(), std::nullopt, TemperatureDelta::of_thousandths(accuracy + 1, scale));
        for (std::size_t i = 0; i < kWindows.size(); ++i) {
            const Window& w = kWindows[i];
            const Finding* const finding = find(judged, w.id);
            if (finding == nullptr) {
                continue;
            }
            const Finding& f = *finding;
            seen[i].count(f.verdict);
            if (f.verdict == Verdict::met) {
                const Truth is = truth(
                    course, [&](double d) { return d * 1000.0 >= w.from(scale); },
                    [&](double d) { return d * 1000.0 <= w.to(scale); });
                RC_ASSERT(is.started_above);
                RC_ASSERT(is.elapsed.has_value());
                RC_ASSERT(*is.elapsed <= w.within.ms());
            }
        }
    });
    for (const Seen& s : seen) {
        CHECK(s.percent(s.met) >= 3);
    }
}
