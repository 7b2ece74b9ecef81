// How answers, signatures and what is open show on sheets.
#include "fixtures.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/print.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::sheets;
using Catch::Matchers::Contains;
using fixtures::answered;
using judge::AnswerState;

namespace {

/// On one line: where a line of text breaks is the printer's matter.
std::string lot_text(const LotRecord& lot) {
    std::string text;
    for (const char c : to_text(lot_sheet(fixtures::larkspur(), lot, {}, fixtures::made()))) {
        const bool blank = c == ' ' || c == '\n';
        if (!blank || (!text.empty() && text.back() != ' ')) {
            text += blank ? ' ' : c;
        }
    }
    return text;
}

} // namespace

TEST_CASE("beside a verdict stands whether it was answered, and what is closed asks nothing more") {
    const std::string advice = fixtures::sunken_brisket().judged.flags.front().act.front();
    const std::string begins = advice.substr(0, advice.find(' ', 12));
    const std::string open = lot_text(answered(AnswerState::unanswered));
    CHECK_THAT(open, Contains("unanswered, overdue"));
    CHECK_THAT(open, Contains(begins));
    const std::string half = lot_text(answered(AnswerState::incomplete));
    CHECK_THAT(half, Contains("answer incomplete") && Contains("Still lacking") &&
                         Contains("moved it to"));
    const std::string closed = lot_text(answered(AnswerState::closed));
    CHECK_THAT(closed, Contains("Every flag was answered") && Contains(" QM"));
    const std::string csv = to_csv(
        lot_sheet(fixtures::larkspur(), answered(AnswerState::closed), {}, fixtures::made()));
    CHECK_THAT(csv, Contains("verified by QM"));
    CHECK(closed.find(begins) == std::string::npos);
}

TEST_CASE(
    "REC-9: a signature that was superseded says so on the sheet, REC-10: and one's own why") {
    LotRecord lot = fixtures::warm_shoulder();
    lot.signatures = {{.number = 1,
                       .name = "Quill Marsh",
                       .meaning = records::Meaning::reviewed,
                       .at = fixtures::after_noon(900),
                       .stands = false,
                       .alone = "",
                       .unready = "",
                       .sha256 = ""},
                      {.number = 2,
                       .name = "Quill Marsh",
                       .meaning = records::Meaning::released,
                       .at = fixtures::after_noon(901),
                       .alone = "one person on site",
                       .unready = "asked for",
                       .sha256 = ""}};
    const std::string text = to_csv(lot_sheet(fixtures::larkspur(), lot, {}, fixtures::made()));
    CHECK_THAT(text, Contains("signed content superseded"));
    CHECK_THAT(text, Contains("is as it was signed"));
    CHECK_THAT(text, Contains("one person on site") && Contains("though not ready"));
}

TEST_CASE("REC-14: deviations stand in a file of their own with portion, action and disposition") {
    // 21 CFR 114.100(c).
    const std::vector<LotRecord> lots{answered(AnswerState::closed)};
    const Period period{.from = fixtures::after_noon(0), .to = fixtures::after_noon(1440)};
    const std::string csv =
        to_csv(actions_sheet(fixtures::larkspur(), period, lots, fixtures::made()));
    CHECK_THAT(csv, Contains("5.4 kg") && Contains("reheated") &&
                        Contains("moved it to the warm") && Contains("chest's lid") &&
                        Contains("verified by QM"));
    const std::vector<LotRecord> none{fixtures::warm_shoulder()};
    CHECK_THAT(to_text(actions_sheet(fixtures::larkspur(), period, none, fixtures::made())),
               Contains("No deviation is on record"));
}

TEST_CASE("open items are flags not closed, and records not reviewed: closed ones are left out") {
    const Period period{.from = fixtures::after_noon(0), .to = fixtures::after_noon(1440)};
    const auto sheet = [&](const LotRecord& lot, std::vector<ReviewDue> reviews,
                           std::vector<CheckWanted> checks = {}) {
        return to_csv(open_items_sheet(fixtures::larkspur(), period, {&lot, 1}, checks, reviews,
                                       fixtures::made()));
    };
    CHECK_THAT(sheet(answered(AnswerState::unanswered), {}), Contains("unanswered, overdue"));
    CHECK_THAT(sheet(answered(AnswerState::answered), {}), Contains("A second person verifies"));
    CHECK_THAT(sheet(fixtures::warm_shoulder(), {}), Contains("Nothing is open"));
    CHECK_THAT(sheet(fixtures::warm_shoulder(),
                     {{.lot = "pork-9", .due = fixtures::after_noon(60), .overdue = true}}),
               Contains("pork-9") && Contains("overdue"));
    const std::string checks = sheet(fixtures::warm_shoulder(), {},
                                     {{.probe = "p7", .due = fixtures::after_noon(30)},
                                      {.probe = "p8", .failed = fixtures::after_noon(40)}});
    CHECK_THAT(checks, Contains("p7") && Contains("Check it") && Contains("p8") &&
                           Contains("failed its last check") && !Contains("Nothing is open"));
}

TEST_CASE("a lot's sheet shows every failed and overdue check that bears on it") {
    LotRecord lot = fixtures::warm_shoulder();
    REQUIRE(!lot.history.probes.empty());
    records::Probe& probe = lot.history.probes.front();
    const Instant begin = lot.history.stages.front().from;
    const auto check = [&](Instant at, bool passed) {
        const auto shown = Temperature::of_degrees(passed ? 32 : 36, Scale::fahrenheit);
        return records::CheckPoint{.at = at,
                                   .shown_found = shown,
                                   .truth = Temperature::of_degrees(32, Scale::fahrenheit),
                                   .shown_left = {},
                                   .passed = passed,
                                   .usable = passed,
                                   .method = "ice-point"};
    };
    const auto row = [&] {
        return to_csv(lot_sheet(fixtures::larkspur(), lot, {}, fixtures::made()));
    };
    probe.checks = {check(begin - Span::hours(72), false), check(begin - Span::hours(48), true)};
    CHECK_THAT(row(), !Contains("failed on"));
    probe.checks.push_back(check(begin - Span::hours(1), false));
    probe.checks.push_back(check(begin + Span::hours(200), true));
    probe.overdue = {{.from = begin - Span::hours(90), .to = begin - Span::hours(72)},
                     {.from = begin - Span::hours(20), .to = begin + Span::hours(1)}};
    CHECK_THAT(row(), Contains("failed on") && Contains("overdue from"));
    CHECK(row().find("failed on") == row().rfind("failed on"));
    CHECK(row().find("overdue from") == row().rfind("overdue from"));
    probe.overdue = {{.from = begin + Span::hours(20), .to = {}}};
    CHECK_THAT(row(), Contains("overdue since"));
}
