// Holding: FDA Food Code 2022, 3-501.16(A)(1) 135 °F (57 °C) or above, (A)(2) 41 °F (5 °C) or less
// (2022 text from memory; identical wording read in adoptions of the 2013 edition). The largest
// interval of 2 h is common practice, no source.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

Lot hold(std::vector<Row> rows, Scale scale = Scale::fahrenheit) {
    Lot lot;
    lot.stage(Stage::hot_holding, rows.front().minutes).readings(rows, scale);
    return lot;
}

Verdict verdict(const Lot& lot) {
    return only(lot.judged(fda()), "hot-holding").verdict;
}

} // namespace

TEST_CASE("the figure itself is good enough, in the reading's own scale") {
    CHECK(verdict(hold({{0, 135}, {60, 135}})) == Verdict::met);
    CHECK(verdict(hold({{0, 135}, {60, 134.9}})) == Verdict::not_met);
    // 57 °C is 134.6 °F: right on a Celsius thermometer, wrong on a Fahrenheit one.
    CHECK(verdict(hold({{0, 57.0}, {60, 57.0}}, Scale::celsius)) == Verdict::met);
    CHECK(verdict(hold({{0, 56.9}, {60, 57.0}}, Scale::celsius)) == Verdict::not_met);
    CHECK(verdict(hold({{0, 134.6}, {60, 134.6}})) == Verdict::not_met);
    CHECK(verdict(hold({{0, 57.1}, {60, 57.1}}, Scale::celsius)) == Verdict::met);
}

TEST_CASE("a thirteen-hour hold at 140 with readings every five minutes is met") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 780, 5, 140);
    const auto j = lot.judged(fda());
    CHECK(j.overall == Verdict::met);
    CHECK(only(j, "hot-holding").margin.temperature ==
          TemperatureDelta::of_thousandths(5000, Scale::fahrenheit));
    CHECK(minutes(j.below_hot_limit.latest) == 0);
}

TEST_CASE("no reading, one reading, or only air readings never prove a hold") {
    Lot none;
    none.stage(Stage::hot_holding, 0);
    CHECK(only(none.judged(fda(), 60), "hot-holding").verdict == Verdict::not_shown);
    CHECK(verdict(hold({{0, 150}})) == Verdict::not_shown);
    // Running, and the next reading is not due yet: no verdict yet, still not met.
    CHECK(only(hold({{0, 150}}).judged(fda(), 60), "hot-holding").verdict == Verdict::open);
    CHECK(only(hold({{0, 150}}).judged(fda(), 121), "hot-holding").verdict == Verdict::not_shown);
    Lot air;
    air.stage(Stage::hot_holding, 0);
    air.history().stages.front().unit = "cabinet";
    air.history().air.push_back({"cabinet", {reading({0, 150}), reading({60, 150})}});
    CHECK(only(air.judged(fda(), 60), "hot-holding").verdict == Verdict::not_shown);
    // Two readings at one instant are one instant.
    CHECK(verdict(hold({{0, 150}, {0, 150}})) == Verdict::not_shown);
}

TEST_CASE("a silence longer than the largest interval is not shown, one as long is fine",
          "[REC-24]") {
    CHECK(verdict(hold({{0, 150}, {120, 150}})) == Verdict::met);
    CHECK(verdict(hold({{0, 150}, {120.1, 150}})) == Verdict::not_shown);
    CHECK(only(hold({{0, 150}, {60, 150}}).judged(fda(), 181), "hot-holding").verdict ==
          Verdict::not_shown); // early last
    Lot late;
    late.stage(Stage::hot_holding, 0).readings({{121, 150}, {180, 150}});
    CHECK(verdict(late) == Verdict::not_shown); // late first
}

TEST_CASE("a silence across the boundary of a rest and a hold is not cut in two") {
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 100);
    lot.readings({{0, 180}, {10, 170}, {190, 150}, {240, 150}});
    for (const Finding& f : lot.judged(fda()).findings) {
        CHECK(f.verdict == Verdict::not_shown); // 10 to 190 is three hours
    }
    Lot short_silence;
    short_silence.stage(Stage::resting, 0).stage(Stage::hot_holding, 100);
    short_silence.readings({{0, 180}, {60, 170}, {150, 150}, {240, 150}});
    CHECK(short_silence.judged(fda()).overall == Verdict::met); // 60 to 150 is an hour and a half
}

TEST_CASE("an excursion is bracketed by its neighbours") {
    const auto j = hold({{0, 140}, {30, 134}, {60, 130}, {90, 136}, {120, 140}}).judged(fda());
    const Finding& f = only(j, "hot-holding");
    REQUIRE(f.excursions.size() == 1);
    const auto& e = f.excursions.front();
    CHECK(e.from.earliest == at(0));
    CHECK(e.from.latest == at(30));
    CHECK(e.to.earliest == at(60));
    CHECK(e.to.latest == at(90));
    CHECK(minutes(e.length.earliest) == 30);
    CHECK(minutes(e.length.latest) == 90);
    CHECK(e.worst == Temperature::of_degrees(130, Scale::fahrenheit));
    CHECK(e.degree_minutes ==
          Approx((1.0 + 5.0) / 2.0 * 30.0)); // a trapezoid between the two wrong readings
    // Straight lines: 140 to 134 crosses 135 at minute 25; 130 to 136 crosses it at minute 85.
    CHECK(minutes(e.length.estimate) == Approx(60));
    CHECK(f.margin.temperature == TemperatureDelta::of_thousandths(-5000, Scale::fahrenheit));
    CHECK(minutes(j.below_hot_limit.earliest) == 30);
    CHECK(minutes(j.below_hot_limit.latest) == 90);
    // Read in both scales: the area is of the scale of the worst reading. 130 °F is 5 °F under
    // 135 °F, 52 °C is 5 °C (9 °F) under 57 °C; of a second stretch nothing is carried over.
    Lot mixed;
    mixed.stage(Stage::hot_holding, 0);
    mixed.readings({{0, 140}, {10, 130}, {30, 130}, {40, 140}, {50, 130}, {60, 125}, {70, 140}});
    mixed.readings({{20, 52}}, Scale::celsius);
    const auto k = mixed.judged(fda());
    const Finding& two = only(k, "hot-holding");
    REQUIRE(two.excursions.size() == 2);
    CHECK(two.excursions[0].degree_minutes == Approx((5 / 1.8 + 5) * 10).epsilon(0.001));
    CHECK(two.excursions[1].degree_minutes == Approx((5 + 10) / 2.0 * 10));
}

TEST_CASE("time below the limit in a rest, a hold and a display adds up once") {
    Lot lot;
    lot.stage(Stage::resting, 0)
        .stage(Stage::hot_holding, 60)
        .stage(Stage::cooking, 300)
        .stage(Stage::hot_holding, 400);
    lot.readings({{0, 150},
                  {50, 134},
                  {60, 134},
                  {70, 134},
                  {90, 136},
                  {200, 140},
                  {300, 150},
                  {350, 170},
                  {400, 150},
                  {410, 134},
                  {420, 136},
                  {460, 140}});
    const auto j = lot.judged(fda());
    CHECK(minutes(j.below_hot_limit.earliest) == Approx(20));    // 50 to 70, and an instant at 410
    CHECK(minutes(j.below_hot_limit.latest) == Approx(90 + 20)); // 0 to 90, 400 to 420
}

TEST_CASE("a reading exactly on a stage's boundary counts in both stages") {
    Lot lot;
    lot.stage(Stage::resting, 0)
        .stage(Stage::hot_holding, 60)
        .readings({{0, 150}, {60, 134}, {90, 140}, {120, 140}});
    const auto j = lot.judged(fda());
    int missed = 0;
    for (const Finding& f : j.findings) {
        missed += f.verdict == Verdict::not_met ? 1 : 0;
    }
    CHECK(missed == 2);
}

TEST_CASE("a probe taken out early is no gap while another stays in, and its wrong readings still "
          "count") {
    Lot lot = hold({{0, 150}, {30, 148}});
    lot.readings({{0, 152}, {60, 150}, {120, 149}, {180, 148}}, Scale::fahrenheit, "flat");
    CHECK(lot.judged(fda()).overall == Verdict::met);
    Lot wrong = hold({{0, 150}, {30, 134}});
    wrong.readings({{0, 152}, {60, 150}, {120, 149}, {180, 148}}, Scale::fahrenheit, "flat");
    CHECK(wrong.judged(fda()).overall == Verdict::not_met);
}

TEST_CASE("two values for one point and instant: the worse counts") {
    CHECK(verdict(hold({{0, 150}, {60, 140}, {60, 130}, {90, 150}})) == Verdict::not_met);
    CHECK(verdict(hold({{0, 150}, {60, 130}, {60, 140}, {90, 150}})) == Verdict::not_met);
}

TEST_CASE("a suspect reading counts against the food and never for it") {
    Lot lot = hold({{0, 150}, {60, 150}, {60.2, 100}, {61, 150}, {90, 150}});
    judge::mark_suspects(lot.history());
    CHECK(lot.history().points.front().readings[2].suspect);
    CHECK_FALSE(lot.history().points.front().readings[3].suspect);
    CHECK(lot.judged(fda()).overall == Verdict::not_met);
    // A leap upwards out of a cold stretch vouches for nothing.
    Lot up = hold({{0, 150}, {60, 150}, {60.2, 250}});
    judge::mark_suspects(up.history());
    CHECK(up.history().points.front().readings[2].suspect);
    CHECK(verdict(up) == Verdict::not_shown);
}

TEST_CASE("a steady hold and a falling rest hold no suspect reading") {
    Lot lot;
    lot.stage(Stage::resting, 0);
    std::vector<Row> rows;
    for (int m = 0; m < 300; m += 2) {
        rows.push_back({double(m), 203.0 - 0.4 * m});
    }
    lot.readings(rows);
    judge::mark_suspects(lot.history());
    for (const auto& r : lot.history().points.front().readings) {
        CHECK_FALSE(r.suspect);
    }
}

TEST_CASE(
    "guarded: a reading inside the band is not shown, one on the limit plus the band passes") {
    const auto band = TemperatureDelta::of_thousandths(2000, Scale::fahrenheit);
    const auto at_degrees = [&](double degrees) {
        return only(hold({{0, 145}, {60, degrees}, {90, 145}}).judged(fda(), std::nullopt, band),
                    "hot-holding")
            .verdict;
    };
    CHECK(at_degrees(137) == Verdict::met);
    CHECK(at_degrees(136.9) == Verdict::not_shown);
    CHECK(at_degrees(135) == Verdict::not_shown);
    CHECK(at_degrees(134.9) == Verdict::not_met);
    // Also when it is the last of a hold that runs on: waiting for the next reading mends nothing.
    CHECK(only(hold({{0, 145}, {60, 136}}).judged(fda(), std::nullopt, band), "hot-holding")
              .verdict == Verdict::not_shown);
}

TEST_CASE("a probe's own accuracy is the band, and without any, guarded shows nothing") {
    Lot lot = hold({{0, 136.5}, {60, 136.5}});
    lot.history().probes.front().accuracy =
        TemperatureDelta::of_thousandths(1000, Scale::fahrenheit);
    judge::Settings s;
    s.as_of = at(60);
    s.rule = judge::DecisionRule::guarded;
    CHECK(judge::judge_lot(lot.history(), fda(), s).overall == Verdict::met);
    lot.history().probes.front().accuracy.reset();
    CHECK(judge::judge_lot(lot.history(), fda(), s).overall == Verdict::not_shown);
}

TEST_CASE("cold holding: 41 °F and 5 °C are the same and both will do") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).readings({{0, 41}, {60, 41}});
    CHECK(only(lot.judged(fda()), "cold-holding").verdict == Verdict::met);
    Lot c;
    c.stage(Stage::cold_holding, 0).readings({{0, 5.0}, {60, 5.1}}, Scale::celsius);
    CHECK(only(c.judged(fda()), "cold-holding").verdict == Verdict::not_met);
    Lot thaw;
    thaw.stage(Stage::frozen, 0)
        .stage(Stage::thawing, 60)
        .readings({{60, 20}, {120, 33}, {180, 42}});
    CHECK(only(thaw.judged(fda()), "cold-holding").verdict == Verdict::not_met);
}

TEST_CASE("food that enters cold holding above the limit from nowhere known is cooling with an "
          "unknown start") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).readings({{0, 45}, {60, 40}, {120, 39}, {180, 38}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "cold-holding").verdict ==
          Verdict::met); // from the first reading at or below the limit
    CHECK(only(j, "cooling-total").verdict == Verdict::not_shown);
    CHECK(j.overall == Verdict::not_shown);
}

TEST_CASE("the roast exception is earned by the cook, not by the cut") {
    // FDA Food Code 2022, 3-501.16(A)(1) and 3-401.11(B): 130 °F (54 °C) for roasts cooked by the
    // table with its oven conditions (from memory for 2022; read in the 2013 edition).
    const auto roast = [](std::optional<OvenKind> oven, std::optional<double> setting_f,
                          double then_held) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 600);
        lot.history().raw_mass_g = 6000;
        lot.history().stages.front().oven = oven;
        if (setting_f) {
            lot.history().stages.front().setting = Temperature::of_thousandths(
                static_cast<std::int32_t>(*setting_f * 1000), Scale::fahrenheit);
        }
        lot.steady(0, 480, 60, 100).steady(482, 600, 2, 131).steady(602, 720, 30, then_held);
        return lot;
    };
    SECTION("not before the cook: a hold at 131 °F that came first is a hold below 135 °F") {
        Lot lot = roast(OvenKind::still_dry, 250, 131);
        auto& stages = lot.history().stages;
        stages.insert(stages.begin(), stages.back());
        stages.front().from = at(-120);
        stages.front().oven.reset();
        Lot early{FoodKind::intact_roast};
        early.steady(-120, 0, 30, 131);
        auto& readings = lot.history().points.front().readings;
        const auto& first = early.history().points.front().readings;
        readings.insert(readings.begin(), first.begin(), std::prev(first.end()));
        const auto j = lot.judged(fda());
        CHECK(only(j, "cooking-roast").verdict == Verdict::met);
        CHECK(only(j, "hot-holding").verdict == Verdict::not_met);
        CHECK(only(j, "hot-holding-roast").verdict == Verdict::met);
        CHECK(j.overall == Verdict::not_met);
    }
    SECTION("earned: 130 °F kept 112 min at 250 °F in a still dry oven") {
        Lot lot = roast(OvenKind::still_dry, 250, 131);
        const auto j = lot.judged(fda());
        CHECK(only(j, "cooking-roast").verdict == Verdict::met);
        CHECK(only(j, "hot-holding-roast").verdict == Verdict::met);
        CHECK_FALSE(has(j, "hot-holding"));
        CHECK(only(j, "cooking").verdict == Verdict::not_met);
        CHECK_FALSE(only(j, "cooking").counts); // either will do
        CHECK(j.overall == Verdict::met);
    }
    SECTION("a 225 °F pit without high humidity does not earn it") {
        const auto j = roast(OvenKind::still_dry, 225, 131).judged(fda());
        CHECK(only(j, "cooking-roast").verdict == Verdict::not_met);
        const Finding& f = only(j, "hot-holding");
        CHECK(f.verdict == Verdict::not_met);
        REQUIRE_FALSE(f.notes.empty());
        CHECK(f.notes.front().find("225 °F") != std::string::npos);
    }
    SECTION("an oven nobody recorded does not earn it") {
        const auto j = roast(std::nullopt, std::nullopt, 131).judged(fda());
        CHECK(only(j, "cooking-roast").verdict == Verdict::not_shown);
        CHECK(only(j, "hot-holding").verdict == Verdict::not_met);
    }
    SECTION("a cook nobody recorded does not earn it") {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::hot_holding, 0).readings({{0, 132}, {60, 132}});
        CHECK(only(lot.judged(fda()), "hot-holding").verdict == Verdict::not_met);
    }
}

TEST_CASE("a silence of one point in the neighbouring hold is no silence of another's") {
    // The project's own rule: readings vouch for a hold whichever point they come from; the pack's
    // largest interval is 2 h (common practice, no source).
    Lot lot;
    lot.stage(Stage::resting, 200).stage(Stage::hot_holding, 260).served(500);
    SECTION("after it") {
        lot.steady(200, 500, 30, 150, Scale::fahrenheit)
            .readings({{250, 150}, {480, 150}}, Scale::fahrenheit, "flat");
    }
    SECTION("before it") {
        lot.stage(Stage::hot_holding, 400);
        lot.steady(200, 500, 30, 150, Scale::fahrenheit)
            .readings({{210, 150}, {450, 150}}, Scale::fahrenheit, "flat");
    }
    const auto j = lot.judged(fda());
    for (const Finding& f : j.findings) {
        INFO(f.requirement << " " << f.point << ": " << f.reason);
        CHECK(f.verdict == Verdict::met);
        CHECK(f.gaps.empty());
    }
    CHECK(j.findings.size() >= 4);
}

TEST_CASE("a silence across a boundary is one silence for both holds, of all points") {
    Lot lot;
    lot.stage(Stage::resting, 200).stage(Stage::hot_holding, 260).served(500);
    lot.readings({{200, 150}, {220, 150}, {400, 150}, {480, 150}});
    lot.readings({{210, 150}, {230, 150}, {390, 150}, {490, 150}}, Scale::fahrenheit, "flat");
    for (const Finding& f : lot.judged(fda()).findings) {
        INFO(f.requirement << " " << f.point << ": " << f.reason);
        CHECK(f.verdict == Verdict::not_shown);
        REQUIRE(f.gaps.size() == 1);
        CHECK(f.gaps[0].from == at(230));
        CHECK(f.gaps[0].to == at(390));
    }
}

TEST_CASE("the chance of conformity takes the thermometer's accuracy and its last digit") {
    // JCGM 106 and GUM: both rectangular, u^2 = a^2 / 3 + d^2 / 12; rounded up to a thousandth.
    // a = 1: 0.5774; with d = 1: sqrt(5 / 12) = 0.6455.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {60, 140}});
    CHECK_FALSE(only(lot.judged(fda()), "hot-holding").conformity.has_value());
    const auto u = [&] {
        const auto conformity = only(lot.judged(fda()), "hot-holding").conformity;
        return conformity ? std::optional{conformity->standard_uncertainty.thousandths()}
                          : std::nullopt;
    };
    records::Probe& probe = lot.history().probes[0];
    probe.accuracy = TemperatureDelta::of_thousandths(1000, Scale::fahrenheit);
    CHECK(u() == 578);
    probe.display_step = TemperatureDelta::of_thousandths(1000, Scale::fahrenheit);
    CHECK(u() == 646);
    // An accuracy of nothing tells no chance; of a thousandth it does: u = sqrt(1 / 3) of one.
    probe.display_step.reset();
    probe.accuracy = TemperatureDelta::of_thousandths(0, Scale::fahrenheit);
    CHECK(u() == std::nullopt);
    probe.accuracy = TemperatureDelta::of_thousandths(1, Scale::fahrenheit);
    CHECK(u() == 1);
}

TEST_CASE("time between the limits is counted from reading to reading, and a silence in full") {
    // 41 and 135 °F. Surely between: from 30 to 60 min, both read so. At the most: from the last
    // cold reading to the first hot one, and the three hours from 120 in which nobody looked.
    Lot lot;
    lot.stage(Stage::preparing, 0);
    lot.readings({{0, 41}, {30, 60}, {60, 100}, {90, 135}, {120, 140}, {300, 140}});
    const auto least = [&] { return minutes(lot.judged(fda()).between_limits.earliest); };
    const auto most = [&] { return minutes(lot.judged(fda()).between_limits.latest); };
    CHECK(least() == 30);
    CHECK(most() == 90 + 180);
    // Of several points the longest of each: this one is surely between from 10 to 50.
    lot.readings({{0, 41}, {10, 42}, {50, 134}, {60, 135}}, Scale::fahrenheit, "top");
    CHECK(least() == 40);
    CHECK(most() == 90 + 180);

    Lot crossed;
    crossed.stage(Stage::preparing, 0).readings({{0, 140}, {10, 40}, {130, 40}});
    CHECK(minutes(crossed.judged(fda()).between_limits.earliest) == 0);
    CHECK(minutes(crossed.judged(fda()).between_limits.latest) == 10); // two hours are no silence
    crossed.readings({{251, 40}});
    CHECK(minutes(crossed.judged(fda()).between_limits.latest) == 10 + 121);
    crossed.history().points[0].readings[3].left_out = 1; // one between, that was left out
    CHECK(minutes(crossed.judged(fda()).between_limits.latest) == 10);
}

TEST_CASE("time below the limit is bounded by the hold where a stage of another sort is next") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {90, 134}});
    lot.stage(Stage::cooking, 100).readings({{120, 170}, {190, 170}});
    lot.stage(Stage::hot_holding, 200).readings({{210, 134}, {220, 140}});
    // 0 to 100, the end of the first hold; 200, the beginning of the second, to 220.
    CHECK(minutes(lot.judged(fda()).below_hot_limit.latest) == 100 + 20);
    CHECK(minutes(lot.judged(fda()).below_hot_limit.earliest) == 0);
}

TEST_CASE("one good reading and one that nobody knows of leave a running hold not shown") {
    Lot lot = hold({{0, 150}, {30, 150}});
    lot.history().points[0].readings[1].suspect = true;
    CHECK(only(lot.judged(fda(), 60), "hot-holding").verdict == Verdict::not_shown);
}

TEST_CASE("a silence across the boundary of thawing and cold holding is not cut in two") {
    Lot lot;
    lot.stage(Stage::thawing, 0).stage(Stage::cold_holding, 100);
    lot.readings({{0, 30}, {10, 34}, {190, 38}, {240, 38}});
    const auto j = lot.judged(fda());
    REQUIRE(j.findings.size() == 2);
    for (const Finding& f : j.findings) {
        CHECK(f.requirement == "cold-holding");
        CHECK(f.verdict == Verdict::not_shown); // 10 to 190 is three hours
    }
}

TEST_CASE("the readings at both ends of a silence and of an excursion are shown") {
    const auto shown = [](const Lot& lot) {
        const auto j = lot.judged(fda());
        std::vector<double> when;
        for (const records::Reading& r : only(j, "hot-holding").evidence) {
            when.push_back((r.at - kStart).in_minutes());
        }
        return when;
    };
    // Beside the reading nearest to the limit: that of 0 min; that of 30.
    CHECK(shown(hold({{0, 148}, {10, 149}, {140, 151}, {150, 150}})) ==
          std::vector<double>{0, 10, 140});
    CHECK(
        shown(hold({{0, 140}, {10, 141}, {20, 134}, {30, 133}, {40, 134}, {50, 141}, {60, 142}})) ==
        std::vector<double>{10, 20, 30, 50});
}

TEST_CASE("of several silences or excursions the reason tells the longest") {
    // Local times: the test's start is noon.
    const auto silent = hold({{0, 150}, {130, 150}, {330, 150}, {460, 150}}).judged(fda());
    const Finding& f = only(silent, "hot-holding");
    CHECK(f.gaps.size() == 3);
    CHECK(f.reason.find("14:10") != std::string::npos);
    CHECK(f.reason.find("17:30") != std::string::npos);
    CHECK(f.settle.find("16:10") != std::string::npos); // two hours after 14:10
    const auto cold =
        hold({{0, 140}, {10, 134}, {20, 140}, {30, 133}, {90, 140}, {100, 132}, {110, 140}})
            .judged(fda());
    CHECK(only(cold, "hot-holding").reason.find("133 °F") != std::string::npos);
    const auto running = hold({{0, 150}}).judged(fda(), 60);
    CHECK(only(running, "hot-holding").settle.find("14:00") != std::string::npos);
}

TEST_CASE("readings left out vouch for the time since the reading before them, and for no more") {
    // reading.hpp, left_out: none of those between says anything that the kept ones do not.
    Lot late = hold({{0, 150}, {150, 150}, {200, 150}});
    auto& readings = late.history().points[0].readings;
    readings.erase(readings.begin()); // the stage begins at 0, its first reading is at 150
    readings[1].left_out = 3;
    CHECK(verdict(late) == Verdict::not_shown); // nobody looked from 0 to 150
    // Of a run that began in the cook, only the last is in the hold: it was watched from 0 on.
    Lot run;
    run.stage(Stage::cooking, -60).stage(Stage::hot_holding, 0);
    run.readings({{-10, 170}, {130, 150}, {200, 150}});
    run.history().points[0].readings[1].left_out = 5;
    CHECK(verdict(run) == Verdict::met);
    run.history().points[0].readings[1].left_out = 0;
    CHECK(verdict(run) == Verdict::not_shown);
}

TEST_CASE(
    "a silence that a reading on the boundary ends is the stage's before, not the next one's") {
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 190).stage(Stage::resting, 300);
    lot.readings({{0, 180}, {10, 170}, {190, 150}, {300, 150}, {430, 150}, {440, 150}});
    const auto j = lot.judged(fda());
    REQUIRE(j.findings.size() == 3);
    CHECK(j.findings[0].verdict == Verdict::not_shown); // 10 to 190 is three hours
    CHECK(j.findings[1].verdict == Verdict::met);       // 190 to 300
    CHECK(j.findings[2].verdict == Verdict::not_shown); // 300 to 430
    CHECK(j.overall == Verdict::not_shown);
    REQUIRE(j.findings[0].gaps.size() == 1);
    CHECK(j.findings[0].gaps[0].from == at(10));
    CHECK(j.findings[0].gaps[0].to == at(190));
}

TEST_CASE("the reason of a hold says what it was decided by") {
    // The sentences guard which branch speaks. 135 °F (57 °C): 3-501.16(A)(1).
    const auto reason = [](const Lot& lot, double as_of,
                           std::optional<TemperatureDelta> band = std::nullopt) {
        return only(lot.judged(fda(), as_of, band), "hot-holding").reason;
    };
    CHECK(reason(hold({{0, 140}, {30, 134}, {60, 140}}), 60) ==
          "Below 135 °F from 12:30 at the latest, until 12:30 at the earliest: at least 0 min, at "
          "most 1 h; worst 134 °F at 12:30.");
    const std::string inside = "At least one reading is on the right side of ";
    const std::string suspect = "At least one reading is suspect, ";
    const Lot near = hold({{0, 140}, {60, 135.2}});
    CHECK(reason(near, 60, TemperatureDelta::of_thousandths(500, Scale::fahrenheit))
              .starts_with(inside));
    Lot doubted = hold({{0, 140}, {60, 140}});
    doubted.history().points[0].readings[1].suspect = true;
    CHECK(reason(doubted, 60).starts_with(suspect));
    doubted.history().points[0].readings[0].suspect = true;
    CHECK(reason(doubted, 60) == "No reading in the food shows it on the right side.");
    CHECK(reason(hold({{0, 140}}), 150) == "One reading proves an instant, not a hold.");
    Lot none;
    none.stage(Stage::hot_holding, 0);
    CHECK(reason(none, 60) == "No reading in the food shows it on the right side.");
}

TEST_CASE("a cold hold that nobody measured has a finding, and it is not shown") {
    // 3-501.16(A)(2).
    Lot lot;
    lot.stage(Stage::cold_holding, 0);
    CHECK(only(lot.judged(fda(), 60), "cold-holding").verdict == Verdict::not_shown);
    lot.stage(Stage::thawing, 200).readings({{10, 40}, {60, 40}});
    const auto j = lot.judged(fda(), 300);
    REQUIRE(j.findings.size() == 2);
    CHECK(j.findings[1].stage == Stage::thawing);
    CHECK(j.findings[1].verdict == Verdict::not_shown);
}

TEST_CASE("a cold hold is watched from when its limit binds the first of its points") {
    // 3-501.14(A), 3-501.16(A)(2): the top is at 41 °F before the hold begins at 90, the core at
    // 215. From 90 to 215, over two hours, nobody looked at either.
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::cold_holding, 90).closes(240);
    lot.readings({{0, 136}, {10, 130}, {80, 69}, {215, 41}, {240, 40}});
    lot.readings({{0, 136}, {10, 130}, {50, 69}, {60, 41}, {90, 41}, {215, 40}, {240, 40}},
                 Scale::fahrenheit, "top");
    std::size_t holds = 0;
    for (const Finding& f : lot.judged(fda()).findings) {
        holds += f.requirement == "cold-holding" ? 1 : 0;
        CHECK(f.verdict == (f.requirement == "cold-holding" ? Verdict::not_shown : Verdict::met));
    }
    CHECK(holds == 2);
}

TEST_CASE("a silence of a hold may all have been spent below the limit") {
    const auto below =
        hold({{0, 140}, {180, 140}, {200, 134}, {210, 140}}).judged(fda()).below_hot_limit;
    CHECK(minutes(below.earliest) == 0);
    CHECK(minutes(below.latest) == 180 + 30); // the silence, and from 180 to 210
}

TEST_CASE("the lower limit for roasts is an intact roast's alone, whatever a pack's row covers") {
    // 3-501.16(A)(1): "roasts cooked to a temperature and for a time ... may be held at 130 °F".
    codes::Pack pack = fda();
    for (codes::Requirement& r : pack.requirements) {
        if (r.id == "hot-holding-roast") {
            r.foods.clear(); // all foods
        }
    }
    const auto j = hold({{0, 131}, {60, 131}}).judged(pack);
    CHECK(only(j, "hot-holding").verdict == Verdict::not_met);
    CHECK_FALSE(has(j, "hot-holding-roast"));
}

TEST_CASE("a reheat of a roast says why the exception for roasts did not help it") {
    // FDA Food Code 2022, 3-403.11(E): by the cook's table, in the cook's oven.
    const auto notes = [](std::optional<double> cook_setting,
                          std::optional<double> reheat_setting) {
        const auto setting = [](std::optional<double> f) {
            return f ? std::optional{Temperature::of_thousandths(
                           static_cast<std::int32_t>(*f * 1000), Scale::fahrenheit)}
                     : std::nullopt;
        };
        Lot lot{FoodKind::intact_roast};
        lot.history().raw_mass_g = 6000;
        lot.stage(Stage::cooking, 0).stage(Stage::cold_holding, 120).stage(Stage::reheating, 200);
        lot.readings(
            {{0, 60}, {100, 145}, {105, 145}, {120, 40}, {200, 40}, {240, 130}, {250, 135}});
        lot.served(260);
        for (const std::size_t i : {0UL, 2UL}) {
            lot.history().stages[i].oven = OvenKind::convection;
            lot.history().stages[i].setting = setting(i == 0 ? cook_setting : reheat_setting);
        }
        const LotJudgement j = lot.judged(fda());
        const auto found = std::ranges::find(j.findings, "reheating", &Finding::requirement);
        REQUIRE(found != j.findings.end());
        std::string all;
        for (const std::string& note : found->notes) {
            all += note + "\n";
        }
        return all;
    };
    CHECK(notes(225, 260).find("not earned") != std::string::npos);
    CHECK(notes(260, 225).find("asks for its oven") != std::string::npos);
    CHECK(notes(260, 260).find("of a roast (") == std::string::npos);
}

TEST_CASE("a silence over preparing between two holds is told from reading to reading") {
    // Held 0 to 100, prepared for 40 minutes, held on. Two hours between readings, without the 40
    // minutes, are the largest interval (common practice, no source).
    const auto gaps = [](std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::preparing, 100);
        lot.stage(Stage::hot_holding, 140);
        lot.readings(std::move(rows)).served(400);
        std::vector<std::pair<double, double>> found;
        for (const Finding& f : lot.judged(fda()).findings) {
            for (const judge::Gap& g : f.gaps) {
                found.emplace_back((g.from - kStart).in_minutes(), (g.to - kStart).in_minutes());
            }
        }
        return found;
    };
    using Gaps = std::vector<std::pair<double, double>>;
    CHECK(gaps({{0, 150}, {50, 150}, {210, 150}, {300, 150}, {400, 150}}).empty());
    // Told of both holds, as one silence.
    CHECK(gaps({{0, 150}, {50, 150}, {211, 150}, {300, 150}, {400, 150}}) ==
          Gaps{{50, 211}, {50, 211}});
    // One that begins or ends with a reading on the boundary is told to there.
    CHECK(gaps({{0, 150}, {100, 150}, {140, 150}, {261, 150}, {400, 150}}) ==
          Gaps{{140, 261}, {261, 400}});
    Lot late;
    late.stage(Stage::hot_holding, 0).stage(Stage::preparing, 121);
    late.stage(Stage::hot_holding, 150);
    late.readings({{0, 150}, {121, 150}, {150, 150}, {200, 150}}).served(200);
    const auto j = late.judged(fda());
    REQUIRE(j.findings.front().gaps.size() == 1);
    CHECK(j.findings.front().gaps[0].from == kStart);
    CHECK(j.findings.front().gaps[0].to == kStart + Span::minutes(121));
}

TEST_CASE("a silence is one over the freezer between cold holds, and is no silence of hot ones") {
    const auto gaps = [](Stage hold, double degrees, double last) {
        Lot lot;
        lot.stage(hold, 0).stage(Stage::frozen, 100).stage(hold, 140);
        lot.readings({{0, degrees}, {50, degrees}, {last, degrees}, {300, degrees}}).served(300);
        std::vector<std::pair<Instant, Instant>> found;
        for (const Finding& f : lot.judged(fda()).findings) {
            for (const judge::Gap& g : f.gaps) {
                found.emplace_back(g.from, g.to);
            }
        }
        return found;
    };
    using Gaps = std::vector<std::pair<Instant, Instant>>;
    CHECK(gaps(Stage::cold_holding, 40, 210).empty());
    CHECK(gaps(Stage::cold_holding, 40, 211) == Gaps{{at(50), at(211)}, {at(50), at(211)}});
    CHECK(gaps(Stage::hot_holding, 140, 230).empty());
}

TEST_CASE("food moved cold to a cooling stage is watched there as it was in its hold") {
    // The findings of cold holding (41 °F or less) in cooling stages.
    const auto in_cooling = [](Lot lot, double end) {
        std::vector<Finding> list = lot.served(end).judged(fda()).findings;
        std::erase_if(list, [](const Finding& f) {
            return f.requirement != "cold-holding" || f.stage != Stage::cooling;
        });
        return list;
    };
    const auto moved = [](Stage before, std::vector<Row> rows) {
        Lot lot;
        lot.stage(before, 0).stage(Stage::cooling, 100).readings(std::move(rows));
        return lot;
    };
    for (const Stage before : {Stage::cold_holding, Stage::thawing}) {
        CHECK(in_cooling(moved(before, {{0, 40}, {50, 40}, {170, 40}, {200, 40}}), 200).empty());
        const auto list = in_cooling(moved(before, {{0, 40}, {50, 40}, {171, 40}, {200, 40}}), 200);
        REQUIRE(list.size() == 1);
        CHECK(list[0].verdict == Verdict::not_shown);
        REQUIRE(list[0].gaps.size() == 1);
        CHECK(list[0].gaps[0].from == at(50));
        CHECK(list[0].gaps[0].to == at(171));
    }
    // By way of the freezer, which is no silence.
    const auto frozen = [&](double first) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::frozen, 60).stage(Stage::cooling, 100);
        lot.readings({{0, 40}, {50, 40}, {first, 40}, {220, 40}});
        return in_cooling(lot, 220).size();
    };
    CHECK(frozen(210) == 0);
    CHECK(frozen(211) == 1);
    CHECK(in_cooling(moved(Stage::frozen, {{221, 40}, {230, 40}}), 230).size() == 1);
    // What was done before the hold is no part of the silence: it begins with the hold.
    Lot unread;
    unread.stage(Stage::cooking, 0).stage(Stage::cold_holding, 60).stage(Stage::cooling, 100);
    unread.readings({{211, 40}, {220, 40}});
    const auto list = in_cooling(unread, 220);
    REQUIRE(list.size() == 1);
    REQUIRE(list[0].gaps.size() == 1);
    CHECK(list[0].gaps[0].from == at(60));
}

TEST_CASE("food that stays in a cooling entered twice is judged in the last entry") {
    const auto cold_of = [](Stage between, double again, std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::cooling, 0);
        if (between == Stage::preparing) {
            lot.stage(Stage::preparing, again - 10);
        }
        lot.stage(Stage::cooling, again).readings(std::move(rows)).served(500);
        std::vector<Finding> list = lot.judged(fda()).findings;
        std::erase_if(list, [](const Finding& f) { return f.requirement != "cold-holding"; });
        return list;
    };
    for (const Stage between : {Stage::preparing, Stage::cooling}) {
        const std::vector<Row> rows{{0, 135}, {60, 70}, {100, 41}, {400, 41}, {500, 41}};
        const auto list = cold_of(between, 240, rows);
        REQUIRE(list.size() == 1);
        CHECK(list[0].stage_from == at(240));
        REQUIRE(list[0].gaps.size() == 1);
        CHECK(list[0].gaps[0].from == at(100));
        CHECK(list[0].gaps[0].to == at(400));
    }
}

TEST_CASE("food that was cold once, and was cooked since, comes to its cooling hot") {
    // Food Safety and Hygiene (England) Regulations 2013, Schedule 4: 8 °C; no time for cooling.
    Lot lot{FoodKind::poultry};
    lot.stage(Stage::cold_holding, 0).stage(Stage::cooking, 60).stage(Stage::cooling, 120);
    lot.readings({{0, 5}, {60, 5}, {100, 76}, {120, 75}, {200, 20}, {300, 5}, {310, 5}},
                 Scale::celsius);
    const auto j = lot.served(310).judged(
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/uk-england.toml"));
    CHECK(std::ranges::none_of(j.findings, [](const Finding& f) {
        return f.requirement == "cold-holding" && f.stage == Stage::cooling &&
               f.verdict == Verdict::not_met;
    }));
}

TEST_CASE(
    "a silence in a cooling is told by the points that are cold, not by one that still cools") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {60, 70}, {100, 41}, {300, 41}, {310, 41}});
    lot.readings({{0, 140}, {60, 70}, {100, 60}, {300, 55}}, Scale::fahrenheit, "edge").served(310);
    const auto j = lot.judged(fda());
    const Finding& f = only(j, "cold-holding");
    REQUIRE(f.gaps.size() == 1);
    REQUIRE(f.evidence.size() == 2);
    for (const auto& r : f.evidence) {
        CHECK(r.value == Temperature::of_degrees(41, Scale::fahrenheit));
    }
}
