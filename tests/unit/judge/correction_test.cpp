// What checks of a thermometer do to verdicts: docs/how-limits-are-read.md, "Corrections".
#include "lots.hpp"
#include "random_lots.hpp"

#include <holdwarden/judge/correction.hpp>

#include <cmath>

using namespace holdwarden;
using namespace holdwarden::test;
using namespace holdwarden::judge;
using Catch::Contains;

namespace {

Temperature f(double degrees) {
    return reading({0, degrees}).value;
}
Temperature c(double degrees) {
    return reading({0, degrees}, Scale::celsius).value;
}

enum class Was { good, failed, adjusted };

/// A check at ice that found the thermometer to need `correction`.
records::CheckPoint ice(double minutes, double correction, Was was = Was::good) {
    return {.at = at(minutes),
            .shown_found = f(32 - correction),
            .truth = f(32),
            .shown_left = was == Was::adjusted ? std::optional{f(32)} : std::nullopt,
            .passed = was == Was::good,
            .usable = was != Was::failed,
            .method = "ice-point"};
}

/// Two hours of hot holding at one value, a reading every 20 minutes.
Lot hold(double degrees) {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 120, 20, degrees).served(120);
    return lot;
}

Finding held(double degrees, std::vector<records::CheckPoint> checks, double step = 0) {
    Lot lot = hold(degrees);
    lot.history().probes[0].checks = std::move(checks);
    lot.history().probes[0].checks_kept = true;
    if (step > 0) {
        lot.history().probes[0].display_step = TemperatureDelta::of_thousandths(
            static_cast<std::int32_t>(step * 1000), Scale::fahrenheit);
    }
    return only(lot.judged(fda()), "hot-holding");
}

constexpr double kBefore = -600;
constexpr double kAfter = 600;

} // namespace

TEST_CASE("CHK-3: a correction lies on the line between two checks and is not carried beyond") {
    // By hand: ice shows 0.4 C (-0.4), boiling water of 98.98 C shows 98.4 (+0.58); at 60.0 the
    // line gives -0.4 + 59.6 * 0.98 / 98.0 = +0.196.
    records::Probe probe;
    probe.checks = {{.at = at(0),
                     .shown_found = c(0.4),
                     .truth = c(0),
                     .shown_left = {},
                     .passed = true,
                     .usable = true,
                     .method = "ice-point"},
                    {.at = at(10),
                     .shown_found = c(98.4),
                     .truth = c(98.98),
                     .shown_left = {},
                     .passed = true,
                     .usable = true,
                     .method = "boiling-point"}};
    const auto sessions = calibrations(probe);
    REQUIRE(sessions.size() == 1);
    const auto at_c = [&](double degrees) {
        return correction_at(sessions[0].left, sessions[0].scale, c(degrees));
    };
    CHECK(at_c(60).correction == TemperatureDelta::of_thousandths(196, Scale::celsius));
    CHECK_FALSE(at_c(60).outside);
    CHECK(at_c(0.4).correction == TemperatureDelta::of_thousandths(-400, Scale::celsius));
    CHECK(at_c(-18).correction == TemperatureDelta::of_thousandths(-400, Scale::celsius));
    CHECK(at_c(-18).outside);
    CHECK_FALSE(at_c(0.4).outside); // the outermost checks themselves are within
    CHECK_FALSE(at_c(98.4).outside);
    CHECK(at_c(120).correction == TemperatureDelta::of_thousandths(580, Scale::celsius));
    CHECK(at_c(120).outside);
    // A difference carries no 32: -0.4 C is -0.72 F (NIST SP 811, B.8, from memory).
    CHECK(correction_at(sessions[0].left, Scale::celsius, f(0)).correction ==
          TemperatureDelta::of_thousandths(-720, Scale::fahrenheit));
}

TEST_CASE("two checks agree on the smaller of two corrections of one sign, and on no other") {
    const auto agreed = [](double before, double after) {
        records::Probe probe;
        probe.checks = {ice(kBefore, before), ice(kAfter, after)};
        return corrected(reading({0, 140}), probe, calibrations(probe)).agreed;
    };
    const auto of = [](std::int32_t thousandths) {
        return TemperatureDelta::of_thousandths(thousandths, Scale::fahrenheit);
    };
    CHECK(agreed(1, 0.5) == of(500));
    CHECK(agreed(0.5, 1) == of(500));
    CHECK(agreed(-1, -0.5) == of(-500));
    CHECK(agreed(0.001, 0.001) == of(1));
    CHECK_FALSE(agreed(0, 0.5).has_value()); // none is needed, one says
    CHECK_FALSE(agreed(0.5, 0).has_value());
    CHECK_FALSE(agreed(0.5, -0.1).has_value());
}

TEST_CASE("checks no further apart than a session's longest pause are one session") {
    const double pause = 120; // common practice, no source
    const auto sessions = [](double apart) {
        records::Probe probe;
        probe.checks = {ice(0, 0), ice(apart, 0)};
        return calibrations(probe).size();
    };
    CHECK(sessions(pause) == 1);
    CHECK(sessions(pause + 1.0 / 60'000) == 2);
}

TEST_CASE("of two checks of a session at one display value the larger correction stands") {
    // The rule is the project's own (docs/how-limits-are-read.md): the worse of what was found.
    struct Check {
        double shown;
        double correction;
    };
    const auto found = [](const std::vector<Check>& checks) {
        records::Probe probe;
        for (std::size_t i = 0; i < checks.size(); ++i) {
            probe.checks.push_back({.at = at(static_cast<double>(i)),
                                    .shown_found = c(checks[i].shown),
                                    .truth = c(checks[i].shown + checks[i].correction),
                                    .shown_left = {},
                                    .passed = true,
                                    .usable = true,
                                    .method = "comparison"});
        }
        const auto sessions = calibrations(probe);
        REQUIRE(sessions.size() == 1);
        std::vector<double> all; // shown, correction, shown, ...
        for (const Calibration::Point& point : sessions[0].found) {
            all.push_back(point.shown);
            all.push_back(std::round(point.correction * 1000) / 1000);
        }
        return all;
    };
    const std::vector<double> kept{-10, 0, 0, 1.5, 50, 2};
    CHECK(found({{-10, 0}, {0, 0.5}, {0, 1.5}, {50, 2}}) == kept);
    CHECK(found({{-10, 0}, {0, 1.5}, {0, 0.5}, {50, 2}}) == kept);
    CHECK(found({{-10, 2}, {0, 0.5}, {0, 1.5}, {50, 0}}) ==
          std::vector<double>{-10, 2, 0, 1.5, 50, 0});
    // Of two as large the one measured first: which of them is the judge's own choice.
    CHECK(found({{0, 1.5}, {0, -1.5}, {50, 0}}) == std::vector<double>{0, 1.5, 50, 0});
}

TEST_CASE("of a session, what was found ends with the adjustment, and what was left with the last "
          "check at a temperature") {
    const auto session = [](std::vector<records::CheckPoint> checks) {
        records::Probe probe;
        probe.checks = std::move(checks);
        const auto sessions = calibrations(probe);
        REQUIRE(sessions.size() == 1);
        return sessions[0];
    };
    const Calibration adjusted = session({ice(0, -3, Was::adjusted), ice(5, 0)});
    REQUIRE(adjusted.found.size() == 1);
    CHECK(adjusted.found[0].correction == Approx(-3));
    REQUIRE(adjusted.left.size() == 1);
    CHECK(adjusted.left[0].correction == Approx(0));
    // Within a degree of each other, that one included, two baths are one temperature.
    const auto boil = [](double minutes, double shown, double truth) {
        return records::CheckPoint{.at = at(minutes),
                                   .shown_found = c(shown),
                                   .truth = c(truth),
                                   .shown_left = {},
                                   .passed = true,
                                   .usable = true,
                                   .method = "boiling-point"};
    };
    const Calibration one = session({boil(0, 97.5, 98), boil(5, 98.8, 99)});
    REQUIRE(one.left.size() == 1);
    CHECK(one.left[0].correction == Approx(0.2));
    CHECK(session({boil(0, 97.5, 98), boil(5, 98.8, 99.1)}).left.size() == 2);
}

TEST_CASE("CHK-3: what was read, the correction and what it comes to are kept apart") {
    Lot lot = hold(135.5);
    lot.history().probes[0].checks = {ice(kBefore, -1)};
    const records::Reading& read = lot.history().points[0].readings[0];
    const auto known =
        corrected(read, lot.history().probes[0], calibrations(lot.history().probes[0]));
    CHECK(known.raw == read);
    CHECK(known.by_last->correction == TemperatureDelta::of_thousandths(-1000, Scale::fahrenheit));
    CHECK_FALSE(known.by_next);
    const Finding finding = held(135.5, {ice(kBefore, -1)});
    REQUIRE_FALSE(finding.evidence.empty());
    for (const records::Reading& evidence : finding.evidence) {
        CHECK(evidence.value == f(135.5)); // as displayed
    }
    CHECK_THAT(finding.reason, Contains("p1") && Contains("-1 °F"));
    CHECK_THAT(finding.reason, !Contains("-1 °F to"));
    // By hand, on the line from -1 at 33 to 0 at 212 °F: -0.43 at 135.2 and -0.29 at 160.
    Lot sloped;
    sloped.stage(Stage::hot_holding, 0).readings({{0, 135.2}, {60, 160}}).served(60);
    sloped.history().probes[0].checks = {ice(kBefore, -1), ice(kBefore + 5, 0)};
    sloped.history().probes[0].checks[1].shown_found = f(212);
    sloped.history().probes[0].checks[1].truth = f(212);
    CHECK_THAT(only(sloped.judged(fda()), "hot-holding").reason,
               Contains("-0.4") && Contains(" to -0.2"));
}

TEST_CASE(
    "a finding shows what its own point displayed, whatever another shows after a correction") {
    // By one degree less the core, 135.5, misses 135 °F (3-501.16(A)(1)), and the top, 136.5, comes
    // to what the core displayed.
    for (const bool core_first : {true, false}) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0);
        for (const bool core : {core_first, !core_first}) {
            const double shown = core ? 135.5 : 136.5;
            lot.readings({{0, shown}, {60, shown}}, Scale::fahrenheit, core ? "core" : "top");
        }
        lot.history().probes[0].checks = {ice(kBefore, -1)};
        bool seen = false;
        for (const Finding& finding : lot.served(60).judged(fda()).findings) {
            if (finding.point == "core") {
                seen = true;
                CHECK(finding.verdict == Verdict::not_met);
                REQUIRE_FALSE(finding.evidence.empty());
                for (const records::Reading& evidence : finding.evidence) {
                    CHECK(evidence.value == f(135.5));
                }
            }
        }
        CHECK(seen);
    }
}

TEST_CASE("the time below the hot limit is the longest that a correction leaves possible") {
    const auto below = [](std::vector<Row> rows, double correction) {
        Lot lot;
        const double end = rows.back().minutes;
        lot.stage(Stage::hot_holding, 0).readings(std::move(rows)).served(end);
        lot.history().probes[0].checks = {ice(kBefore, correction)};
        return lot.judged(fda()).below_hot_limit;
    };
    // 135 °F: 3-501.16(A)(1). By a degree less, 135.5 is below it; by one more, 134.5 is not.
    CHECK(minutes(below({{0, 140}, {30, 135.5}, {60, 140}}, -1).latest) == 60);
    CHECK(minutes(below({{0, 140}, {30, 134.5}, {60, 140}}, 1).latest) == 60);
    // Of two as long in the worst case what was read stands: below from 30 to 60.
    CHECK(minutes(below({{0, 140}, {30, 133}, {60, 134.5}}, 1).latest) == 60);
    CHECK(minutes(below({{0, 140}, {30, 133}, {60, 134.5}}, 1).earliest) == 30);
}

TEST_CASE("two thermometers that are wrong at once are judged as wrong at once") {
    // 3-501.14(A)(1): two hours from 135 to 70 °F. Half a degree less of the one that was in at the
    // start: it began at 0, not 10. Half a degree more of the other: it ended at 125, not 115.
    const auto first_window = [](bool start_wrong, bool end_wrong) {
        Lot lot;
        lot.stage(Stage::cooling, 0);
        lot.readings({{0, 136}, {10, 135.3}, {20, 130}, {100, 75}, {115, 69.8}, {125, 69}});
        lot.history().probes.push_back({"p2", std::nullopt, std::nullopt});
        for (std::size_t i = 3; i < 6; ++i) {
            lot.history().points[0].readings[i].probe = 1;
        }
        if (start_wrong) {
            lot.history().probes[0].checks = {ice(kBefore, -0.5)};
        }
        if (end_wrong) {
            lot.history().probes[1].checks = {ice(kBefore, 0.5)};
        }
        return only(lot.judged(fda(), 130), "cooling-first-window").verdict;
    };
    CHECK(first_window(true, false) == Verdict::met);      // 115 min
    CHECK(first_window(false, true) == Verdict::met);      // 115 min
    CHECK(first_window(true, true) == Verdict::not_shown); // 125 min
}

TEST_CASE("what a correction makes worse takes the place of the same finding and of no other") {
    // 3-501.14(A): 41 °F is reached at 350, by a fifth of a degree more only at 380.
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.readings({{0, 140}, {1, 134}, {100, 69}, {350, 40.9}, {380, 40}}).served(400);
    lot.history().probes[0].checks = {ice(kBefore, 0.2)};
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict == Verdict::met);
    CHECK(only(lot.judged(fda()), "cooling-total").verdict == Verdict::not_shown);
    // Two rows of one name, put together by hand: 165.5 °F less one degree misses the second.
    const auto row = [](int degrees) {
        codes::TableRule rule;
        rule.rows = {{codes::TemperatureLimit{Temperature::of_degrees(degrees, Scale::fahrenheit),
                                              std::nullopt, codes::Words::at_or_above},
                      Span{}, codes::Status::remembered}};
        return codes::Requirement{"cooking", "test", codes::Status::remembered, "", {}, rule, ""};
    };
    codes::Pack pack;
    pack.id = "test";
    pack.requirements = {row(150), row(165)};
    Lot cook;
    cook.stage(Stage::cooking, 0).readings({{0, 40}, {60, 165.5}, {70, 140}}).closes(70);
    cook.history().probes[0].checks = {ice(kBefore, -1)};
    const LotJudgement j = cook.judged(pack);
    REQUIRE(j.findings.size() == 2);
    CHECK(j.findings[0].limit.fahrenheit == f(150));
    CHECK(j.findings[0].verdict == Verdict::met);
    CHECK(j.findings[1].limit.fahrenheit == f(165));
    CHECK(j.findings[1].verdict == Verdict::not_met);
}

TEST_CASE("a correction that worsens the case counts, from either side in time") {
    // FDA Food Code 2022, 3-501.16(A)(1): 135 F or above; 135.0 includes the figure.
    CHECK(held(135.5, {}).verdict == Verdict::met);
    CHECK(held(135.5, {ice(kBefore, -0.5)}).verdict == Verdict::met);
    CHECK(held(135.5, {ice(kBefore, -0.6)}).verdict == Verdict::not_met);
    CHECK(held(135, {ice(kBefore, -0.001)}).verdict == Verdict::not_met);
    Lot chilled; // and 41 °F (3-501.16(A)(2)) by a thousandth more
    chilled.stage(Stage::cold_holding, 0).readings({{0, 40}, {60, 41}, {120, 41}}).served(120);
    CHECK(only(chilled.judged(fda()), "cold-holding").verdict == Verdict::met);
    chilled.history().probes[0].checks = {ice(kBefore, 0.001)};
    CHECK(only(chilled.judged(fda()), "cold-holding").verdict == Verdict::not_met);
    CHECK(held(135.5, {ice(kAfter, -0.5)}).verdict == Verdict::met);
    CHECK(held(135.5, {ice(kAfter, -0.6)}).verdict == Verdict::not_met);
    CHECK(held(135.5, {ice(kBefore, 0), ice(kAfter, -0.6)}).verdict == Verdict::not_met);
    CHECK(held(135.5, {ice(kBefore, -0.6), ice(kAfter, 0)}).verdict == Verdict::not_met);
    // Of an earlier check that another followed nothing is left.
    CHECK(held(135.5, {ice(2 * kBefore, -2), ice(kBefore, 0)}).verdict == Verdict::met);
    CHECK(held(135.5, {ice(kAfter, 0), ice(2 * kAfter, -2)}).verdict == Verdict::met);
}

TEST_CASE("a correction that improves the case counts only where two checks agree on it") {
    CHECK(held(134.5, {ice(kBefore, 1)}).verdict == Verdict::not_met);
    CHECK(held(134.5, {ice(kAfter, 1)}).verdict == Verdict::not_met);
    CHECK(held(134.5, {ice(kBefore, 1), ice(kAfter, 1)}).verdict == Verdict::met);
    // The smaller of the two counts: 134.5 + 0.5 = 135.0.
    CHECK(held(134.5, {ice(kBefore, 1), ice(kAfter, 0.5)}).verdict == Verdict::met);
    CHECK(held(134.5, {ice(kBefore, 1), ice(kAfter, 0.4)}).verdict == Verdict::not_met);
    // They agree within one step of the display: 1 F where it is not known.
    CHECK(held(134.5, {ice(kBefore, 1.5), ice(kAfter, 0.5)}).verdict == Verdict::met);
    CHECK(held(134.5, {ice(kBefore, 1.6), ice(kAfter, 0.5)}).verdict == Verdict::not_met);
    CHECK(held(134.5, {ice(kBefore, 1.501), ice(kAfter, 0.5)}).verdict == Verdict::not_met);
    CHECK(held(134.5, {ice(kBefore, 0.7), ice(kAfter, 0.6)}, 0.1).verdict == Verdict::met);
    CHECK(held(134.5, {ice(kBefore, 0.8), ice(kAfter, 0.6)}, 0.1).verdict == Verdict::not_met);
    // Not with opposite signs, and not with a check that was failed.
    CHECK(held(134.5, {ice(kBefore, 0.6), ice(kAfter, -0.1)}).verdict == Verdict::not_met);
    CHECK(held(134.5, {ice(kBefore, 3, Was::failed), ice(kAfter, 3, Was::failed)}).verdict ==
          Verdict::not_met);
    CHECK(held(134.5, {ice(kBefore, 1), ice(kAfter, 1, Was::failed)}).verdict == Verdict::not_met);
}

TEST_CASE("a Celsius display of unknown step is taken to show half degrees") {
    // Common practice, no source. 1.26 F are 0.7 C, 0.36 F are 0.2 C; 56.8 + 0.2 = 57 °C (135 °F).
    const auto held_c = [](double before) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).steady(0, 120, 20, 56.8, Scale::celsius).served(120);
        lot.history().probes[0].checks = {ice(kBefore, before), ice(kAfter, 0.36)};
        lot.history().probes[0].checks_kept = true;
        return only(lot.judged(fda()), "hot-holding").verdict;
    };
    CHECK(held_c(1.26) == Verdict::met);
    CHECK(held_c(1.262) == Verdict::not_met); // 0.701 C
}

TEST_CASE(
    "what an adjusted thermometer shows afterwards carries what was left, not what was found") {
    CHECK(held(135.5, {ice(kBefore, -3, Was::adjusted)}).verdict == Verdict::met);
    CHECK(held(134.5, {ice(kBefore, 3, Was::adjusted), ice(kAfter, 1)}).verdict ==
          Verdict::not_met);
}

TEST_CASE("CHK-2: what a thermometer showed before it failed a check is not shown") {
    // 21 CFR 820.72(b), as it stood: evaluate whether past product was affected.
    const Finding undone = held(137, {ice(kBefore, 0), ice(kAfter, -3, Was::failed)});
    CHECK(undone.verdict == Verdict::not_shown);
    CHECK(undone.acts_as_missed); // in the worst case it was too cold
    CHECK_THAT(undone.reason, Contains("p1 failed the check that followed") && Contains("-3 °F"));
    // Adjusting it mends nothing that was read before.
    CHECK(held(137, {ice(kBefore, 0), ice(kAfter, -3, Was::adjusted)}).verdict ==
          Verdict::not_shown);
    CHECK(held(137, {ice(kAfter, -3, Was::failed)}).verdict == Verdict::not_shown);
    // Only where the error found would undo it: 138 - 3 = 135.
    CHECK(held(138, {ice(kBefore, 0), ice(kAfter, -3, Was::failed)}).verdict == Verdict::met);
    CHECK(held(137, {ice(kBefore, 0), ice(kAfter, 3, Was::failed)}).verdict == Verdict::met);
    // Up to the last good check and no further.
    CHECK(held(137, {ice(kAfter, 0), ice(2 * kAfter, -3, Was::failed)}).verdict == Verdict::met);
    // A miss stays a miss.
    CHECK(held(134, {ice(kBefore, 0), ice(kAfter, -3, Was::failed)}).verdict == Verdict::not_met);
    CHECK(held(134, {ice(kBefore, 0), ice(kAfter, 3, Was::failed)}).verdict == Verdict::not_met);
}

TEST_CASE("CHK-2: a failed check in the middle of a hold reaches back to the last good one alone") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 120, 20, 137).served(120);
    lot.history().probes[0].checks = {ice(kBefore, 0), ice(60, -3, Was::adjusted)};
    CHECK(only(lot.judged(fda()), "hot-holding").verdict == Verdict::not_shown);
    lot.history().probes[0].checks = {ice(kBefore, 0), ice(60, -3, Was::failed)};
    // From then on it was known to read 3 F high.
    CHECK(only(lot.judged(fda()), "hot-holding").verdict == Verdict::not_met);
}

TEST_CASE("a correction moves both ends of a window, and the worse of both ways counts") {
    // FDA Food Code 2022, 3-501.14(A): 135 F to 70 F within 2 hours.
    Lot lot;
    lot.stage(Stage::cooling, 0)
        .readings({{0, 140}, {1, 134.9}, {110, 71}, {115, 69.9}, {340, 42}, {350, 40.9}})
        .served(400);
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict == Verdict::met);
    lot.history().probes[0].checks = {ice(kBefore, 2)}; // 69.9 is 71.9: reached at 340 at most
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict != Verdict::met);
    lot.history().probes[0].checks = {ice(kBefore, -2)};
    CHECK(only(lot.judged(fda()), "cooling-first-window").verdict == Verdict::met);
}

TEST_CASE("CHK-4: findings say that a thermometer was never checked, overdue or failed") {
    const auto notes = [](const Finding& finding) {
        std::string all;
        for (const std::string& note : finding.notes) {
            all += note + "\n";
        }
        return all;
    };
    CHECK_THAT(notes(held(140, {})), Contains("p1 had not been checked before"));
    CHECK_THAT(notes(held(140, {ice(kAfter, 0)})), Contains("p1 had not been checked before"));
    CHECK_THAT(notes(held(140, {ice(kBefore, 0)})), !Contains("p1"));
    CHECK_THAT(notes(held(140, {ice(kBefore, -3, Was::failed)})),
               Contains("failed its last check"));
    Lot lot = hold(140);
    records::Probe& probe = lot.history().probes[0];
    probe.checks_kept = true;
    probe.checks = {ice(kBefore, 0)};
    probe.overdue = {{.from = at(100), .to = std::nullopt}};
    const LotJudgement judged = lot.judged(fda());
    CHECK_THAT(notes(only(judged, "hot-holding")), Contains("A check of p1 was due"));
    // Counted: the readings at 120 minutes alone come after 100.
    bool counted = false;
    for (const std::string& note : judged.notes) {
        counted = counted || note == "1 reading by p1 with no good check in date.";
    }
    CHECK(counted);
    CHECK(only(judged, "hot-holding").verdict == Verdict::met); // it is said, and changes nothing
}

TEST_CASE("a correction never makes anything milder unless two checks agree on it") {
    const auto& pack = fda();
    const auto never_milder = [&](bool agree) {
        records::LotHistory lot = any_lot();
        Settings settings;
        settings.as_of = at(3000);
        const LotJudgement plain = judge_lot(lot, pack, settings);
        const double first = between(-4, 4);
        const double second = agree ? first : between(-4, 4);
        const Was after = *rc::gen::element(Was::good, Was::failed, Was::adjusted);
        auto& checks = lot.probes[0].checks;
        if (*rc::gen::arbitrary<bool>() || agree) {
            checks.push_back(ice(kBefore, first));
        }
        if (checks.empty() || (*rc::gen::arbitrary<bool>() && first * second <= 0)) {
            checks.push_back(ice(*rc::gen::element(100.0, 3000.0), second, after));
        }
        RC_ASSERT(worse(judge_lot(lot, pack, settings).overall, plain.overall) ==
                  judge_lot(lot, pack, settings).overall);
    };
    rc::prop("one check, or two that do not agree", [&] { never_milder(false); });
}

TEST_CASE("a failed check never makes anything milder or turns anything into a proven miss") {
    const auto& pack = fda();
    rc::prop("a check that was failed after the lot", [&] {
        records::LotHistory lot = any_lot();
        Settings settings;
        settings.as_of = at(3000);
        const Verdict plain = judge_lot(lot, pack, settings).overall;
        lot.probes[0].checks = {ice(3000, between(-8, 8), Was::failed)};
        const Verdict after = judge_lot(lot, pack, settings).overall;
        RC_ASSERT(worse(after, plain) == after);
        RC_ASSERT((after == plain || after == Verdict::not_shown));
    });
}
