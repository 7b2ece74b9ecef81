// One record under several codes, and what a file cannot say and the options can.
#include "kitchen.hpp"
#include "said.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>

using namespace kitchen;
using Catch::Matchers::Contains;
using holdwarden::test::Said;
using holdwarden::test::said;
using Json = nlohmann::json;

namespace {

/// Held at 60 °C for two hours: FDA Food Code 2022, 3-501.16(A)(1) asks for 57 °C, the Food Safety
/// and Hygiene (England) Regulations 2013, schedule 4, for 63 °C.
const std::string kSixty = "time,core_c\n2026-11-01T00:00:00Z,60\n2026-11-01T01:00:00Z,60\n"
                           "2026-11-01T02:00:00Z,60\n";

Said held(std::vector<std::string> more) {
    std::vector<std::string> words{"check", "--csv", "-", "--stage", "hot-holding"};
    words.insert(words.end(), more.begin(), more.end());
    return said(words, kSixty);
}

Json finding(const Json& answer, const std::string& requirement) {
    for (const Json& one : answer.at("lots").at(0).at("findings")) {
        if (one.at("requirement") == requirement) {
            return one;
        }
    }
    return {};
}

} // namespace

TEST_CASE("one record under several codes: side by side, and the worst is the exit status") {
    const Said both = held({"--code", "us-fda-2022", "--code", "uk-england"});
    CHECK(both.status == cli::kNotMet);
    CHECK_THAT(both.out, Contains("us-fda-2022") && Contains("uk-england"));
    CHECK_THAT(both.out, Contains("hot-holding   ") && Contains("not met"));
    CHECK(held({"--code", "us-fda-2022"}).status == cli::kDone);
    CHECK(held({"--code", "uk-england"}).status == cli::kNotMet);

    const Json json = Json::parse(
        held({"--code", "us-fda-2022", "--code", "uk-england", "--format", "json"}).out);
    std::ifstream schema{std::string{HOLDWARDEN_SOURCE_DIR} +
                         "/schema/json/holdwarden-checks-1.schema.json"};
    CHECK(test::schema_faults(Json::parse(schema), json).empty());
    CHECK(json["overall"] == "not-met");
    REQUIRE(json["checks"].size() == 2);
    CHECK(json["checks"][0]["overall"] == "met");
    CHECK(json["checks"][1]["overall"] == "not-met");
    CHECK(json["checks"][1]["code"]["id"] == "uk-england");
}

TEST_CASE("lots of a store are held against several codes too") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "60C", "--at", "2026-10-31 18:00"});
    const Answer answer = kitchen.says({"check", "brisket-1", "--code", "us-fda-2022", "--code",
                                        "uk-england", "--format", "json"});
    const Json json = Json::parse(answer.out);
    CHECK(json["checks"][0]["overall"] == "not-shown"); // one reading proves an instant
    CHECK(json["checks"][1]["overall"] == "not-met");
    CHECK(answer.status == cli::kNotMet);
}

TEST_CASE("a file reaches the roast table by what the options say of oven and mass") {
    // FDA Food Code 2022, 3-401.11(B): 130 °F for 112 min; 12 lb in a still dry oven at 250 °F.
    std::string csv = "time,core_f\n";
    const Instant start = *parse_rfc3339("2026-11-01T00:00:00Z");
    for (int minute = 0; minute <= 120; minute += 8) {
        csv += to_utc_text(start + Span::minutes(minute)) + ",131\n";
    }
    const auto roast = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"check",  "--csv",        "-",        "--stage", "cooking",
                                       "--food", "intact-roast", "--format", "json"};
        words.insert(words.end(), more.begin(), more.end());
        return finding(Json::parse(said(words, csv).out), "cooking-roast");
    };
    CHECK(roast({"--oven", "still-dry", "--setting", "250F", "--mass", "12lb"})["verdict"] ==
          "met");
    CHECK(roast({"--oven", "still-dry", "--setting", "225F", "--mass", "12lb"})["verdict"] ==
          "not-met");
    CHECK(roast({"--oven", "still-dry", "--setting", "250F", "--mass", "9lb"})["verdict"] ==
          "not-met");                           // under 10 lb it is 350 °F
    CHECK(roast({})["verdict"] == "not-shown"); // nobody says how it was heated
}

TEST_CASE("a file claims the six-hour form of time control by --form") {
    // FDA Food Code 2022, 3-501.19(B) and (C): four hours, or six if it began cold and stayed at or
    // below 70 °F.
    const std::string csv = "time,core_f\n2026-11-01T00:00:00Z,40\n2026-11-01T02:00:00Z,60\n"
                            "2026-11-01T05:00:00Z,65\n";
    const auto verdict = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"check",        "--csv",    "-",   "--stage",
                                       "time-control", "--format", "json"};
        words.insert(words.end(), more.begin(), more.end());
        return finding(Json::parse(said(words, csv).out), "time-control")["verdict"];
    };
    CHECK(verdict({}) == "not-met"); // food is still there after five hours
    CHECK(verdict({"--form", "6h"}) != "not-met");
}

TEST_CASE("a chance is shown to three digits, and only where the accuracy is known") {
    // JCGM 106:2012, 7.3: u = 1 °F / sqrt(3) = 0.577; (141.8 - 141) ... here 60 °C against 57 °C.
    CHECK(finding(Json::parse(held({"--format", "json"}).out), "hot-holding")["conformity"]
              .is_null());
    // a = 6 °C: u = 3.464 °C, Phi(3 / 3.464) = 0.8068 (normal table).
    const Json known =
        finding(Json::parse(held({"--tolerance", "6C", "--format", "json"}).out), "hot-holding");
    CHECK(known["conformity"]["probability"] == 0.807);
    CHECK(known["conformity"]["outcome"] == "conditional pass");
    CHECK(known["conformity"]["expanded_uncertainty"]["value"].get<double>() ==
          Approx(6.93).margin(0.01));
    CHECK_THAT(held({"--tolerance", "6C"}).out, Contains("0.807 that it truly lies"));
    // u = 0.058 °C: 3 °C away is 52 u, which rounds to a certainty that nobody has.
    const Json sure =
        finding(Json::parse(held({"--tolerance", "0.1C", "--format", "json"}).out), "hot-holding");
    CHECK(sure["conformity"]["probability"] == 0.999);
    CHECK_THAT(held({"--tolerance", "0.1C"}).out, Contains("more than 0.999 that it truly lies"));
}

TEST_CASE("MET-1: an answer names the decision rule its verdicts rest on, in text and JSON") {
    // ISO/IEC 17025:2017, 7.8.6: a statement of conformity names its rule; here simple acceptance
    // unless guarded acceptance is asked for (JCGM 106:2012, 8; clause number from memory).
    const auto in_one_line = [](std::string text) {
        std::ranges::replace(text, '\n', ' ');
        return text;
    };
    CHECK_THAT(in_one_line(held({}).out), Contains("readings as read"));
    CHECK(Json::parse(held({"--format", "json"}).out)["decision_rule"] == "as-read");
    const std::vector<std::string> guarded{"--rule", "guarded", "--tolerance", "6C"};
    const Said text = held(guarded);
    CHECK_THAT(in_one_line(text.out), Contains("guarded by the thermometer's accuracy"));
    CHECK(text.status == cli::kNotShown); // 3 °C above the limit, with a band of 6 °C
    std::vector<std::string> for_programs = guarded;
    for_programs.insert(for_programs.end(), {"--format", "json"});
    const Json json = Json::parse(held(for_programs).out);
    CHECK(json["decision_rule"] == "guarded");
    CHECK(finding(json, "hot-holding")["verdict"] == "not-shown");
}
