// How food came into a stage, and what follows from it. The limits are those of FDA Food Code 2022
// (3-403.11(A): reheated to 165 °F; 3-501.14(A): 135 to 70 °F in 2 hours, to 41 °F in 6;
// 3-501.16(A): 135 °F or above, 41 °F or less) unless another code is named; what a silence leaves
// open is the project's own reading.

#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

codes::Pack pack(const std::string& id) {
    return codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/" + id + ".toml");
}

/// Judged as food that was served with its last reading, so that nothing stays open.
LotJudgement judged_at_end(Lot lot) {
    lot.served((lot.last_reading() - kStart).in_minutes());
    return lot.judged(fda());
}

/// The worst verdict of the findings of one requirement; nullopt: none.
std::optional<Verdict> worst(const LotJudgement& j, std::string_view id) {
    std::optional<Verdict> found;
    for (const Finding& f : j.findings) {
        if (f.requirement == id) {
            found = found ? judge::worse(*found, f.verdict) : f.verdict;
        }
    }
    return found;
}

Lot cooled_and_held(double warm_at, std::vector<Row> hold) {
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::hot_holding, warm_at);
    lot.readings({{50, 166}, {60, 160}}).readings(std::move(hold));
    return lot;
}

} // namespace

TEST_CASE("a cooling is broken off hot only where the food is read hot all through it") {
    // Nobody looked for ten hours: it may have been cold, and heated to 140 °F again.
    const LotJudgement unread = judged_at_end(cooled_and_held(660, {{770, 140}, {780, 140}}));
    CHECK(worst(unread, "reheating") == Verdict::not_shown);
    CHECK(worst(unread, "cooling-total") == Verdict::not_shown);
    CHECK(unread.overall == Verdict::not_shown);
    // Read hot within the largest interval on either side: put back in time.
    const LotJudgement back = judged_at_end(cooled_and_held(90, {{95, 150}, {180, 150}}));
    CHECK(worst(back, "reheating") == std::nullopt);
    CHECK(back.overall != Verdict::not_met);
    // Exactly two hours apart, and a minute more; the cooling entered twice is one.
    const auto entered_twice = [](double next) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(Stage::cooling, 100);
        lot.stage(Stage::hot_holding, 170);
        lot.readings({{0, 150}, {60, 150}, {next, 150}, {next + 10, 150}});
        return worst(judged_at_end(lot), "reheating");
    };
    CHECK(entered_twice(180) == std::nullopt);
    CHECK(entered_twice(181) == Verdict::not_shown);
    CHECK(std::ranges::all_of(unread.findings, [](const Finding& f) { // the food may be unsafe
        return f.requirement != "reheating" || f.acts_as_missed;
    }));
    // Read below the limit in it: it was cold, and no reading shows it reheated.
    const LotJudgement cold =
        judged_at_end(cooled_and_held(660, {{300, 100}, {660, 140}, {780, 140}}));
    CHECK(worst(cold, "reheating") == Verdict::not_met);
    // The first hot reading of a reheat, at its beginning, does not show that the food was hot for
    // two days.
    Lot late;
    late.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(Stage::reheating, 3000);
    late.stage(Stage::hot_holding, 3020);
    late.readings(
        {{0, 140}, {60, 140}, {3000, 136}, {3010, 166}, {3011, 166}, {3020, 160}, {3080, 150}});
    CHECK(worst(judged_at_end(late), "cooling-total") == Verdict::not_shown);
}

TEST_CASE("the silences of a cooling broken off hot are counted from reading to reading") {
    const auto reheat = [](std::vector<Row> rows, double as_of) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(Stage::hot_holding, 300);
        lot.readings(std::move(rows));
        return worst(lot.judged(fda(), as_of), "reheating");
    };
    // The hold goes on, and so what is open may be shown yet.
    // The last reading before it counts, and so does one at its beginning or its end.
    CHECK(reheat({{0, 150}, {60, 150}, {180, 150}, {300, 150}, {500, 150}}, 500) == std::nullopt);
    CHECK(reheat({{0, 150}, {50, 150}, {170, 150}, {290, 150}, {310, 150}}, 310) == std::nullopt);
    CHECK(reheat({{0, 150}, {49, 150}, {170, 150}, {290, 150}, {310, 150}}, 310) == Verdict::open);
    CHECK(reheat({{0, 150}, {60, 150}, {180, 150}, {290, 150}, {411, 150}}, 420) == Verdict::open);
    // Nothing was read before it: it counts from its own beginning.
    CHECK(reheat({{180, 150}, {300, 150}}, 310) == std::nullopt);
    CHECK(reheat({{181, 150}, {300, 150}}, 310) == Verdict::open);
    // Nothing is read after it: it counts up to now.
    CHECK(reheat({{60, 150}, {180, 150}, {290, 150}}, 410) == std::nullopt);
    CHECK(reheat({{60, 150}, {180, 150}, {290, 150}}, 411) == Verdict::open);
    // Only what followed the last heating is one cooling; preparing in between parts nothing.
    const auto cooled_before = [](Stage between) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(between, 200).stage(Stage::cooling, 230);
        lot.stage(Stage::hot_holding, 260);
        lot.readings({{0, 150}, {10, 130}, {60, 70}, {190, 41}, {205, 50}, {215, 150}, {225, 166}});
        lot.readings({{226, 166}, {230, 160}, {260, 150}, {300, 150}});
        return worst(judged_at_end(lot), "reheating");
    };
    CHECK(cooled_before(Stage::reheating) == Verdict::met);
    CHECK(cooled_before(Stage::preparing) == Verdict::not_met);
}

TEST_CASE("what was read before anything was done to the food tells how it came") {
    Lot hot;
    hot.stage(Stage::preparing, 0).stage(Stage::cold_holding, 600);
    hot.readings({{0, 140}, {600, 41}, {700, 41}});
    CHECK(worst(judged_at_end(hot), "cooling-total") == Verdict::not_shown);
    Lot both; // two values of the first instant: the worse counts, whichever stands first
    both.stage(Stage::cold_holding, 0).readings({{0, 38}, {0, 140}, {100, 41}, {200, 41}});
    CHECK(worst(judged_at_end(both), "cooling-total").has_value());
    Lot cold;
    cold.stage(Stage::preparing, 0).stage(Stage::hot_holding, 60);
    cold.readings({{0, 41}, {50, 41}, {100, 140}, {200, 140}});
    CHECK(worst(judged_at_end(cold), "reheating") == Verdict::not_met);
    Lot neither; // the last reading before speaks
    neither.stage(Stage::preparing, 0).stage(Stage::hot_holding, 60);
    neither.readings({{0, 41}, {50, 140}, {100, 140}, {200, 140}});
    CHECK(worst(judged_at_end(neither), "reheating") == std::nullopt);
}

TEST_CASE("a cooling that nobody read is not told by the one after the next heating") {
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cooking, 660);
    lot.stage(Stage::cooling, 730);
    lot.readings({{0, 60},
                  {50, 166},
                  {700, 150},
                  {720, 166},
                  {730, 160},
                  {740, 136},
                  {745, 130},
                  {800, 70},
                  {900, 41}});
    CHECK(worst(judged_at_end(lot), "cooling-first-window") == Verdict::not_shown);
    CHECK(worst(judged_at_end(lot), "cooling-total") == Verdict::not_shown);
    // Back on the fire while it was still hot: one cooling, from the last fall.
    Lot hot{FoodKind::poultry};
    hot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cooking, 90);
    hot.stage(Stage::cooling, 120);
    hot.readings({{0, 60},
                  {50, 166},
                  {60, 160},
                  {89, 150},
                  {95, 150},
                  {110, 166},
                  {120, 160},
                  {140, 136},
                  {145, 130},
                  {200, 70},
                  {300, 41}});
    CHECK(worst(judged_at_end(hot), "cooling-total") == Verdict::met);
    // Heated again and put straight into the cold: cold holding waits for it to cool.
    Lot again{FoodKind::poultry};
    again.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::cooking, 300);
    again.stage(Stage::cold_holding, 360);
    again.readings({{50, 166},
                    {51, 166},
                    {60, 160},
                    {65, 134},
                    {120, 70},
                    {200, 41},
                    {290, 41},
                    {350, 166},
                    {351, 166},
                    {360, 160},
                    {370, 130},
                    {400, 70},
                    {500, 41},
                    {510, 41}});
    CHECK(worst(judged_at_end(again), "cold-holding") == Verdict::met);
    CHECK(judged_at_end(again).overall == Verdict::not_shown);
}

TEST_CASE("a point that was hot, was not read while it cooled, and is cold after it did cool") {
    const auto cooled = [](Stage after, double edge) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(after, 300);
        lot.readings({{0, 140}, {60, 140}, {62, 134}, {120, 70}, {300, 41}, {420, 41}, {520, 41}});
        lot.readings({{0, 140}, {50, 140}, {520, edge}}, Scale::fahrenheit, "edge");
        return worst(judged_at_end(lot), "cooling-total");
    };
    CHECK(cooled(Stage::thawing, 41) == Verdict::not_shown);
    CHECK(cooled(Stage::cold_holding, 41) == Verdict::not_shown);
    CHECK(cooled(Stage::reheating, 60) == Verdict::not_shown);
    CHECK(cooled(Stage::thawing, 140) == Verdict::met); // never shown to have cooled at all
    Lot late; // a point first read when all is cold tells nothing of the cooling
    late.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(Stage::thawing, 300);
    late.readings({{0, 140}, {60, 140}, {62, 134}, {120, 70}, {300, 41}, {420, 41}, {520, 41}});
    late.readings({{520, 41}}, Scale::fahrenheit, "edge");
    CHECK(worst(judged_at_end(late), "cooling-total") == Verdict::met);

    // Hot as a good reheat began, and not read again until it was cold. 3-403.11(C): packaged food
    // of an inspected plant is reheated to 135 °F, which it need not keep.
    Lot reheated{FoodKind::packaged_ready_to_eat};
    reheated.stage(Stage::reheating, 0).stage(Stage::cooling, 30).stage(Stage::thawing, 310);
    reheated.readings({{0, 140}, {30, 140}, {35, 134}, {100, 70}, {300, 41}, {320, 41}});
    CHECK(worst(judged_at_end(reheated), "cooling-total") == Verdict::met);
    reheated.readings({{0, 140}, {500, 41}}, Scale::fahrenheit, "edge");
    CHECK(worst(judged_at_end(reheated), "reheating") == Verdict::met);
    CHECK(worst(judged_at_end(reheated), "cooling-total") == Verdict::not_shown);

    // FSIS, Appendix B (1999), option 1: 130 to 80 °F in 1.5 hours, to 40 °F in 5 more. It says
    // nothing of holding: hot is what its clocks start at, 130 or 120 °F.
    const auto chilled = [](std::vector<Row> edge) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::cooling, 60).stage(Stage::thawing, 300);
        lot.readings({{40, 160}, {41, 160}, {60, 140}, {62, 129}, {120, 80}, {300, 40}, {320, 40}});
        lot.readings(std::move(edge), Scale::fahrenheit, "edge").served(320);
        const LotJudgement j = lot.judged(pack("us-fsis"));
        Verdict verdict = Verdict::met;
        for (const Finding& f : j.findings) {
            verdict = f.requirement.starts_with("cooling-") && f.counts
                          ? judge::worse(verdict, f.verdict)
                          : verdict;
        }
        return verdict;
    };
    CHECK(chilled({{40, 160}, {60, 140}, {62, 129}, {120, 80}, {300, 40}}) == Verdict::met);
    CHECK(chilled({{40, 160}, {320, 40}}) == Verdict::not_shown);
    CHECK(chilled({{40, 120}, {320, 40}}) == Verdict::not_shown);
    CHECK(chilled({{40, 119.9}, {320, 40}}) == Verdict::not_shown);
    CHECK(chilled({{40, 40}, {320, 40}}) == Verdict::met); // never shown to have been warm
}

TEST_CASE("a point that was warm, was not read while it cooled, and is cold after it did cool") {
    // 3-501.14(B): from ingredients at room temperature to 41 °F in 4 hours.
    const auto chilled = [](double before, double after) {
        Lot lot;
        lot.stage(Stage::preparing, 0).stage(Stage::cooling, 60).stage(Stage::thawing, 200);
        lot.history().made_from_ambient = true;
        lot.readings({{0, 70}, {60, 70}, {190, 41}, {300, 41}, {400, 41}, {500, 41}});
        lot.readings({{50, before}, {500, after}}, Scale::fahrenheit, "edge");
        return worst(judged_at_end(lot), "cooling-from-ambient");
    };
    CHECK(chilled(70, 41) == Verdict::not_shown);
    CHECK(chilled(42, 41) == Verdict::not_shown);
    CHECK(chilled(41, 41) == Verdict::met); // it was cold all along
    CHECK(chilled(70, 69) == Verdict::not_shown);
    CHECK(chilled(70, 70) == Verdict::met); // it has not cooled: cold holding says so
}

TEST_CASE(
    "food that was cold, was heated in vain and put to cool unread is not shown to have cooled") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(Stage::reheating, 300);
    lot.stage(Stage::cooling, 330);
    lot.readings({{0, 150}, {60, 150}, {62, 134}, {120, 70}, {200, 41}, {290, 41}, {320, 140}});
    lot.served(900);
    const auto j = lot.judged(fda());
    CHECK(worst(j, "reheating") != Verdict::met);
    CHECK(worst(j, "cooling-total") == Verdict::not_shown);
    // A point read only since the heating was in the cooling before it all the same.
    Lot late;
    late.stage(Stage::cooling, 0).stage(Stage::reheating, 90).stage(Stage::cooling, 130);
    late.readings({{0, 140}, {60, 100}, {80, 90}, {120, 150}, {135, 134}, {200, 70}, {300, 41}});
    late.readings({{120, 150}, {135, 134}, {200, 70}, {300, 41}}, Scale::fahrenheit, "edge");
    const auto of_edge = late.served(300).judged(fda());
    const auto total = std::ranges::find_if(of_edge.findings, [](const Finding& f) {
        return f.point == "edge" && f.requirement == "cooling-total";
    });
    REQUIRE(total != of_edge.findings.end());
    CHECK(total->verdict == Verdict::not_shown);
}

TEST_CASE("an entry does not part a silence of a hold") {
    const auto hot = [](double pause, double last) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::preparing, 100);
        lot.stage(Stage::hot_holding, 100 + pause);
        lot.readings({{0, 140}, {1, 140}, {last, 140}, {last + 1, 140}});
        return worst(judged_at_end(lot), "hot-holding");
    };
    CHECK(hot(0.1, 121.1) == Verdict::met); // two hours of holding between the readings
    CHECK(hot(0.1, 122) == Verdict::not_shown);
    CHECK(hot(60, 181) == Verdict::met); // an hour on the bench is no holding
    CHECK(hot(60, 182) == Verdict::not_shown);
    const auto cold = [](Stage between, double last) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(between, 100).stage(Stage::cold_holding, 101);
        lot.readings({{0, 40}, {1, 40}, {last, 40}, {last + 1, 40}});
        return worst(judged_at_end(lot), "cold-holding");
    };
    CHECK(cold(Stage::preparing, 122) == Verdict::met);
    CHECK(cold(Stage::preparing, 123) == Verdict::not_shown);
    CHECK(cold(Stage::frozen, 123) == Verdict::not_shown);
    CHECK(cold(Stage::cold_holding, 122) == Verdict::not_shown); // nothing lies between
    // Never read before the entry, nor after it.
    Lot head;
    head.stage(Stage::hot_holding, 0).stage(Stage::hot_holding, 110).readings({{130, 140}});
    CHECK(worst(head.served(200).judged(fda()), "hot-holding") == Verdict::not_shown);
    Lot tail;
    tail.stage(Stage::hot_holding, 0)
        .stage(Stage::hot_holding, 110)
        .readings({{0, 140}, {90, 140}});
    const auto first = [&](double as_of) {
        return tail.judged(fda(), as_of).findings.front().verdict;
    };
    CHECK(first(200) == Verdict::met); // 110 minutes
    CHECK(first(220) == Verdict::not_shown);
}

TEST_CASE("cold food that stays in its cooling stage is watched on into the cold hold") {
    const auto then = [](Stage next, double first) {
        Lot lot;
        lot.stage(Stage::cooling, 0).stage(next, 210);
        lot.readings({{0, 135}, {60, 70}, {100, 41}, {first, 41}, {first + 10, 41}});
        return worst(judged_at_end(lot), "cold-holding");
    };
    CHECK(then(Stage::cold_holding, 320) == Verdict::not_shown);
    CHECK(then(Stage::cold_holding, 220) == Verdict::met);
    CHECK(then(Stage::cooling, 320) == Verdict::not_shown);
    CHECK(then(Stage::cooling, 220) == std::nullopt);
}

TEST_CASE("readings of a point that still cools do not vouch for one that is held cold") {
    const auto read_till = [](double core) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0);
        lot.readings({{0, 140}, {5, 134}, {110, 40}, {core, 40}, {350, 40}});
        lot.readings({{0, 140}, {5, 134}, {110, 70}, {200, 60}, {300, 50}, {350, 41}},
                     Scale::fahrenheit, "edge");
        return worst(judged_at_end(lot), "cold-holding");
    };
    CHECK(read_till(349) == Verdict::not_shown);
    CHECK(read_till(230) == Verdict::met);
}

TEST_CASE("a code without a rule for time still asks that the food is cooled, reheated and kept") {
    // FSAI, Guidance Note 15: 3 °C within 150 min of the end of cooking.
    Lot slow;
    slow.stage(Stage::cooking, 0).stage(Stage::time_control, 60).stage(Stage::cold_holding, 600);
    slow.readings({{0, 10}, {60, 80}, {400, 30}, {600, 3}, {700, 3}}, Scale::celsius);
    CHECK(worst(slow.judged(pack("ie-fsai")), "cooling-total") == Verdict::not_met);
    CHECK(worst(slow.judged(pack("ie-fsai")), "hot-holding") == Verdict::not_shown);
    const auto judged = slow.judged(pack("ie-fsai"));
    CHECK(std::ranges::any_of(judged.findings, [](const Finding& f) {
        return f.requirement == "hot-holding" && f.acts_as_missed;
    }));
    // Order of 21 December 2009 (France): kept at 3 °C or below, or 63 °C or above.
    Lot warmed;
    warmed.stage(Stage::cold_holding, 0).stage(Stage::time_control, 60);
    warmed.stage(Stage::hot_holding, 600);
    warmed.readings({{0, 3}, {60, 3}, {100, 20}, {400, 40}, {600, 64}, {700, 64}}, Scale::celsius);
    CHECK(worst(warmed.judged(pack("fr-2009")), "cold-holding") == Verdict::not_shown);
    CHECK(warmed.judged(pack("fr-2009")).overall == Verdict::not_shown);
    CHECK(worst(warmed.judged(pack("fr-2009")), "reheating-time").has_value());
    Lot partly; // heated in part: no reheat, where the code has no rule for it
    partly.stage(Stage::cold_holding, 0).stage(Stage::initial_heating, 60);
    partly.stage(Stage::hot_holding, 600);
    partly.readings({{0, 3}, {60, 3}, {100, 20}, {400, 40}, {600, 64}, {700, 64}}, Scale::celsius);
    CHECK(worst(partly.judged(pack("fr-2009")), "reheating-time").has_value());
}

TEST_CASE("where a cooling ends above the cold limit, the limit binds when its time is over") {
    // Order of 21 December 2009 (France): 63 to 10 °C in under 2 hours; kept at 3 °C or below.
    const auto held = [](std::vector<Row> rows, double end) {
        Lot lot;
        lot.stage(Stage::cooling, 0).readings(std::move(rows), Scale::celsius).served(end);
        return lot.judged(pack("fr-2009"));
    };
    CHECK(worst(held({{0, 63}, {60, 10}, {160, 8}, {260, 8}}, 260), "cold-holding") ==
          Verdict::not_met);
    CHECK(held({{0, 63}, {60, 8}}, 1060).overall == Verdict::not_shown);
    CHECK(worst(held({{0, 63}, {60, 10}, {100, 8}, {115, 3}, {200, 3}}, 210), "cold-holding") ==
          Verdict::met);
    CHECK(worst(held({{0, 63}, {60, 10}, {100, 8}}, 110), "cold-holding") == std::nullopt);
    // One reading at 3 °C before the cold hold, which speaks.
    Lot one;
    one.stage(Stage::cooling, 0).stage(Stage::cold_holding, 125);
    one.readings({{0, 64}, {5, 62}, {110, 10}, {125, 3}, {200, 3}}, Scale::celsius).served(200);
    CHECK(worst(one.judged(pack("fr-2009")), "cold-holding") == Verdict::met);
}

TEST_CASE("cold food that is moved to a cooling stage is still held") {
    // The English regulations (2013, Schedule 4) have no cooling times: 8 °C or below.
    const auto moved = [](double last, double end) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::cooling, 100);
        lot.readings({{0, 7}, {90, 7}, {last, 7}, {last + 1, 7}}, Scale::celsius).served(end);
        return worst(lot.judged(pack("uk-england")), "cold-holding");
    };
    CHECK(moved(91, 300) == Verdict::not_shown);
    CHECK(moved(200, 300) == Verdict::met);
    CHECK(moved(211, 300) == Verdict::not_shown); // 121 minutes
}

TEST_CASE("cold food is not let warm in a cooling stage by a code without cooling times") {
    const auto read = [](std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::cooling, 60);
        lot.readings({{0, 5}, {60, 5}}, Scale::celsius).readings(std::move(rows), Scale::celsius);
        lot.served(300);
        return worst(lot.judged(pack("uk-england")), "cold-holding");
    };
    CHECK(read({{120, 20}, {180, 20}, {300, 20}}) == Verdict::not_met);
    CHECK(read({{120, 5}, {180, 9}, {240, 5}, {300, 5}}) == Verdict::not_met);
    CHECK(read({{120, 5}, {180, 5}, {240, 5}, {300, 5}}) == Verdict::met);
    Lot again; // the stage entered again
    again.stage(Stage::cold_holding, 0).stage(Stage::cooling, 60).stage(Stage::cooling, 200);
    again.readings({{0, 5}, {60, 5}, {120, 20}, {190, 5}, {210, 5}, {300, 5}}, Scale::celsius);
    CHECK(worst(again.served(300).judged(pack("uk-england")), "cold-holding") == Verdict::not_met);
    // A point that is still warm takes nothing off another one's silence.
    const auto edge = [](std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60);
        lot.readings({{0, 65}, {60, 65}, {61, 64}, {120, 20}, {180, 5}, {240, 5}, {400, 5}},
                     Scale::celsius);
        lot.readings(std::move(rows), Scale::celsius, "edge").served(400);
        return worst(lot.judged(pack("uk-england")), "cold-holding");
    };
    CHECK(edge({}) == Verdict::not_shown);
    CHECK(edge({{62, 64}, {100, 34}}) == Verdict::not_shown);
    CHECK(edge({{62, 64}, {300, 4}}) == std::nullopt); // read cold in between
}

TEST_CASE("food that falls below the hot limit in a cook or a reheat and stays there is not held") {
    // FDA Food Code 2022, 3-501.16(A)(1); how long it may be so unseen: the largest interval.
    const auto left = [](Stage stage, double end, double last) {
        Lot lot{FoodKind::poultry};
        lot.stage(stage, 0).readings({{0, 60}, {50, 166}, {51, 166}, {60, 140}, {100, last}});
        lot.served(end);
        return worst(lot.judged(fda()), "hot-holding");
    };
    CHECK(left(Stage::cooking, 180, 90) == std::nullopt);
    CHECK(left(Stage::cooking, 181, 90) == Verdict::not_shown);
    CHECK(left(Stage::reheating, 181, 90) == Verdict::not_shown);
    CHECK(left(Stage::cooking, 181, 135) == std::nullopt);
    // Entered again, prepared after it, or hot again hours later: it was not held.
    const auto then = [](Stage next, std::vector<Row> rows) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::cooking, 0).stage(next, 170);
        lot.readings({{0, 40}, {50, 170}, {51, 170}, {160, 90}}).readings(std::move(rows));
        return worst(judged_at_end(lot), "hot-holding");
    };
    CHECK(then(Stage::preparing, {{400, 80}}) == Verdict::not_shown);
    CHECK(then(Stage::cooking, {{400, 80}}) == Verdict::not_shown);
    CHECK(then(Stage::cooking, {{172, 140}}) == Verdict::not_shown);
    CHECK(then(Stage::cooking, {{171, 140}, {200, 140}}) == std::nullopt); // two hours
    CHECK(then(Stage::hot_holding, {{170, 140}, {200, 140}}) == Verdict::met);
}

TEST_CASE("food that was held hot before its first cook on record was made by then") {
    // FDA Food Code 2022, 3-501.17: 7 days, the day of making counted as day 1.
    const auto marked = [](Stage first) {
        Lot lot;
        lot.stage(first, 0).stage(Stage::cooling, 60).stage(Stage::cold_holding, 300);
        lot.stage(Stage::cooking, 5760).stage(Stage::cold_holding, 6000).served(13000);
        return worst(lot.judged(fda()), "date-mark");
    };
    CHECK(marked(Stage::hot_holding) == Verdict::not_met); // day 10
    CHECK(marked(Stage::reheating) == Verdict::not_met);
    CHECK(marked(Stage::initial_heating) == Verdict::met); // day 6 from the full cook
    CHECK(marked(Stage::preparing) == Verdict::met);
    // Kept cold for a week before its only cook, and for no day after it.
    Lot before;
    before.stage(Stage::hot_holding, 0).stage(Stage::cooling, 60).stage(Stage::cold_holding, 310);
    before.stage(Stage::cooking, 11000).stage(Stage::hot_holding, 11060).served(11100);
    CHECK(worst(before.judged(fda()), "date-mark") == Verdict::not_met); // day 8
    // Ten days in the freezer are none of the seven, also before the second cook.
    Lot frozen;
    frozen.stage(Stage::hot_holding, 0).stage(Stage::cold_holding, 60).stage(Stage::frozen, 310);
    frozen.stage(Stage::thawing, 14710).stage(Stage::cooking, 14800);
    frozen.stage(Stage::cold_holding, 14900).served(16300);
    CHECK(worst(frozen.judged(fda()), "date-mark") == Verdict::met);
}
