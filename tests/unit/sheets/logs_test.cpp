#include "fixtures.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/print.hpp>

#include <catch2/catch.hpp>

#include <sstream>

using namespace holdwarden;
using namespace holdwarden::sheets;
using Catch::Matchers::Contains;

namespace {

const Nights kNight{{2026, 10, 31}, {2026, 10, 31}};

/// `n` lots of the warm oven, each `step` after the one before, margins of 4, 5, 6, ... °F.
std::vector<LotRecord> shoulders(std::size_t n) {
    std::vector<LotRecord> lots;
    for (std::size_t i = 0; i < n; ++i) {
        LotRecord lot = fixtures::warm_shoulder();
        lot.history.name = "shoulder-" + std::to_string(i + 1);
        const Span shift = Span::minutes(static_cast<std::int64_t>(i));
        lot.history.stages[0].from = lot.history.stages[0].from + shift;
        lot.judged.findings[0].stage_from = lot.history.stages[0].from;
        lot.judged.findings[0].margin.temperature = TemperatureDelta::of_thousandths(
            4000 + 1000 * static_cast<std::int32_t>(i), Scale::fahrenheit);
        lots.push_back(std::move(lot));
    }
    return lots;
}

std::string summary(const std::vector<LotRecord>& lots) {
    return to_text(period_summary(fixtures::larkspur(), kNight, lots, fixtures::made()));
}

/// The text without line ends and repeated blanks: a sentence wraps where it likes.
std::string flowing(const std::string& text) {
    std::istringstream words{text};
    std::string flow;
    for (std::string word; words >> word;) {
        flow += (flow.empty() ? "" : " ") + word;
    }
    return flow;
}

} // namespace

TEST_CASE("the cooling log has start, hourly readings and result of each cooling") {
    LotRecord beans = fixtures::cooling_beans();
    const std::vector<LotRecord> lots = {beans, fixtures::warm_shoulder()};
    const Sheet sheet = cooling_log(fixtures::larkspur(), kNight, lots, fixtures::made());
    const std::string csv = to_csv(sheet);
    // A body that starts at 141 °F in 38 °F with a time constant of 70 min (fixtures.cpp) has
    // 38 + 103 exp(-60/70) = 81.7 °F after an hour. By hand: exp(-0.857) = 0.424.
    CHECK_THAT(csv, Contains("\"1 h (°F)\",\"11:00 81.7\""));
    CHECK_THAT(csv, Contains("10:00 141\""));
    CHECK_THAT(csv, Contains("\"2 h (°F)\",\"none\"")); // no reading within half an hour
    CHECK_THAT(csv, Contains("\"Result\",\"open\""));
    CHECK_THAT(csv, Contains("135 °F (57 °C) to 70 °F (21 °C) within 2 h"));
    CHECK_THAT(csv, Contains("1 cooling: 1 open."));
    CHECK_THAT(csv, !Contains("shoulder-1")); // it was held, not cooled
}

TEST_CASE("a cooling without any finding is not shown, never met") {
    LotRecord beans = fixtures::cooling_beans();
    beans.judged.findings.clear();
    const std::vector<LotRecord> lots = {beans};
    const std::string text =
        to_text(cooling_log(fixtures::larkspur(), kNight, lots, fixtures::made()));
    CHECK_THAT(text, Contains("◧ not shown"));
    CHECK_THAT(text, !Contains("■ met"));
}

TEST_CASE("logs without food are not shown as met") {
    const std::vector<LotRecord> none;
    for (const Sheet& sheet : {cooling_log(fixtures::larkspur(), kNight, none, fixtures::made()),
                               holding_log(fixtures::larkspur(), kNight, none, fixtures::made())}) {
        const std::string text = to_text(sheet);
        CHECK_THAT(text, Contains("◧ not shown"));
        CHECK_THAT(text, !Contains("■"));
    }
}

TEST_CASE("the holding log gives the worst reading of each interval and says where there is none") {
    LotRecord lot = fixtures::silent_probe();
    lot.history.points[0].readings[2].value =
        Temperature::of_thousandths(151'300, Scale::fahrenheit);
    const std::vector<LotRecord> lots = {lot};
    const Sheet sheet = holding_log(fixtures::larkspur(), kNight, lots, fixtures::made());
    const std::string csv = to_csv(sheet);
    CHECK_THAT(csv, Contains("Unit warm oven"));
    // Readings each quarter of an hour from 21:00, the third of them the low one; 30 min intervals.
    CHECK_THAT(csv, Contains("\"2026-10-31 21:30 -06:00\",\"shoulder-2 (°F)\",\"21:30 151.3\""));
    // Three readings from the 21st on are missing: 02:00 to 02:30 by the second pass of the clock.
    CHECK_THAT(csv, Contains(",\"shoulder-2 (°F)\",\"none\""));
    CHECK_THAT(csv, Contains("1 hold: 1 not shown."));
    // In the repeated hour the clock alone would not tell.
    CHECK_THAT(csv, Contains("\"01:45 -06:00 "));
    CHECK_THAT(csv, Contains("\"01:45 -07:00 "));
}

TEST_CASE("a summary draws no figure from fewer than five lots") {
    const std::string four = flowing(summary(shoulders(4)));
    CHECK_THAT(four, Contains("4 lots: too few for figures, which are drawn from 5 lots or more."));
    CHECK_THAT(four, !Contains("Margin ("));
    CHECK_THAT(four, !Contains("Deviations by unit"));
    const std::string five = flowing(summary(shoulders(5)));
    CHECK_THAT(five, Contains("Margin (°F)"));
    CHECK_THAT(five, Contains("5 holds in 5 lots: smallest +4 °F"));
    CHECK_THAT(five, Contains("0 deviations in 5 lots."));
    CHECK_THAT(five, Contains("■ met 5"));
    CHECK_THAT(five, Contains("all 5"));
}

TEST_CASE("a summary counts deviations by cause, unit and hour, and minutes to the answer") {
    std::vector<LotRecord> lots;
    for (int i = 0; i < 5; ++i) {
        LotRecord lot = fixtures::sunken_brisket();
        lot.history.name = "brisket-" + std::to_string(i + 1);
        // The flat is first below the limit at the start of its excursion, by the latest.
        const Instant shown = *lot.judged.findings[1].excursions[0].from.latest;
        lot.answered = {{.flag = "brisket-2/hot-holding/1",
                         .at = shown + Span::minutes(10 + 10 * i),
                         .cause = i < 3 ? "lid left open" : ""},
                        {.flag = "another", .at = shown, .cause = "not this"}};
        lots.push_back(std::move(lot));
    }
    const std::string text = flowing(summary(lots));
    CHECK_THAT(text, Contains("5 deviations in 5 lots."));
    CHECK_THAT(text, Contains("lid left open 3 3"));
    CHECK_THAT(text, Contains("not recorded 2 2"));
    CHECK_THAT(text, !Contains("not this"));
    CHECK_THAT(text, Contains("insulated chest 5 5"));
    CHECK_THAT(text, Contains("offset smoker 0 5"));
    // 10, 20, 30, 40 and 50 min: the middle one is 30.
    CHECK_THAT(text, Contains("5 of 5 deviations answered, shortest 10 min, median 30 min, "
                              "longest 50 min, in 5 lots."));
    lots[4].answered.clear();
    CHECK_THAT(flowing(summary(lots)), Contains("for 4 of 5 deviations"));
    CHECK_THAT(flowing(summary(lots)), !Contains("median"));
}

TEST_CASE("a margin's two scales differ by their degrees alone") {
    const std::vector<LotRecord> lots = shoulders(6);
    const Sheet sheet = period_summary(fixtures::larkspur(), kNight, lots, fixtures::made());
    const Chart* chart = nullptr;
    for (const Section& section : sheet.sections) {
        for (const Section& part : section.parts) {
            for (const Block& block : part.blocks) {
                chart = std::holds_alternative<Chart>(block) ? &std::get<Chart>(block) : chart;
            }
        }
    }
    REQUIRE(chart != nullptr);
    CHECK(chart->difference);
    REQUIRE(chart->series.size() == 1);
    REQUIRE(chart->series[0].runs.size() == 1);
    CHECK(chart->series[0].runs[0].size() == 6);
    CHECK(chart->series[0].runs[0][0].degrees == Approx(4));
    CHECK(chart->limits.at(0).degrees == Approx(0));
}

TEST_CASE("the log of checks says what was found, and never more than it shows") {
    const Sheet sheet =
        check_log(fixtures::larkspur(), kNight, fixtures::checks(), fixtures::made());
    const std::string csv = to_csv(sheet);
    CHECK_THAT(csv, Contains("within ±2 °F (+0.4 °F)"));
    CHECK_THAT(csv, Contains("outside ±2 °F (+3.5 °F); adjusted, then 202.8 °F"));
    CHECK_THAT(csv, Contains("differs by +0.3 °F"));
    CHECK_THAT(
        flowing(to_text(sheet)),
        Contains("3 checks of 3 thermometers: 1 within the tolerance as found, 1 outside it, "
                 "1 side by side. Checks due and not made: 1."));
    CHECK_THAT(csv, Contains("\"thin-5\",\"Last check\",\"never checked\""));
    // Side by side proves neither: one mark for within, one for outside.
    const std::string text = to_text(sheet);
    CHECK(fixtures::count_of(text, "■") == 1);
    CHECK(fixtures::count_of(text, "▼") == 1);
    const Sheet empty = check_log(fixtures::larkspur(), kNight, {}, fixtures::made());
    CHECK_THAT(to_text(empty), Contains("No check of a thermometer is on record"));
}
