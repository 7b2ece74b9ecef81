// Cooling: FDA Food Code 2022, 3-501.14(A): 135 °F (57 °C) to 70 °F (21 °C) within 2 hours, and to
// 41 °F (5 °C) or less within a total of 6 hours (2022 text from memory; identical wording read in
// adoptions of the 2013 edition).
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

Lot cooling(std::vector<Row> rows, Scale scale = Scale::fahrenheit) {
    Lot lot;
    lot.stage(Stage::cooling, rows.front().minutes).readings(rows, scale);
    return lot;
}

struct Bounds {
    double earliest;
    double latest;
};

void check_window(const LotJudgement& j, const std::string& id, Verdict verdict, Bounds bounds) {
    const Finding& f = only(j, id);
    INFO(id << ": " << f.reason);
    CHECK(f.verdict == verdict);
    CHECK(minutes(f.elapsed.earliest) == Approx(bounds.earliest).margin(1e-9));
    CHECK(minutes(f.elapsed.latest) == Approx(bounds.latest).margin(1e-9));
}

// Worked sets A to D: the definition of an interval-censored event applied to four logs, computed
// independently with crossings at 57, 21 and 5 °C, D1 = 120 min, D2 = 360 min. Minutes from 13:00.
const std::vector<Row> kSetA{{0, 60.0},   {30, 54.0}, {60, 38.0}, {90, 26.0},
                             {110, 20.6}, {210, 9.0}, {300, 4.8}};
const std::vector<Row> kSetB{{0, 60.0},   {45, 50.0},  {120, 30.0}, {160, 24.0},
                             {210, 19.0}, {300, 10.0}, {420, 4.5}};
const std::vector<Row> kSetC{{0, 60.0},   {40, 50.0}, {100, 27.0},
                             {140, 19.5}, {240, 9.0}, {345, 4.9}};
const std::vector<Row> kSetD{{0, 60.0},   {20, 55.5}, {145, 26.0},
                             {180, 20.4}, {310, 9.0}, {410, 4.4}};

} // namespace

TEST_CASE("MET-6, set A: both windows proven met by their worst case") {
    const auto j = cooling(kSetA, Scale::celsius).judged(fda());
    check_window(j, "cooling-first-window", Verdict::met, {60, 110});
    check_window(j, "cooling-total", Verdict::met, {180, 300});
    // The straight-line estimates of the same worked set: 93.5 and 280.7 min.
    CHECK(minutes(only(j, "cooling-first-window").elapsed.estimate) == Approx(93.5).margin(0.05));
    CHECK(minutes(only(j, "cooling-total").elapsed.estimate) == Approx(280.7).margin(0.05));
    CHECK(j.overall == Verdict::met);
    CHECK(j.flags.empty());
}

TEST_CASE("MET-6, set A, guarded by 0.5 degrees: the readings no longer surely clear the limits") {
    const auto j =
        cooling(kSetA, Scale::celsius)
            .judged(fda(), std::nullopt, TemperatureDelta::of_thousandths(500, Scale::celsius));
    check_window(j, "cooling-first-window", Verdict::not_shown, {60, 210});
    const Finding& total = only(j, "cooling-total");
    CHECK(total.verdict == Verdict::not_shown);
    CHECK(minutes(total.elapsed.earliest) == Approx(180));
    CHECK_FALSE(total.elapsed.latest.has_value());
}

TEST_CASE("MET-6, set B: the estimate says failed, the record proves nothing") {
    const auto j = cooling(kSetB, Scale::celsius).judged(fda());
    check_window(j, "cooling-first-window", Verdict::not_shown, {115, 210});
    check_window(j, "cooling-total", Verdict::not_shown, {255, 420});
    CHECK(minutes(only(j, "cooling-first-window").elapsed.estimate) == Approx(176.5).margin(0.05));
    CHECK(minutes(only(j, "cooling-total").elapsed.estimate) == Approx(395.6).margin(0.05));
}

TEST_CASE("MET-6, set C: the first window is not shown, the total is met") {
    const auto j = cooling(kSetC, Scale::celsius).judged(fda());
    check_window(j, "cooling-first-window", Verdict::not_shown, {60, 140});
    check_window(j, "cooling-total", Verdict::met, {200, 345});
    CHECK(minutes(only(j, "cooling-first-window").elapsed.estimate) == Approx(120.0).margin(0.05));
}

TEST_CASE("MET-6, set D: the first window is proven exceeded by its best case") {
    const auto j = cooling(kSetD, Scale::celsius).judged(fda());
    check_window(j, "cooling-first-window", Verdict::not_met, {125, 180});
    check_window(j, "cooling-total", Verdict::not_shown, {290, 410});
    CHECK(j.overall == Verdict::not_met);
}

TEST_CASE("135 at 0 h and 65 at 3 h proves nothing about the first window") {
    const auto j = cooling({{0, 135}, {180, 65}}).judged(fda());
    check_window(j, "cooling-first-window", Verdict::not_shown, {0, 180});
    CHECK(only(j, "cooling-first-window").acts_as_missed);
}

TEST_CASE("140 at 0 h and 50 at 8 h, nothing between: not shown, acted on as not met") {
    const auto j = cooling({{0, 140}, {480, 50}}).judged(fda());
    for (const char* id : {"cooling-first-window", "cooling-total"}) {
        CHECK(only(j, id).verdict == Verdict::not_shown);
        CHECK(only(j, id).acts_as_missed);
    }
    CHECK(j.overall == Verdict::not_shown);
    CHECK_FALSE(j.flags.empty());
}

TEST_CASE("the same with a reading below 135 in the first two hours is not met") {
    const auto j = cooling({{0, 140}, {60, 130}, {480, 50}}).judged(fda());
    CHECK(only(j, "cooling-total").verdict ==
          Verdict::not_met); // 50 °F seven hours after it was below 135 °F
    CHECK(j.overall == Verdict::not_met);
}

TEST_CASE("exactly two hours is within two hours, a millisecond more is not") {
    const auto exact = cooling({{0, 135}, {1, 134.9}, {120, 70}}).judged(fda());
    CHECK(only(exact, "cooling-first-window").verdict == Verdict::met);
    const auto over = cooling({{0, 135}, {1, 134.9}, {120 + 1.0 / 60'000, 70}}).judged(fda());
    CHECK(only(over, "cooling-first-window").verdict == Verdict::not_shown);
}

TEST_CASE("a best case of exactly the time allowed is not met: the true time is strictly longer") {
    // Below 135 °F by minute 1, still above 70 °F at minute 121.
    const auto j = cooling({{0, 135}, {1, 134.9}, {121, 70.1}, {122, 69}}).judged(fda());
    CHECK(only(j, "cooling-first-window").verdict == Verdict::not_met);
    const auto less = cooling({{0, 135}, {1, 134.9}, {120.9, 70.1}, {122, 69}}).judged(fda());
    CHECK(only(less, "cooling-first-window").verdict == Verdict::not_shown);
}

TEST_CASE("food that warms over the target again has reached it only when it stays") {
    const auto j =
        cooling({{0, 140}, {10, 134}, {100, 69}, {110, 71}, {125, 68}, {300, 40}}).judged(fda());
    const Finding& f = only(j, "cooling-first-window");
    CHECK(minutes(f.elapsed.latest) == Approx(125));
    CHECK(f.verdict == Verdict::not_shown);
}

TEST_CASE(
    "food that was cool in time and is warm again is no proven miss, before or after it returns") {
    const auto so_far = cooling({{0, 140}, {10, 134}, {100, 69}, {131, 71}}).judged(fda());
    CHECK(only(so_far, "cooling-first-window").verdict == Verdict::not_shown);
    CHECK(only(so_far, "cooling-first-window").acts_as_missed);
    const auto back = cooling({{0, 140}, {10, 134}, {100, 69}, {131, 71}, {140, 68}}).judged(fda());
    CHECK(only(back, "cooling-first-window").verdict == Verdict::not_shown);
    // Above the target until two hours after the start: a miss, whatever it does later.
    const auto late = cooling({{0, 140}, {10, 134}, {130, 71}, {131, 69}, {140, 71}}).judged(fda());
    CHECK(only(late, "cooling-first-window").verdict == Verdict::not_met);
}

TEST_CASE("climbing back over the start inside cooling resets nothing") {
    const auto j =
        cooling({{0, 140}, {10, 134}, {60, 136}, {70, 133}, {150, 69}, {300, 40}}).judged(fda());
    const Finding& f = only(j, "cooling-first-window");
    CHECK(minutes(f.elapsed.latest) == Approx(150)); // from minute 0, not from minute 60
    CHECK(f.verdict != Verdict::met);
}

TEST_CASE("an unknown start can be missed, and can be neither met nor open") {
    const auto quick = cooling({{0, 130}, {30, 69}, {60, 41}}).judged(fda());
    CHECK(only(quick, "cooling-first-window").verdict == Verdict::not_shown);
    CHECK(only(quick, "cooling-total").verdict == Verdict::not_shown);
    const auto running = cooling({{0, 130}, {30, 90}}).judged(fda());
    CHECK(only(running, "cooling-first-window").verdict == Verdict::not_shown);
    const auto slow = cooling({{0, 130}, {121, 71}, {130, 69}}).judged(fda());
    CHECK(only(slow, "cooling-first-window").verdict == Verdict::not_met);
}

TEST_CASE("the clock starts at the last fall before, if the food enters cooling below the limit") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60);
    lot.readings({{0, 150}, {30, 140}, {50, 133}, {60, 130}, {140, 70}, {300, 41}});
    const auto j = lot.judged(fda());
    const Finding& f = only(j, "cooling-first-window");
    CHECK(minutes(f.elapsed.latest) == Approx(110));  // from 140 °F at 30
    CHECK(minutes(f.elapsed.earliest) == Approx(10)); // below by 50, still above 70 °F at 60
    CHECK(f.verdict == Verdict::met);
}

TEST_CASE("guarded, a fall before the cooling stage is as old as it is as read") {
    // 135 °F does not clear the limit by 1 °F, so the worst case is unknown; the best case is the
    // same: below 135 °F by minute 5, still above 70 °F at minute 130.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 10);
    lot.readings({{0, 135}, {5, 134}, {20, 130}, {130, 71}});
    const auto band = TemperatureDelta::of_thousandths(1000, Scale::fahrenheit);
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict == Verdict::not_met);
    CHECK(only(lot.judged(fda(), std::nullopt, band), "cooling-first-window").verdict ==
          Verdict::not_met);
}

TEST_CASE("a dip in the hold that came back does not start the cooling clock") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 120);
    lot.readings({{0, 150}, {30, 134}, {60, 140}, {120, 138}, {130, 134}, {230, 70}, {400, 41}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooling-first-window").verdict == Verdict::met);
    CHECK(minutes(only(j, "cooling-first-window").elapsed.latest) == Approx(110));
    CHECK(only(j, "hot-holding").verdict == Verdict::not_met);
}

TEST_CASE("not reached: open while the worst case has time, then not shown, then not met") {
    const Lot lot = cooling({{0, 140}, {20, 134}, {60, 100}});
    CHECK(only(lot.judged(fda(), 120), "cooling-first-window").verdict == Verdict::open);
    CHECK(only(lot.judged(fda(), 121), "cooling-first-window").verdict == Verdict::not_shown);
    CHECK(only(lot.judged(fda(), 121), "cooling-first-window").acts_as_missed);
    Lot later = cooling({{0, 140}, {20, 134}, {60, 100}, {140, 71}});
    CHECK(only(later.judged(fda(), 140), "cooling-first-window").verdict == Verdict::not_met);
    Lot nearly = cooling({{0, 140}, {20, 134}, {60, 100}, {139, 71}});
    CHECK(only(nearly.judged(fda(), 139), "cooling-first-window").verdict == Verdict::not_shown);
}

TEST_CASE("served before the time ran out is ended and does not count") {
    Lot lot = cooling({{0, 140}, {20, 134}, {60, 100}});
    lot.served(90);
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooling-first-window").verdict == Verdict::ended);
    CHECK(minutes(only(j, "cooling-first-window").margin.time) == Approx(30));
    CHECK(j.overall == Verdict::ended);
    Lot late = cooling({{0, 140}, {20, 134}, {60, 100}});
    late.served(130);
    CHECK(only(late.judged(fda()), "cooling-first-window").verdict == Verdict::not_shown);
}

TEST_CASE("only a reheat that meets the code starts a new cooling clock") {
    const auto beans = [](double hottest) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(Stage::reheating, 90).stage(Stage::cooling, 150);
        lot.readings({{0, 140},
                      {5, 134},
                      {90, 100},
                      {120, 140},
                      {145, hottest},
                      {146, hottest},
                      {150, hottest},
                      {160, 134},
                      {250, 70},
                      {400, 41}});
        return lot;
    };
    SECTION("165 °F for over 15 s, begun within the two hours: the broken-off attempt is a note") {
        const auto j = beans(166).judged(fda());
        int met = 0;
        int notes = 0;
        for (const Finding& f : j.findings) {
            if (f.requirement == "cooling-first-window") {
                met += f.verdict == Verdict::met && f.counts ? 1 : 0;
                notes += f.verdict == Verdict::ended && !f.counts ? 1 : 0;
            }
        }
        CHECK(met == 1);
        CHECK(notes == 1);
        CHECK(j.overall == Verdict::met);
    }
    SECTION("160 °F is no reheat: one clock runs through") {
        const auto j = beans(160).judged(fda());
        CHECK(only(j, "cooling-first-window").verdict == Verdict::not_met);
        CHECK(j.overall == Verdict::not_met);
    }
}

TEST_CASE(
    "food taken out of the cold uncooled is still not cooled, whether a reheat follows or not") {
    // Below 135 °F by minute 5, still above 70 °F at minute 140, on the table.
    const auto left = [](double hottest) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(Stage::preparing, 60).stage(Stage::reheating, 200);
        lot.readings({{0, 140}, {5, 134}, {60, 100}, {140, 90}, {240, hottest}, {241, hottest}})
            .closes(250);
        return only(lot.judged(fda()), "cooling-first-window").verdict;
    };
    CHECK(left(166) == Verdict::not_met);
    CHECK(left(150) == Verdict::not_met);
}

TEST_CASE("an attempt broken off too late keeps its verdict") {
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::reheating, 150).stage(Stage::cooling, 200);
    lot.readings({{0, 140},
                  {5, 134},
                  {100, 90},
                  {148, 80},
                  {190, 166},
                  {191, 166},
                  {200, 165},
                  {210, 134},
                  {300, 70},
                  {450, 41}});
    const auto j = lot.judged(fda());
    std::vector<Verdict> first;
    for (const Finding& f : j.findings) {
        if (f.requirement == "cooling-first-window") {
            first.push_back(f.verdict);
        }
    }
    CHECK(first == std::vector{Verdict::not_met, Verdict::met});
    CHECK(j.overall == Verdict::not_met);
}

TEST_CASE("hot food that goes to the walk-in without a cooling stage is cooled all the same") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cold_holding, 60);
    lot.readings({{0, 150}, {60, 140}, {70, 134}, {170, 70}, {350, 41}, {400, 40}, {460, 39}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooling-first-window").verdict == Verdict::met);
    CHECK(only(j, "cooling-total").verdict == Verdict::met);
    CHECK(only(j, "cold-holding").verdict == Verdict::met); // binds from the first reading at 41 °F
}

TEST_CASE("cold holding binds when the cooling time has run out, reached or not") {
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::cold_holding, 300);
    lot.readings({{0, 140}, {5, 134}, {100, 70}, {300, 50}, {360, 45}, {420, 44}, {480, 43}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooling-total").verdict == Verdict::not_met);
    CHECK(only(j, "cold-holding").verdict == Verdict::not_met);
}

TEST_CASE("food made from room-temperature ingredients has four hours to 41 °F") {
    // FDA Food Code 2022, 3-501.14(B) (2022 text from memory; read in adoptions of the 2013
    // edition).
    Lot lot = cooling({{0, 70}, {120, 50}, {240, 41}});
    lot.history().made_from_ambient = true;
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooling-from-ambient").verdict == Verdict::met);
    CHECK_FALSE(has(j, "cooling-first-window"));
    Lot late = cooling({{0, 70}, {120, 50}, {241, 41}});
    late.history().made_from_ambient = true;
    CHECK(only(late.judged(fda()), "cooling-from-ambient").verdict == Verdict::not_shown);
}

TEST_CASE("the hottest point speaks for the lot") {
    Lot lot = cooling({{0, 140}, {5, 134}, {110, 70}, {300, 41}});
    lot.readings({{0, 140}, {5, 134}, {125, 71}, {140, 70}, {355, 41}}, Scale::fahrenheit,
                 "middle");
    CHECK(lot.judged(fda()).overall == Verdict::not_met);
}
