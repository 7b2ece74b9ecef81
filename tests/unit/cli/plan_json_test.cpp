#include "said.hpp"
#include "schema_walk.hpp"

#include <catch2/catch.hpp>

#include <fstream>

using holdwarden::test::said;
using holdwarden::test::schema_faults;
using Json = nlohmann::json;

namespace {

void fits(const std::string& name, std::vector<std::string> arguments,
          const std::string& input = "") {
    std::ifstream in{std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/json/holdwarden-" + name +
                     "-1.schema.json"};
    REQUIRE(in.good());
    arguments.insert(arguments.end(), {"--format", "json"});
    const auto answer = said(arguments, input);
    INFO(name << ": " << answer.err);
    REQUIRE(answer.status == holdwarden::cli::kDone);
    for (const std::string& fault : schema_faults(Json::parse(in), Json::parse(answer.out))) {
        FAIL_CHECK(fault);
    }
}

} // namespace

TEST_CASE("plans and forecasts in JSON fit their schemas") {
    fits("plan-rest", {"plan", "rest", "--place", "chest", "--samples", "5"});
    fits("plan-cool", {"plan", "cool", "--food", "rice", "--depth", "4cm", "--samples", "5"});
    fits("plan-night", {"plan", "night", "--serve", "2026-11-28 11:00", "--zone", "America/Denver",
                        "--cook", "10h..12h"});
    fits("plan-case",
         {"plan", "case", "--form", "sphere", "--diameter", "8cm", "--food", "stew", "--start",
          "60C", "--air", "3C", "--h", "20", "--until", "1h", "--limit", "41F"});
    std::string csv = "time,core_f\n";
    for (int i = 0; i < 8; ++i) {
        csv += "2026-11-28T20:" + std::to_string(10 + 5 * i) + ":00Z," +
               std::to_string(138 - 4 * i) + ".0\n";
    }
    const std::vector<std::string> ask{"forecast", "--csv", "-", "--stage", "cooling"};
    fits("forecast", ask, csv);
    fits("forecast", ask, csv.substr(0, 70));                                  // too early: nulls
    fits("forecast", {"forecast", "--csv", "-", "--stage", "reheating"}, csv); // not covered
}
