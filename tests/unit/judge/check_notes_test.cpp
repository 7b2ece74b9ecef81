// What is said of readings whose thermometer had no check in date: docs/how-limits-are-read.md,
// "Corrections". That alone changes no verdict.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

records::CheckPoint ice(double minutes, bool good = true) {
    const Temperature freezing = Temperature::of_degrees(32, Scale::fahrenheit);
    return {.at = at(minutes),
            .shown_found = freezing,
            .truth = freezing,
            .shown_left = {},
            .passed = good,
            .usable = good,
            .method = "ice-point"};
}

/// A hold with five readings of p1, the first of which is the lowest.
Lot hold() {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    lot.readings({{0, 140}, {30, 141}, {60, 142}, {90, 142}, {120, 141}});
    lot.history().probes[0].checks_kept = true;
    lot.history().probes[0].checks = {ice(-60)};
    return lot;
}

using Overdue = std::vector<records::OverdueStretch>;

/// How often a note of the only finding holds `words`.
std::ptrdiff_t said(const Finding& f, const std::string& words) {
    return std::ranges::count_if(
        f.notes, [&](const std::string& note) { return note.find(words) != std::string::npos; });
}

/// What the lot says of how many readings there were without a good check; empty: nothing.
std::string counted(const LotJudgement& j) {
    std::string all;
    for (const std::string& note : j.notes) {
        all += note.find("no good check in date") != std::string::npos ? note : "";
    }
    return all;
}

std::string counted(Overdue overdue) {
    Lot lot = hold();
    lot.history().probes[0].overdue = std::move(overdue);
    const LotJudgement j = lot.judged(fda());
    CHECK(j.overall == Verdict::met);
    CHECK(said(only(j, "hot-holding"), "was due") == (counted(j).empty() ? 0 : 1)); // once
    return counted(j);
}

} // namespace

TEST_CASE("a check vouches for the reading of its own instant, and for none before") {
    Lot lot = hold();
    CHECK(counted(lot.judged(fda())).empty());
    lot.history().probes[0].checks = {ice(0)};
    CHECK(counted(lot.judged(fda())).empty());
    lot.history().probes[0].checks = {ice(1)};
    CHECK(counted(lot.judged(fda())) == "1 reading by p1 with no good check in date.");
    CHECK(said(only(lot.judged(fda()), "hot-holding"), "had not been checked before") == 1);
    lot.history().probes[0].checks = {};
    CHECK(counted(lot.judged(fda())) == "5 readings by p1 with no good check in date.");
}

TEST_CASE("the last check before a reading is the one that tells of it") {
    Lot lot = hold();
    lot.history().probes[0].checks = {ice(-60), ice(45, false), ice(100)};
    const LotJudgement j = lot.judged(fda());
    CHECK(counted(j) == "2 readings by p1 with no good check in date."); // of 60 and 90 min
    CHECK(said(only(j, "hot-holding"), "failed its last check") == 1);
}

TEST_CASE("a check is overdue after the instant it was due at, and until it is made") {
    CHECK(counted(Overdue{{at(120), {}}}).empty());
    CHECK(counted(Overdue{{at(119), {}}}) == "1 reading by p1 with no good check in date.");
    CHECK(counted(Overdue{{at(30), at(90)}}) == "1 reading by p1 with no good check in date.");
    CHECK(counted(Overdue{{at(29), at(91)}}) == "3 readings by p1 with no good check in date.");
    CHECK(counted(Overdue{{at(60), at(90)}}).empty());
    // Twice overdue is noted once for each time it was due, not for each reading.
    Lot lot = hold();
    lot.history().probes[0].overdue = {{at(20), at(40)}, {at(50), at(95)}};
    const LotJudgement j = lot.judged(fda());
    CHECK(counted(j) == "3 readings by p1 with no good check in date.");
    CHECK(said(only(j, "hot-holding"), "was due") == 2);
}

TEST_CASE("the same trouble is noted once, also when good readings come between") {
    // p2 was never checked; it read in the middle and near the end.
    Lot lot = hold();
    lot.history().probes.push_back({"p2", std::nullopt, std::nullopt});
    lot.history().probes[1].checks_kept = true;
    lot.history().points[0].readings[1].probe = 1;
    lot.history().points[0].readings[3].probe = 1;
    const LotJudgement j = lot.judged(fda());
    CHECK(said(only(j, "hot-holding"), "p2 had not been checked before") == 1);
    CHECK(counted(j) == "2 readings by p2 with no good check in date.");
    // Two thermometers of one name are one for whoever reads it.
    lot.history().probes.push_back(lot.history().probes[1]);
    lot.history().points[0].readings[3].probe = 2;
    CHECK(counted(lot.judged(fda())) == "2 readings by p2 with no good check in date.");
}

TEST_CASE("a finding speaks of the thermometers of its own stage and point") {
    Lot lot = hold();
    lot.history().stages[0].stage = Stage::resting;
    lot.stage(Stage::hot_holding, 60);
    lot.history().probes[0].overdue = {{at(20), at(40)}};
    const LotJudgement two = lot.judged(fda());
    REQUIRE(two.findings.size() == 2);
    CHECK(said(two.findings[0], "was due") == 1);
    CHECK(said(two.findings[1], "was due") == 0);

    lot = hold();
    lot.history().probes.push_back({"p2", std::nullopt, std::nullopt});
    lot.history().probes[1].checks_kept = true;
    lot.readings({{0, 140}, {30, 141}, {60, 142}, {90, 142}, {120, 141}}, Scale::fahrenheit, "top");
    lot.history().points[1].readings[1].probe = 1;
    const LotJudgement points = lot.judged(fda());
    REQUIRE(points.findings.size() == 2);
    for (const Finding& f : points.findings) {
        CHECK(said(f, "p2") == (f.point == "top" ? 1 : 0));
    }
}

TEST_CASE("where no checks are kept a thermometer with none stated has none on record") {
    Lot lot = hold();
    records::Probe& probe = lot.history().probes[0];
    probe.checks_kept = false;
    probe.checks.clear();
    CHECK(said(only(lot.judged(fda()), "hot-holding"), "no check on record") == 1);
    probe.last_check = at(-60);
    CHECK(said(only(lot.judged(fda()), "hot-holding"), "no check on record") == 0);
    for (records::Reading& r : lot.history().points[0].readings) {
        r.probe = 1; // nobody knows which
    }
    CHECK(said(only(lot.judged(fda()), "hot-holding"), "no check on record") == 1);
    CHECK(counted(lot.judged(fda())).empty());
}
