// Times added up over a lot's life. The limits are those of FDA Food Code 2022, 3-501.16(A): 135 °F
// or above, 41 °F or less; how they are bracketed is the project's own reading
// (docs/how-limits-are-read.md).

#include "lots.hpp"

#include <rapidcheck/catch.h>

using namespace holdwarden;
using namespace holdwarden::test;
using Catch::Matchers::Contains;

TEST_CASE("a silence inside a stretch below the hot limit is counted once") {
    // 8:00 to 18:00, wrong at 9:00: at most from the first good reading to the last.
    Lot dipped;
    dipped.stage(Stage::hot_holding, 0).readings({{0, 140}, {60, 130}, {600, 140}});
    CHECK(minutes(dipped.judged(fda()).below_hot_limit.latest) == 600);
    CHECK(minutes(dipped.judged(fda()).below_hot_limit.earliest) == 0);
    // Wrong once, unread for 2 h 15 min after it: 3 h 30 min at most, so the advice for up to four
    // hours, not that for more.
    Lot up_to_four;
    up_to_four.stage(Stage::hot_holding, 0).readings({{0, 140}, {75, 133}, {210, 140}});
    Lot over_four;
    over_four.stage(Stage::hot_holding, 0).readings({{0, 140}, {75, 133}, {241, 140}});
    const auto act = [](const Lot& lot) {
        const LotJudgement j = lot.judged(fda());
        REQUIRE(j.flags.size() == 1);
        return j.flags.front().act;
    };
    CHECK(minutes(up_to_four.judged(fda()).below_hot_limit.latest) == 210);
    CHECK(act(up_to_four) != act(over_four));
    // So for a cold hold, whose row is chosen by its own stretches: the same worst case, the same
    // advice.
    const auto cold = [&](double wrong_at) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).readings({{0, 40}, {wrong_at, 43}, {150, 40}});
        return act(lot);
    };
    CHECK(cold(15) == cold(35));
}

TEST_CASE("nothing is known of the food beyond a reading between the limits") {
    // Served nine hours after the last reading, between the limits: ten in all.
    Lot left;
    left.stage(Stage::hot_holding, 0).readings({{0, 150}, {60, 130}}).served(600);
    CHECK(minutes(left.judged(fda()).between_limits.latest) == 600);
    CHECK(minutes(left.judged(fda()).between_limits.earliest) == 0);
    // First read four hours into the cook.
    Lot late;
    late.stage(Stage::cooking, 0).readings({{240, 132}, {260, 150}});
    CHECK(minutes(late.judged(fda()).between_limits.latest) == 260);
    // Within the largest interval, too; and where another point was read good meanwhile, only in
    // the stage in which it was read.
    Lot soon;
    soon.stage(Stage::cooking, 0).readings({{90, 132}, {100, 150}});
    CHECK(minutes(soon.judged(fda()).between_limits.latest) == 100);
    Lot another;
    another.stage(Stage::cooking, 0).stage(Stage::hot_holding, 100);
    another.readings({{0, 150}, {90, 150}, {180, 150}})
        .readings({{150, 130}}, Scale::fahrenheit, "top");
    CHECK(minutes(another.judged(fda()).between_limits.latest) == 80); // 100 to 180
    // One reading, or none, in six hours: a silence on either side.
    Lot once;
    once.stage(Stage::cooking, 0).readings({{180, 150}}).served(360);
    CHECK(minutes(once.judged(fda()).between_limits.latest) == 360);
    Lot never;
    never.stage(Stage::hot_holding, 0).served(360);
    CHECK(minutes(never.judged(fda()).between_limits.latest) == 360);
    CHECK(minutes(never.judged(fda()).below_hot_limit.latest) == 360);
    // What is frozen is not looked at.
    Lot frozen;
    frozen.stage(Stage::cold_holding, 0).stage(Stage::frozen, 60).stage(Stage::cold_holding, 6000);
    frozen.readings({{0, 40}, {60, 40}, {6000, 40}, {6060, 40}});
    CHECK(minutes(frozen.judged(fda()).between_limits.latest) == 0);
}

TEST_CASE("a reading on the boundary of two stages counts in both of them") {
    // Cooked until 100, held hot until 180; `top` was read once, below 135 °F.
    const auto read_at = [](double minute) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 100);
        lot.readings({{0, 150}, {90, 150}, {180, 150}});
        lot.readings({{minute, 130}}, Scale::fahrenheit, "top");
        return minutes(lot.judged(fda()).between_limits.latest);
    };
    CHECK(read_at(99) == 100);
    CHECK(read_at(100) == 180);
    CHECK(read_at(101) == 80);
}

TEST_CASE("a point's stage bounds what is not known of it only where the food was read beyond it") {
    // Cooked until 100, held hot until 190 at most; `core` as given, `top` read once, below 135 °F.
    const auto total = [](double top, std::vector<Row> core, double end) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 100).readings(std::move(core));
        lot.readings({{top, 130}}, Scale::fahrenheit, "top").served(end);
        return minutes(lot.judged(fda()).between_limits.latest);
    };
    CHECK(total(150, {{0, 150}, {90, 150}, {190, 150}}, 190) == 90);
    CHECK(total(150, {{99, 150}, {190, 150}}, 190) == 90);
    CHECK(total(150, {{100, 150}, {190, 150}}, 190) == 190); // nothing was read of the cook alone
    CHECK(total(50, {{0, 150}, {100, 150}, {180, 150}}, 180) == 100);
    CHECK(total(50, {{0, 150}, {101, 150}}, 180) == 100);
    CHECK(total(50, {{0, 150}, {100, 150}}, 180) == 180); // nor of the hold
    // One point alone: from the first stage on, and to the end.
    Lot first;
    first.stage(Stage::cooking, 0).stage(Stage::hot_holding, 50);
    first.readings({{100, 130}, {120, 150}});
    CHECK(minutes(first.judged(fda()).between_limits.latest) == 120);
    Lot last;
    last.stage(Stage::cooking, 0).stage(Stage::hot_holding, 60);
    last.readings({{0, 150}, {30, 130}}).served(100);
    CHECK(minutes(last.judged(fda()).between_limits.latest) == 100);
}

TEST_CASE("each reading ends a silence, also a first one") {
    // At most 2 h (common practice, no source) between readings.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{90, 150}, {180, 150}});
    CHECK(minutes(lot.judged(fda()).between_limits.latest) == 0);
    // What was left out between two readings of one value vouches for the time between them alone.
    Lot condensed;
    condensed.stage(Stage::hot_holding, 0).readings({{180, 150}, {400, 150}});
    CHECK(minutes(condensed.judged(fda()).between_limits.latest) == 400);
    condensed.history().points.front().readings[1].left_out = 20;
    CHECK(minutes(condensed.judged(fda()).between_limits.latest) == 180);
}

TEST_CASE("a suspect reading does not take time off a total, nor one inside the band") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 130}, {60, 130}, {120, 160}, {180, 130}});
    lot.history().points.front().readings[2].suspect = true;
    const LotJudgement j = lot.judged(fda());
    CHECK(minutes(j.below_hot_limit.earliest) == 180);
    CHECK(minutes(j.between_limits.earliest) == 180);
    CHECK(minutes(j.between_limits.latest) == 180);
    // 136 °F by a thermometer good to 2 °F.
    Lot near;
    near.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 136}, {60, 136}, {90, 150}});
    const auto band = TemperatureDelta::of_thousandths(2000, Scale::fahrenheit);
    CHECK(minutes(near.judged(fda(), std::nullopt, band).below_hot_limit.latest) == 90);
    CHECK(minutes(near.judged(fda(), std::nullopt, band).between_limits.latest) == 90);
    CHECK(minutes(near.judged(fda(), std::nullopt, band).between_limits.earliest) == 0);
    CHECK(minutes(near.judged(fda()).between_limits.latest) == 0);
}

TEST_CASE("two readings of one point and instant that differ count as the worse") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {30, 140}, {30, 130}, {60, 140}});
    CHECK(minutes(lot.judged(fda()).below_hot_limit.latest) == 60);
    Lot torn; // cold and hot at once: nobody knows
    torn.stage(Stage::hot_holding, 0).readings({{0, 140}, {30, 140}, {30, 40}, {60, 140}});
    CHECK(minutes(torn.judged(fda()).between_limits.latest) == 60);
    CHECK(minutes(torn.judged(fda()).between_limits.earliest) == 0);
    // At least: from one wrong reading to the next, in whichever order those of an instant came;
    // what was cold and hot at once was not surely between.
    const auto least = [](std::vector<Row> rows) {
        Lot twice;
        twice.stage(Stage::hot_holding, 0).readings({{0, 140}, {60, 140}});
        return minutes(twice.readings(std::move(rows)).judged(fda()).between_limits.earliest);
    };
    CHECK(least({{30, 140}, {30, 130}, {40, 140}, {40, 130}}) == 10);
    CHECK(least({{30, 130}, {30, 140}, {40, 130}, {40, 140}}) == 10);
    CHECK(least({{30, 140}, {30, 40}, {40, 140}, {40, 40}}) == 0);
    CHECK(least({{30, 40}, {30, 140}, {40, 40}, {40, 140}}) == 0);
}

TEST_CASE("the time between the limits of a line through the readings lies in its bracket") {
    // The line's own time is worked out here, by its crossings of 41 and 135 °F.
    const auto time_between = [](const Row& a, const Row& b) {
        const double low = std::min(a.degrees, b.degrees);
        const double high = std::max(a.degrees, b.degrees);
        const double inside = std::min(high, 135.0) - std::max(low, 41.0);
        if (inside <= 0) {
            return low == high && low > 41 && high < 135 ? b.minutes - a.minutes : 0.0;
        }
        return high == low ? b.minutes - a.minutes
                           : (b.minutes - a.minutes) * inside / (high - low);
    };
    rc::prop("bracketed", [&] {
        Lot lot;
        std::vector<Row> rows{{0, static_cast<double>(*rc::gen::inRange(30, 160))}};
        double truth = 0;
        const int count = *rc::gen::inRange(1, 12);
        for (int i = 0; i < count; ++i) {
            const Row next{rows.back().minutes + *rc::gen::inRange(1, 200),
                           static_cast<double>(*rc::gen::inRange(30, 160))};
            truth += time_between(rows.back(), next);
            rows.push_back(next);
        }
        lot.stage(Stage::preparing, 0);
        lot.stage(*rc::gen::elementOf(std::vector<Stage>{Stage::cooking, Stage::cooling,
                                                         Stage::hot_holding, Stage::frozen}),
                  *rc::gen::inRange(1, 100));
        lot.readings(rows);
        const LotJudgement j = lot.judged(fda());
        RC_ASSERT(minutes(j.between_limits.earliest) <= truth + 1e-6);
        RC_ASSERT(minutes(j.between_limits.latest) >= truth - 1e-6);
    });
}
