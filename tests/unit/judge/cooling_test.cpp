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

TEST_CASE("food made from room-temperature ingredients is cooled in the cold stage it goes to") {
    // 3-501.14(B) again: nobody read it when it went in; 41 °F is first read after 4 h 1 min.
    const auto put_away = [](double first_read) {
        Lot lot{FoodKind::plant};
        lot.stage(Stage::preparing, 0).stage(Stage::cold_holding, 30);
        lot.history().made_from_ambient = true;
        lot.readings({{30 + first_read, 40}, {500, 40}}).served(500);
        return lot.judged(fda());
    };
    CHECK(only(put_away(240), "cooling-from-ambient").verdict == Verdict::met);
    CHECK(only(put_away(241), "cooling-from-ambient").verdict == Verdict::not_shown);
}

TEST_CASE("the hottest point speaks for the lot") {
    Lot lot = cooling({{0, 140}, {5, 134}, {110, 70}, {300, 41}});
    lot.readings({{0, 140}, {5, 134}, {125, 71}, {140, 70}, {355, 41}}, Scale::fahrenheit,
                 "middle");
    CHECK(lot.judged(fda()).overall == Verdict::not_met);
}

TEST_CASE("a cooling that nobody measured is judged by what was known before it") {
    // 3-501.14(A): the last reading at or above 135 °F is the earliest start; nothing shows the
    // end.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 70).readings({{0, 150}, {60, 140}});
    const Finding first = only(lot.judged(fda(), 500), "cooling-first-window");
    CHECK(first.verdict == Verdict::not_shown);
    CHECK(first.acts_as_missed);
    CHECK(only(lot.judged(fda(), 500), "cooling-total").verdict == Verdict::not_shown);
    CHECK(only(lot.judged(fda(), 180), "cooling-first-window").verdict == Verdict::open);
}

TEST_CASE("attempts are numbered only where there are several") {
    Lot once = cooling({{0, 140}, {5, 134}, {100, 70}, {300, 41}});
    const auto attempts = [](const Finding& f) {
        std::vector<std::string> found;
        std::ranges::copy_if(f.notes, std::back_inserter(found), [](const std::string& note) {
            return note.starts_with("Cooling attempt");
        });
        return found;
    };
    CHECK(attempts(only(once.judged(fda()), "cooling-first-window")).empty());
    Lot twice;
    twice.stage(Stage::cooling, 0).stage(Stage::reheating, 90).stage(Stage::cooling, 150);
    twice.readings({{0, 140},
                    {5, 134},
                    {90, 100},
                    {145, 166},
                    {146, 166},
                    {150, 166},
                    {160, 134},
                    {250, 70},
                    {400, 41}});
    std::vector<std::string> notes;
    std::vector<std::string> reasons;
    for (const Finding& f : twice.judged(fda()).findings) {
        if (f.requirement == "cooling-first-window") {
            REQUIRE(attempts(f).size() == 1);
            notes.push_back(attempts(f).front());
            reasons.push_back(f.reason);
        }
    }
    CHECK(notes == std::vector<std::string>{"Cooling attempt 1.", "Cooling attempt 2."});
    CHECK(reasons.front().find("by a reheat that met the code") != std::string::npos);
    // The same where nobody measured.
    Lot unmeasured;
    unmeasured.stage(Stage::hot_holding, 0).stage(Stage::cooling, 70);
    unmeasured.readings({{0, 150}, {60, 140}});
    CHECK(attempts(only(unmeasured.judged(fda(), 500), "cooling-first-window")).empty());
    Lot second;
    second.stage(Stage::cooling, 0).stage(Stage::reheating, 90).stage(Stage::cooling, 150);
    second.readings({{0, 140}, {5, 134}, {90, 100}, {145, 166}, {146, 166}});
    std::vector<std::string> of_both;
    for (const Finding& f : second.judged(fda(), 500).findings) {
        if (f.requirement == "cooling-first-window") {
            std::ranges::copy(attempts(f), std::back_inserter(of_both));
        }
    }
    CHECK(of_both == std::vector<std::string>{"Cooling attempt 1.", "Cooling attempt 2."});
}

TEST_CASE("a first heating's cooling is broken off by the full cook, and its note says so") {
    // FDA Food Code 2022, 3-401.14: cooled by 3-501.14(A) after the first heating, then cooked in
    // full; 3-401.11(A)(3): 165 °F.
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::initial_heating, 0).stage(Stage::cooling, 30).stage(Stage::cooking, 90);
    lot.stage(Stage::cooling, 150);
    lot.readings({{0, 40},
                  {30, 140},
                  {40, 134},
                  {90, 100},
                  {140, 170},
                  {141, 170},
                  {150, 170},
                  {160, 134},
                  {250, 70},
                  {400, 41}});
    std::vector<std::string> reasons;
    for (const Finding& f : lot.judged(fda()).findings) {
        if (f.requirement == "cooling-first-window" && !f.counts) {
            reasons.push_back(f.reason);
        }
    }
    REQUIRE(reasons.size() == 1);
    CHECK(reasons.front().find("by a cook that met the code") != std::string::npos);
}

TEST_CASE("food that warms in a cooling stage after it was cold has reached nothing yet") {
    // Straight to the walk-in, 41 °F at minute 100, and back to 80 °F in the cooling stage that was
    // entered later: 3-501.14(A)(1) is not shown, since it may have been below 70 °F for good only
    // hours later.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cold_holding, 10).stage(Stage::cooling, 110);
    lot.readings({{0, 150}, {10, 140}, {60, 65}, {100, 40}, {120, 80}, {300, 40}});
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict == Verdict::not_shown);
    CHECK(only(lot.judged(fda()), "cooling-total").verdict == Verdict::met);
}

TEST_CASE("hot food that is put to thaw is cooled there, by the same windows") {
    // 3-501.14(A): 95 °F more than 2 h after it fell below 135 °F.
    const auto put_away = [](Stage stage) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::preparing, 100).stage(stage, 501);
        lot.readings({{0, 140}, {100, 140}, {130, 130}, {300, 110}, {500, 95}, {615, 40}});
        lot.readings({{700, 40}}).served(700);
        return only(lot.judged(fda()), "cooling-first-window").verdict;
    };
    CHECK(put_away(Stage::cold_holding) == Verdict::not_met);
    CHECK(put_away(Stage::thawing) == Verdict::not_met);
    // What thaws from frozen is not cooled.
    Lot thawed;
    thawed.stage(Stage::frozen, 0).stage(Stage::thawing, 600);
    thawed.readings({{0, 0}, {600, 10}, {660, 30}, {720, 38}}).served(720);
    CHECK_FALSE(has(thawed.judged(fda()), "cooling-first-window"));
}

TEST_CASE("what thaws later was not cooled by it") {
    // 41 °F within 6 h of 135 °F (3-501.14(A)(2)): still 50 °F when it is thawed, cold only then.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 10).stage(Stage::thawing, 140);
    lot.stage(Stage::cold_holding, 200);
    lot.readings({{0, 150}, {10, 140}, {60, 69}, {130, 50}, {160, 40}, {210, 40}});
    CHECK(only(lot.judged(fda()), "cooling-total").verdict == Verdict::open);
    CHECK(only(lot.judged(fda(), 400), "cooling-total").verdict == Verdict::not_shown);
}

TEST_CASE("cold holding binds from the very instant at which the cooling time has run out") {
    // Below 135 °F by minute 15; 6 h later, at minute 375, cold holding binds.
    const auto binds = [](double as_of) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::cold_holding, 10);
        lot.readings({{0, 150}, {10, 140}, {15, 130}, {100, 65}, {300, 60}, {374, 60}, {375, 60}});
        return has(lot.judged(fda(), as_of), "cold-holding");
    };
    CHECK_FALSE(binds(374));
    CHECK(binds(375));
    // Food that gets there as the stage ends was held at the limit for that instant.
    const auto at_the_end = [](double reached) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::cold_holding, 10).stage(Stage::frozen, 300);
        lot.readings({{0, 150}, {10, 140}, {15, 130}, {100, 65}, {reached, 41}, {310, 30}});
        return has(lot.judged(fda()), "cold-holding");
    };
    CHECK(at_the_end(300));
    CHECK_FALSE(at_the_end(301));
}

TEST_CASE("a window's words name what starts it") {
    const auto pack = [](const char* id) {
        return codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/" + id +
                                ".toml");
    };
    const auto contains = [](const std::string& text, const char* words) {
        INFO(text);
        return text.find(words) != std::string::npos;
    };
    // FSAI, Guidance Note 15: 3 °C within 150 min of the end of cooking.
    Lot cooked;
    cooked.stage(Stage::cooking, 0).stage(Stage::cooling, 60);
    cooked.readings({{0, 10}, {50, 80}, {60, 80}, {200, 3}}, Scale::celsius);
    const Finding irish = only(cooked.judged(pack("ie-fsai")), "cooling-total");
    CHECK(irish.verdict == Verdict::met);
    CHECK(contains(irish.limit.text, "end of cooking"));
    CHECK(contains(irish.reason, "The cook ended"));
    // Reheated to 70 °C and cooled again: from the end of that; from the cook's where it fell
    // short.
    cooked.stage(Stage::cold_holding, 210)
        .stage(Stage::reheating, 1000)
        .stage(Stage::cooling, 1060);
    cooked.readings({{1000, 3}, {1050, 69}, {1060, 69}, {1210, 3}}, Scale::celsius);
    const auto last_cooling = [&] {
        const LotJudgement j = cooked.judged(pack("ie-fsai"));
        return *std::ranges::find_if(j.findings.rbegin(), j.findings.rend(), [](const Finding& f) {
            return f.requirement == "cooling-total";
        });
    };
    CHECK(last_cooling().verdict != Verdict::met);
    cooked.readings({{1055, 70}}, Scale::celsius);
    CHECK(last_cooling().verdict == Verdict::met);
    CHECK(contains(last_cooling().reason, "The reheat ended"));
    // So where cold food was heated in a hot hold; and a heating that went on after the food was
    // under 63 °C, the pack's hot limit, had ended by then.
    const auto after = [&](Stage stage, std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cold_holding, 210);
        lot.readings({{0, 10}, {50, 80}, {60, 80}, {200, 3}, {210, 3}}, Scale::celsius);
        lot.stage(stage, 1000).stage(Stage::cooling, 1130);
        lot.readings(std::move(rows), Scale::celsius);
        const LotJudgement j = lot.judged(pack("ie-fsai"));
        return *std::ranges::find_if(j.findings.rbegin(), j.findings.rend(), [](const Finding& f) {
            return f.requirement == "cooling-total";
        });
    };
    const std::vector<Row> kept{{1000, 3}, {1020, 75}, {1120, 70}, {1130, 70}, {1200, 3}};
    const std::vector<Row> dropped{{1000, 3}, {1020, 75}, {1040, 40}, {1130, 30}, {1200, 3}};
    CHECK(after(Stage::reheating, kept).verdict == Verdict::met);                 // 1130 to 1200
    CHECK(after(Stage::hot_holding, kept).elapsed.latest == Span::minutes(200));  // 1000 to 1200
    CHECK(after(Stage::reheating, dropped).elapsed.latest == Span::minutes(180)); // 1020 to 1200
    CHECK(after(Stage::reheating, dropped).verdict == Verdict::not_shown); // 1040 to 1130 at least
    // Standard 3.2.2 clause 7(3): 60 to 21 °C in 2 h, then to 5 °C in a further 4 h.
    Lot chilled;
    chilled.stage(Stage::cooling, 0);
    chilled.readings({{0, 61}, {5, 59}, {60, 22}, {100, 21}, {300, 5}}, Scale::celsius);
    const Finding second = only(chilled.judged(pack("au-3.2.2")), "cooling-second-window");
    CHECK(second.verdict == Verdict::met);
    CHECK(contains(second.limit.text, "end of the first window"));
    CHECK(contains(second.reason, "The first window ended"));
    // 3-501.14(B): within 4 h from the start of cooling, for food made at room temperature.
    Lot ambient = cooling({{0, 70}, {120, 50}, {240, 41}});
    ambient.history().made_from_ambient = true;
    const Finding fresh = only(ambient.judged(fda()), "cooling-from-ambient");
    CHECK(contains(fresh.limit.text, "start of cooling"));
    CHECK(contains(fresh.reason, "Cooling began"));
}

TEST_CASE("food that was cooled, heated again and put away is still to be cooled") {
    // FDA Food Code 2022, 3-501.14(A): 135 to 41 °F within 6 hours in all. A cook that starts no
    // new clock leaves the first one running (the project's reading).
    const auto again = [](Stage into, std::vector<Row> rows) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cold_holding, 300);
        lot.stage(Stage::cooking, 400).stage(into, 460);
        lot.readings({{0, 40},
                      {50, 170},
                      {51, 170},
                      {60, 140},
                      {65, 134},
                      {150, 70},
                      {290, 41},
                      {300, 41},
                      {390, 41},
                      {440, 170},
                      {441, 170}});
        lot.readings(std::move(rows));
        Verdict verdict = Verdict::met;
        for (const Finding& f : lot.judged(fda(), 1500).findings) {
            verdict = f.requirement == "cooling-total" ? judge::worse(verdict, f.verdict) : verdict;
        }
        return verdict;
    };
    const std::vector<Row> slow{{460, 150}, {600, 120}, {900, 90}, {1400, 41}};
    for (const Stage into : {Stage::cold_holding, Stage::frozen}) {
        CHECK(again(into, slow) == Verdict::not_shown);
        CHECK(again(into, {}) != Verdict::met);
    }
    // Cold as it is put away: what comes after is cold holding's.
    CHECK(again(Stage::cold_holding, {{460, 41}, {500, 60}, {1400, 60}}) ==
          again(Stage::cold_holding, {{460, 41}}));
    // Neither the cook nor what followed was read.
    Lot unread{FoodKind::poultry};
    unread.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cold_holding, 300);
    unread.readings({{0, 40},
                     {50, 170},
                     {51, 170},
                     {60, 140},
                     {65, 134},
                     {150, 70},
                     {290, 41},
                     {300, 41},
                     {390, 41}});
    CHECK(only(unread.judged(fda(), 450), "cooling-total").verdict == Verdict::met);
    unread.stage(Stage::cooking, 400).stage(Stage::frozen, 460);
    const LotJudgement j = unread.judged(fda(), 600);
    CHECK(only(j, "cooling-total").verdict == Verdict::not_shown);
    CHECK(only(j, "cooling-total").acts_as_missed);
    CHECK(only(j, "cooling-total").reason.starts_with("It was heated again"));
}

TEST_CASE(
    "a cooling that nobody read before the food was heated again runs from its first reading") {
    // 140 °F at the start, then three hours unread, and heated in vain (3-403.11(A): 165 °F): from
    // then on 70 °F took under two hours, but the clock may have started at 0 (the project's
    // reading: only a reheat that meets the code starts a new one).
    for (const Stage into : {Stage::reheating, Stage::hot_holding, Stage::cooking}) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::cooling, 0).stage(into, 180).stage(Stage::cooling, 240);
        lot.readings({{0, 140}, {200, 150}, {240, 150}, {250, 134}, {350, 70}, {500, 41}});
        const LotJudgement j = lot.judged(fda());
        CHECK(only(j, "cooling-first-window").verdict == Verdict::not_shown);
        CHECK(only(j, "cooling-first-window").elapsed.latest == Span::minutes(350));
        CHECK(only(j, "cooling-total").verdict == Verdict::not_shown);
        CHECK(only(j, "cooling-total").elapsed.latest == Span::minutes(500));
    }
}

TEST_CASE("food that is cold at the very instant it is put away again has been cooled by then") {
    // 3-501.14(A): 41 °F within 6 hours; what warms after that is cold holding's matter. A reading
    // on the boundary of two stages counts in both.
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cold_holding, 200);
    lot.stage(Stage::cooking, 250).stage(Stage::cold_holding, 300);
    lot.readings({{50, 170},
                  {51, 170},
                  {60, 140},
                  {65, 134},
                  {120, 70},
                  {190, 41},
                  {200, 41},
                  {280, 170},
                  {281, 170},
                  {300, 41},
                  {400, 60},
                  {900, 60}});
    const Finding total = only(lot.judged(fda()), "cooling-total");
    CHECK(total.verdict == Verdict::met);
    CHECK(total.elapsed.latest == Span::minutes(240)); // 60 to 300
}

TEST_CASE("hot food at the as-of instant starts its clock there, at a reheat it does not") {
    const auto still_hot = [](double last) {
        Lot lot = cooling({{0, 140}, {last, 140}});
        return only(lot.judged(fda()), "cooling-first-window");
    };
    CHECK(still_hot(60).verdict == Verdict::open);
    CHECK(still_hot(60).margin.time == Span::minutes(120));
    CHECK(only(cooling({{30, 140}}).judged(fda()), "cooling-first-window").margin.time ==
          Span::minutes(120));
    // Below 135 °F by minute 50, and no colder than 70 °F when it was put on to reheat at 180, in
    // vain: 130 minutes at the least. What is hot as the reheat begins hides no reading before it.
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::reheating, 180);
    lot.readings({{0, 140}, {50, 134}, {180, 150}}).served(240);
    const Finding first = only(lot.judged(fda()), "cooling-first-window");
    CHECK(first.verdict == Verdict::not_met);
    CHECK(first.elapsed.earliest == Span::minutes(130));
}
