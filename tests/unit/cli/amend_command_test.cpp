// The record corrected from the command line. REC numbers: docs/decisions/0040. The hold's limit is
// 135 °F (FDA Food Code 2022, 3-501.16(A)(1)).
#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

std::string faults(const std::string& answer) {
    const Json value = Json::parse(answer);
    std::string name = value.at("format");
    name.replace(name.find('/'), 1, "-");
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/json/" + name +
                       ".schema.json"};
    std::string text;
    for (const std::string& fault : test::schema_faults(Json::parse(file), value)) {
        text += fault + "\n";
    }
    return text;
}

/// beans-1 held from 18:00 to 19:30 by hand readings, one of them written down wrong.
void hold(Kitchen& kitchen) {
    kitchen.open_for_business();
    const auto log = [&](const char* value, const char* at) {
        kitchen.good({"log", "beans-1", value, "--at", at, "--by", "RK", "--sure"});
    };
    kitchen.good(
        {"stage", "beans-1", "hot-holding", "150F", "--at", "2026-10-31 18:00", "--by", "RK"});
    log("104F", "2026-10-31 18:30");
    log("141F", "2026-10-31 19:00");
    kitchen.good({"stage", "beans-1", "served", "142F", "--at", "2026-10-31 19:30", "--by", "RK"});
}

/// The same held in brisket-1 by a probe that was pulled out at 18:20 for two readings.
void logged_hold(Kitchen& kitchen) {
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00", "--by", "RK"});
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00", "--by", "RK"});
    std::string csv = "time,p1_f\n";
    for (int minute = 0; minute <= 50; minute += 5) {
        const bool pulled = minute == 20 || minute == 25;
        csv += "2026-10-31 18:" + std::string(minute < 10 ? "0" : "") + std::to_string(minute) +
               (pulled ? ",88.0\n" : ",151.0\n");
    }
    kitchen.good({"import", kitchen.write("hold.csv", csv), "--by", "RK"});
    kitchen.good({"stage", "brisket-1", "served", "--at", "2026-10-31 18:50", "--by", "RK"});
}

Json checked(Kitchen& kitchen, const char* lot, int status) {
    const Answer answer = kitchen.says({"check", lot, "--format", "json"});
    CHECK(answer.status == status);
    CHECK(faults(answer.out) == "");
    return Json::parse(answer.out).at("lots").at(0);
}

const std::vector<std::string> kSetAside{"set-aside",
                                         "brisket-1",
                                         "2026-10-31 18:20",
                                         "2026-10-31 18:25",
                                         "--why",
                                         "the probe was pulled",
                                         "--by",
                                         "RK"};

} // namespace

TEST_CASE("REC-1: an amended reading is judged, and its old value stands on every print") {
    Kitchen kitchen;
    hold(kitchen);
    checked(kitchen, "beans-1", cli::kNotMet);
    const std::string said =
        kitchen.good({"amend", "reading", "beans-1", "2026-10-31 18:30", "--value", "140F", "--why",
                      "figures swapped", "--by", "MM"});
    CHECK_THAT(said, Contains("value 140 °F, was 104 °F") && Contains("MM: figures swapped"));
    CHECK_THAT(said, Contains("met; as first recorded: not met"));

    const Json lot = checked(kitchen, "beans-1", cli::kDone);
    CHECK(lot["as_first_recorded"] == "not-met");
    CHECK(lot["amendments"][0]["changes"][0] ==
          Json{{"field", "value"}, {"was", "104 °F"}, {"now", "140 °F"}});
    CHECK(lot["amendments"][0]["by"] == "MM");
    CHECK(lot["amendments"][0]["why"] == "figures swapped");

    for (const char* format : {"text", "ascii", "csv", "html"}) {
        INFO(format);
        const std::string sheet = kitchen.good({"sheet", "beans-1", "--format", format});
        CHECK_THAT(sheet, Contains("104") && Contains("140") && Contains("figures swapped") &&
                              Contains("MM"));
        CHECK_THAT(sheet, Contains("[1]"));
    }
    // ACC-5: struck through where a line can be drawn, and said in words everywhere.
    CHECK_THAT(kitchen.good({"sheet", "beans-1", "--format", "html"}),
               Contains(", was <s>104 °F</s> [1]"));
    CHECK_THAT(kitchen.good({"sheet", "beans-1", "--format", "csv"}), Contains("was 104 °F [1]"));
    const std::string night = kitchen.good({"sheet", "--night", "2026-10-31"});
    CHECK_THAT(night, Contains("beans-1"));
}

TEST_CASE("a record amended and amended back is judged as it was, and both amendments stay") {
    Kitchen kitchen;
    hold(kitchen);
    const Json before = checked(kitchen, "beans-1", cli::kNotMet);
    const auto amend = [&](const char* value) {
        kitchen.good({"amend", "reading", "beans-1", "2026-10-31 18:30", "--value", value, "--why",
                      "to and fro", "--by", "MM"});
    };
    amend("140F");
    amend("104F");
    const Json after = checked(kitchen, "beans-1", cli::kNotMet);
    CHECK(after["overall"] == before["overall"]);
    CHECK(after["amendments"].size() == 2);
    REQUIRE(after["findings"].size() == before["findings"].size());
    for (std::size_t i = 0; i < before["findings"].size(); ++i) {
        CHECK(after["findings"][i]["verdict"] == before["findings"][i]["verdict"]);
        CHECK(after["findings"][i]["reason"] == before["findings"][i]["reason"]);
    }
    CHECK(after["flags"] == before["flags"]);
}

TEST_CASE("REC-2: a voided reading is out of the judgement and still on the sheet") {
    Kitchen kitchen;
    hold(kitchen);
    kitchen.good({"amend", "reading", "beans-1", "2026-10-31 18:30", "--void", "--why",
                  "read in the wrong pan", "--by", "MM"});
    checked(kitchen, "beans-1", cli::kDone);
    CHECK_THAT(kitchen.good({"sheet", "beans-1", "--format", "html"}),
               Contains("void, was <s>104 °F</s> [1]") && Contains("read in the wrong pan"));
    CHECK_THAT(kitchen.good({"sheet", "beans-1"}), Contains("void"));
    // Amended, it comes back.
    kitchen.good({"amend", "reading", "beans-1", "2026-10-31 18:30", "--why", "it was this pan",
                  "--by", "MM"});
    checked(kitchen, "beans-1", cli::kNotMet);
}

TEST_CASE("stages, ends, lots and placements are amended, and the sheet shows what stood there") {
    Kitchen kitchen;
    hold(kitchen);
    CHECK_THAT(
        kitchen.good({"amend", "stage", "beans-1", "hot-holding", "--from", "2026-10-31 17:50",
                      "--unit", "cabinet-1", "--why", "earlier", "--by", "MM"}),
        Contains("from 2026-10-31 17:50 -06:00, was 2026-10-31 18:00 -06:00"));
    CHECK_THAT(kitchen.good(
                   {"amend", "lot", "beans-1", "--mass", "4kg", "--why", "weighed", "--by", "MM"}),
               Contains("mass 4 kg, was not said"));
    CHECK_THAT(kitchen.good({"amend", "end", "beans-1", "--outcome", "discarded", "--why",
                             "it went to the bin", "--by", "MM"}),
               Contains("end discarded, was served"));
    kitchen.good({"place", "p1", "beans-1", "--at", "2026-10-31 18:00", "--until",
                  "2026-10-31 19:00", "--by", "RK"});
    CHECK_THAT(kitchen.good({"amend", "placement", "p1", "2026-10-31 18:00", "--from",
                             "2026-10-31 18:10", "--why", "it lay on the table", "--by", "MM"}),
               Contains("18:10 -06:00 to 2026-10-31 19:00"));
    const std::string sheet = kitchen.good({"sheet", "beans-1", "--format", "html"});
    CHECK_THAT(sheet, Contains("was <s>") && Contains("it lay on the table") &&
                          Contains("it went to the bin") && Contains("weighed"));
    CHECK_THAT(
        kitchen.good({"amend", "end", "beans-1", "--void", "--why", "still here", "--by", "MM"}),
        Contains("void from now on"));
    CHECK_THAT(kitchen.good({"lot", "list"}), Contains("beans-1"));
}

TEST_CASE(
    "readings set aside show both verdicts, and the worse counts till a second person signs") {
    Kitchen kitchen;
    logged_hold(kitchen);
    checked(kitchen, "brisket-1", cli::kNotMet);
    const std::string said = kitchen.good(kSetAside);
    CHECK_THAT(said, Contains("2 readings") && Contains("mark 1") &&
                         Contains("With all readings: not met") && Contains("set aside: met"));
    const Json waiting = checked(kitchen, "brisket-1", cli::kNotMet);
    CHECK(waiting["set_aside"] == Json{{"as_recorded", "not-met"},
                                       {"left_out", "met"},
                                       {"verified", false},
                                       {"readings", 2}});
    CHECK_THAT(kitchen.says({"check", "brisket-1"}).out,
               Contains("With all readings: not met. With 2 set aside: met."));
    CHECK_THAT(kitchen.good({"sheet", "brisket-1", "--format", "csv"}),
               Contains("set aside, not verified") && Contains("As recorded: not met"));

    // Nobody verifies their own entry, nor without a PIN.
    kitchen.add_signer("RK", "reviewer", "7294");
    kitchen.add_signer("MM", "reviewer", "8350");
    const std::vector<std::string> verify{"set-aside", "verify", "1", "--pin-file", "-", "--by"};
    const auto by = [&](const char* who) {
        auto arguments = verify;
        arguments.emplace_back(who);
        return arguments;
    };
    CHECK(kitchen.says(by("RK"), "7294\n").status == cli::kFailed);
    CHECK(kitchen.says(by("MM"), "0000\n").status == cli::kFailed);
    checked(kitchen, "brisket-1", cli::kNotMet);
    CHECK_THAT(kitchen.good(by("MM"), "8350\n"), Contains("verified by MM"));
    const Json verified = checked(kitchen, "brisket-1", cli::kDone);
    CHECK(verified["set_aside"]["as_recorded"] == "not-met");
    CHECK(verified["set_aside"]["verified"] == true);
    CHECK(verified["marks"][0]["verified_by"] == "MM");
    CHECK_THAT(kitchen.good({"sheet", "brisket-1"}), Contains("verified by a second person") &&
                                                         Contains("As recorded: not met") &&
                                                         Contains("88 °F"));
    // Confirming takes it back.
    kitchen.good({"confirm", "brisket-1", "2026-10-31 18:20", "2026-10-31 18:25", "--why",
                  "it was in the food after all", "--by", "MM"});
    checked(kitchen, "brisket-1", cli::kNotMet);
}

// 21 CFR 11.70 (from memory): a signature is linked to the record that was signed, and cannot be
// carried over to another.
TEST_CASE("what is imported after a confirmation is not confirmed by it") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"lot", "open", "wings-1", "--food", "poultry", "--at", "2026-10-31 12:00"});
    kitchen.good({"stage", "wings-1", "cooking", "--at", "2026-10-31 12:00", "--by", "RK"});
    kitchen.good({"place", "p1", "wings-1", "--at", "2026-10-31 12:00", "--until",
                  "2026-10-31 13:00", "--by", "RK"});
    const auto import = [&](const char* name, const char* rows) {
        kitchen.good(
            {"import", kitchen.write(name, std::string{"time,p1_f\n"} + rows), "--by", "RK"});
    };
    import("first.csv", "2026-10-31 12:00,60.0\n2026-10-31 12:10,90.0\n2026-10-31 12:11,130.0\n"
                        "2026-10-31 12:14,95.0\n2026-10-31 12:40,110.0\n");
    kitchen.good({"stage", "wings-1", "served", "--at", "2026-10-31 13:00", "--by", "RK"});
    kitchen.good({"confirm", "wings-1", "2026-10-31 12:10", "2026-10-31 12:14", "--why",
                  "read twice", "--by", "RK"});
    checked(kitchen, "wings-1", cli::kNotMet);
    // 165 °F for less than a second cooks poultry (FDA Food Code 2022, 3-401.11(A)(3)).
    import("late.csv", "2026-10-31 12:12,170.0\n");
    checked(kitchen, "wings-1", cli::kNotShown); // it is suspect
    CHECK_THAT(kitchen.says({"check", "wings-1"}).out,
               Contains("3 readings confirmed by RK") &&
                   Contains("1 reading between them came in"));
    // Who has seen it confirms it.
    kitchen.good(
        {"confirm", "wings-1", "2026-10-31 12:12", "--why", "the lid was off", "--by", "RK"});
    checked(kitchen, "wings-1", cli::kDone);
}

TEST_CASE("REC-6, REC-7: a late entry asks why, says so for good, and names who took the reading") {
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK_THAT(kitchen.good({"log", "beans-1", "140F", "--at", "2026-11-01 05:45", "--by", "RK"}),
               !Contains("late"));
    CHECK_THAT(kitchen.good({"log", "beans-1", "141F", "--at", "2026-11-01 05:44", "--by", "RK"}),
               Contains("late: no reason given"));
    CHECK_THAT(kitchen.good({"log", "beans-1", "142F", "--at", "2026-11-01 05:30", "--by", "RK",
                             "--taken-by", "TM", "--why", "the line was busy"}),
               Contains("taken by TM") && Contains("late: the line was busy"));
    const std::string sheet = kitchen.good({"sheet", "beans-1"});
    CHECK_THAT(sheet, Contains("the line was busy") && Contains("no reason given") &&
                          Contains("TM") && Contains("late"));
    const Answer answer = kitchen.says({"check", "beans-1", "--format", "json"});
    CHECK(faults(answer.out) == "");
    const Json remarks = Json::parse(answer.out)["lots"][0]["entry_remarks"];
    REQUIRE(remarks.size() == 2);
    CHECK(remarks[0]["taken_by"] == "TM");
    CHECK(remarks[0]["late"] == true);
    CHECK(remarks[1]["why_late"].is_null());
}

TEST_CASE("REC-3: no correction has an option for when it was made") {
    Kitchen kitchen;
    hold(kitchen);
    for (const char* option : {"--entered-at", "--made-at"}) {
        CHECK(kitchen
                  .says({"amend", "reading", "beans-1", "2026-10-31 18:30", "--value", "140F",
                         "--why", "x", "--by", "MM", option, "2026-10-31 18:31"})
                  .status == cli::kWrongUsage);
    }
    kitchen.good({"amend", "reading", "beans-1", "2026-10-31 18:30", "--value", "140F", "--why",
                  "misread", "--by", "MM"});
    CHECK(checked(kitchen, "beans-1", cli::kDone)["amendments"][0]["made_at"] ==
          "2026-11-01T06:00:00-07:00");
}

TEST_CASE("history tells a lot's entries in order, amendments beside what they changed") {
    Kitchen kitchen;
    logged_hold(kitchen);
    kitchen.good({"log", "brisket-1", "104F", "--at", "2026-10-31 18:31", "--by", "RK", "--sure"});
    kitchen.good({"amend", "reading", "brisket-1", "2026-10-31 18:31", "--value", "140F", "--why",
                  "figures swapped", "--by", "MM"});
    kitchen.good(kSetAside);
    const std::string text = kitchen.good({"history", "brisket-1"});
    CHECK_THAT(text, Contains("lot opened") && Contains("value 140 °F, was 104 °F") &&
                         Contains("amended by #") && Contains("figures swapped") &&
                         Contains("late: no reason given") && Contains("hold.csv") &&
                         Contains("the probe was pulled"));
    CHECK_THAT(text, !Contains("beans-1"));
    CHECK(text.find("lot opened") < text.find("hold.csv"));

    const std::string json = kitchen.good({"history", "brisket-1", "--format", "json"});
    CHECK(faults(json) == "");
    const Json entries = Json::parse(json)["entries"];
    std::int64_t last = 0;
    std::size_t amended = 0;
    for (const Json& entry : entries) {
        CHECK(entry["entry"] > last);
        last = entry["entry"];
        if (entry["kind"] == "reading_amendment") {
            ++amended;
            CHECK(entry["changes"] ==
                  Json::array({{{"field", "value"}, {"was", "104 °F"}, {"now", "140 °F"}}}));
            CHECK(entry["of"].is_number());
        }
    }
    CHECK(amended == 1);

    CHECK_THAT(kitchen.good({"history", "MM"}), Contains("person MM") && Contains("figures"));
    CHECK_THAT(kitchen.good({"history", "p1"}), Contains("probe placed") && Contains("hold.csv"));
    CHECK_THAT(kitchen.good({"history", "cabinet-1"}), Contains("unit added"));
    for (const char* what : {"p1", "cabinet-1", "RK"}) {
        CHECK(faults(kitchen.good({"history", what, "--format", "json"})) == "");
    }
    const std::string all = kitchen.good({"history", "--format", "json"});
    CHECK(faults(all) == "");
    CHECK_THAT(kitchen.good({"history", "--from", "2026-11-01 07:00"}), Contains("0 entries"));
    // A PIN never shows, not even as a hash.
    kitchen.add_signer("TM", "reviewer", "7294");
    CHECK_THAT(kitchen.good({"history", "--format", "json"}), !Contains("argon2"));
}
