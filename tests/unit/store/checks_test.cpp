#include "fixture.hpp"

#include <holdwarden/records/checks.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using namespace holdwarden::records;
using Standing = CheckState::Standing;

namespace {

ProbeCheck ice(ProbeId probe, Instant at, Temperature found) {
    return {.probe = probe,
            .at = at,
            .found = found,
            .expected = f(32),
            .tolerance = usual_tolerance(Scale::fahrenheit),
            .person = "RK"};
}

constexpr Span kDay = Span::hours(24);

} // namespace

TEST_CASE("CHK-1: a check comes back as it was entered") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "p1"}, by("RK"));
    ProbeCheck check{.probe = probe,
                     .at = kNight,
                     .method = CheckMethod::boiling_point,
                     .found = f(204),
                     .expected = expected_boiling(Pressure{83'000}, {}, Scale::fahrenheit),
                     .pressure = Pressure{83'000},
                     .left = f(202),
                     .tolerance = usual_tolerance(Scale::celsius),
                     .person = "QM",
                     .note = "after a fall"};
    store->checks().add(check, by("RK"));
    check.method = CheckMethod::reference;
    check.pressure.reset();
    check.reference = "lab-7";
    check.certificate = "0815 of 2026";
    check.at = kNight - kDay;
    store->checks().add(check, by("RK"));
    check.method = CheckMethod::boiling_point;
    check.reference = check.certificate = "";
    check.altitude = kSite.altitude;
    check.expected = expected_boiling({}, kSite.altitude, Scale::fahrenheit);
    check.left.reset();
    check.at = kNight + Span::minutes(1);
    store->checks().add(check, by("RK"));
    const auto all = store->checks().checks(probe);
    REQUIRE(all.size() == 3);
    CHECK(all[0].facts.reference == "lab-7");
    CHECK(all[0].facts.certificate == "0815 of 2026");
    const ProbeCheck& back = all[1].facts;
    CHECK(back.at == kNight);
    CHECK(back.method == CheckMethod::boiling_point);
    CHECK(back.found == f(204));
    CHECK(back.pressure->pascals == 83'000);
    CHECK(back.left == f(202));
    CHECK(back.tolerance == usual_tolerance(Scale::celsius));
    CHECK(back.person == "QM");
    CHECK(back.note == "after a fall");
    CHECK(all[1].stamp.by == "RK");
    CHECK(all[2].facts.altitude == kSite.altitude);
    CHECK_FALSE(all[2].facts.left);
    const auto other = store->add_probe({.name = "p2"}, by("RK"));
    CHECK(store->checks().checks(other).empty());
    CHECK(store->checks().checks().size() == 3);
}

TEST_CASE("a refused check leaves the store as it was") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "p1"}, by("RK"));
    CHECK_THROWS_AS(store->checks().add(ice(probe, kNight + kDay, f(32)), by("RK")), Error);
    CHECK_THROWS_AS(store->checks().set({.from = kNight, .days = 1, .months = 1}, by("RK")), Error);
    CHECK_THROWS_AS(store->checks().set({.from = kNight}, by("RK")), Error);
    CHECK(store->checks().checks().empty());
    CHECK(store->checks().schedules().empty());
}

TEST_CASE("REC-19: a missed check is stored once and stays when one is made later") {
    // 9 CFR 417.2 and NACMCF (1997), principle 4 (from memory).
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "p1"}, by("RK"));
    store->checks().set({.from = kNight, .days = 1, .source = "house rule"}, by("RK"));
    CHECK(note_missed_checks(*store, by("RK", kNight + kDay)) == 0);
    const Instant late = kNight + kDay + Span::hours(2); // the clocks went back in between
    CHECK(note_missed_checks(*store, by("RK", late)) == 1);
    CHECK(note_missed_checks(*store, by("RK", late)) == 0);
    store->checks().add(ice(probe, late, f(32)), by("RK", late));
    // Entered now for a time before it was due: it is no less missed.
    store->checks().add(ice(probe, kNight + Span::hours(1), f(32)), by("RK", late));
    const auto missed = store->checks().missed();
    REQUIRE(missed.size() == 1);
    CHECK(missed[0].facts.probe == probe);
    CHECK(missed[0].facts.due == kNight + Span::hours(25)); // midnight of a day of 25 hours
    CHECK(missed[0].stamp.entered_at == late);
    const auto states = check_states(*store, late);
    CHECK(states[0].standing == Standing::due_soon);
    CHECK(states[0].due == late + kDay);
}

TEST_CASE("CHK-4: how each probe stands with its checks") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "p1"}, by("RK"));
    const auto standing = [&](Instant now) { return check_states(*store, now).at(0).standing; };
    CHECK(standing(kNight) == Standing::never_checked);
    CHECK_FALSE(check_states(*store, kNight)[0].due);
    store->checks().add({.probe = probe,
                         .at = kNight,
                         .method = CheckMethod::side_by_side,
                         .found = f(140),
                         .expected = f(141),
                         .reference = "hand-1",
                         .tolerance = usual_tolerance(Scale::fahrenheit)},
                        by("RK"));
    CHECK(standing(kNight) == Standing::never_checked); // proves neither
    store->checks().add(ice(probe, kNight, f(33)), by("RK"));
    CHECK(standing(kNight) == Standing::in_date); // nobody asks for another
    store->checks().set({.from = kNight, .months = 1}, by("RK"));
    CHECK(standing(kNight) == Standing::in_date);
    CHECK(standing(kNight + Span::hours(24 * 29 + 12)) == Standing::due_soon);
    CHECK(standing(kNight + Span::hours(24 * 31)) == Standing::overdue);
    ProbeCheck bad = ice(probe, kNight + Span::hours(1), f(36));
    store->checks().add(bad, by("RK", kNight + Span::hours(1)));
    CHECK(standing(kNight + Span::hours(1)) == Standing::failed);
    bad.at = kNight + Span::hours(2);
    bad.left = f(32);
    store->checks().add(bad, by("RK", kNight + Span::hours(2)));
    CHECK(standing(kNight + Span::hours(2)) == Standing::in_date);
}

TEST_CASE("a lot's history carries its probes' checks and when one was overdue") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "p1"}, by("RK"));
    const auto lot = store->open_lot({.name = "brisket-1", .opened_at = kNight}, by("RK"));
    store->log({.target = LotPoint{lot}, .at = kNight, .value = f(140), .probe = probe}, by("RK"));
    store->log({.target = LotPoint{lot, "surface"}, .at = kNight, .value = f(140)}, by("RK"));
    store->checks().set({.from = kNight, .days = 1}, by("RK"));
    const Instant late = kNight + Span::hours(26);
    store->checks().add(ice(probe, late, f(36)), by("RK", late));
    const LotHistory history = store->lot_history(lot, kNight + Span::hours(1));
    REQUIRE(history.probes.size() == 2);
    const Probe& p1 = history.probes[0];
    CHECK(p1.checks_kept);
    CHECK_FALSE(p1.last_check);     // at that hour there was none
    REQUIRE(p1.checks.size() == 1); // but the later one tells of it
    CHECK(p1.checks[0].shown_found == f(36));
    CHECK_FALSE(p1.checks[0].passed);
    CHECK_FALSE(history.probes[1].checks_kept); // not named
    const LotHistory after = store->lot_history(lot, late);
    CHECK(after.probes[0].last_check == late);
    REQUIRE(after.probes[0].overdue.size() == 1);
    CHECK(after.probes[0].overdue[0].from == kNight + Span::hours(25));
    CHECK(after.probes[0].overdue[0].to == late);
}
