// Cooking and reheating: FDA Food Code 2022, 3-401.11, 3-401.13, 3-403.11 (2022 figures from
// memory; 17 s and < 1 s read in an adoption of the 2017 edition, the roast table in the 2013
// edition).
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

Lot staged(Stage stage, FoodKind food, std::vector<Row> rows) {
    Lot lot{food};
    lot.stage(stage, rows.front().minutes).readings(rows).closes(rows.back().minutes);
    return lot;
}

Verdict cooked(FoodKind food, std::vector<Row> rows) {
    return only(staged(Stage::cooking, food, std::move(rows)).judged(fda()), "cooking").verdict;
}

constexpr double kSecond = 1.0 / 60.0;

} // namespace

TEST_CASE("each food kind is held to its own cooking row") {
    struct Kind {
        FoodKind food;
        double degrees;
        double seconds;
    };
    // 3-401.11(A)(1) 145 °F 15 s; (A)(2) 155 °F 17 s; (A)(3) 165 °F < 1 s; 3-401.13 135 °F.
    const std::vector<Kind> kinds{{FoodKind::fish, 145, 15},         {FoodKind::whole_cut, 145, 15},
                                  {FoodKind::intact_roast, 145, 15}, {FoodKind::ground, 155, 17},
                                  {FoodKind::injected, 155, 17},     {FoodKind::eggs, 155, 17},
                                  {FoodKind::poultry, 165, 0},       {FoodKind::stuffed, 165, 0},
                                  {FoodKind::game, 165, 0},          {FoodKind::other_tcs, 165, 0},
                                  {FoodKind::plant, 135, 0}};
    for (const Kind& k : kinds) {
        INFO(to_name(k.food));
        const double start = 120; // below every row of every kind
        // Kept exactly as long as asked, by readings five seconds apart.
        std::vector<Row> rows{{0.95, start}};
        for (double s = 0; s <= k.seconds + 1e-9; s += k.seconds > 0 ? k.seconds / 5 : 1) {
            rows.push_back({1 + s * kSecond, k.degrees});
        }
        rows.push_back({1.05 + k.seconds * kSecond, start}); // too soon for any longer row
        CHECK(cooked(k.food, rows) == Verdict::met);
        std::vector<Row> below = rows;
        for (Row& row : below) {
            row.degrees -= 0.1;
        }
        CHECK(cooked(k.food, below) == Verdict::not_met);
        if (k.seconds > 0) {
            // One logged reading at the temperature stands for an instant.
            CHECK(cooked(k.food, {{0, start}, {1, k.degrees}, {2, start}}) == Verdict::not_shown);
            CHECK(cooked(k.food, {{0, start}, {0.1, k.degrees}, {0.2, start}}) ==
                  Verdict::not_met); // at most 12 s
        } else {
            CHECK(cooked(k.food, {{0, start}, {1, k.degrees}, {2, start}}) == Verdict::met);
        }
    }
}

TEST_CASE("any one row of the alternatives will do") {
    // 3-401.11(A)(2): 145 °F 3 min, 150 °F 1 min, 155 °F 17 s, 158 °F < 1 s.
    CHECK(cooked(FoodKind::ground, {{0, 140}, {1, 145}, {2, 146}, {4, 145}, {5, 140}}) ==
          Verdict::met);
    CHECK(cooked(FoodKind::ground, {{0, 140}, {1, 145}, {2, 146}, {3.9, 145}, {3.95, 140}}) ==
          Verdict::not_shown); // 2.9 to 3.95 min
    CHECK(cooked(FoodKind::ground, {{0, 148}, {1, 150}, {2, 150}, {2.1, 148}}) == Verdict::met);
    CHECK(cooked(FoodKind::ground, {{0, 150}, {0.1, 158}, {0.2, 150}}) == Verdict::met);
}

TEST_CASE("a typed reading serves the rows up to 17 seconds, a logged one does not") {
    Lot lot = staged(Stage::cooking, FoodKind::whole_cut, {{0, 140}, {1, 145}, {2, 140}});
    CHECK(only(lot.judged(fda()), "cooking").verdict == Verdict::not_shown);
    for (auto& r : lot.history().points.front().readings) {
        r.origin = records::Origin::typed;
    }
    CHECK(only(lot.judged(fda()), "cooking").verdict == Verdict::met);
    // The roast row at 145 °F asks for four minutes: a glance is not enough, a stated watch is.
    Lot roast = staged(Stage::cooking, FoodKind::intact_roast, {{0, 140}, {1, 145}, {20, 140}});
    roast.history().points.front().readings[1].origin = records::Origin::typed;
    CHECK(only(roast.judged(fda()), "cooking-roast").verdict == Verdict::not_shown);
    roast.history().points.front().readings[1].watched_s = 240;
    roast.history().stages.front().oven = OvenKind::still_dry;
    roast.history().stages.front().setting = Temperature::of_degrees(350, Scale::fahrenheit);
    CHECK(only(roast.judged(fda()), "cooking-roast").verdict == Verdict::met);
}

TEST_CASE("a gap over ten minutes breaks a run, a gap of ten does not") {
    // 3-401.11(B): 140 °F 12 min.
    const auto roast = [](double gap) {
        Lot lot = staged(Stage::cooking, FoodKind::intact_roast,
                         {{0, 139}, {1, 140}, {1 + gap, 140}, {3 + gap, 140}, {4 + gap, 139}});
        lot.history().stages.front().oven = OvenKind::still_dry;
        lot.history().stages.front().setting = Temperature::of_degrees(350, Scale::fahrenheit);
        return only(lot.judged(fda()), "cooking-roast").verdict;
    };
    CHECK(roast(10) == Verdict::met);
    CHECK(roast(10.1) == Verdict::not_shown);
}

TEST_CASE("between rows the lower row's time is asked for, nothing is interpolated") {
    // 3-401.11(B) has 140 °F 12 min and 142 °F 8 min: 141.9 °F is held to 12 min.
    const auto roast = [](double degrees, double minutes) {
        std::vector<Row> rows{{0, 139}};
        for (double m = 1; m <= 1 + minutes + 1e-9; m += 1) {
            rows.push_back({m, degrees});
        }
        rows.push_back({2 + minutes, 120});
        Lot lot = staged(Stage::cooking, FoodKind::intact_roast, rows);
        lot.history().stages.front().oven = OvenKind::still_dry;
        lot.history().stages.front().setting = Temperature::of_degrees(350, Scale::fahrenheit);
        return only(lot.judged(fda()), "cooking-roast").verdict;
    };
    CHECK(roast(141.9, 8) == Verdict::not_met);
    CHECK(roast(141.9, 12) == Verdict::met);
    CHECK(roast(142, 8) == Verdict::met);
}

TEST_CASE("every row of the roast table is met by exactly its time and missed without any reading "
          "there") {
    // FDA Food Code, 3-401.11(B)(2), read in the 2013 edition: °F and minutes; seconds from 147 °F.
    const std::vector<Row> table{
        {112, 130},       {89, 131},       {56, 133},       {36, 135},       {28, 136},
        {18, 138},        {12, 140},       {8, 142},        {5, 144},        {4, 145},
        {134 / 60., 147}, {85 / 60., 149}, {54 / 60., 151}, {34 / 60., 153}, {22 / 60., 155},
        {14 / 60., 157},  {0, 158}};
    for (const Row& row : table) {
        INFO(row.degrees << " °F");
        const int steps = 20;
        std::vector<Row> rows{{0, row.degrees - 1}};
        for (int i = 0; i <= steps; ++i) {
            rows.push_back({10 + row.minutes * i / steps, row.degrees});
        }
        const double last = rows.back().minutes;
        rows.back().minutes = std::ceil(last * 60'000) / 60'000;
        rows.push_back({last + 10, row.degrees - 1});
        Lot lot = staged(Stage::cooking, FoodKind::intact_roast, rows);
        lot.history().stages.front().oven = OvenKind::convection;
        lot.history().stages.front().setting = Temperature::of_degrees(325, Scale::fahrenheit);
        CHECK(only(lot.judged(fda()), "cooking-roast").verdict == Verdict::met);
        for (auto& r : lot.history().points.front().readings) {
            r.value = Temperature::of_thousandths(129'900, Scale::fahrenheit); // satisfies no row
        }
        CHECK(only(lot.judged(fda()), "cooking-roast").verdict == Verdict::not_met);
    }
}

TEST_CASE("a cook still running is open until it has reached a row") {
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::cooking, 0).readings({{0, 40}, {60, 120}});
    CHECK(only(lot.judged(fda(), 90), "cooking").verdict == Verdict::open);
    lot.readings({{100, 165}});
    CHECK(only(lot.judged(fda(), 100), "cooking").verdict == Verdict::met);
}

TEST_CASE("reheating: 165 °F for 15 s, within two hours of leaving 41 °F") {
    const auto reheat = [](std::vector<Row> rows) {
        return staged(Stage::reheating, FoodKind::other_tcs, std::move(rows)).judged(fda());
    };
    const auto good = reheat({{0, 41}, {10, 60}, {60, 120}, {119, 164}, {120, 165}, {120.25, 165}});
    CHECK(only(good, "reheating").verdict == Verdict::met);
    CHECK(only(good, "reheating-time").verdict ==
          Verdict::met); // exactly two hours from the last reading at 41 °F
    const auto once = reheat({{0, 41}, {10, 60}, {60, 120}, {110, 165}});
    CHECK(only(once, "reheating").verdict == Verdict::not_shown);
    const auto slow = reheat({{0, 41}, {1, 42}, {60, 100}, {121, 164}, {125, 165}, {126, 165}});
    CHECK(only(slow, "reheating").verdict == Verdict::met);
    CHECK(only(slow, "reheating-time").verdict ==
          Verdict::not_met); // above 41 °F by 1, still below 165 °F at 121
    const auto unsure = reheat({{0, 41}, {30, 60}, {110, 150}, {125, 165}, {126, 165}});
    CHECK(only(unsure, "reheating-time").verdict == Verdict::not_shown);
    const auto cold = reheat({{0, 41}, {30, 60}, {60, 150}});
    CHECK(only(cold, "reheating").verdict == Verdict::not_met);
    CHECK(cold.overall == Verdict::not_met);
}

TEST_CASE(
    "a roast's cook that goes on is open, not missed, when a row is reached in the wrong oven") {
    // FDA Food Code 2022, 3-401.11(B): under 10 lb a still dry oven needs 350 °F.
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).readings({{0, 60}, {200, 120}, {300, 158}});
    lot.history().stages.front().oven = OvenKind::still_dry;
    lot.history().stages.front().setting = Temperature::of_degrees(225, Scale::fahrenheit);
    lot.history().raw_mass_g = 3000;
    CHECK(only(lot.judged(fda(), 300), "cooking-roast").verdict == Verdict::open);
    lot.stage(Stage::hot_holding, 310);
    CHECK(only(lot.judged(fda(), 310), "cooking-roast").verdict == Verdict::not_met);
}

TEST_CASE("any one row of a reheat will do for its time, and only one that is shown kept") {
    // FDA Food Code 2022, 3-403.11(E): a roast cooked by the roast table is reheated by it: 130 °F
    // for 112 min, ... 158 °F at once; within two hours by (D).
    const auto reheated = [](double step, double then) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).stage(Stage::cold_holding, 600).stage(Stage::reheating, 700);
        lot.history().stages.front().oven = OvenKind::convection;
        lot.history().stages.front().setting = Temperature::of_degrees(325, Scale::fahrenheit);
        lot.history().raw_mass_g = 3000;
        lot.readings({{0, 60}, {300, 150}, {500, 158}, {600, 150}, {700, 41}, {750, 100}});
        lot.steady(800, 800 + 120, step, 132).readings({{930, then}}).closes(930);
        return lot.judged(fda());
    };
    const auto kept = reheated(5, 158);
    CHECK(only(kept, "reheating").verdict == Verdict::met);
    CHECK(only(kept, "reheating-time").verdict == Verdict::met); // by 130 °F, at minute 800
    // Readings 20 minutes apart show nothing kept: only 158 °F, too late, is shown.
    const auto gaps = reheated(20, 158);
    CHECK(only(gaps, "reheating").verdict == Verdict::met);
    CHECK(only(gaps, "reheating-time").verdict == Verdict::not_shown);
    // No row is shown kept: no time is shown met either.
    const auto none = reheated(20, 140);
    CHECK(only(none, "reheating").verdict == Verdict::not_shown);
    CHECK(only(none, "reheating-time").verdict == Verdict::not_shown);
}

TEST_CASE("packaged ready-to-eat food is reheated to 135 °F") {
    // FDA Food Code 2022, 3-403.11(C).
    const auto j =
        staged(Stage::reheating, FoodKind::packaged_ready_to_eat, {{0, 41}, {60, 130}, {70, 135}})
            .judged(fda());
    CHECK(only(j, "reheating").verdict == Verdict::met);
}

TEST_CASE("reheating that starts above the cold limit counts from the stage's start") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 60).closes(200);
    lot.readings(
        {{0, 40}, {30, 40}, {50, 45}, {60, 46}, {170, 160}, {181, 165}, {182, 165}, {200, 165}});
    CHECK(minutes(only(lot.judged(fda()), "reheating-time").elapsed.latest) == Approx(121));
}

TEST_CASE("cold food put to hot holding without a reheat is held to the reheat's rules") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 40}, {60, 40}, {90, 80}, {150, 136}, {240, 140}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "reheating").verdict == Verdict::open);
    CHECK(only(j, "hot-holding").verdict == Verdict::not_met);
    CHECK(j.overall == Verdict::not_met);
}
