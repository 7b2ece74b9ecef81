// Ways in which a record could seem to show more than it does. FDA Food Code 2022, 3-401.11,
// 3-403.11, 3-501.14 (from memory; read in adoptions of earlier editions).
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

TEST_CASE("hot food set aside to prepare it is still to be cooled when it comes to the cold") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::preparing, 60).stage(Stage::cold_holding, 600);
    lot.readings({{0, 150}, {60, 150}, {600, 40}, {660, 39}, {720, 38}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooling-total").verdict == Verdict::not_shown);
    CHECK(j.overall != Verdict::met);
}

TEST_CASE("cold food set aside to prepare it is still to be reheated when it comes to a hot hold") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0)
        .stage(Stage::preparing, 60)
        .stage(Stage::hot_holding, 120)
        .stage(Stage::preparing, 300);
    lot.readings({{0, 40}, {60, 40}, {120, 150}, {200, 150}, {300, 150}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "reheating").verdict == Verdict::not_met); // 150 °F is not 165 °F
    CHECK(j.overall == Verdict::not_met);
}

TEST_CASE("a watched or typed time ends where another reading shows the food below") {
    // 3-401.11(A)(1): 145 °F for 15 s.
    const auto cooked = [](double apart_s, std::uint16_t watched_s) {
        Lot lot{FoodKind::whole_cut};
        lot.stage(Stage::cooking, 0).closes(30 + apart_s / 60);
        lot.readings({{30 - apart_s / 60, 144}, {30, 145}, {30 + apart_s / 60, 144}});
        auto& typed = lot.history().points.front().readings[1];
        typed.origin = records::Origin::typed;
        typed.watched_s = watched_s;
        return only(lot.judged(fda()), "cooking").verdict;
    };
    CHECK(cooked(5, 0) ==
          Verdict::not_met); // at most ten seconds lie between the two readings below
    CHECK(cooked(5, 60) == Verdict::not_met);
    CHECK(cooked(60, 0) == Verdict::met);
}

TEST_CASE("a watched or typed time does not reach out of its stage") {
    // 3-401.11(A)(1): 145 °F for 15 s; 3-401.11(B)(2): 131 °F for 89 min.
    const auto cooked = [](double below_at) {
        Lot last{FoodKind::whole_cut};
        last.stage(Stage::cooking, 0).closes(1).readings({{below_at, 144}, {1, 145}});
        last.history().points.front().readings[1].origin = records::Origin::typed;
        return only(last.judged(fda()), "cooking").verdict;
    };
    CHECK(cooked(0.5) == Verdict::met);
    CHECK(cooked(0.95) == Verdict::not_met); // three seconds lie between it and the end
    const auto watched = [](double end) {
        Lot roast{FoodKind::intact_roast};
        roast.stage(Stage::cooking, 0).readings({{25, 131}}).served(end);
        roast.history().stages.front().oven = OvenKind::convection;
        roast.history().stages.front().setting = Temperature::of_degrees(325, Scale::fahrenheit);
        roast.history().raw_mass_g = 3000;
        roast.history().points.front().readings[0].origin = records::Origin::typed;
        roast.history().points.front().readings[0].watched_s = 2 * 3600;
        return only(roast.judged(fda()), "cooking-roast").verdict;
    };
    CHECK(watched(30) == Verdict::not_met);
    CHECK(watched(113.9) == Verdict::not_shown); // 88.9 minutes after the reading
    CHECK(watched(114) == Verdict::met);
}

TEST_CASE("food that was hot is not held to the window for room-temperature ingredients") {
    Lot cooked;
    cooked.stage(Stage::cooking, 0)
        .stage(Stage::cooling, 60)
        .readings({{0, 60}, {50, 170}, {60, 165}, {200, 100}, {290, 41}});
    cooked.history().made_from_ambient = true;
    CHECK_FALSE(has(cooked.judged(fda()), "cooling-from-ambient"));
    CHECK(cooked.judged(fda()).overall != Verdict::met);
    Lot hot;
    hot.stage(Stage::cooling, 0).readings({{0, 150}, {200, 100}, {235, 41}});
    hot.history().made_from_ambient = true;
    CHECK_FALSE(has(hot.judged(fda()), "cooling-from-ambient"));
}

TEST_CASE("a stage for which the pack has no limit is said to be unjudged") {
    codes::Pack pack;
    pack.requirements = {
        {"hot-holding",
         "test",
         codes::Status::remembered,
         "",
         {},
         codes::HoldRule{codes::TemperatureLimit{Temperature::of_degrees(135, Scale::fahrenheit),
                                                 std::nullopt, codes::Words::at_or_above}},
         ""}};
    Lot lot;
    lot.stage(Stage::hot_holding, 0)
        .stage(Stage::cooling, 60)
        .readings({{0, 150}, {60, 150}, {600, 60}});
    const auto notes = lot.judged(pack).notes;
    CHECK(std::ranges::any_of(notes, [](const std::string& n) {
        return n.find("cooling") != std::string::npos && n.find("not judged") != std::string::npos;
    }));
    Lot judged;
    judged.stage(Stage::hot_holding, 0).readings({{0, 150}, {60, 150}});
    CHECK(judged.judged(pack).notes.empty());
}
