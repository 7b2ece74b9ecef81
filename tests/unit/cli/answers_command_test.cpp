// flags, act and verify-action: 9 CFR 417.3 and 417.5(c), 21 CFR 114.100(c).
#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

/// A hold of beans that fell to 130 °F at 19:00 and was served at 20:00.
void missed_hold(Kitchen& k) {
    k.open_for_business();
    k.good({"stage", "beans-1", "hot-holding", "150F", "--at", "2026-10-31 18:00", "--by", "RK"});
    k.good({"log", "beans-1", "130F", "--at", "2026-10-31 19:00", "--by", "RK"});
    k.good({"stage", "beans-1", "served", "140F", "--at", "2026-10-31 20:00", "--by", "RK"});
}

const std::vector<std::string> kWhole{"act",           "beans-1",
                                      "--done",        "served at once",
                                      "--amount",      "2 pans",
                                      "--disposition", "served",
                                      "--cause",       "the lid was off",
                                      "--control",     "140 °F at 20:00",
                                      "--prevention",  "a lid on a chain",
                                      "--at",          "2026-10-31 19:05",
                                      "--by",          "RK"};

Json flags_json(Kitchen& k, const std::vector<std::string>& more = {}) {
    std::vector<std::string> arguments{"flags", "--format", "json"};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const Json answer = Json::parse(k.good(arguments));
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} +
                       "/schema/json/holdwarden-flags-1.schema.json"};
    for (const std::string& fault : test::schema_faults(Json::parse(file), answer)) {
        FAIL_CHECK(fault);
    }
    return answer["flags"];
}

std::string handle(Kitchen& k) {
    return flags_json(k)[0]["handle"].get<std::string>();
}

} // namespace

TEST_CASE("flags lists what is asked, overdue first, and says how to answer") {
    Kitchen k;
    missed_hold(k);
    const std::string text = k.good({"flags"});
    CHECK_THAT(text, Contains("1 unanswered (1 overdue)"));
    CHECK_THAT(text, Contains("beans-1: hot-holding not met"));
    CHECK_THAT(text, Contains("holdwarden act " + handle(k)));
    CHECK(flags_json(k)[0]["flag"] == "hot-holding@2026-11-01T00:00:00Z/core");
    CHECK(flags_json(k)[0]["overdue"] == true);
    CHECK(flags_json(k, {"brisket-1"}).empty());
    CHECK(flags_json(k, {"--from", "2026-10-31 12:00", "--to", "2026-10-31 17:00"}).empty());
    CHECK(flags_json(k, {"--from", "2026-10-31 12:00"}).size() == 1);
}

TEST_CASE("an action answers a flag, says what it lacks, and keeps its handle") {
    Kitchen k;
    missed_hold(k);
    const std::string first = handle(k);
    CHECK_THAT(k.good({"act", first.substr(0, 4), "--done", "served at once", "--by", "RK", "--at",
                       "2026-10-31 19:05"}),
               Contains("It still lacks how much of the food") && Contains("the cause"));
    CHECK(flags_json(k)[0]["state"] == "incomplete");
    CHECK_THAT(k.good({"act", "beans-1", "hot-holding", "--amount", "2 pans", "--disposition",
                       "served", "--cause", "the lid was off", "--control", "140 °F at 20:00",
                       "--prevention", "a lid on a chain", "--by", "RK"}),
               Contains("answered") && Contains("verify-action 2"));
    CHECK(handle(k) == first);
    const Json flag = flags_json(k)[0];
    CHECK(flag["state"] == "answered");
    REQUIRE(flag["actions"].size() == 1); // the second took up what the first said
    CHECK(flag["actions"][0]["done"] == "served at once");
    CHECK(flag["actions"][0]["at"] == "2026-10-31T19:05:00-06:00");
    CHECK(flag["actions"][0]["supersedes"] == 1);
}

TEST_CASE("an answer closes when a second person has signed that it will do") {
    Kitchen k;
    missed_hold(k);
    k.add_signer("RK", "person-in-charge", "7294");
    k.add_signer("QM", "reviewer", "8350", "RK", "7294");
    k.good(kWhole);
    // 9 CFR 417.5(c): by someone other than the one who made the record.
    const Answer own = k.says({"verify-action", "1", "--by", "RK", "--pin-file", "-"}, "7294\n");
    CHECK(own.status == cli::kFailed);
    CHECK(flags_json(k)[0]["state"] == "answered");
    const Answer wrong = k.says({"verify-action", "1", "--by", "QM", "--pin-file", "-"}, "0000\n");
    CHECK(wrong.status == cli::kFailed);
    CHECK(flags_json(k)[0]["state"] == "answered");
    CHECK_THAT(k.good({"verify-action", "1", "--by", "QM", "--pin-file", "-"}, "8350\n"),
               Contains("verified by QM") && Contains("closed"));
    CHECK(flags_json(k).empty());
    const Json closed = flags_json(k, {"--all"});
    REQUIRE(closed.size() == 1);
    CHECK(closed[0]["state"] == "closed");
    CHECK(closed[0]["verifications"][0]["by"] == "QM");
    // What is said otherwise afterwards needs a reason, and a second look.
    const std::string name = closed[0]["handle"].get<std::string>();
    CHECK(k.says({"act", name, "--cause", "the heater was off", "--by", "RK"}).status ==
          cli::kWrongUsage);
    k.good({"act", name, "--cause", "the heater was off", "--why", "found later", "--by", "RK"});
    CHECK(flags_json(k)[0]["state"] == "answered");
    CHECK(k.says({"verify-action", "1", "--by", "QM", "--pin-file", "-"}, "8350\n").status ==
          cli::kFailed);
}

TEST_CASE("an incomplete answer cannot be accepted, and one found wanting stays open") {
    Kitchen k;
    missed_hold(k);
    k.add_signer("QM", "reviewer", "8350");
    k.good(
        {"act", "beans-1", "--done", "served at once", "--at", "2026-10-31 19:05", "--by", "RK"});
    CHECK_THAT(k.says({"verify-action", "1", "--by", "QM", "--pin-file", "-"}, "8350\n").err,
               Contains("lacks"));
    std::vector<std::string> whole = kWhole;
    k.good(whole);
    CHECK_THAT(k.good({"verify-action", "2", "--wanting", "--note", "nobody measured the pans",
                       "--by", "QM", "--pin-file", "-"},
                      "8350\n"),
               Contains("found wanting") && Contains("incomplete"));
    CHECK(flags_json(k)[0]["missing"][0]["field"] == "verification");
}

TEST_CASE("REC-13: a deviation that no limit tells is a flag of its own") {
    Kitchen k;
    k.open_for_business();
    k.good({"stage", "beans-1", "hot-holding", "150F", "--at", "2026-11-01 05:50", "--by", "RK"});
    k.good({"log", "beans-1", "150F", "--at", "2026-11-01 06:00", "--by", "RK"});
    CHECK_THAT(k.good({"act", "beans-1", "--deviation", "glass broke above the pans", "--done",
                       "all thrown away", "--at", "2026-11-01 05:55", "--by", "RK"}),
               Contains("glass broke") && Contains("how the food was held apart") &&
                   Contains("reassessment"));
    const Json flag = flags_json(k)[0];
    CHECK(flag["planned"] == false);
    CHECK(flag["flag"] == "unforeseen@2026-11-01T12:55:00Z");
    k.good(
        {"act", flag["handle"].get<std::string>(), "--held-apart", "in the walk-in", "--by", "RK"});
    CHECK(flags_json(k).size() == 1);
    CHECK(flags_json(k)[0]["actions"][0]["held_apart"] == "in the walk-in");
}

TEST_CASE("on a terminal what is missing is asked, and an empty line leaves it for later") {
    Kitchen k;
    missed_hold(k);
    std::istringstream in{"served at once\n\nserved\nthe lid was off\n"};
    std::ostringstream out;
    std::ostringstream err;
    cli::Context context{.in = in,
                         .out = out,
                         .err = err,
                         .now = [] { return *parse_rfc3339("2026-11-01T06:00:00-07:00"); },
                         .env = [&](const std::string& name) -> std::optional<std::string> {
                             const auto found = k.environment().find(name);
                             return found == k.environment().end() ? std::nullopt
                                                                   : std::optional{found->second};
                         },
                         .data = HOLDWARDEN_SOURCE_DIR,
                         .in_is_terminal = true};
    REQUIRE(cli::run({"act", "beans-1", "--by", "RK"}, context) == cli::kDone);
    CHECK_THAT(err.str(), Contains("What was the cause?"));
    CHECK(err.str().find("held apart") == std::string::npos); // of the unforeseen only
    const Json action = flags_json(k)[0]["actions"][0];
    CHECK(action["done"] == "served at once");
    CHECK(action["amount"].is_null());
    CHECK(action["disposition"] == "served");
    CHECK(action["cause"] == "the lid was off");
    CHECK(action["control"] == "");
}

TEST_CASE("several flags of a lot are told apart, and nothing is answered by chance") {
    Kitchen k;
    k.open_for_business();
    k.good({"stage", "beans-1", "cooking", "40F", "--at", "2026-10-31 18:00"});
    k.good({"stage", "beans-1", "hot-holding", "130F", "--at", "2026-10-31 19:00"});
    k.good({"stage", "beans-1", "served", "130F", "--at", "2026-10-31 20:00"});
    const Answer vague = k.says({"act", "beans-1", "--done", "x", "--by", "RK"});
    CHECK(vague.status == cli::kFailed);
    CHECK_THAT(vague.err, Contains("may mean") && Contains("hot-holding"));
    CHECK(k.says({"act", "beans-1", "cold", "--done", "x", "--by", "RK"}).status == cli::kFailed);
    k.good({"act", "beans-1", "hot", "--done", "x", "--by", "RK"});
    CHECK(flags_json(k)[0]["state"] == "unanswered"); // the other comes first now
    CHECK(flags_json(k).back()["requirement"] == "hot-holding");
}

TEST_CASE("REC-14: the register of deviations is a sheet of its own, also as CSV") {
    // 21 CFR 114.100(c): departures in a separate file or log.
    Kitchen k;
    missed_hold(k);
    k.good(kWhole);
    const std::string csv =
        k.good({"sheet", "--actions", "--night", "2026-10-31", "--format", "csv"});
    CHECK_THAT(csv, Contains("beans-1") && Contains("2 pans") && Contains("served at once"));
    CHECK_THAT(k.good({"sheet", "--actions", "--from", "2026-10-28", "--to", "2026-10-29"}),
               Contains("No deviation"));
    CHECK_THAT(k.good({"sheet", "--open-items", "--format", "csv"}),
               Contains("beans-1") && Contains("A second person verifies it"));
    CHECK_THAT(k.good({"sheet", "beans-1", "--format", "csv"}), Contains("answered, not verified"));
    CHECK_THAT(k.good({"sheet", "--night", "2026-10-31", "--format", "csv"}),
               Contains("1 action, all answered"));
}
