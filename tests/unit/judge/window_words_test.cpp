// What a window says beside its verdict: margins, whether it asks for the action of a miss, and the
// reading that would have settled it. FDA Food Code 2022, 3-501.14(A): 135 °F to 70 °F within 2 h,
// to 41 °F within 6 h; the bounds in each case are counted by hand from the rows. The sentences
// guard that each branch says what it was decided by; minute 0 is 12:00 in Denver.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

Lot cooling(std::vector<Row> rows) {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings(rows);
    return lot;
}

Finding first_window(const Lot& lot, std::optional<double> as_of = std::nullopt,
                     std::optional<TemperatureDelta> band = std::nullopt) {
    return only(lot.judged(fda(), as_of, band), "cooling-first-window");
}

const auto kHalf = TemperatureDelta::of_thousandths(500, Scale::fahrenheit);

} // namespace

TEST_CASE("a met window's margin is what its worst case leaves of the time") {
    // From the last reading above, minute 10, to the first at the target, minute 110: 100 min.
    const Finding f = first_window(cooling({{0, 150}, {10, 136}, {20, 130}, {100, 72}, {110, 70}}));
    CHECK(f.verdict == Verdict::met);
    CHECK(minutes(f.margin.time) == 20);
    CHECK(f.reason ==
          "The food fell below 135 °F no earlier than 2026-10-31 12:10 and 70 °F was reached by "
          "2026-10-31 13:50: at most 1 h 40 min; the code allows within 2 h.");
}

TEST_CASE("a window missed by its best case has the best case's excess as its margin") {
    // From the first reading below, minute 20, to the last above the target, minute 150: 130 min.
    const Finding reached = first_window(cooling({{0, 136}, {20, 130}, {150, 72}, {160, 70}}));
    CHECK(reached.verdict == Verdict::not_met);
    CHECK(minutes(reached.margin.time) == -10);
    CHECK(reached.reason ==
          "The food fell below 135 °F by 2026-10-31 12:20 and was still above 70 °F at 2026-10-31 "
          "14:30: longer than 2 h 10 min; the code allows within 2 h.");
    const Finding not_reached = first_window(cooling({{0, 136}, {20, 130}, {150, 72}}), 200);
    CHECK(not_reached.verdict == Verdict::not_met);
    CHECK(minutes(not_reached.margin.time) == -10);
    CHECK(not_reached.reason ==
          "The food fell below 135 °F by 2026-10-31 12:20 and was still above 70 °F at 2026-10-31 "
          "14:30: 2 h 10 min or more; the code allows within 2 h.");
}

TEST_CASE("between the bounds a window is not shown, and a miss to act on once the time is over") {
    // Worst case minutes 0 to 130, best case 20 to 100; the time allowed runs out at minute 120.
    const Lot lot = cooling({{0, 136}, {20, 130}, {100, 72}, {130, 70}});
    const Finding f = first_window(lot);
    CHECK(f.verdict == Verdict::not_shown);
    CHECK(f.acts_as_missed);
    CHECK(minutes(f.margin.time) == -10);
    CHECK(f.reason ==
          "The food fell below 135 °F between 2026-10-31 12:00 and 2026-10-31 12:20, and 70 °F was "
          "reached between 2026-10-31 13:40 and 2026-10-31 14:10: that is between 1 h 20 min and "
          "2 h 10 min; the code allows within 2 h. A straight line between the readings would give "
          "2 h 6 min 40 s: an estimate, not judged.");
    CHECK(f.settle == "A reading at 70 °F or past it by 2026-10-31 14:00 would have settled it.");
}

TEST_CASE(
    "a guarded window says what a reading clear of the limit could still do, and until when") {
    // 70.4 °F is above the target as read, 69.8 °F below it by less than half a degree.
    const Lot lot = cooling({{0, 136}, {20, 130}, {60, 100}, {90, 69.8}});
    const Finding early = first_window(lot, 100, kHalf);
    CHECK(early.verdict == Verdict::not_shown);
    CHECK_FALSE(early.acts_as_missed);
    CHECK(early.settle ==
          "One more reading past 70 °F by the accuracy, before 2026-10-31 14:00, can settle it.");
    const Finding last = first_window(lot, 120, kHalf);
    CHECK_FALSE(last.acts_as_missed); // two hours are within two hours
    CHECK(last.settle ==
          "One more reading past 70 °F by the accuracy, before 2026-10-31 14:00, can settle it.");
    const Finding late = first_window(lot, 121, kHalf);
    CHECK(late.acts_as_missed);
    CHECK(late.settle ==
          "A reading that clears the limit by the accuracy, in time, would have settled it.");
}

TEST_CASE("a window without a start says which reading would have been needed") {
    const Finding f = first_window(cooling({{0, 130}, {60, 69}}));
    CHECK(f.verdict == Verdict::not_shown);
    CHECK(f.acts_as_missed);
    CHECK(
        f.reason ==
        "No earlier reading shows when the clock started; 70 °F was reached by 2026-10-31 13:00.");
    CHECK(f.settle ==
          "It would take a reading at or above 135 °F, not more than 2 h before 2026-10-31 13:00.");
    const Finding never = first_window(cooling({{0, 130}, {60, 100}}));
    CHECK(never.verdict == Verdict::not_shown);
    CHECK(never.reason == "No reading shows when the clock started, and none shows 70 °F reached.");
}

TEST_CASE("an open window names the instant when its time runs out, an ended one what was left") {
    const Finding open = first_window(cooling({{10, 136}, {20, 130}, {60, 100}}), 100);
    CHECK(open.verdict == Verdict::open);
    CHECK(minutes(open.margin.time) == 30);
    CHECK(open.reason ==
          "70 °F is not reached yet. Counted from the worst case, the time allowed runs out at "
          "2026-10-31 14:10, in 30 min.");
    CHECK(open.settle == "A reading at 70 °F or past it by 2026-10-31 14:10 will settle it.");
    Lot lot = cooling({{10, 136}, {20, 130}, {60, 100}});
    lot.served(100);
    const Finding ended = first_window(lot);
    CHECK(ended.verdict == Verdict::ended);
    CHECK(
        ended.reason ==
        "It ended at 2026-10-31 13:40, before the time ran out: at least 30 min of 2 h was left.");
    const Finding over = first_window(cooling({{10, 136}, {20, 130}, {60, 100}}), 131);
    CHECK(over.verdict == Verdict::not_shown);
    CHECK(
        over.reason ==
        "Counted from the worst case, the time allowed ran out at 2026-10-31 14:10, and no reading "
        "shows 70 °F reached by then.");
    CHECK(over.settle == "A reading by 2026-10-31 14:10 would have settled it.");
}

TEST_CASE("a target left again is judged by its last return, and both readings are evidence") {
    // At the target at minute 50, above it at 70, back at 90: worst case minutes 0 to 90.
    const Finding f =
        first_window(cooling({{0, 136}, {20, 130}, {40, 75}, {50, 70}, {70, 72}, {90, 69}}));
    CHECK(f.verdict == Verdict::met);
    CHECK(minutes(f.elapsed.earliest) == 20);
    CHECK(minutes(f.elapsed.latest) == 90);
    REQUIRE(f.evidence.size() == 5);
    CHECK(f.evidence[2].at == at(40));
    CHECK(f.evidence[3].at == at(70));
    CHECK(f.evidence[4].at == at(90));
    // The straight line to the last return: from 72 at 70 min to 69 at 90 min, 70 at 83 min 20 s;
    // from 136 at 0 to 130 at 20, 135 at 3 min 20 s.
    CHECK(minutes(f.elapsed.estimate) == Approx(80));
}

TEST_CASE("a target left by less than the accuracy is surely kept only from the reading after") {
    // 69 °F clears 70 by more than half a degree, 69.8 does not: what was surely there at 80 is
    // surely there again only at 135, too late in the worst case.
    const auto rows = [](double dip) {
        return cooling({{0, 136}, {20, 130}, {60, 72}, {80, 69}, {130, dip}, {135, 69}});
    };
    CHECK(first_window(rows(69.8), std::nullopt, kHalf).verdict == Verdict::not_shown);
    CHECK(minutes(first_window(rows(69.8), std::nullopt, kHalf).elapsed.latest) == 135);
    CHECK(first_window(rows(69), std::nullopt, kHalf).verdict == Verdict::met);
    CHECK(minutes(first_window(rows(69), std::nullopt, kHalf).elapsed.latest) == 80);
}

TEST_CASE("food last seen warm before its cooling began was above the target until then") {
    // In the rest it fell below 135 °F by minute 10 and was above 70 at 140. Of the cooling there
    // is but a reading that nobody may trust.
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::cooling, 150);
    lot.readings({{0, 140}, {10, 130}, {140, 100}, {160, 60}});
    lot.history().points[0].readings[3].suspect = true;
    const Finding f = first_window(lot, 300);
    CHECK(f.verdict == Verdict::not_met);
    CHECK(minutes(f.elapsed.earliest) == 130);
}

TEST_CASE("one reading between the figures shows no time spent there, two show the time between") {
    CHECK_FALSE(first_window(cooling({{0, 136}, {30, 100}}), 60).elapsed.earliest.has_value());
    CHECK(minutes(first_window(cooling({{0, 136}, {30, 100}, {50, 90}}), 60).elapsed.earliest) ==
          20);
}
