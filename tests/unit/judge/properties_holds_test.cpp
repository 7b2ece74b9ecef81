// Holding against simulated food. FDA Food Code 2022, 3-501.16(A)(1) 135 °F (57 °C) or above,
// (A)(2) 41 °F (5 °C) or less. The largest interval is common practice, no source.
//
// What is provable. Between two readings nobody looked: a met hold proves that no reading was wrong
// and that the food was nowhere on the wrong side for longer than the largest interval, and no
// more. As in the tests of windows, the truth is what the thermometer would have displayed;
// guarded, it is the food itself.
#include "random_record.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

struct Held {
    Stage stage;
    const char* id;
    double limit_f; ///< around which the course is drawn
    bool hot;
    std::int32_t limit(Scale scale) const {
        const std::int32_t f = hot ? 135'000 : 41'000;
        const std::int32_t c = hot ? 57'000 : 5'000;
        return scale == Scale::fahrenheit ? f : c;
    }
    bool wrong(double thousandths, Scale scale) const {
        return hot ? thousandths < limit(scale) : thousandths > limit(scale);
    }
};
constexpr std::array<Held, 2> kHeld{Held{Stage::hot_holding, "hot-holding", 135, true},
                                    Held{Stage::cold_holding, "cold-holding", 41, false}};

/// Food held mostly on the right side, with lapses.
Course held(const Held& h, Scale scale) {
    const double inward = h.hot ? 1 : -1;
    const auto away = [&](double degrees) {
        return fahrenheit_in(scale, h.limit_f + inward * degrees);
    };
    Course course{{0, away(between(0, 12))}};
    const int pieces = whole(1, 6);
    for (int i = 0; i < pieces; ++i) {
        course.line(between(5, 200), away(between(0, 12)));
        if (whole(0, 4) == 0) { // a lapse
            const double there = away(-between(0, 8));
            course.line(between(0.1, 60), there).line(between(0.1, 180), there);
            course.line(between(0.1, 60), away(between(0, 12)));
        }
    }
    return course;
}

struct Drawn {
    Held held;
    Course course;
    Span interval;
    std::vector<std::int64_t> times;
};
Drawn drawn(Scale scale) {
    const Held h = *rc::gen::elementOf(kHeld);
    Course course = held(h, scale);
    const Span interval = Span::minutes(*rc::gen::element(15, 30, 60, 120, 240));
    auto times = any_times(0, course.last_ms(), {1, 5, 15, 30, 60, 110, 150});
    return {h, std::move(course), interval, std::move(times)};
}

/// Judged over a stage that is over at the course's end, so that nothing is left open.
const Finding* hold_finding(LotJudgement& into, const Drawn& d,
                            const std::vector<records::Reading>& readings, judge::DecisionRule rule,
                            TemperatureDelta band) {
    records::LotHistory lot;
    lot.probes = {{"p1", band, std::nullopt}};
    records::StageEntry entry;
    entry.stage = d.held.stage;
    entry.from = moment(0);
    lot.stages.push_back(entry);
    lot.points.push_back({"core", readings});
    lot.end = records::LotEnd{Outcome::served, moment(d.course.last_ms()), ""};
    judge::Settings settings;
    settings.as_of = lot.end->at;
    settings.largest_interval = d.interval;
    settings.rule = rule;
    into = judge::judge_lot(lot, fda(), settings);
    return find(into, d.held.id); // cold food that never was cold has none
}

} // namespace

TEST_CASE("a met hold had no wrong reading and no lapse longer than the largest interval") {
    Seen seen;
    rc::prop(property_name(), [&] {
        const Display display = any_display();
        const Drawn d = drawn(display.scale);
        const auto readings = read(d.course, display, d.times);
        LotJudgement judged;
        const Finding* const finding =
            hold_finding(judged, d, readings, judge::DecisionRule::as_read,
                         TemperatureDelta::of_thousandths(0, display.scale));
        if (finding == nullptr) {
            return;
        }
        const Finding& f = *finding;
        seen.count(f.verdict);
        const auto wrong = [&](double degrees) {
            return d.held.wrong(display.shown(degrees), display.scale);
        };
        // Cold holding binds from the first reading at or below the limit.
        const auto binds = std::ranges::find_if(readings, [&](const records::Reading& r) {
            return d.held.hot || !d.held.wrong(r.value.thousandths(), display.scale);
        });
        const bool missed = std::any_of(binds, readings.end(), [&](const records::Reading& r) {
            return d.held.wrong(r.value.thousandths(), display.scale);
        });
        if (missed) {
            RC_ASSERT(f.verdict == Verdict::not_met);
        } else {
            RC_ASSERT(f.verdict != Verdict::not_met);
        }
        if (f.verdict == Verdict::met) {
            RC_ASSERT(readings.size() >= 2U);
            const std::int64_t from = d.held.hot ? 0 : ms_of(binds->at);
            for (const Stretch& s : stretches(d.course, from, d.course.last_ms(), wrong)) {
                RC_ASSERT(s.length() <= d.interval.ms());
            }
        }
        // An excursion's bracket contains the true lapse its readings saw.
        for (const auto& e : f.excursions) {
            const auto lapses = stretches(d.course, 0, d.course.last_ms(), wrong);
            const auto lapse = std::ranges::find_if(lapses, [&](const Stretch& s) {
                return s.first <= ms_of(e.worst_at) && ms_of(e.worst_at) <= s.last;
            });
            RC_ASSERT(lapse != lapses.end());
            if (e.from.earliest && ms_of(*e.from.earliest) > 0) { // else as early as the stage
                RC_ASSERT(ms_of(*e.from.earliest) < lapse->first);
            }
            if (e.to.latest && ms_of(*e.to.latest) < d.course.last_ms()) {
                RC_ASSERT(ms_of(*e.to.latest) > lapse->last);
            }
        }
    });
    CHECK(seen.percent(seen.met) >= 10);
    CHECK(seen.percent(seen.not_met) >= 10);
}

TEST_CASE("guarded by as much as the thermometer errs, a met hold holds for the food itself") {
    // JCGM 106:2012, 8.3.3: guarded acceptance keeps the expanded uncertainty away from the limit.
    Seen seen;
    rc::prop(property_name(), [&] {
        const Scale scale = *rc::gen::element(Scale::fahrenheit, Scale::celsius);
        const Drawn d = drawn(scale);
        const std::int32_t accuracy = whole(1, 2000);
        std::vector<records::Reading> readings;
        for (const std::int64_t ms : d.times) {
            records::Reading r;
            r.at = moment(ms);
            r.value = Temperature::of_thousandths(
                static_cast<std::int32_t>(
                    std::trunc(d.course.degrees(ms) * 1000.0 + accuracy * between(-1, 1))),
                scale);
            readings.push_back(r);
        }
        LotJudgement judged;
        const Finding* const finding =
            hold_finding(judged, d, readings, judge::DecisionRule::guarded,
                         TemperatureDelta::of_thousandths(accuracy + 1, scale));
        if (finding == nullptr) {
            return;
        }
        const Finding& f = *finding;
        seen.count(f.verdict);
        if (f.verdict == Verdict::met) {
            const auto wrong = [&](double degrees) {
                return d.held.wrong(degrees * 1000.0, scale);
            };
            const auto binds = std::ranges::find_if(readings, [&](const records::Reading& r) {
                return d.held.hot || !d.held.wrong(r.value.thousandths(), scale);
            });
            RC_ASSERT(binds != readings.end());
            for (auto r = binds; r != readings.end(); ++r) {
                RC_ASSERT(!wrong(d.course.degrees(ms_of(r->at))));
            }
            const std::int64_t from = d.held.hot ? 0 : ms_of(binds->at);
            for (const Stretch& s : stretches(d.course, from, d.course.last_ms(), wrong)) {
                RC_ASSERT(s.length() <= d.interval.ms());
            }
        }
    });
    CHECK(seen.percent(seen.met) >= 5);
}
