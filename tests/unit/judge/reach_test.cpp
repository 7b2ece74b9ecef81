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

std::vector<Finding> all_of(const LotJudgement& j, const std::string& requirement) {
    std::vector<Finding> found;
    std::ranges::copy_if(j.findings, std::back_inserter(found),
                         [&](const Finding& f) { return f.requirement == requirement; });
    return found;
}

/// The pack with the first two rows alone, where a requirement for this food has more.
codes::Pack with_two_rows(const std::string& id, FoodKind food) {
    codes::Pack pack = fda();
    for (codes::Requirement& r : pack.requirements) {
        auto* rule = std::get_if<codes::TableRule>(&r.rule);
        if (r.id == id && r.covers(food) && rule != nullptr && rule->rows.size() > 2) {
            rule->rows.erase(rule->rows.begin() + 2, rule->rows.end());
        }
    }
    return pack;
}

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
    const auto reheated = [](double step, double then, bool oven = true) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).stage(Stage::cold_holding, 600).stage(Stage::reheating, 700);
        for (const std::size_t i : {std::size_t{0}, std::size_t{oven ? 2U : 0U}}) {
            lot.history().stages[i].oven = OvenKind::convection;
            lot.history().stages[i].setting = Temperature::of_degrees(325, Scale::fahrenheit);
        }
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
    // The table goes with its ovens: "the oven parameters and minimum temperature conditions
    // specified under 3-401.11(B)" (3-403.11(E), from memory).
    const auto bare = reheated(5, 158, false);
    CHECK(only(bare, "reheating").verdict == Verdict::not_shown);
    CHECK(only(bare, "reheating").acts_as_missed);
    CHECK(only(bare, "reheating-time").verdict == Verdict::not_shown);
}

TEST_CASE("what is reheated to a touch and not kept there goes on counting") {
    // FDA Food Code 2022, 3-403.11(A) and (D): 165 °F for 15 seconds, within two hours.
    const auto time = [](double back_at) {
        const auto j = staged(Stage::reheating, FoodKind::poultry,
                              {{0, 41},
                               {1, 42},
                               {60, 120},
                               {110, 165},
                               {110.1, 164},
                               {back_at, 165},
                               {back_at + 0.5, 165}})
                           .judged(fda());
        CHECK(only(j, "reheating").verdict == Verdict::met);
        return only(j, "reheating-time");
    };
    CHECK(time(115).verdict == Verdict::met);
    CHECK(time(180).verdict == Verdict::not_shown); // 164 °F was last read at minute 110
    const auto j =
        staged(Stage::reheating, FoodKind::poultry,
               {{0, 41}, {1, 42}, {110, 165}, {110.1, 164}, {170, 160}, {180, 165}, {180.5, 165}})
            .judged(fda());
    CHECK(only(j, "reheating-time").verdict == Verdict::not_met); // 1 to 170: 169 min at least
}

TEST_CASE("a reheat that is entered again or paused starts no clock anew") {
    // 3-403.11(D): from 41 °F to 165 °F within two hours.
    const auto again = [](double second, double hot, bool moved, bool paused) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 60);
        if (paused) {
            lot.stage(Stage::preparing, second - 5);
        }
        lot.stage(Stage::reheating, second);
        if (moved) {
            lot.history().stages.back().unit = "oven";
        }
        lot.stage(Stage::hot_holding, hot + 10);
        return lot
            .readings({{0, 40}, {60, 41}, {70, 60}, {second, 120}, {hot, 165}, {hot + 1, 165}})
            .judged(fda(), hot + 10);
    };
    for (const bool moved : {false, true}) {
        for (const bool paused : {false, true}) {
            const auto last = [&](double second, double hot) {
                const auto found = all_of(again(second, hot, moved, paused), "reheating-time");
                REQUIRE(found.size() == 2);
                return found.back().verdict;
            };
            CHECK(last(120, 180) == Verdict::met);       // at most 60 to 180
            CHECK(last(150, 181) == Verdict::not_shown); // 80 to 121 minutes
            CHECK(last(189, 240) == Verdict::not_shown); // 119 to 180
            CHECK(last(190, 240) == Verdict::not_met);   // below 165 °F at 120
        }
    }
    // One that nobody measured may have done: the clock began with it at the earliest.
    Lot unread;
    unread.stage(Stage::reheating, 0).stage(Stage::reheating, 100);
    unread.readings({{100, 50}, {130, 120}, {150, 165}, {151, 165}});
    CHECK(all_of(unread.judged(fda(), 160), "reheating-time").back().verdict == Verdict::not_shown);
    // One that did is behind: heating on is no second try.
    Lot lot;
    lot.stage(Stage::reheating, 0).stage(Stage::reheating, 130);
    lot.history().stages.back().unit = "oven";
    lot.readings({{0, 41}, {60, 166}, {61, 166}, {130, 160}, {150, 166}, {151, 166}});
    CHECK(all_of(lot.judged(fda(), 160), "reheating-time").back().verdict == Verdict::met);
}

TEST_CASE("a reheat goes on at the points that it did not heat, and at those only") {
    // 3-403.11(D): within two hours.
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 60).stage(Stage::preparing, 90);
    lot.stage(Stage::reheating, 200).stage(Stage::hot_holding, 220);
    lot.readings(
        {{0, 40}, {60, 41}, {61, 45}, {80, 166}, {81, 166}, {200, 150}, {210, 166}, {211, 166}},
        Scale::fahrenheit, "a");
    lot.readings({{0, 40}, {60, 41}, {61, 45}, {80, 120}, {200, 110}, {210, 166}, {211, 166}},
                 Scale::fahrenheit, "b");
    const auto last = [j = lot.judged(fda(), 220)](const std::string& point) {
        Verdict verdict = Verdict::ended;
        for (const Finding& f : all_of(j, "reheating-time")) {
            verdict = f.point == point ? f.verdict : verdict;
        }
        return verdict;
    };
    CHECK(last("a") == Verdict::met);
    CHECK(last("b") == Verdict::not_met);
}

TEST_CASE("a reheat's time from its stage's start goes on from the reheat before it as well") {
    // Invented: the two hours of 3-403.11(D), counted from when the reheat began.
    codes::Pack pack = fda();
    for (codes::Requirement& r : pack.requirements) {
        if (r.id == "reheating-time") {
            auto& rule = std::get<codes::WindowRule>(r.rule);
            rule.start = codes::WindowStart::stage_start;
            rule.from.reset();
        }
    }
    const auto last = [&](std::vector<Row> first, double hot) {
        Lot lot;
        lot.stage(Stage::reheating, 0).stage(Stage::reheating, 100);
        lot.readings(std::move(first)).readings({{hot - 1, 120}, {hot, 165}, {hot + 1, 165}});
        return all_of(lot.judged(pack, hot + 2), "reheating-time").back();
    };
    CHECK(last({{0, 50}, {90, 100}}, 120).verdict == Verdict::met);
    CHECK(last({{0, 50}, {90, 100}}, 122).verdict == Verdict::not_met); // below 165 °F at 121
    CHECK(last({}, 122).verdict == Verdict::not_shown);                 // 21 or 121 minutes
    CHECK(last({}, 122).elapsed.latest == Span::minutes(122));
}

TEST_CASE("packaged ready-to-eat food is reheated to 135 °F") {
    // FDA Food Code 2022, 3-403.11(C).
    const auto j =
        staged(Stage::reheating, FoodKind::packaged_ready_to_eat, {{0, 41}, {60, 130}, {70, 135}})
            .judged(fda());
    CHECK(only(j, "reheating").verdict == Verdict::met);
}

TEST_CASE("packaged food that was heated here before is reheated as other food is") {
    // FDA Food Code 2022, 3-403.11(A) and (C) (from memory): 135 °F is for food "taken from" its
    // intact package, 165 °F for 15 s for food that was cooked and cooled here.
    const auto again = [](double hottest) {
        Lot lot{FoodKind::packaged_ready_to_eat};
        lot.stage(Stage::reheating, 0)
            .stage(Stage::hot_holding, 31)
            .stage(Stage::cooling, 60)
            .stage(Stage::cold_holding, 200)
            .stage(Stage::reheating, 260)
            .readings({{0, 40}, {30, 136}, {31, 136}, {60, 140}, {70, 134}, {120, 69}, {200, 41}})
            .readings({{260, 40}, {300, hottest}, {300.5, hottest}})
            .served(301);
        const auto j = lot.judged(fda());
        std::vector<Verdict> reheats;
        for (const auto& f : j.findings) {
            if (f.requirement == "reheating") {
                reheats.push_back(f.verdict);
            }
        }
        return reheats;
    };
    CHECK(again(136) == std::vector{Verdict::met, Verdict::not_met});
    CHECK(again(165) == std::vector{Verdict::met, Verdict::met});
    // What came before says whether this is the first time.
    const auto after = [](Stage stage) {
        Lot lot{FoodKind::packaged_ready_to_eat};
        lot.stage(stage, 0).stage(Stage::reheating, 60);
        lot.readings({{60, 40}, {90, 136}, {91, 136}}).served(92);
        return only(lot.judged(fda()), "reheating").verdict;
    };
    for (const Stage cold :
         {Stage::cold_holding, Stage::thawing, Stage::frozen, Stage::preparing}) {
        CHECK(after(cold) == Verdict::met);
    }
    for (const Stage hot : {Stage::initial_heating, Stage::cooking}) {
        CHECK(after(hot) == Verdict::not_met);
    }
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

TEST_CASE("a limit's text names the first row and counts the others") {
    // 3-401.11(A)(1), (A)(2), 3-401.13; the sentences guard the choice between them.
    const auto text = [](FoodKind food, const codes::Pack& pack) {
        return only(staged(Stage::cooking, food, {{0, 100}, {5, 110}}).judged(pack), "cooking")
            .limit.text;
    };
    CHECK(text(FoodKind::plant, fda()) == "135 °F (57 °C) or above");
    CHECK(text(FoodKind::fish, fda()) == "145 °F (63 °C) or above for 15 s");
    CHECK(text(FoodKind::ground, fda()) ==
          "145 °F (63 °C) or above for 3 min, or one of 3 other rows");
    CHECK(text(FoodKind::ground, with_two_rows("cooking", FoodKind::ground)) ==
          "145 °F (63 °C) or above for 3 min, or 1 other row");
}

TEST_CASE("of rows that are reached and not shown kept, the one kept longest is named") {
    // 3-401.11(A)(2): 145 °F 3 min, 150 °F 1 min. At 145 °F from 1 to 3, at 150 from 2 to 2.5.
    const auto longer = staged(Stage::cooking, FoodKind::ground,
                               {{0, 140}, {1, 145}, {2, 150}, {2.5, 150}, {3, 145}, {3.3, 140}})
                            .judged(fda());
    CHECK(only(longer, "cooking").verdict == Verdict::not_shown);
    CHECK(only(longer, "cooking").limit.within == Span::minutes(3));
    CHECK(minutes(only(longer, "cooking").elapsed.earliest) == 2);
    // Of rows kept equally long the first: which of them is the judge's own choice.
    const auto equal =
        staged(Stage::cooking, FoodKind::ground, {{0, 140}, {1, 150}, {1.5, 150}, {2.2, 140}})
            .judged(fda());
    CHECK(only(equal, "cooking").verdict == Verdict::not_shown);
    CHECK(only(equal, "cooking").limit.within == Span::minutes(3));
}

TEST_CASE("of two stretches at a row's temperature the longer counts, whichever came first") {
    // 3-401.11(A)(1): 145 °F for 15 s; a minute will do, one logged reading alone will not.
    CHECK(cooked(FoodKind::fish, {{0, 140}, {1, 145}, {2, 145}, {3, 140}, {4, 145}, {5, 140}}) ==
          Verdict::met);
    CHECK(cooked(FoodKind::fish, {{0, 140}, {1, 145}, {2, 140}, {3, 145}, {4, 145}, {5, 140}}) ==
          Verdict::met);
}

TEST_CASE("a cook says what it was decided by, and what would have settled it") {
    // 3-401.11(A)(1) 145 °F 15 s, (A)(3) 165 °F. The sentences guard which branch speaks.
    const auto of = [](FoodKind food, std::vector<Row> rows) {
        return only(staged(Stage::cooking, food, std::move(rows)).judged(fda()), "cooking");
    };
    CHECK(of(FoodKind::fish, {{0, 140}, {1, 145}, {2, 146}, {3, 140}}).reason ==
          "At or above 145 °F from 12:01 to 12:02: at least 1 min, and 15 s is asked for.");
    CHECK(of(FoodKind::poultry, {{0, 140}, {1, 165}, {2, 140}}).reason ==
          "Reached 165 °F (74 °C) or above: 165 °F at 12:01.");
    const Finding missed = of(FoodKind::fish, {{0, 130}, {1, 140}, {2, 140}, {3, 135}});
    CHECK(missed.reason ==
          "The hottest reading is 140 °F at 12:01; no row of the table is reached and kept.");
    REQUIRE(missed.evidence.size() == 1); // of two equally hot the first
    CHECK(missed.evidence[0].at == at(1));
    CHECK_FALSE(missed.acts_as_missed);
    CHECK(missed.margin.temperature == TemperatureDelta::of_thousandths(-5000, Scale::fahrenheit));
    const Finding once = of(FoodKind::fish, {{0, 140}, {1, 145}, {3, 140}});
    CHECK(once.verdict == Verdict::not_shown);
    CHECK(once.acts_as_missed);
    CHECK(once.reason ==
          "The readings show at least 0 min and at most 3 min at or above 145 °F, and "
          "15 s is asked for; the hottest is 145 °F at 12:01.");
    CHECK(once.settle == "Two readings at 145 °F (63 °C) or above, at least 15 s and at most 10 "
                         "min apart, would have settled it.");

    Lot running{FoodKind::poultry};
    running.stage(Stage::cooking, 0);
    CHECK(only(running.judged(fda(), 10), "cooking").verdict == Verdict::open);
    running.readings({{0, 40}, {60, 120}});
    const auto open = running.judged(fda(), 90);
    CHECK(only(open, "cooking").reason == "Not there yet: the hottest reading is 120 °F at 13:00.");
    CHECK(only(open, "cooking").settle == "A reading at 165 °F (74 °C) or above will settle it.");
    Lot unread{FoodKind::fish};
    unread.stage(Stage::cooking, 0).closes(30);
    const auto none = unread.judged(fda(), 30);
    CHECK(only(none, "cooking").verdict == Verdict::not_shown);
    CHECK(only(none, "cooking").settle ==
          "A reading at 145 °F (63 °C) or above for 15 s would have settled it.");
}

TEST_CASE("what would have shown a row kept is what shows it kept") {
    // 3-401.11(B): 130 °F for 112 min. Readings more than ten minutes apart end a run, so that two
    // of them never show it.
    const auto roast = [](double until) {
        Lot lot = staged(Stage::cooking, FoodKind::intact_roast, {{0, 120}, {300, 120}});
        lot.steady(10, until, 10, 130);
        lot.history().stages.front().oven = OvenKind::still_dry;
        lot.history().stages.front().setting = Temperature::of_degrees(350, Scale::fahrenheit);
        return only(lot.judged(fda()), "cooking-roast");
    };
    CHECK(roast(20).verdict == Verdict::not_shown);
    CHECK(roast(20).settle == "Readings at 130 °F (54.4 °C) or above, at most 10 min apart, over "
                              "at least 1 h 52 min would have settled it.");
    CHECK(roast(110).verdict == Verdict::not_shown); // 100 min
    CHECK(roast(130).verdict == Verdict::met);       // 120 min
    // 165 °F at once (3-401.11(A)(3)), by less than the thermometer's accuracy.
    Lot lot = staged(Stage::cooking, FoodKind::poultry, {{0, 140}, {1, 165}, {2, 140}});
    const auto guarded =
        lot.judged(fda(), std::nullopt, TemperatureDelta::of_thousandths(500, Scale::fahrenheit));
    CHECK(only(guarded, "cooking").verdict == Verdict::not_shown);
    CHECK(only(guarded, "cooking").settle ==
          "A reading at 165 °F (74 °C) or above would have settled it.");
}

TEST_CASE("ten pounds ask for the heavier roast's oven, a gram less for the lighter's") {
    // 3-401.11(B)(1): still dry, less than 4.5 kg (10 lb) 350 °F, 10 lb or more 250 °F. 10 lb are
    // 4535.9 g (0.45359237 kg each, by definition).
    const auto roast = [](std::optional<std::int64_t> grams, int setting) {
        Lot lot = staged(Stage::cooking, FoodKind::intact_roast, {{0, 120}, {10, 158}, {20, 120}});
        lot.history().raw_mass_g = grams;
        lot.history().stages.front().oven = OvenKind::still_dry;
        lot.history().stages.front().setting = Temperature::of_degrees(setting, Scale::fahrenheit);
        return only(lot.judged(fda()), "cooking-roast");
    };
    CHECK(roast(4536, 250).verdict == Verdict::met);
    CHECK(roast(4536, 249).verdict == Verdict::not_met);
    CHECK(roast(4535, 250).verdict == Verdict::not_met);
    CHECK(roast(4535, 350).verdict == Verdict::met);
    // An unknown weight must satisfy both rows; of two that are missed the first is named.
    CHECK(roast(std::nullopt, 350).verdict == Verdict::met);
    CHECK(roast(std::nullopt, 300).verdict == Verdict::not_met);
    const Finding both = roast(std::nullopt, 225);
    CHECK(both.verdict == Verdict::not_met);
    REQUIRE(both.notes.size() >= 1);
    CHECK(both.notes[0] == "Oven condition: the oven was set to 225 °F, and a still dry oven needs "
                           "350 °F (177 °C) or above.");
}

TEST_CASE("a roast's reason tells a row reached in the wrong oven from one that is not reached") {
    // 3-401.11(B): the row and its oven. The sentences guard the choice between them.
    const auto roast = [](double hottest, std::optional<int> setting) {
        Lot lot =
            staged(Stage::cooking, FoodKind::intact_roast, {{0, 120}, {10, hottest}, {20, 120}});
        if (setting) {
            lot.history().stages.front().oven = OvenKind::still_dry;
            lot.history().stages.front().setting =
                Temperature::of_degrees(*setting, Scale::fahrenheit);
        }
        return only(lot.judged(fda()), "cooking-roast");
    };
    const Finding unknown = roast(158, std::nullopt);
    CHECK(unknown.verdict == Verdict::not_shown);
    CHECK(unknown.acts_as_missed);
    CHECK(unknown.reason.ends_with(
        " The roast row is reached, but not with its oven condition: no record of how the oven "
        "heats (still dry, convection or high humidity)."));
    const Finding cool = roast(158, 225);
    CHECK(cool.verdict == Verdict::not_met);
    CHECK_FALSE(cool.acts_as_missed);
    const Finding neither = roast(125, 225);
    CHECK(neither.verdict == Verdict::not_met);
    CHECK(neither.reason.find(" The roast row also needs its oven condition: ") !=
          std::string::npos);
}

TEST_CASE("two readings of an oven's air prove a short cook, one does not") {
    // 3-401.11(B): 158 °F at once, in a still dry oven at 350 °F whatever the weight.
    const auto roast = [](std::vector<Row> air) {
        Lot lot = staged(Stage::cooking, FoodKind::intact_roast, {{0, 120}, {10, 158}, {20, 120}});
        lot.history().stages.front().oven = OvenKind::still_dry;
        lot.history().stages.front().unit = "pit";
        records::AirSeries series{"pit", {}};
        for (const Row& r : air) {
            series.readings.push_back(reading(r));
        }
        lot.history().air = {series};
        return only(lot.judged(fda()), "cooking-roast").verdict;
    };
    CHECK(roast({{5, 350}, {15, 350}}) == Verdict::met);
    CHECK(roast({{5, 350}}) == Verdict::not_shown);
}

TEST_CASE("a reheat says what it was decided by, and whether it asks for the action of a miss") {
    // 3-403.11(A): 165 °F (74 °C) for 15 s; (C) 135 °F. The sentences guard which branch speaks.
    const auto of = [](std::vector<Row> rows, FoodKind food = FoodKind::other_tcs) {
        return staged(Stage::reheating, food, std::move(rows)).judged(fda());
    };
    const auto j = of({{0, 41}, {10, 60}, {60, 120}, {110, 165}});
    const Finding& once = only(j, "reheating");
    CHECK(once.verdict == Verdict::not_shown);
    CHECK(once.acts_as_missed);
    CHECK(once.limit.text == "165 °F (74 °C) or above for 15 s");
    CHECK(once.reason == "The hottest reading is 165 °F at 13:50; at or above 165 °F for at least "
                         "0 min and at most 50 min.");
    CHECK(once.settle == "Two readings at 165 °F (74 °C) or above, at least 15 s and at most 10 "
                         "min apart, would have settled it.");
    // Where one row is all there is, (D)'s two hours are met by reaching it: that it is not shown
    // kept is said above.
    CHECK(only(j, "reheating-time").verdict == Verdict::met);
    CHECK(only(of({{0, 41}, {60, 120}, {110, 165}, {111, 166}}), "reheating").reason ==
          "The hottest reading is 166 °F at 13:51; at or above 165 °F for at least 1 min.");
    const auto packaged = of({{0, 41}, {60, 130}, {70, 135}}, FoodKind::packaged_ready_to_eat);
    CHECK(only(packaged, "reheating").limit.text == "135 °F (57 °C) or above");
    CHECK(only(packaged, "reheating").reason == "The hottest reading is 135 °F at 13:10.");
    const auto cold = of({{0, 41}, {30, 60}, {60, 150}, {70, 150}});
    CHECK(only(cold, "reheating").reason == "The hottest reading is 150 °F at 13:00; 165 °F (74 "
                                            "°C) or above for 15 s is asked for.");
    CHECK(only(cold, "reheating").settle.empty());
    CHECK_FALSE(only(cold, "reheating").acts_as_missed);

    Lot running;
    running.stage(Stage::cold_holding, 0).readings({{0, 40}, {50, 40}});
    running.stage(Stage::reheating, 60);
    const auto begun = running.judged(fda(), 70);
    CHECK_FALSE(only(begun, "reheating").acts_as_missed);
    CHECK_FALSE(only(begun, "reheating-time").acts_as_missed);
    running.readings({{75, 100}});
    const auto open = running.judged(fda(), 80);
    CHECK(only(open, "reheating").verdict == Verdict::open);
    CHECK(only(open, "reheating").settle ==
          "A reading at 165 °F (74 °C) or above for 15 s will settle it.");
    Lot unread;
    unread.stage(Stage::cold_holding, 0).readings({{0, 40}, {50, 40}});
    unread.stage(Stage::reheating, 60).closes(80);
    const auto over = unread.judged(fda(), 90);
    CHECK(only(over, "reheating").verdict == Verdict::not_shown);
    CHECK(only(over, "reheating").acts_as_missed);
    CHECK(only(over, "reheating").settle ==
          "A reading at 165 °F (74 °C) or above for 15 s would settle it.");
    CHECK(only(over, "reheating-time").acts_as_missed);
}

TEST_CASE("a reheat's clock starts between the last reading at 41 °F and the first above it") {
    // 3-403.11(D): within two hours. Bounds counted by hand from the rows.
    const auto time = [](std::vector<Row> rows) {
        return only(staged(Stage::reheating, FoodKind::other_tcs, std::move(rows)).judged(fda()),
                    "reheating-time");
    };
    const Finding plain =
        time({{0, 40}, {20, 40}, {30, 50}, {60, 120}, {100, 164}, {110, 165}, {111, 165}});
    CHECK(minutes(plain.elapsed.earliest) == 70); // 30 to 100
    CHECK(minutes(plain.elapsed.latest) == 90);   // 20 to 110
    // 41 °F on the line from 40 at 20 to 50 at 30 is at 21; 165 °F is read at 110.
    CHECK(minutes(plain.elapsed.estimate) == Approx(89));
    // Cold once more after it left: the clock runs from the first time.
    const Finding twice = time({{0, 40}, {10, 50}, {20, 41}, {30, 60}, {125, 164}, {126, 165}});
    CHECK(minutes(twice.elapsed.earliest) == 115);
    CHECK(minutes(twice.elapsed.latest) == 126);
    CHECK(twice.verdict == Verdict::not_shown);
}

TEST_CASE("of two ways to reheat a roast that are both missed the first is named") {
    // 3-403.11(A), and (E) for a roast cooked by the roast table.
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).stage(Stage::cold_holding, 60).stage(Stage::reheating, 100);
    lot.history().stages.front().oven = OvenKind::still_dry;
    lot.history().stages.front().setting = Temperature::of_degrees(350, Scale::fahrenheit);
    lot.readings({{0, 60}, {50, 158}, {60, 120}, {100, 41}, {150, 100}}).closes(150);
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooking-roast").verdict == Verdict::met);
    CHECK(only(j, "reheating").verdict == Verdict::not_met);
    CHECK(only(j, "reheating").clause == "3-403.11(A)");
}

TEST_CASE("of two rows, one reached in time and not shown kept is no time shown met") {
    // Two rows put together by hand: 130 °F for 112 min, 131 °F for 89 min (3-401.11(B), as
    // 3-403.11(E) has them reheated by). Within two hours by (D).
    codes::Pack pack = with_two_rows("reheating", FoodKind::intact_roast);
    for (codes::Requirement& r : pack.requirements) {
        if (auto* rule = std::get_if<codes::TableRule>(&r.rule); r.id == "reheating") {
            rule->needs_roast_cook = false;
        }
    }
    std::erase_if(pack.requirements, [](const codes::Requirement& r) {
        return r.id == "reheating" && std::get<codes::TableRule>(r.rule).rows.size() == 1;
    });
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::reheating, 0).readings({{0, 41}, {10, 60}, {60, 130.5}, {70, 130.5}});
    const auto running = lot.judged(pack, 80);
    CHECK(only(running, "reheating-time").verdict == Verdict::open);
    CHECK_FALSE(only(running, "reheating-time").acts_as_missed);
    lot.readings({{180, 130.5}}).closes(180);
    const auto j = lot.judged(pack);
    CHECK(only(j, "reheating").verdict == Verdict::not_shown);
    CHECK(only(j, "reheating-time").verdict == Verdict::not_shown);
    CHECK(only(j, "reheating-time").acts_as_missed);
    CHECK(only(j, "reheating-time")
              .reason.ends_with(" But no reading shows it kept there for 1 h 52 min."));
}

TEST_CASE("a cooling broken off while the food was still hot needs no reheat") {
    // 3-403.11 is for food that was cooled; 3-501.16(A)(1): hot is 135 °F and above.
    const auto put_back = [](double coldest, const codes::Pack& pack) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(Stage::hot_holding, 60).closes(120);
        lot.readings({{0, 160}, {55, coldest}, {60, 140}, {120, 140}});
        return has(lot.judged(pack), "reheating");
    };
    CHECK_FALSE(put_back(135, fda()));
    CHECK(put_back(134.9, fda()));
    // A pack that does not say what hot is leaves no way out.
    codes::Pack silent = fda();
    std::erase_if(silent.requirements,
                  [](const codes::Requirement& r) { return r.id == "hot-holding"; });
    CHECK(put_back(135, silent));
}

TEST_CASE("a roast's time goes on in the rest, but not once it is cut") {
    // FDA Food Code 2022, 3-401.11(B)(2), its chart and the note to it: 131 °F for 89 minutes,
    // which may include the heat that goes on after the oven.
    const auto rested = [](std::optional<double> cut, Stage after) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).stage(after, 75).steady(60, 150, 10, 131).served(151);
        lot.readings({{0, 60}});
        lot.history().raw_mass_g = 6000;
        lot.history().stages.front().oven = OvenKind::convection;
        lot.history().stages.front().setting =
            Temperature::of_thousandths(325'000, Scale::fahrenheit);
        if (cut) {
            lot.history().cut = at(*cut);
        }
        const LotJudgement j = lot.judged(fda());
        const auto found = std::ranges::find(j.findings, "cooking-roast", &Finding::requirement);
        REQUIRE(found != j.findings.end());
        return found->verdict;
    };
    CHECK(rested(std::nullopt, Stage::resting) == Verdict::met);
    CHECK(rested(150, Stage::resting) == Verdict::met);       // 90 minutes by then
    CHECK(rested(120, Stage::resting) == Verdict::not_shown); // oven or not, too short
    CHECK(rested(std::nullopt, Stage::hot_holding) == Verdict::not_met);
}

TEST_CASE("a reheat is in time by the run of readings that kept its row, not by a shorter one") {
    // 3-403.11(A) and (D): 165 °F for 15 seconds within two hours. Readings of a logger.
    const auto in_time = [](std::vector<Row> hot) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 60);
        lot.readings({{0, 40}, {60, 40}, {61, 50}, {150, 150}}).readings(std::move(hot));
        lot.served((lot.last_reading() - kStart).in_minutes());
        return only(lot.judged(fda()), "reheating-time").verdict;
    };
    // Kept for exactly the 15 seconds at the end of the two hours.
    CHECK(in_time({{179.75, 165}, {180, 165}}) == Verdict::met);
    // One glance in time, which keeps nothing, and the 15 seconds too late.
    CHECK(in_time({{160, 165}, {190, 165}, {190.25, 165}}) == Verdict::not_shown);
    CHECK(in_time({{160, 165}, {160.25, 165}, {190, 165}}) == Verdict::met);
}

TEST_CASE("a reheat that was late as read is late under the guarded rule too") {
    // 3-403.11(A) and (D), as above; the first glance at 165 °F kept nothing.
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 60);
    lot.readings({{0, 30}, {60, 30}, {61, 50}, {100, 165.2}, {101, 150}, {189, 150}});
    lot.readings({{190, 165.2}, {190.25, 165.2}}).served(190.25);
    CHECK(only(lot.judged(fda()), "reheating-time").verdict == Verdict::not_met);
    const auto j =
        lot.judged(fda(), 190.25, TemperatureDelta::of_thousandths(1000, Scale::fahrenheit));
    CHECK(only(j, "reheating-time").verdict == Verdict::not_met);
}

TEST_CASE("the margin of a row of 17 seconds is that of its hottest reading") {
    // 3-401.11(A)(2): 155 °F for 17 seconds.
    const auto j = staged(Stage::cooking, FoodKind::ground,
                          {{0, 120}, {10, 156}, {10.2, 157}, {10.4, 158}, {10.6, 157}})
                       .judged(fda());
    const Finding& f = only(j, "cooking");
    CHECK(f.verdict == Verdict::met);
    CHECK(f.margin.temperature == TemperatureDelta::of_thousandths(3000, Scale::fahrenheit));
    // Kept for exactly the 17 seconds is kept.
    CHECK(f.limit.within == Span::seconds(17));
    CHECK(f.limit.time_included);
}

TEST_CASE("two readings would settle a row of up to ten minutes, more of them a longer one") {
    // Between readings ten minutes apart nothing is known: the project's own reading.
    const auto settle = [](Span keep) {
        codes::Pack pack = fda();
        for (codes::Requirement& r : pack.requirements) {
            auto* rule = std::get_if<codes::TableRule>(&r.rule);
            if (rule != nullptr && r.covers(FoodKind::plant)) {
                std::ranges::for_each(rule->rows, [&](codes::TableRow& row) { row.keep = keep; });
            }
        }
        const auto j =
            staged(Stage::cooking, FoodKind::plant, {{0, 120}, {10, 140}, {30, 140}}).judged(pack);
        return only(j, "cooking").settle;
    };
    CHECK(settle(Span::minutes(10)).starts_with("Two readings at"));
    CHECK(settle(Span::minutes(11)).starts_with("Readings at"));
}
