#include "described.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <iterator>
#include <string>
#include <vector>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

/// The lines of a pack that differ from another's, to show that an edition differs in these only.
std::vector<std::string> not_in(const std::vector<std::string>& lines,
                                const std::vector<std::string>& other) {
    std::vector<std::string> found;
    std::copy_if(lines.begin(), lines.end(), std::back_inserter(found), [&](const std::string& l) {
        return std::find(other.begin(), other.end(), l) == other.end();
    });
    return found;
}

} // namespace

// The figures of us-fda-2022 are laid beside their sources in us_fda_2022_test.cpp; the editions
// before it are compared with that list.

TEST_CASE("us-fda-2017 has the figures of 2022") {
    // Virginia 12VAC5-421-700 (2021), which adopted the 2017 edition: 155 °F for 17 s, poultry
    // 165 °F at once. The 2022 summary of changes names none of the clauses used here for a figure.
    const auto now = described::lines(described::shipped("us-fda-2022"));
    CHECK(described::lines(described::shipped("us-fda-2017")) == now);
}

TEST_CASE("us-fda-2013 differs from 2022 in two cooking times") {
    // FDA Food Code 2013, 3-401.11(A)(2) and (3), an excerpt in an inspection form's annex;
    // Wisconsin ATCP 75 appendix (2020): 155 °F for 15 s, poultry 165 °F for 15 s.
    const auto then = described::lines(described::shipped("us-fda-2013"));
    const auto now = described::lines(described::shipped("us-fda-2022"));
    CHECK(then.size() == now.size());
    CHECK(not_in(then, now) ==
          std::vector<std::string>{
              "cooking | 3-401.11(A)(2) | ground injected eggs | 145 °F (63 °C) or above 3 min; "
              "150 °F (66 °C) or above 1 min; 155 °F (68 °C) or above 15 s; "
              "158 °F (70 °C) or above 0 s",
              "cooking | 3-401.11(A)(3) | poultry stuffed game other-tcs | "
              "165 °F (74 °C) or above 15 s"});
}

TEST_CASE("every FDA edition asks for the same accuracy of thermometers") {
    // California Health and Safety Code 114159(c), the words of FDA Food Code 4-203.11.
    for (const char* id : {"us-fda-2013", "us-fda-2017"}) {
        const auto pack = described::shipped(id);
        REQUIRE(pack.thermometer);
        CHECK(pack.thermometer->celsius.thousandths() == 1000);
        CHECK(pack.thermometer->fahrenheit.thousandths() == 2000);
    }
}

namespace {

// FSIS Appendix A, "Compliance Guidelines for Meeting Lethality Performance Standards for Certain
// Meat and Poultry Products" (1999): °F, °C as printed (137 and 139 with its slips), 6.5-log and
// 7-log time. Minutes to 145 °F, seconds from 146 °F.
struct Row {
    int fahrenheit;
    const char* celsius;
    int log65;
    int log70;
};
constexpr Row kAppendixA[] = {
    {130, "54.4", 112, 121}, {131, "55", 89, 97},     {132, "55.6", 71, 77},
    {133, "56.1", 56, 62},   {134, "56.7", 45, 47},   {135, "57.2", 36, 37},
    {136, "57.8", 28, 32},   {137, "58.4", 23, 24},   {138, "58.9", 18, 19},
    {139, "59.5", 15, 15},   {140, "60", 12, 12},     {141, "60.6", 9, 10},
    {142, "61.1", 8, 8},     {143, "61.7", 6, 6},     {144, "62.2", 5, 5},
    {145, "62.8", 4, 4},     {146, "63.3", 169, 182}, {147, "63.9", 134, 144},
    {148, "64.4", 107, 115}, {149, "65", 85, 91},     {150, "65.6", 67, 72},
    {151, "66.1", 54, 58},   {152, "66.7", 43, 46},   {153, "67.2", 34, 37},
    {154, "67.8", 27, 29},   {155, "68.3", 22, 23},   {156, "68.9", 17, 19},
    {157, "69.4", 14, 15},   {158, "70", 0, 0},       {159, "70.6", 0, 0},
    {160, "71.1", 0, 0}};

std::string roast_line(const char* column, const char* option, int Row::*time) {
    std::string line = std::string{"cooking-roast | Appendix A (1999), "} + column +
                       " column | intact-roast | [" + option + "] ";
    for (const Row& row : kAppendixA) {
        line += std::to_string(row.fahrenheit) + " °F (" + row.celsius + " °C) or above " +
                std::to_string(row.*time) + (row.fahrenheit <= 145 ? " min; " : " s; ");
    }
    // FSIS Cooking Guideline (2021): no humidity needed for 10 lb or more at 250 °F (121 °C) or
    // higher throughout. 10 lb = 4535.92 g.
    return line + "still-dry from 4536 g: 250 °F (121 °C) or above; "
                  "convection from 4536 g: 250 °F (121 °C) or above";
}

} // namespace

TEST_CASE("us-fsis holds the published figures, and no others") {
    CHECK(described::lines(described::shipped("us-fsis")) ==
          std::vector<std::string>{
              roast_line("6.5-log", "6.5-log", &Row::log65),
              roast_line("7-log", "7-log", &Row::log70),
              // FSIS Cooking Guideline for Meat and Poultry Products (2021), come-up time.
              "come-up | Cooking Guideline (2021), come-up time | all | "
              "50 °F or below -> 130 °F or above, 6 h",
              // FSIS Appendix B (1999), options 1 and 2.
              "cooling-first-window | Appendix B (1999), option 1 | all | [stabilization-1] "
              "130 °F or above -> 80 °F or below, 1 h 30 min",
              "cooling-second-window | Appendix B (1999), option 1 | all | [stabilization-1] "
              "end of cooling-first-window -> 40 °F or below, 5 h",
              "cooling-start | Appendix B (1999), option 2 | all | [stabilization-2] "
              "end of cooking -> cooling, 1 h 30 min",
              // Ohio State University, meat-science sheet on Appendix B (1999).
              "cooling-first-window | Appendix B, option 2, the stricter reading | all | "
              "[stabilization-2] 120 °F or above -> 80 °F or below, 1 h",
              "cooling-second-window | Appendix B, option 2, the stricter reading | all | "
              "[stabilization-2] end of cooling-first-window -> 55 °F or below, 5 h",
              "cooling-total | Appendix B (1999), option 2 | all | [stabilization-2] "
              "120 °F or above -> 55 °F (12.7 °C) or below, 6 h",
          });
}

TEST_CASE("the FSIS pack keeps the two rows the 2021 guideline states in its text") {
    // FSIS Cooking Guideline (2021): 154 °F for 27 s, 158 °F at once (its 6.5-log table).
    const auto pack = described::shipped("us-fsis");
    const auto& table = std::get<TableRule>(pack.requirements.front().rule);
    CHECK(table.rows.at(154 - 130).keep == Span::seconds(27));
    CHECK(table.rows.at(158 - 130).keep == Span{});
    CHECK(table.rows.at(157 - 130).keep > Span{});
}
