// Time as a public health control and date marking: FDA Food Code 2022, 3-501.19 and 3-501.17 (2022
// text from memory; read in adoptions of the 2013 edition).
#include "lots.hpp"

#include <holdwarden/judge/keep_until.hpp>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

Lot tray(std::vector<Row> rows) {
    Lot lot;
    lot.stage(Stage::time_control, 0).readings(rows);
    return lot;
}

Verdict verdict(const Lot& lot, double as_of) {
    return only(lot.judged(fda(), as_of), "time-control").verdict;
}

Lot six_hours(std::vector<Row> rows) {
    Lot lot = tray(std::move(rows));
    lot.history().stages.front().form = records::TimeControlForm::six_hours;
    return lot;
}

} // namespace

TEST_CASE(
    "four hours from a good start, served in time, is met, and exactly four hours is in time") {
    for (const double start : {41.0, 135.0, 40.0, 150.0}) {
        Lot lot = tray({{0, start}});
        lot.served(240);
        CHECK(verdict(lot, 240) == Verdict::met);
    }
    Lot over = tray({{0, 135}});
    over.served(240 + 1.0 / 60'000);
    CHECK(verdict(over, 250) == Verdict::not_met);
}

TEST_CASE("a start between the limits, or nobody measured, is no start") {
    Lot between_limits = tray({{0, 100}});
    between_limits.served(60);
    CHECK(verdict(between_limits, 60) == Verdict::not_met);
    Lot late = tray({{1, 150}});
    late.served(60);
    CHECK(verdict(late, 60) == Verdict::not_shown);
    Lot before;
    before.stage(Stage::hot_holding, -200)
        .stage(Stage::time_control, 0)
        .readings({{-200, 150}, {-121, 150}})
        .served(60);
    CHECK(only(before.judged(fda()), "time-control").verdict ==
          Verdict::not_shown); // older than the largest interval
    Lot fresh;
    fresh.stage(Stage::hot_holding, -200)
        .stage(Stage::time_control, 0)
        .readings({{-200, 150}, {-119, 150}})
        .served(60);
    CHECK(only(fresh.judged(fda()), "time-control").verdict == Verdict::met);
}

TEST_CASE("running: open, then not shown, and not met once a reading shows the food still there") {
    CHECK(verdict(tray({{0, 150}}), 200) == Verdict::open);
    CHECK(verdict(tray({{0, 150}}), 240) == Verdict::open);
    CHECK(verdict(tray({{0, 150}}), 241) == Verdict::not_shown);
    CHECK(verdict(tray({{0, 150}, {241, 90}}), 241) == Verdict::not_met);
}

TEST_CASE("spells add up, and so does a cook between them") {
    // 3-501.19(B)(3): cooked and served within 4 hours from when it left temperature control.
    Lot lot;
    lot.stage(Stage::time_control, 0)
        .stage(Stage::cooking, 150)
        .stage(Stage::time_control, 180)
        .readings({{0, 41}, {160, 165}, {179, 160}});
    lot.served(275);
    CHECK(verdict(lot, 275) == Verdict::not_met);
    Lot less = lot;
    less.served(240);
    CHECK(verdict(less, 240) == Verdict::met);
    less.served(241);
    CHECK(verdict(less, 241) == Verdict::not_met);
}

TEST_CASE("no return to holding or cooling") {
    for (const Stage next : {Stage::hot_holding, Stage::cooling, Stage::cold_holding}) {
        Lot lot = tray({{0, 150}, {60, 140}});
        lot.stage(next, 60);
        CHECK(verdict(lot, 100) == Verdict::not_met);
    }
}

TEST_CASE("food with an unanswered time on the wrong side may not start") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::time_control, 120);
    lot.readings({{0, 150}, {30, 130}, {60, 140}, {120, 140}}).served(200);
    CHECK(verdict(lot, 200) == Verdict::not_met);
}

TEST_CASE("only a reheat that met the code answers what went wrong before food is held by time") {
    // Below 135 °F in a hold, 3-501.16(A)(1); then 3-403.11(A): 165 °F for 15 s.
    const auto after = [](double hottest) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::reheating, 70);
        lot.stage(Stage::hot_holding, 100).stage(Stage::time_control, 160);
        lot.readings({{0, 150}, {30, 130}, {70, 130}, {90, hottest}, {91, hottest}, {100, 150}});
        lot.readings({{160, 150}}).served(200);
        return verdict(lot, 200);
    };
    CHECK(after(166) == Verdict::met);
    CHECK(after(160) == Verdict::not_met);
    Lot held_again; // a good hold afterwards answers nothing
    held_again.stage(Stage::hot_holding, 0).stage(Stage::resting, 60);
    held_again.stage(Stage::time_control, 120);
    held_again.readings({{0, 150}, {30, 130}, {50, 140}, {60, 140}, {120, 140}}).served(200);
    CHECK(verdict(held_again, 200) == Verdict::not_met);
}

TEST_CASE("the six-hour form starts cold and stays at or below 70 °F") {
    Lot good = six_hours({{0, 41}, {100, 60}, {200, 66}, {300, 70}});
    good.served(360);
    const auto j = good.judged(fda());
    CHECK(only(j, "time-control").verdict == Verdict::met);
    CHECK(only(j, "time-control-ceiling").verdict == Verdict::met);
    Lot warm = six_hours({{0, 41}, {100, 60}, {200, 70.1}, {300, 69}});
    warm.served(360);
    CHECK(only(warm.judged(fda()), "time-control-ceiling").verdict == Verdict::not_met);
    Lot unwatched = six_hours({{0, 41}, {300, 69}});
    unwatched.served(360);
    CHECK(only(unwatched.judged(fda()), "time-control-ceiling").verdict == Verdict::not_shown);
}

TEST_CASE(
    "a reading over the ceiling of its own scale is a miss beside a warmer one that is within") {
    // 21.1 °C is 69.98 °F; the code prints 70 °F (21 °C).
    Lot lot = six_hours({{0, 41}, {60, 70}, {150, 65}});
    lot.readings({{90, 21.1}}, Scale::celsius);
    lot.served(200);
    CHECK(only(lot.judged(fda()), "time-control-ceiling").verdict == Verdict::not_met);
}

TEST_CASE("a start that is wrong at one point is wrong, whatever the others prove") {
    const auto band = TemperatureDelta::of_thousandths(1000, Scale::fahrenheit);
    Lot lot = tray({{0, 40.5}}); // inside the band
    lot.readings({{0, 42}}, Scale::fahrenheit, "middle").served(60);
    CHECK(only(lot.judged(fda()), "time-control").verdict == Verdict::not_met);
    CHECK(only(lot.judged(fda(), std::nullopt, band), "time-control").verdict == Verdict::not_met);
    Lot mixed = tray({{0, 40.5}});
    mixed.readings({{0, 150}}, Scale::fahrenheit, "middle").served(60);
    CHECK(only(mixed.judged(fda()), "time-control").verdict == Verdict::not_met);
    CHECK(only(mixed.judged(fda(), std::nullopt, band), "time-control").verdict ==
          Verdict::not_met);
}

TEST_CASE("a hot start never gets the six-hour form") {
    Lot lot = six_hours({{0, 150}});
    lot.served(300);
    CHECK(verdict(lot, 300) == Verdict::not_met);
    Lot quick = six_hours({{0, 150}});
    quick.served(200);
    CHECK(verdict(quick, 200) == Verdict::met);
}

TEST_CASE("day 1 is the day of making, day 7 is the last") {
    // Made 1 April, last day 7 April.
    const auto kept = [](int served_day) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(Stage::cold_holding, 360);
        lot.history().made_on = LocalDate{2026, 10, 31}; // the local day of the test's start
        lot.readings({{0, 140}, {5, 134}, {100, 70}, {300, 41}});
        for (int m = 360; m <= served_day * 1440 - 1440 + 600; m += 110) {
            lot.readings({{double(m), 38}});
        }
        lot.served(served_day * 1440 - 1440 + 600);
        return lot;
    };
    CHECK(only(kept(7).judged(fda()), "date-mark").verdict == Verdict::met);
    CHECK(only(kept(8).judged(fda()), "date-mark").verdict == Verdict::not_met);
    CHECK_FALSE(has(kept(1).judged(fda()), "date-mark")); // not kept over 24 hours
    // 31 October is day 1, 6 November day 7.
    CHECK(only(kept(7).judged(fda()), "date-mark").reason.find("2026-11-06") != std::string::npos);
    CHECK(only(kept(8).judged(fda()), "date-mark").reason.find("2026-11-06") != std::string::npos);
}

TEST_CASE("frozen days do not count and do not reset") {
    Lot lot;
    lot.stage(Stage::cooling, 0)
        .stage(Stage::cold_holding, 360)
        .stage(Stage::frozen, 2 * 1440)
        .stage(Stage::thawing, 22 * 1440);
    lot.history().made_on = LocalDate{2026, 10, 31};
    lot.served(26 * 1440.0);
    CHECK(only(lot.judged(fda()), "date-mark").verdict ==
          Verdict::met); // day 27 less 20 frozen days is day 7
    CHECK(only(lot.judged(fda()), "date-mark").reason.find("2026-11-26") != std::string::npos);
    Lot late = lot;
    late.served(27 * 1440.0 + 120);
    CHECK(only(late.judged(fda()), "date-mark").verdict == Verdict::not_met);
}

TEST_CASE("raw food kept cold carries no date mark") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).steady(0, 2000, 100, 38);
    CHECK_FALSE(has(lot.judged(fda()), "date-mark"));
}

TEST_CASE("a record about which nothing can be said proves nothing") {
    Lot lot;
    lot.stage(Stage::frozen, 0).readings({{0, 0}, {60, 0}});
    CHECK(lot.judged(fda()).overall == Verdict::not_shown);
    CHECK(Lot{}.judged(fda()).overall == Verdict::not_shown);
}

TEST_CASE("what went wrong before counts whatever the hold, and only holds and coolings count") {
    // A cook that missed its row is told by itself; cold food that was too warm may not start.
    Lot cooked;
    cooked.stage(Stage::cooking, 0).stage(Stage::time_control, 60);
    cooked.readings({{0, 40}, {50, 150}, {60, 150}}).served(120);
    REQUIRE(only(cooked.judged(fda()), "cooking").verdict == Verdict::not_met);
    CHECK(verdict(cooked, 120) == Verdict::met);
    Lot cold;
    cold.stage(Stage::cold_holding, 0).stage(Stage::time_control, 120);
    cold.readings({{0, 40}, {30, 44}, {60, 41}, {120, 41}}).served(200);
    CHECK(verdict(cold, 200) == Verdict::not_met);
    // Of one that is not shown and one that is missed the miss speaks, whichever came first.
    for (const bool silent_first : {false, true}) {
        Lot two;
        two.stage(Stage::hot_holding, 0).stage(Stage::hot_holding, 200);
        two.stage(Stage::time_control, 400);
        const double silent = silent_first ? 0 : 200;
        const double missed = silent_first ? 200 : 0;
        two.readings({{0, 150}, {200, 150}, {400, 150}});
        two.readings({{silent + 30, 150}, {silent + 160, 150}});
        two.readings({{missed + 60, 150}, {missed + 90, 130}, {missed + 120, 150}});
        two.served(420);
        CHECK(verdict(two, 420) == Verdict::not_met);
    }
}

TEST_CASE("the hold with which cold food was reheated is no answer to what it misses itself") {
    // Cold food put to a hot hold without a reheat: it reaches 165 °F there, and falls below 135
    // °F.
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::hot_holding, 60);
    lot.stage(Stage::time_control, 200);
    lot.readings({{0, 40}, {60, 40}, {90, 170}, {91, 170}, {120, 150}, {150, 130}, {180, 140}});
    lot.readings({{200, 140}}).served(260);
    REQUIRE(only(lot.judged(fda()), "reheating").verdict == Verdict::met);
    CHECK(verdict(lot, 260) == Verdict::not_met);
}

TEST_CASE("the ceiling is watched from the start to the end") {
    // At most the largest interval, 2 h (common practice, no source), between readings that show
    // it.
    const auto ceiling = [](std::vector<Row> rows, double end, bool suspect = false) {
        Lot lot;
        lot.stage(Stage::cold_holding, -60).stage(Stage::time_control, 0);
        lot.history().stages.back().form = records::TimeControlForm::six_hours;
        lot.readings({{-60, 40}, {-5, 40}}).readings(std::move(rows)).served(end);
        lot.history().points[0].readings.back().suspect = suspect;
        return only(lot.judged(fda()), "time-control-ceiling").verdict;
    };
    CHECK(ceiling({{120, 60}, {200, 65}}, 260) == Verdict::met);
    CHECK(ceiling({{121, 60}, {200, 65}}, 260) == Verdict::not_shown);
    CHECK(ceiling({{100, 60}, {200, 65}}, 320) == Verdict::met);
    CHECK(ceiling({{100, 60}, {200, 65}}, 321) == Verdict::not_shown);
    CHECK(ceiling({{100, 60}, {200, 65}}, 260, true) == Verdict::not_shown);
}

TEST_CASE("time that ran out, or a start nobody read, is acted on as a miss") {
    const auto over = tray({{0, 150}}).judged(fda(), 241);
    CHECK(only(over, "time-control").acts_as_missed);
    Lot unread = tray({{1, 150}});
    unread.served(60);
    const auto j = unread.judged(fda());
    CHECK(only(j, "time-control").acts_as_missed);
    // In time: the margin is what is left of the four hours, and the reason says it.
    const auto running = tray({{0, 150}}).judged(fda(), 200);
    CHECK_FALSE(only(running, "time-control").acts_as_missed);
    CHECK(only(running, "time-control").margin.time == Span::minutes(40));
    CHECK(only(running, "time-control").reason.find("40 min") != std::string::npos);
}

TEST_CASE(
    "England: two hours for what starts hot, four for what starts cold, each less than that") {
    // SI 2013/2996, schedule 4, periods of tolerance.
    const codes::Pack england =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/uk-england.toml");
    const auto served = [&](double degrees, double end) {
        Lot lot;
        lot.stage(Stage::time_control, 0).readings({{0, degrees}}, Scale::celsius).served(end);
        return only(lot.judged(england), "time-control").verdict;
    };
    CHECK(served(63, 119) == Verdict::met);
    CHECK(served(63, 120) == Verdict::not_met);
    CHECK(served(8, 239) == Verdict::met);
    CHECK(served(8, 240) == Verdict::not_met);
}

TEST_CASE("food is ready to eat, and gets a date mark, by any one stage that makes it so") {
    // FDA Food Code 2022, 3-501.17(A): over 24 hours.
    const auto marked = [](Stage first, double cold_for) {
        Lot lot;
        lot.stage(first, 0).stage(Stage::cold_holding, 60);
        lot.served(60 + cold_for);
        return has(lot.judged(fda()), "date-mark");
    };
    for (const Stage stage :
         {Stage::cooking, Stage::cooling, Stage::reheating, Stage::resting, Stage::hot_holding}) {
        CHECK(marked(stage, 1441));
        CHECK_FALSE(marked(stage, 1440));
    }
    CHECK_FALSE(marked(Stage::preparing, 1441));
    CHECK_FALSE(marked(Stage::initial_heating, 1441)); // heated in part: not before its full cook

    Lot raw; // 30 h cold before the cook, 20 h after it
    raw.stage(Stage::cold_holding, 0).stage(Stage::cooking, 1800).stage(Stage::cooling, 1860);
    raw.stage(Stage::cold_holding, 2000).served(3200);
    CHECK_FALSE(has(raw.judged(fda()), "date-mark"));
    raw.served(2000 + 1441);
    CHECK(has(raw.judged(fda()), "date-mark"));
}

TEST_CASE("a whole frozen day does not count, and is said not to") {
    // Day 1 is 31 October; served on 7 November, day 8, of which one may have been frozen.
    const auto frozen_for = [](double minutes_frozen) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(Stage::cold_holding, 360).stage(Stage::frozen, 2000);
        lot.stage(Stage::thawing, 2000 + minutes_frozen).served(7 * 1440 + 300);
        lot.history().made_on = LocalDate{2026, 10, 31};
        return only(lot.judged(fda()), "date-mark");
    };
    CHECK(frozen_for(1440).verdict == Verdict::met);
    CHECK_FALSE(frozen_for(1440).notes.empty());
    CHECK(frozen_for(1439).verdict == Verdict::not_met);
    CHECK(frozen_for(1439).notes.empty());
}

TEST_CASE("a recorded day of making that is later than the cook is not day 1") {
    // FDA Food Code 2022, 3-501.17(A) (from memory): the day of preparation is counted as day 1.
    // The test begins on 31 October. That the earlier of two days holds is the project's own.
    const auto kept = [](LocalDate made_on, double days) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::cooling, 120).stage(Stage::cold_holding, 480);
        lot.history().made_on = made_on;
        lot.served(days * 1440);
        return only(lot.judged(fda()), "date-mark");
    };
    const LocalDate cooked{2026, 10, 31};
    const LocalDate claimed{2026, 11, 5};
    CHECK(kept(cooked, 6).verdict == Verdict::met);
    CHECK(kept(claimed, 6).verdict == Verdict::met);
    CHECK(kept(claimed, 7).verdict == Verdict::not_met);
    CHECK(kept(claimed, 6).reason.find("2026-10-31") != std::string::npos);
    REQUIRE(kept(claimed, 6).notes.size() == 1);
    CHECK(kept(claimed, 6).notes[0].find("2026-11-05") != std::string::npos);
    CHECK(kept(cooked, 6).notes.empty());
    // An earlier recorded day stays day 1.
    CHECK(kept({2026, 10, 30}, 6).verdict == Verdict::not_met);
    CHECK(kept({2026, 10, 30}, 6).notes.empty());
}

TEST_CASE("what was frozen between the cook and a later recorded day is not taken off") {
    // The project's own: the record contradicts itself, and no reading of it may win days.
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::cooling, 120).stage(Stage::cold_holding, 480);
    lot.stage(Stage::frozen, 1440).stage(Stage::thawing, 4 * 1440).served(8 * 1440);
    CHECK(only(lot.judged(fda()), "date-mark").verdict == Verdict::met); // day 9 less 3
    lot.history().made_on = LocalDate{2026, 11, 5};
    CHECK(only(lot.judged(fda()), "date-mark").verdict == Verdict::not_met);
}

TEST_CASE("a label's day 1 is the day of the cook where a later one is on record") {
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::cold_holding, 120);
    lot.history().made_on = LocalDate{2026, 11, 5};
    judge::Settings settings;
    settings.as_of = at(300);
    const auto mark = judge::day_mark(lot.history(), fda(), settings);
    REQUIRE(mark.has_value());
    CHECK(mark->made_on == LocalDate{2026, 10, 31});
    CHECK(mark->last_day == LocalDate{2026, 11, 6});
}

TEST_CASE("a date mark's reason names the last day, later by the days that were frozen") {
    // 3-501.17(A): day 1 is 31 October, day 7 is 6 November; two days frozen make it the 8th.
    const auto reason = [](double frozen_days) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(Stage::cold_holding, 360).stage(Stage::frozen, 2000);
        lot.stage(Stage::thawing, 2000 + frozen_days * 1440).served(5 * 1440);
        lot.history().made_on = LocalDate{2026, 10, 31};
        return only(lot.judged(fda()), "date-mark").reason;
    };
    CHECK(reason(0).find("2026-11-06") != std::string::npos);
    CHECK(reason(2).find("2026-11-08") != std::string::npos);
}

TEST_CASE("days in the freezer before the cook are none of the made food's, also where day 1 is on "
          "record") {
    // FDA Food Code 2022, 3-501.17(A): 7 days, of which the day of making is day 1. Frozen raw for
    // ten days, cooked on 11 November.
    const auto kept = [](double days, std::optional<LocalDate> made_on) {
        Lot lot;
        lot.stage(Stage::frozen, 0).stage(Stage::thawing, 10 * 1440);
        lot.stage(Stage::cooking, 11 * 1440).stage(Stage::cold_holding, 11 * 1440 + 120);
        lot.history().made_on = made_on;
        lot.served((11 + days) * 1440);
        return only(lot.judged(fda()), "date-mark").verdict;
    };
    for (const auto& made_on :
         {std::optional<LocalDate>{}, std::optional{LocalDate{2026, 11, 11}}}) {
        CHECK(kept(6, made_on) == Verdict::met);
        CHECK(kept(7, made_on) == Verdict::not_met);
        CHECK(kept(15, made_on) == Verdict::not_met);
    }
    // Made before it was frozen, and never cooked on record: those days count for nothing.
    Lot frozen;
    frozen.stage(Stage::cooling, 0).stage(Stage::cold_holding, 360).stage(Stage::frozen, 2000);
    frozen.stage(Stage::thawing, 12000).served(12 * 1440);
    frozen.history().made_on = LocalDate{2026, 10, 31};
    CHECK(only(frozen.judged(fda()), "date-mark").verdict == Verdict::met); // day 13 less 6
    // In the freezer since before its day 1, by which it can only have been made of what was there.
    frozen.history().made_on = LocalDate{2026, 11, 3};
    CHECK(only(frozen.judged(fda()), "date-mark").verdict == Verdict::not_met);
}

TEST_CASE("a point whose last reading says nothing of the start leaves the start not shown") {
    // 3-501.19(B)(1): 135 °F or more when removed from temperature control; every part of the food,
    // the project's own reading.
    const auto started = [](std::vector<Row> other) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::time_control, 100);
        lot.readings({{0, 60}, {60, 166}, {99, 166}});
        lot.readings(std::move(other), Scale::fahrenheit, "edge").served(300);
        return verdict(lot, 300);
    };
    CHECK(started({{0, 60}, {60, 166}, {80, 130}, {95, 100}}) == Verdict::not_shown);
    CHECK(started({{0, 60}, {60, 166}, {80, 130}, {100, 100}}) == Verdict::not_met);
    CHECK(started({{0, 60}, {60, 166}, {80, 150}}) == Verdict::met);
}

TEST_CASE("a reading from before food was put to the cold is no start, right or wrong") {
    const auto started = [](double degrees, Stage put, double from) {
        Lot lot;
        lot.stage(Stage::preparing, 0).stage(put, from);
        lot.stage(Stage::time_control, 100).readings({{20, degrees}}).served(200);
        return verdict(lot, 200);
    };
    CHECK(started(60, Stage::cold_holding, 30) == Verdict::not_shown);
    CHECK(started(140, Stage::cold_holding, 30) == Verdict::not_shown);
    // Put there and taken out at one instant, it was neither cooled nor heated.
    CHECK(started(60, Stage::cold_holding, 100) == Verdict::not_met);
    CHECK(started(140, Stage::cold_holding, 100) == Verdict::met);
    CHECK(started(40, Stage::hot_holding, 100) == Verdict::met);
}

TEST_CASE("a reheat answers what went wrong before only where it was met at every point") {
    // 3-403.11(A): 165 °F for 15 s, all parts of the food.
    const auto after = [](double edge, double then) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 100);
        lot.stage(Stage::time_control, 165);
        lot.readings({{0, 41}, {60, 60}, {100, 60}, {160, 165}, {161, 165}});
        lot.readings({{100, 60}, {160, edge}, {161, then}}, Scale::fahrenheit, "edge");
        return verdict(lot.served(200), 200);
    };
    CHECK(after(165, 165) == Verdict::met);
    CHECK(after(150, 150) == Verdict::not_met);
    CHECK(after(165, 150) == Verdict::not_met); // in time, but not shown kept for 15 s
}

TEST_CASE("a date mark is of the first stage that kept the made food cold") {
    // FDA Food Code 2022, 3-501.17(A): over 24 hours at 41 °F or less. Which stage the finding is
    // of is the project's own.
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::cooking, 60).stage(Stage::hot_holding, 120);
    lot.stage(Stage::cooling, 180).stage(Stage::cold_holding, 500).stage(Stage::thawing, 700);
    lot.served(500 + 1441);
    const Finding mark = only(lot.judged(fda()), "date-mark");
    CHECK(mark.stage == Stage::cold_holding);
    CHECK(mark.stage_from == at(500));
}

TEST_CASE("what is entered at the instant of the cook, after it, is of the made food") {
    // 3-501.17(A): 7 days. A cook and what followed it, typed with one time: of two entries of one
    // instant the second comes after the first (the project's own).
    Lot frozen;
    frozen.stage(Stage::cooking, 0).stage(Stage::frozen, 0).stage(Stage::thawing, 3 * 1440);
    frozen.served(9 * 1440);
    CHECK(only(frozen.judged(fda()), "date-mark").verdict == Verdict::met); // day 10 less 3
    frozen.served(10 * 1440);
    CHECK(only(frozen.judged(fda()), "date-mark").verdict == Verdict::not_met);
    Lot cold;
    cold.stage(Stage::cooking, 0).stage(Stage::cold_holding, 0).served(1441);
    CHECK(has(cold.judged(fda()), "date-mark"));
}
