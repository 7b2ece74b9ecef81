// Coming up to cooking temperature: FSIS Cooking Guideline for Meat and Poultry Products (Revised
// Appendix A), December 2021: the food is between 50 and 130 °F for 6 hours or less in all while it
// heats, and cooking again after a cook that failed does not start the clock anew.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

const codes::Pack& fsis() {
    static const codes::Pack pack =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/us-fsis.toml");
    return pack;
}

Finding come_up(const Lot& lot, std::optional<double> as_of = std::nullopt) {
    const auto j = lot.judged(fsis(), as_of);
    return only(j, "come-up");
}

Lot roast() {
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0);
    return lot;
}

} // namespace

TEST_CASE("the clock runs from the last reading at or below 50 °F until 130 °F is there for good") {
    Lot lot = roast();
    lot.readings({{0, 40}, {30, 50}, {60, 51}, {300, 129}});
    SECTION("at most 6 h in the worst case: met") {
        lot.readings({{390, 130}, {400, 140}}); // 30 to 390 is exactly 6 h
        const Finding f = come_up(lot);
        CHECK(f.verdict == Verdict::met);
        CHECK(minutes(f.elapsed.latest) == Approx(360));
        CHECK(minutes(f.elapsed.earliest) == Approx(240)); // 60 to 300
    }
    SECTION("a minute more: not shown") {
        lot.readings({{391, 130}, {400, 140}});
        CHECK(come_up(lot).verdict == Verdict::not_shown);
    }
    SECTION("still below 130 °F six hours after the latest start: not met") {
        lot.readings({{420, 129.9}, {430, 131}});
        CHECK(come_up(lot).verdict == Verdict::not_met);
    }
    SECTION("a minute less: not shown, for it may have passed both just then") {
        lot.readings({{419, 129.9}, {430, 131}});
        CHECK(come_up(lot).verdict == Verdict::not_shown);
    }
    SECTION("a dip below 130 °F takes it back: it was not there for good") {
        lot.readings({{330, 131}, {500, 129}, {510, 131}});
        CHECK(come_up(lot).verdict == Verdict::not_shown);
    }
    SECTION("under way: open until the worst case runs out, then not shown") {
        CHECK(come_up(lot, 390).verdict == Verdict::open);
        CHECK(come_up(lot, 391).verdict == Verdict::not_shown);
    }
}

TEST_CASE("a first reading above 50 °F leaves the start unknown: neither met nor open") {
    Lot lot = roast();
    lot.readings({{0, 55}, {60, 100}});
    CHECK(come_up(lot).verdict == Verdict::not_shown);
    lot.readings({{90, 131}});
    // It is the start that nobody read, not an accuracy that no reading clears.
    CHECK(come_up(lot).reason.find("accuracy") == std::string::npos);
    CHECK(come_up(lot).verdict == Verdict::not_shown);
    SECTION("but a miss can be shown") {
        Lot slow = roast();
        slow.readings({{0, 55}, {360, 129}, {400, 131}});
        CHECK(come_up(slow).verdict == Verdict::not_met);
    }
}

TEST_CASE("food that was at or below 50 °F at the last reading has its clock start there at the "
          "earliest") {
    Lot lot = roast();
    lot.readings({{0, 40}, {60, 45}});
    CHECK(come_up(lot, 60 + 360).verdict == Verdict::open);
    CHECK(come_up(lot, 60 + 361).verdict == Verdict::not_shown);
}

TEST_CASE("the reading that shows the food above 50 °F may be the very one at 130 °F") {
    Lot lot = roast();
    lot.readings({{0, 40}, {30, 50}, {200, 131}});
    const Finding f = come_up(lot);
    CHECK(f.verdict == Verdict::met);
    CHECK(minutes(f.elapsed.earliest) == Approx(0)); // left and there, both just before 200
    CHECK(minutes(f.elapsed.latest) == Approx(170));
    CHECK(std::ranges::none_of(f.notes, [](const std::string& note) {
        return note.find("cook") != std::string::npos; // no cook before runs on in it
    }));
}

TEST_CASE("a reading before the cook shows when the food was last cold") {
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::preparing, -120).stage(Stage::cooking, 0);
    lot.readings({{-60, 41}, {0, 55}, {200, 131}});
    const Finding f = come_up(lot);
    CHECK(f.verdict == Verdict::met);
    CHECK(minutes(f.elapsed.latest) == Approx(260)); // from -60
}

TEST_CASE("every series of the food is held against it") {
    Lot lot = roast();
    lot.readings({{0, 40}, {60, 60}, {200, 131}});
    lot.readings({{0, 40}, {60, 49}, {430, 129}}, Scale::fahrenheit, "point");
    const auto j = lot.judged(fsis());
    std::vector<Verdict> verdicts;
    for (const Finding& f : j.findings) {
        if (f.requirement == "come-up") {
            verdicts.push_back(f.verdict);
        }
    }
    CHECK(verdicts == std::vector{Verdict::met, Verdict::not_shown});
}

TEST_CASE("cooking again after a failed cook does not start the clock anew") {
    Lot lot = roast();
    lot.stage(Stage::cooling, 200).stage(Stage::cooking, 400);
    SECTION("the first cook failed: one clock through both") {
        lot.readings({{0, 40}, {30, 60}, {200, 120}, {300, 60}, {390, 45}, {500, 131}, {600, 160}});
        const Finding f = come_up(lot);
        CHECK(f.stage_from == at(400));
        CHECK(f.verdict == Verdict::not_met); // 30 to 390: still not at 130 °F six hours on
        REQUIRE_FALSE(f.notes.empty());
    }
    SECTION("the first cook met its table: the second has a clock of its own") {
        // 158 °F at once: Appendix A (1999), 6.5-log column.
        lot.history().raw_mass_g = 5000;
        lot.history().stages[0].oven = OvenKind::convection;
        lot.history().stages[0].setting = Temperature::of_degrees(250, Scale::fahrenheit);
        lot.readings({{0, 40},
                      {30, 60},
                      {150, 140},
                      {180, 160},
                      {199, 160},
                      {300, 90},
                      {390, 45},
                      {420, 60},
                      {500, 131},
                      {600, 160}});
        const auto j = lot.judged(fsis());
        std::vector<Instant> from;
        for (const Finding& f : j.findings) {
            if (f.requirement == "come-up") {
                CHECK(f.verdict == Verdict::met);
                from.push_back(f.stage_from);
            }
        }
        CHECK(from == std::vector{at(0), at(400)});
    }
}

TEST_CASE("a cook without any reading in the food shows nothing of its come-up") {
    CHECK(come_up(roast(), 600).verdict == Verdict::open); // it is still cooking
    Lot lot = roast();
    lot.served(700);
    CHECK(come_up(lot, 800).verdict == Verdict::not_shown);
}

TEST_CASE(
    "food that is not read cold before it heats has an unknown start, for no thermometer's sake") {
    Lot lot = roast();
    lot.readings({{0, 60}, {100, 131}, {200, 140}}).served(200);
    const Finding f = come_up(lot);
    CHECK(f.verdict == Verdict::not_shown);
    CHECK(f.reason.find("suspect") == std::string::npos);
    // Read cold by a reading that is suspect, it may have been: confirming that would settle it.
    Lot suspect = roast();
    suspect.readings({{0, 45}, {10, 60}, {100, 131}, {200, 140}}).served(200);
    suspect.history().points[0].readings[0].suspect = true;
    CHECK(come_up(suspect).verdict == Verdict::not_shown);
    CHECK(come_up(suspect).reason.find("suspect") != std::string::npos);
}

TEST_CASE("a second window whose start nobody read is not blamed on a thermometer") {
    // Appendix B (1999), option 1: 80 to 40 °F within 5 hours.
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 79}, {100, 40}}).served(100);
    const auto j = lot.judged(fsis());
    const auto f = std::ranges::find_if(
        j.findings, [](const Finding& one) { return one.requirement == "cooling-second-window"; });
    REQUIRE(f != j.findings.end());
    CHECK(f->verdict == Verdict::not_shown);
    CHECK(f->reason.find("suspect") == std::string::npos);
}
