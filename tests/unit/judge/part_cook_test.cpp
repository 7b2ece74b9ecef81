// Non-continuous cooking: FDA Food Code 2022, 3-401.14 (text from adoptions: Delaware 2014,
// Minnesota 4626.0349, Virginia 12VAC5-421-725; that 2022 left it unchanged is from memory). (A)
// the first heating takes no more than 60 minutes; (B) the food is cooled at once, as 3-501.14(A)
// asks: from 135 to 70 °F within 2 hours, to 41 °F within 6; (C) then kept frozen or at 41 °F or
// less; (D) cooked in full, as 3-401.11, before it is sold or served.
#include "lots.hpp"

#include <holdwarden/judge/words.hpp>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

/// Chicken heated from minute 0, cooling from `cooled`.
Lot heated(double cooled) {
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::initial_heating, 0).stage(Stage::cooling, cooled);
    lot.readings({{0, 40}, {cooled, 110}});
    return lot;
}

/// The whole way: 45 minutes, cold in time, a night in the walk-in, the full cook of `at_most` °F,
/// served.
Lot whole_way(double hottest) {
    Lot lot = heated(45);
    lot.stage(Stage::cold_holding, 300)
        .stage(Stage::cooking, 900)
        .readings({{110, 70}, {300, 41}, {420, 40}, {540, 40}, {660, 40}, {780, 40}, {900, 40}})
        .readings({{960, hottest}})
        .served(970);
    return lot;
}

Verdict first_heating(const Lot& lot, std::optional<double> as_of = std::nullopt) {
    return only(lot.judged(fda(), as_of), "initial-heating").verdict;
}

} // namespace

TEST_CASE("3-401.14(A): the first heating takes no more than 60 minutes, the figure included") {
    CHECK(first_heating(heated(60)) == Verdict::met);
    CHECK(first_heating(heated(60 + 1.0 / 60'000)) == Verdict::not_met);
    Lot running{FoodKind::poultry};
    running.stage(Stage::initial_heating, 0).readings({{0, 40}});
    CHECK(first_heating(running, 60) == Verdict::open);
    CHECK(first_heating(running, 61) == Verdict::not_met);
    CHECK(only(heated(60).judged(fda()), "initial-heating").clause == "3-401.14(A), (B)");
}

TEST_CASE("a first heating that is entered again is told from its first entry") {
    const auto told = [](std::optional<Stage> before) {
        Lot lot{FoodKind::poultry};
        if (before) {
            lot.stage(*before, 0);
        }
        const double from = before ? 20 : 0;
        lot.stage(Stage::initial_heating, from).stage(Stage::initial_heating, 30);
        lot.stage(Stage::initial_heating, 40).stage(Stage::cooling, 50);
        lot.readings({{from, 40}, {50, 110}});
        return only(lot.judged(fda()), "initial-heating").reason;
    };
    CHECK(told(std::nullopt) == "Heated from 12:00 to 12:50: 50 min in all; the code allows 1 h.");
    CHECK(told(Stage::cold_holding) ==
          "Heated from 12:20 to 12:50: 30 min in all; the code allows 1 h.");
}

TEST_CASE("3-401.14(A): first heatings with no full cook between them add up") {
    Lot lot = heated(40);
    lot.stage(Stage::initial_heating, 400).stage(Stage::cooling, 421).readings({{421, 100}});
    const auto j = lot.judged(fda());
    std::vector<Verdict> verdicts;
    for (const Finding& f : j.findings) {
        if (f.requirement == "initial-heating") {
            verdicts.push_back(f.verdict);
        }
    }
    CHECK(verdicts == std::vector{Verdict::met, Verdict::not_met}); // 40, then 61 minutes
}

TEST_CASE("3-401.14(A): a first heating that goes on in another unit is one") {
    // That entries without a gap are one heating is the project's own reading.
    const auto moved = [](double cooled) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::initial_heating, 0).stage(Stage::initial_heating, 25);
        lot.stage(Stage::cooling, cooled).readings({{0, 40}, {cooled, 110}});
        return lot;
    };
    CHECK(first_heating(moved(60)) == Verdict::met);
    CHECK(first_heating(moved(61)) == Verdict::not_met);
    // Its one missing cook is told once.
    CHECK(only(moved(60).judged(fda()), "cooking").verdict == Verdict::open);
}

TEST_CASE("a full cook ends the sum of first heatings if one of its ways is met at every point") {
    // 3-401.11(A)(1)(b): 145 °F for 15 s at 150 to 151; the roast table's 4 min are not shown.
    const auto second_heating = [](std::vector<Row> top) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::initial_heating, 0).stage(Stage::cooling, 40).stage(Stage::cooking, 100);
        lot.stage(Stage::initial_heating, 200).stage(Stage::cooling, 221);
        lot.readings({{0, 40}, {40, 100}, {100, 60}, {150, 146}, {151, 146}, {152, 120}});
        lot.readings({{221, 100}}).readings(std::move(top), Scale::fahrenheit, "top");
        Verdict last = Verdict::ended;
        for (const Finding& f : lot.judged(fda()).findings) {
            last = f.requirement == "initial-heating" ? f.verdict : last;
        }
        return last;
    };
    CHECK(second_heating({{150, 146}, {151, 146}}) == Verdict::met);     // 21 minutes
    CHECK(second_heating({{150, 140}, {151, 140}}) == Verdict::not_met); // 40 and 21 minutes
}

TEST_CASE("3-401.14(B): it is cooled at once, not rested, held or prepared first") {
    for (const Stage next : {Stage::resting, Stage::hot_holding, Stage::preparing,
                             Stage::time_control, Stage::reheating}) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::initial_heating, 0).stage(next, 30).stage(Stage::cooling, 40);
        lot.readings({{0, 40}, {30, 140}, {40, 138}});
        CHECK(first_heating(lot) == Verdict::not_met);
    }
    for (const Stage next : {Stage::cooling, Stage::cold_holding, Stage::frozen}) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::initial_heating, 0).stage(next, 30).readings({{0, 40}, {30, 140}});
        CHECK(first_heating(lot) == Verdict::met);
    }
}

TEST_CASE("3-401.14(B): food never read at 135 was not hot before it was heated") {
    // 70 °F at 120 minutes from the first heating's beginning: in time whenever it was hottest.
    Lot lot = heated(45);
    lot.readings({{120, 70}, {360, 41}});
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict == Verdict::met);
    CHECK(only(lot.judged(fda()), "cooling-total").verdict == Verdict::met);
    // A minute later it may have been hot for longer than two hours, and may not.
    Lot late = heated(45);
    late.readings({{121, 70}, {361, 41}});
    CHECK(only(late.judged(fda()), "cooling-first-window").verdict == Verdict::not_shown);
    CHECK(only(late.judged(fda()), "cooling-total").verdict == Verdict::not_shown);
    // A hold before it: when that food was hot is not known.
    Lot held{FoodKind::poultry};
    held.stage(Stage::hot_holding, -100)
        .stage(Stage::initial_heating, 0)
        .stage(Stage::cooling, 45)
        .readings({{-100, 120}, {0, 120}, {45, 110}, {110, 70}});
    CHECK(only(held.judged(fda()), "cooling-first-window").verdict == Verdict::not_shown);
}

TEST_CASE("3-401.14(D): served without a full cook is not met, however hot it was heated") {
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::initial_heating, 0).readings({{0, 40}, {30, 170}, {40, 170}});
    CHECK(only(lot.judged(fda(), 40), "cooking").verdict == Verdict::open);
    lot.served(45);
    CHECK(only(lot.judged(fda()), "cooking").verdict == Verdict::not_met);
    CHECK(lot.judged(fda()).overall == Verdict::not_met);
    Lot binned{FoodKind::poultry};
    binned.stage(Stage::initial_heating, 0).readings({{0, 40}, {30, 90}});
    binned.history().end = records::LotEnd{Outcome::discarded, at(45), ""};
    CHECK(only(binned.judged(fda()), "cooking").verdict == Verdict::ended);
}

TEST_CASE("3-401.14: the whole way is met, and a full cook too cold is not") {
    CHECK(whole_way(165).judged(fda()).overall == Verdict::met);
    const auto j = whole_way(164.9).judged(fda());
    CHECK(only(j, "cooking").verdict == Verdict::not_met);
    CHECK(j.overall == Verdict::not_met);
}

TEST_CASE("3-401.14(E): after the full cook the food is cooled by a clock of its own") {
    const auto cooled_again = [](double hottest) {
        Lot lot = heated(45);
        lot.stage(Stage::cooking, 400)
            .stage(Stage::cooling, 470)
            .readings({{110, 70}, {300, 41}, {400, 41}})
            .readings({{460, hottest}, {475, 140}, {590, 70}, {830, 41}});
        return lot.judged(fda());
    };
    const auto totals = [](const LotJudgement& j) {
        std::vector<Verdict> verdicts;
        for (const Finding& f : j.findings) {
            if (f.requirement == "cooling-total") {
                verdicts.push_back(f.verdict);
            }
        }
        return verdicts;
    };
    CHECK(totals(cooled_again(165)) == std::vector{Verdict::met, Verdict::met});
    // A cook that is not met starts no new clock: one attempt from the first heating on, cold by
    // 300 at the best and for good only at 830 minutes.
    CHECK(totals(cooled_again(160)) == std::vector{Verdict::not_shown});
}

TEST_CASE(
    "3-501.17: food heated in part is not ready to eat, and no day is counted before its cook") {
    Lot lot = heated(45);
    lot.stage(Stage::cold_holding, 300).readings({{110, 70}, {300, 41}});
    constexpr double kDay = 24 * 60;
    CHECK_FALSE(has(lot.judged(fda(), 9 * kDay), "date-mark"));
    lot.stage(Stage::cooking, 9 * kDay).stage(Stage::cold_holding, 9 * kDay + 60);
    CHECK(only(lot.judged(fda(), 11 * kDay), "date-mark").verdict == Verdict::open);
    CHECK(only(lot.judged(fda(), 17 * kDay), "date-mark").verdict == Verdict::not_met);
}

TEST_CASE("a pack without the rule says that it does not judge a first heating") {
    static const codes::Pack hk =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/hk.toml");
    const auto j = heated(45).judged(hk);
    CHECK_FALSE(has(j, "initial-heating"));
    CHECK(std::ranges::any_of(j.notes, [](const std::string& note) {
        return note.find("initial heating") != std::string::npos;
    }));
}

TEST_CASE("3-401.14(A): a first heating says what is left of its hour and by when to cool it") {
    CHECK(only(heated(45).judged(fda()), "initial-heating").margin.time == Span::minutes(15));
    Lot running{FoodKind::poultry};
    running.stage(Stage::initial_heating, 0).readings({{0, 40}});
    // Minute 0 is 12:00 in Denver, and the hour ends at 13:00 whenever it is asked.
    CHECK(only(running.judged(fda(), 20), "initial-heating").settle ==
          "Cooling begun by 13:00 will settle it.");
    Lot rested{FoodKind::poultry};
    rested.stage(Stage::initial_heating, 0).stage(Stage::resting, 30).stage(Stage::cooling, 40);
    rested.readings({{0, 40}, {30, 140}, {40, 138}});
    CHECK(only(rested.judged(fda()), "initial-heating")
              .reason.find(std::string{judge::to_words(Stage::resting)} + " at 12:30") !=
          std::string::npos);
}

TEST_CASE("3-401.14(D): a cook before the first heating is not the full cook after it") {
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::cooking, 0).stage(Stage::cooling, 40).stage(Stage::initial_heating, 100);
    lot.readings({{0, 40}, {30, 165}, {40, 140}, {100, 60}, {120, 100}}).served(130);
    std::size_t missing = 0;
    for (const Finding& f : lot.judged(fda()).findings) {
        missing += f.requirement == "cooking" && f.stage == Stage::initial_heating &&
                           f.verdict == Verdict::not_met
                       ? 1
                       : 0;
    }
    CHECK(missing == 1);
}

TEST_CASE("3-401.14(E): only the first full cook after a first heating starts a new clock") {
    const auto coolings = [](const Lot& lot) {
        std::size_t count = 0;
        for (const Finding& f : lot.judged(fda()).findings) {
            count += f.requirement == "cooling-total" ? 1 : 0;
        }
        return count;
    };
    const auto then = [](Lot& lot, double cook) {
        lot.stage(Stage::cooking, cook).stage(Stage::cooling, cook + 70);
        lot.readings({{cook, 41}, {cook + 60, 165}, {cook + 75, 140}, {cook + 190, 70}});
        lot.readings({{cook + 390, 41}});
    };
    Lot never{FoodKind::poultry}; // cooked again without a first heating or a reheat
    never.stage(Stage::cooling, 0).readings({{0, 140}, {5, 134}, {110, 70}, {300, 41}});
    then(never, 400);
    CHECK(coolings(never) == 1);
    Lot twice = heated(45);
    twice.readings({{110, 70}, {300, 41}});
    then(twice, 400);
    CHECK(coolings(twice) == 2);
    then(twice, 900);
    CHECK(coolings(twice) == 2);
}

TEST_CASE("3-401.14(B): food that may have been hot before its first heating has no known start") {
    const auto cooled = [](Stage before) {
        Lot lot{FoodKind::poultry};
        lot.stage(before, -100).stage(Stage::initial_heating, 0).stage(Stage::cooling, 45);
        lot.readings({{-100, 120}, {0, 120}, {45, 110}, {110, 70}});
        return only(lot.judged(fda()), "cooling-first-window").verdict;
    };
    CHECK(cooled(Stage::preparing) == Verdict::met); // 70 °F 110 minutes after it began
    for (const Stage hot : {Stage::cooking, Stage::reheating, Stage::time_control}) {
        CHECK(cooled(hot) == Verdict::not_shown);
    }
}
