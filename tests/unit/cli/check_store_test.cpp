#include "kitchen.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

/// A reading of p1 every 30 minutes from 18:00 to 05:30, two passes of 01:30 included: 13 true
/// hours. `at(i)` gives the temperature of the i-th.
std::string night(const std::function<int(int)>& at) {
    std::string csv = "time,p1_f\n";
    const Instant start = *parse_rfc3339("2026-10-31T18:00:00-06:00");
    for (int i = 0; i <= 25; ++i) {
        csv += to_utc_text(start + Span::minutes(30 * i)) + "," + std::to_string(at(i)) + "\n";
    }
    return csv;
}

void hold(Kitchen& kitchen, const std::function<int(int)>& at) {
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00"});
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00"});
    kitchen.good({"import", kitchen.write("night.csv", night(at))});
}

Json finding(const Json& answer, const std::string& requirement) {
    for (const Json& one : answer["lots"][0]["findings"]) {
        if (one["requirement"] == requirement) {
            return one;
        }
    }
    return {};
}

} // namespace

TEST_CASE("a stored hold is judged by FDA Food Code 2022, 3-501.16(A)(1): 135 °F or above") {
    Kitchen kitchen;
    kitchen.open_for_business();
    SECTION("at 135 °F all night: met") {
        hold(kitchen, [](int) { return 135; });
        const Answer answer = kitchen.says({"check", "brisket-1", "--format", "json"});
        const Json json = Json::parse(answer.out);
        CHECK(finding(json, "hot-holding")["verdict"] == "met");
        CHECK(json["as_of"] == "2026-11-01T06:00:00-07:00");
        CHECK(answer.err.empty());
    }
    SECTION("one reading at 134 °F: not met") {
        hold(kitchen, [](int i) { return i == 12 ? 134 : 140; });
        const Answer answer = kitchen.says({"check", "brisket-1", "--format", "json"});
        CHECK(answer.status == cli::kNotMet);
        CHECK(finding(Json::parse(answer.out), "hot-holding")["verdict"] == "not-met");
    }
    SECTION("judged as things stood before that reading: not yet missed") {
        hold(kitchen, [](int i) { return i == 12 ? 134 : 140; });
        const Answer answer =
            kitchen.says({"check", "brisket-1", "--as-of", "2026-10-31 23:45", "--format", "json"});
        CHECK(finding(Json::parse(answer.out), "hot-holding")["verdict"] != "not-met");
    }
}

TEST_CASE("the site's largest interval is used, and --max-gap stands in its place") {
    Kitchen kitchen;
    kitchen.set_clock("2026-11-01T06:00:00-07:00");
    kitchen.good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver",
                  "--max-gap", "20min"});
    kitchen.good({"probe", "add", "p1"});
    kitchen.good({"lot", "open", "brisket-1", "--at", "2026-10-31 05:00"});
    hold(kitchen, [](int) { return 140; });
    const auto verdict = [&](const std::vector<std::string>& arguments) {
        return finding(Json::parse(kitchen.says(arguments).out), "hot-holding")["verdict"];
    };
    CHECK(verdict({"check", "--format", "json"}) == "not-shown"); // readings are 30 min apart
    CHECK(verdict({"check", "--format", "json", "--max-gap", "30min"}) == "met");
}

TEST_CASE("several lots, all lots, or those that have not ended") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-2", "served", "--at", "2026-10-31 20:00"});
    const auto lots = [&](const std::vector<std::string>& arguments) {
        std::vector<std::string> names;
        const Json answer = Json::parse(kitchen.says(arguments).out);
        for (const Json& lot : answer["lots"]) {
            names.push_back(lot["lot"]);
        }
        return names;
    };
    using Names = std::vector<std::string>;
    CHECK(lots({"check", "--format", "json"}) == Names{"brisket-1", "beans-1"});
    CHECK(lots({"check", "--all", "--format", "json"}) ==
          Names{"brisket-1", "brisket-2", "beans-1"});
    CHECK(lots({"check", "beans", "brisket-2", "beans-1", "--format", "json"}) ==
          Names{"beans-1", "brisket-2"});
}

TEST_CASE("a lot nobody measured is never met") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00"});
    const Answer answer = kitchen.says({"check", "brisket-1"});
    CHECK(answer.status != cli::kDone);
    CHECK(answer.status != cli::kFailed);
}

TEST_CASE("a check of the store that cannot be made says why") {
    Kitchen kitchen;
    CHECK_THAT(kitchen.says({"check"}).err, Contains("no such file") && Contains("init"));
    kitchen.open_for_business();
    const auto refused = [&](const std::vector<std::string>& arguments, int status) {
        const Answer answer = kitchen.says(arguments);
        CHECK(answer.status == status);
        CHECK(answer.out.empty());
        return answer.err;
    };
    CHECK_THAT(refused({"check", "ham"}, cli::kFailed), Contains("lot open"));
    CHECK_THAT(refused({"check", "--food", "plant"}, cli::kWrongUsage), Contains("--csv"));
    CHECK_THAT(refused({"check", "beans-1", "--csv", "x.csv"}, cli::kWrongUsage),
               Contains("one or the other"));
    CHECK_THAT(refused({"check", "--code", "us-fda-1776"}, cli::kFailed), Contains("us-fda-2022"));
    CHECK_THAT(refused({"check", "--as-of", "noon"}, cli::kWrongUsage), Contains("--as-of"));
    for (const char* lot : {"brisket-1", "brisket-2", "beans-1"}) {
        kitchen.good({"stage", lot, "served"});
    }
    CHECK_THAT(refused({"check"}, cli::kFailed), Contains("--all"));
}

TEST_CASE("many lots are judged together as each is alone, in their order") {
    Kitchen kitchen;
    kitchen.open_for_business();
    std::vector<std::string> all{"check", "--format", "json"};
    Json alone = Json::array();
    std::vector<std::string> pans;
    for (int i = 0; i < 20; ++i) {
        pans.push_back("pan-" + std::to_string(i));
        const std::string& pan = pans.back();
        kitchen.good({"lot", "open", pan, "--at", "2026-10-31 17:00"});
        kitchen.good({"stage", pan, "hot-holding", "--at", "2026-10-31 18:00"});
        // FDA Food Code 2022, 3-501.16(A)(1): 135 °F or above.
        kitchen.good({"log", pan, std::to_string(130 + i) + "F", "--at", "2026-10-31 18:00"});
        if (i % 3 == 0) {
            kitchen.good({"stage", pan, "served", "--at", "2026-10-31 18:30"});
        }
    }
    for (const std::string& pan : pans) {
        all.push_back(pan);
        alone.push_back(
            Json::parse(kitchen.says({"check", "--format", "json", pan}).out).at("lots").at(0));
    }
    const Answer together = kitchen.says(all);
    CHECK(together.status == cli::kNotMet);
    CHECK(Json::parse(together.out).at("lots") == alone);
    CHECK(alone.at(4).at("overall") == "not-met");
    CHECK(alone.at(6).at("overall") != "not-met");
}
