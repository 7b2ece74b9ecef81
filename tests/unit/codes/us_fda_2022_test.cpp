#include "described.hpp"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

// FDA Food Code 3-401.11(B)(2), the chart of internal temperatures and holding times, read in the
// excerpt of the 2013 edition reproduced in inspection forms and in the CDC Vessel Sanitation
// Program Operations Manual (2018); that 2022 prints the same rows is from memory.
const std::string kRoastRows =
    "130 °F (54.4 °C) or above 112 min; 131 °F (55 °C) or above 89 min; "
    "133 °F (56.1 °C) or above 56 min; 135 °F (57.2 °C) or above 36 min; "
    "136 °F (57.8 °C) or above 28 min; 138 °F (58.9 °C) or above 18 min; "
    "140 °F (60 °C) or above 12 min; 142 °F (61.1 °C) or above 8 min; "
    "144 °F (62.2 °C) or above 5 min; 145 °F (62.8 °C) or above 4 min; "
    "147 °F (63.9 °C) or above 134 s; 149 °F (65 °C) or above 85 s; "
    "151 °F (66.1 °C) or above 54 s; 153 °F (67.2 °C) or above 34 s; "
    "155 °F (68.3 °C) or above 22 s; 157 °F (69.4 °C) or above 14 s; "
    "158 °F (70 °C) or above 0 s";
// 3-401.11(B)(1), oven types and temperatures by roast weight: same sources, and Minnesota Rules
// 4626.0340 (2019). 10 lb = 4535.92 g (NIST SP 811 (2008), B.8, from memory).
const std::string kRoastOvens = "; still-dry below 4536 g: 350 °F (177 °C) or above; "
                                "still-dry from 4536 g: 250 °F (121 °C) or above; "
                                "convection below 4536 g: 325 °F (163 °C) or above; "
                                "convection from 4536 g: 250 °F (121 °C) or above; "
                                "high-humidity below 4536 g: 250 °F (121 °C) or below; "
                                "high-humidity from 4536 g: 250 °F (121 °C) or below";

} // namespace

TEST_CASE("us-fda-2022 holds the published figures in both scales, and no others") {
    CHECK(
        described::lines(described::shipped("us-fda-2022")) ==
        std::vector<std::string>{
            // Virginia 12VAC5-421-700 (2021), FDA clause 3-401.11(A).
            "cooking | 3-401.11(A)(1)(b) | fish whole-cut intact-roast | "
            "145 °F (63 °C) or above 15 s",
            "cooking | 3-401.11(A)(2) | ground injected eggs | 145 °F (63 °C) or above 3 min; "
            "150 °F (66 °C) or above 1 min; 155 °F (68 °C) or above 17 s; "
            "158 °F (70 °C) or above 0 s",
            "cooking | 3-401.11(A)(3) | poultry stuffed game other-tcs | "
            "165 °F (74 °C) or above 0 s",
            // FDA Food Code 2022, 3-401.13 (from memory).
            "cooking | 3-401.13 | plant | 135 °F (57 °C) or above 0 s",
            // "Rest counts": the note to the chart, in an excerpt of the 2013 edition and in the
            // CDC
            // Vessel Sanitation Program manual of 2018; for 2022 from memory.
            "cooking-roast | 3-401.11(B) | intact-roast | " + kRoastRows + kRoastOvens +
                "; rest counts",
            // Minnesota Rules 4626.0349 (2019), Virginia 12VAC5-421-725, Delaware Food Code (2014):
            // no more than 60 minutes, then cooled at once.
            "initial-heating | 3-401.14(A), (B) | intact-roast whole-cut ground injected poultry "
            "stuffed fish eggs game other-tcs | start of the stage -> cooling, 1 h",
            // Delaware Food Code (2014) and Wisconsin ATCP 75 appendix (2020), 3-501.16.
            "hot-holding | 3-501.16(A)(1) | all | 135 °F (57 °C) or above",
            "hot-holding-roast | 3-501.16(A)(1) | intact-roast | 130 °F (54 °C) or above",
            "cold-holding | 3-501.16(A)(2) | all | 41 °F (5 °C) or below",
            // Delaware Food Code (2014), 3-501.14.
            "cooling-first-window | 3-501.14(A)(1) | all | "
            "135 °F (57 °C) or above -> 70 °F (21 °C) or below, 2 h",
            "cooling-total | 3-501.14(A)(2) | all | "
            "135 °F (57 °C) or above -> 41 °F (5 °C) or below, 6 h",
            "cooling-from-ambient | 3-501.14(B) | all | "
            "start of the stage -> 41 °F (5 °C) or below, 4 h",
            // Delaware (2014), Wisconsin (2020), Minnesota Rules 4626.0360 (2019), 3-403.11.
            "reheating | 3-403.11(A) | intact-roast whole-cut ground injected poultry stuffed "
            "fish eggs game plant other-tcs | 165 °F (74 °C) or above 15 s",
            "reheating | 3-403.11(C) | packaged-ready-to-eat | 135 °F (57 °C) or above 0 s",
            "reheating | 3-403.11(E) | intact-roast | " + kRoastRows + kRoastOvens +
                "; after a roast cook",
            "reheating-time | 3-403.11(D) | all | 41 °F (5 °C) or below -> reheated, 2 h",
            // Delaware (2014), Wisconsin (2020), 3-501.19.
            "time-control | 3-501.19(B) | all | "
            "41 °F (5 °C) or below or 135 °F (57 °C) or above, 4 h",
            "time-control | 3-501.19(C) | all | 41 °F (5 °C) or below, 6 h, six-hour form",
            "time-control-ceiling | 3-501.19(C) | all | 70 °F (21 °C) or below, six-hour form",
            // Wisconsin (2020), 3-501.17 (part); Minnesota Rules 4626.0400 (2014).
            "date-mark | 3-501.17 | all | 7 days, over 1 d, 41 °F (5 °C) or below",
        });
}

TEST_CASE("us-fda-2022 asks food thermometers for 1 C degree or 2 F degrees") {
    // California Health and Safety Code 114159(c), the words of FDA Food Code 4-203.11.
    const Pack pack = described::shipped("us-fda-2022");
    REQUIRE(pack.thermometer);
    CHECK(pack.thermometer->celsius == TemperatureDelta::of_thousandths(1000, Scale::celsius));
    CHECK(pack.thermometer->fahrenheit ==
          TemperatureDelta::of_thousandths(2000, Scale::fahrenheit));
    CHECK(pack.thermometer->clause == "4-203.11");
}

TEST_CASE("no figure of us-fda-2022 claims to be seen in the 2022 edition itself") {
    // Guards an honest label: no copy of its chapters was at hand when the pack was written.
    for (const Requirement& requirement : described::shipped("us-fda-2022").requirements) {
        INFO(requirement.id << " " << requirement.clause);
        CHECK((requirement.status == Status::seen_in_adoption ||
               requirement.status == Status::remembered));
    }
}

namespace {

// FSIS Appendix A, "Compliance Guidelines for Meeting Lethality Performance Standards for Certain
// Meat and Poultry Products" (1999), minimum internal temperature (°F) and processing time, 6.5-log
// column: minutes to 145 °F, seconds from 146 °F. At 158 °F and above it prints 0 s.
const std::map<int, int> kFsisMinutes{
    {130, 112}, {131, 89}, {132, 71}, {133, 56}, {134, 45}, {135, 36}, {136, 28}, {137, 23},
    {138, 18},  {139, 15}, {140, 12}, {141, 9},  {142, 8},  {143, 6},  {144, 5},  {145, 4}};
const std::map<int, int> kFsisSeconds{{146, 169}, {147, 134}, {148, 107}, {149, 85},
                                      {150, 67},  {151, 54},  {152, 43},  {153, 34},
                                      {154, 27},  {155, 22},  {156, 17},  {157, 14}};

/// The published times are a straight line in log time, rounded up: z = 10.01 F degrees, 11.14 min
/// for 6.5 log at 140 °F. An inference from the table (found by search over z and the time), not
/// a statement in it.
double line_minutes(int fahrenheit) {
    return 11.14 * std::pow(10.0, (140 - fahrenheit) / 10.01);
}

} // namespace

TEST_CASE("the 28 FSIS rows are one log-linear law, rounded up to whole minutes and seconds") {
    CHECK(kFsisMinutes.size() + kFsisSeconds.size() == 28);
    for (const auto& [fahrenheit, minutes] : kFsisMinutes) {
        INFO(fahrenheit);
        CHECK(std::ceil(line_minutes(fahrenheit)) == minutes);
    }
    for (const auto& [fahrenheit, seconds] : kFsisSeconds) {
        INFO(fahrenheit);
        CHECK(std::ceil(60.0 * line_minutes(fahrenheit)) == seconds);
    }
}

TEST_CASE("the FDA roast table is a subset of the FSIS rows, both for cooking and reheating") {
    const Pack pack = described::shipped("us-fda-2022");
    int tables = 0;
    for (const Requirement& requirement : pack.requirements) {
        const auto* table = std::get_if<TableRule>(&requirement.rule);
        if (table == nullptr || table->ovens.empty()) {
            continue;
        }
        ++tables;
        REQUIRE(table->rows.size() == 17);
        for (const TableRow& row : table->rows) {
            const int f = row.at.printed(Scale::fahrenheit)->thousandths() / 1000;
            INFO(f);
            const Span printed = f >= 158   ? Span{}
                                 : f <= 145 ? Span::minutes(kFsisMinutes.at(f))
                                            : Span::seconds(kFsisSeconds.at(f));
            CHECK(row.keep == printed);
            // The Celsius figure is the Fahrenheit one, converted and rounded to a tenth.
            const double celsius = row.at.printed(Scale::celsius)->degrees();
            CHECK(celsius == Approx((f - 32) / 1.8).margin(0.0501));
        }
    }
    CHECK(tables == 2);
}
