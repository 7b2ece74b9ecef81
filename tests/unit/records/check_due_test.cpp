#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/checks.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::records;

namespace {

const Zone kDenver = Zone::named("America/Denver");
const ProbeId kP1 = ProbeId::of(1);
const ProbeId kP2 = ProbeId::of(2);

Instant t(const char* local) {
    return parse_instant(local, kDenver);
}

Recorded<ScheduleId, CheckSchedule> rule(const CheckSchedule& facts) {
    return {.id = ScheduleId::of(1), .facts = facts, .entry = EntryId::of(1), .stamp = {}};
}

using Rules = std::vector<Recorded<ScheduleId, CheckSchedule>>;
using Instants = std::vector<Instant>;

DueDates dates(const Rules& rules, const Instants& made, const char* now,
               const char* first_use = "2026-10-01 09:00") {
    return due_dates(rules, kP1, t(first_use), made, t(now), kDenver);
}

} // namespace

TEST_CASE("REC-19: a check that was due and not made is missed from the instant after") {
    // NACMCF (1997), principle 4, and 9 CFR 417.2: a check at the stated frequency, or a gap that
    // shows (both from memory).
    const Rules weekly{rule({.from = t("2026-10-01 09:00"), .days = 7})};
    CHECK(dates(weekly, {}, "2026-10-08 08:59").missed.empty());
    CHECK(dates(weekly, {}, "2026-10-08 09:00").missed.empty());
    CHECK(dates(weekly, {}, "2026-10-08 09:00").next == t("2026-10-08 09:00"));
    CHECK(dates(weekly, {}, "2026-10-08 09:01").missed == Instants{t("2026-10-08 09:00")});
    CHECK(dates(weekly, {}, "2026-10-16 00:00").missed ==
          Instants{t("2026-10-08 09:00"), t("2026-10-15 09:00")});
    CHECK(dates(weekly, {}, "2026-10-16 00:00").next == t("2026-10-22 09:00"));
}

TEST_CASE("REC-19: a check in time starts the next interval, and a late one fills nothing") {
    const Rules weekly{rule({.from = t("2026-10-01 09:00"), .days = 7})};
    const auto early = dates(weekly, {t("2026-10-05 12:00")}, "2026-10-10 00:00");
    CHECK(early.missed.empty());
    CHECK(early.next == t("2026-10-12 12:00"));
    CHECK(
        dates(weekly, {t("2026-10-08 09:00")}, "2026-10-10 00:00").missed.empty()); // just in time
    const auto late = dates(weekly, {t("2026-10-09 12:00")}, "2026-10-10 00:00");
    CHECK(late.missed == Instants{t("2026-10-08 09:00")});
    CHECK(late.next == t("2026-10-16 12:00"));
}

TEST_CASE("a due date keeps the time of day over a change of the clocks and ends in short months") {
    // The clocks went back on 2026-11-01 in Denver (IANA time zone data).
    const Rules weekly{rule({.from = t("2026-10-01 09:00"), .days = 7})};
    CHECK(dates(weekly, {t("2026-10-28 09:00")}, "2026-10-29 00:00").next == t("2026-11-04 09:00"));
    const Rules monthly{rule({.from = t("2026-01-01 00:00"), .months = 1})};
    CHECK(dates(monthly, {t("2027-01-31 10:00")}, "2027-02-01 00:00", "2027-01-31 09:00").next ==
          t("2027-02-28 10:00"));
    CHECK(dates(monthly, {t("2026-12-15 10:00")}, "2026-12-16 00:00", "2026-12-15 09:00").next ==
          t("2027-01-15 10:00"));
}

TEST_CASE(
    "TIM-10: a check due at a time that never came is due at its end, one that came twice once") {
    // RFC 5545, 3.3.10 (from memory). In Denver the clocks went from 02:00 to 03:00 on 2026-03-08
    // and from 02:00 back to 01:00 on 2026-11-01 (IANA time zone data).
    const Rules daily{rule({.from = t("2026-01-01 00:00"), .days = 1})};
    CHECK(dates(daily, {t("2026-03-07 02:30")}, "2026-03-07 12:00", "2026-03-07 01:00").next ==
          t("2026-03-08T03:00:00-06:00"));
    const auto twice =
        dates(daily, {t("2026-10-31 01:30")}, "2026-11-01 12:00", "2026-10-31 01:00");
    CHECK(twice.missed == Instants{t("2026-11-01T01:30:00-06:00")});
    CHECK(twice.next == t("2026-11-02 01:30"));
}

TEST_CASE("a probe's own rule comes before the site's, and a rule holds from its date") {
    Rules rules{rule({.from = t("2026-10-01 00:00"), .months = 1}),
                rule({.from = t("2026-10-01 00:00"), .probe = kP2, .days = 1})};
    CHECK(dates(rules, {}, "2026-10-02 00:00").next == t("2026-11-01 09:00"));
    CHECK(due_dates(rules, kP2, t("2026-10-01 09:00"), {}, t("2026-10-02 00:00"), kDenver).next ==
          t("2026-10-02 09:00"));
    // A stricter rule from the 10th: a week from the last check, but no check was due before.
    rules.push_back(rule({.from = t("2026-10-10 00:00"), .probe = kP1, .days = 7}));
    CHECK(dates(rules, {t("2026-10-08 09:00")}, "2026-10-09 00:00").next == t("2026-10-15 09:00"));
    CHECK(dates(rules, {t("2026-10-02 09:00")}, "2026-10-09 00:00").next == t("2026-10-17 00:00"));
    // And none from the 20th.
    rules.push_back(rule({.from = t("2026-10-20 00:00"), .probe = kP1, .ended = true}));
    const Instants kept{t("2026-10-12 09:00"), t("2026-10-19 09:00")};
    CHECK_FALSE(dates(rules, kept, "2026-12-01 00:00").next);
    CHECK(dates(rules, kept, "2026-12-01 00:00").missed.empty());
}

TEST_CASE("without a rule no check is ever due") {
    CHECK(dates({}, {}, "2026-12-01 00:00").missed.empty());
    CHECK_FALSE(dates({}, {}, "2026-12-01 00:00").next);
    const Rules later{rule({.from = t("2027-01-01 00:00"), .days = 1})};
    CHECK(dates(later, {}, "2026-12-01 00:00").next == t("2027-01-02 00:00"));
}
