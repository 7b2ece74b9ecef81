// Dated settings, house limits, variances and target bands by the commands that keep them.
#include "kitchen.hpp"

#include <nlohmann/json.hpp>

#include <array>
#include <cstdio>
#include <fstream>
#include <iterator>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

/// brisket-1 held at `degrees` from 18:00 to 06:00, a reading of p1 every 30 minutes.
void held(Kitchen& kitchen, int degrees) {
    kitchen.open_for_business();
    kitchen.good(
        {"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00", "--unit", "cabinet-1"});
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00"});
    std::string csv = "time,p1_f\n";
    const Instant start = *parse_rfc3339("2026-10-31T18:00:00-06:00");
    for (int i = 0; i <= 26; ++i) {
        csv += to_utc_text(start + Span::minutes(30 * i)) + "," + std::to_string(degrees) + "\n";
    }
    kitchen.good({"import", kitchen.write("night.csv", csv)});
}

std::vector<std::string> house_add(std::vector<std::string> more) {
    std::vector<std::string> all{"house", "add"};
    all.insert(all.end(), more.begin(), more.end());
    for (const char* word : {"--why", "a margin", "--by", "RK"}) {
        all.emplace_back(word);
    }
    return all;
}

/// What a program (pdftotext of poppler) reads of a sheet that is drawn as PDF.
std::string text_of_pdf(Kitchen& kitchen, std::vector<std::string> sheet) {
    const std::string file = (kitchen.folder() / "sheet.pdf").string();
    sheet.insert(sheet.end(), {"--format", "pdf", "--output", file});
    kitchen.good(sheet);
    FILE* pipe = popen(("pdftotext -layout '" + file + "' - 2>&1").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string text;
    std::array<char, 4096> part{};
    for (std::size_t n = 0; (n = fread(part.data(), 1, part.size(), pipe)) > 0;) {
        text.append(part.data(), n);
    }
    CHECK(pclose(pipe) == 0);
    return text;
}

const std::vector<std::string> kCheck{"check", "brisket-1", "--format", "json"};
const std::vector<std::string> kSheet{"sheet", "brisket-1", "--format", "text"};

} // namespace

TEST_CASE("a house limit is judged beside the code, and the exit status is the worse of the two") {
    Kitchen kitchen;
    held(kitchen, 137);
    CHECK(kitchen.says(kCheck).status == cli::kDone);
    kitchen.good(house_add({"hot-holding", "--limit", "140F", "--since", "2026-10-30 12:00"}));
    const Answer answer = kitchen.says(kCheck);
    const Json json = Json::parse(answer.out);
    CHECK(answer.status == cli::kNotMet);
    CHECK(json["overall"] == "met");
    CHECK(json["house_overall"] == "not-met");
    CHECK(json["lots"][0]["house_overall"] == "not-met");
    CHECK_THAT(kitchen.says({"check", "brisket-1"}).out,
               Contains("House limits, beside the code") && Contains("not met (hot-holding)"));
    CHECK_THAT(kitchen.good(kSheet), Contains("By the house's own limits"));
    SECTION("withdrawn from before the night on, it no longer judges it") {
        kitchen.good(
            {"house", "withdraw", "1", "--from", "2026-10-31 12:00", "--why", "new", "--by", "RK"});
        CHECK(kitchen.says(kCheck).status == cli::kDone);
        CHECK_THAT(kitchen.good({"house", "list"}), Contains("until 2026-10-31 12:00"));
    }
    SECTION("withdrawn in the middle of the night, it still judges the hold that began under it") {
        kitchen.good(
            {"house", "withdraw", "1", "--from", "2026-11-01 00:00", "--why", "new", "--by", "RK"});
        CHECK(kitchen.says(kCheck).status == cli::kNotMet);
    }
    SECTION("another pack by --code is judged without the house") {
        const Answer other =
            kitchen.says({"check", "brisket-1", "--format", "json", "--code", "us-fda-2017"});
        CHECK(Json::parse(other.out)["house_overall"].is_null());
    }
}

TEST_CASE("a house limit that begins after the hold began does not judge it") {
    Kitchen kitchen;
    held(kitchen, 137);
    kitchen.good(house_add({"hot-holding", "--limit", "140F", "--since", "2026-10-31 19:00"}));
    CHECK(kitchen.says(kCheck).status == cli::kDone);
}

TEST_CASE("a stricter interval of the house is a finding of its own") {
    Kitchen kitchen;
    held(kitchen, 140);
    kitchen.good(
        house_add({"largest-interval", "--within", "15min", "--since", "2026-10-31 12:00"}));
    const Json json = Json::parse(kitchen.says(kCheck).out);
    CHECK(json["overall"] == "met"); // 30 minutes apart: within the 2 h of common practice
    CHECK(json["house_overall"] == "not-met");
}

TEST_CASE("looser than the code is refused without a variance, and with one every sheet says so") {
    Kitchen kitchen;
    held(kitchen, 133);
    const std::vector<std::string> loose{"hot-holding", "--limit", "130F", "--since",
                                         "2026-10-31 12:00"};
    const std::string before = kitchen.store_bytes();
    const Answer refused = kitchen.says(house_add(loose));
    CHECK(refused.status == cli::kFailed);
    CHECK_THAT(refused.err, Contains("looser than the code's") && Contains("variance"));
    CHECK(kitchen.store_bytes() == before);

    std::vector<std::string> approved = loose;
    approved.insert(approved.end(), {"--variance", "Plan LY-7"});
    kitchen.good(house_add(approved));
    const Json json = Json::parse(kitchen.says(kCheck).out);
    CHECK(json["overall"] == "not-met"); // the code's verdict stays
    CHECK(json["house_overall"] == "met");
    CHECK(kitchen.says(kCheck).status == cli::kNotMet);
    for (const std::vector<std::string>& sheet :
         {kSheet, std::vector<std::string>{"sheet", "--night", "2026-10-31", "--format", "text"},
          std::vector<std::string>{"sheet", "brisket-1", "--format", "html"}}) {
        CHECK_THAT(kitchen.good(sheet), Contains("Plan LY-7"));
    }
    CHECK_THAT(kitchen.good({"sheet", "--night", "2026-10-29", "--format", "text"}),
               !Contains("Plan LY-7")); // before it held
    CHECK_THAT(kitchen.good({"sheet", "brisket-1", "--format", "csv"}), Contains("Plan LY-7"));
    CHECK_THAT(text_of_pdf(kitchen, {"sheet", "brisket-1"}), Contains("LY-7"));
}

TEST_CASE(
    "a house limit that another took the place of is shown with its time, by list and sheets") {
    Kitchen kitchen;
    held(kitchen, 150); // hot holding from 2026-10-31 18:00 on
    const auto add = [&](const char* limit, const char* since, const char* why, const char* by) {
        kitchen.good({"house", "add", "hot-holding", "--limit", limit, "--since", since, "--why",
                      why, "--by", by});
    };
    add("138F", "2026-10-30 06:00", "before it was lit", "MB");
    add("140F", "2026-10-31 06:00", "a cold cabinet", "RK");
    add("145F", "2026-11-01 02:00", "an old gasket", "MB");
    add("142F", "2026-11-01 05:00", "a new gasket", "RK");
    kitchen.good(
        {"house", "withdraw", "3", "--from", "2026-11-01 03:00", "--why", "w", "--by", "MB"});
    kitchen.good({"stage", "brisket-1", "served", "--at", "2026-11-01 04:00"});
    const std::string list = kitchen.good({"house", "list"});
    CHECK_THAT(list,
               Contains("2026-10-30 06:00 -06:00 until 2026-10-31 06:00 -06:00, replaced by 2"));
    // The third stood above it for an hour, and the fourth took its place.
    CHECK_THAT(list,
               Contains("2026-10-31 06:00 -06:00 until 2026-11-01 02:00 -07:00, replaced by 3; "
                        "again from 2026-11-01 03:00 -07:00 until 2026-11-01 05:00 -07:00, "
                        "replaced by 4"));
    const Json json = Json::parse(kitchen.good({"house", "list", "--format", "json"}));
    REQUIRE(json["limits"][1]["in_force"].size() == 2);
    CHECK(json["limits"][1]["in_force"][1]["from"] == "2026-11-01T03:00:00-07:00");
    CHECK(json["limits"][1]["in_force"][1]["until"] == "2026-11-01T05:00:00-07:00");
    CHECK(json["limits"][2]["in_force"][0]["replaced_by"].is_null()); // withdrawn
    CHECK(json["limits"][3]["in_force"][0]["until"].is_null());
    const auto flat = [](std::string text) { // lines are folded where they are full
        std::string one;
        for (const char c : text) {
            const bool blank = c == ' ' || c == '\n' || c == '\f' || c == '\r';
            if (!blank || (!one.empty() && one.back() != ' ')) {
                one += blank ? ' ' : c;
            }
        }
        return one;
    };
    const auto of_lot = [&](const char* format) {
        return flat(kitchen.good({"sheet", "brisket-1", "--format", format}));
    };
    for (const std::string& sheet :
         {of_lot("text"), of_lot("html"), of_lot("csv"), of_lot("ascii"),
          flat(text_of_pdf(kitchen, {"sheet", "brisket-1"})),
          flat(kitchen.good({"sheet", "--night", "2026-10-31", "--as-of", "2026-11-01 04:30",
                             "--format", "text"}))}) {
        CHECK_THAT(sheet,
                   Contains("from 2026-10-31 06:00 -06:00 until 2026-11-01 02:00 -07:00; set "
                            "by RK: a cold cabinet"));
        CHECK_THAT(sheet,
                   Contains("from 2026-11-01 02:00 -07:00 until 2026-11-01 03:00 -07:00; set "
                            "by MB: an old gasket"));
        CHECK_THAT(sheet, !Contains("before it was lit")); // over before the food was there
        CHECK_THAT(sheet, !Contains("a new gasket"));      // the food was served by then
    }
}

TEST_CASE("a house limit that a later entry of the same instant replaced was never in force") {
    Kitchen kitchen;
    held(kitchen, 150);
    for (const char* limit : {"140F", "141F"}) {
        kitchen.good(house_add({"hot-holding", "--limit", limit, "--since", "2026-10-30 06:00"}));
    }
    CHECK_THAT(kitchen.good({"house", "list"}), Contains("never"));
    const std::string sheet = kitchen.good(kSheet);
    CHECK_THAT(sheet,
               Contains("141 °F, since 2026-10-30") && !Contains("140 °F, since 2026-10-30"));
}

TEST_CASE("a store is judged by what it was made with until the date of the first adoption") {
    // docs/decisions/0023: the store is made a month after the lots, and the adoption lies between.
    Kitchen kitchen;
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.environment()["HOLDWARDEN_BY"] = "RK";
    kitchen.set_clock("2026-11-28T12:00:00-07:00");
    kitchen.good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver"});
    kitchen.good({"probe", "add", "p1"});
    for (const char* day : {"2026-10-27", "2026-10-28"}) {
        const std::string lot = std::string{"ham-"} + day;
        const std::string date = day;
        kitchen.good({"lot", "open", lot, "--at", date + " 10:00"});
        kitchen.good({"stage", lot, "hot-holding", "--at", date + " 10:00"});
        for (const char* clock : {" 10:00", " 11:00"}) {
            kitchen.good({"log", lot, "140F", "--at", date + clock}); // 60 °C
        }
        kitchen.good({"stage", lot, "served", "--at", date + " 11:00"});
    }
    kitchen.good({"site", "--code", "uk-england", "--since", "2026-10-28 00:00", "--why", "moved"});
    const auto checked = [&](const char* lot) {
        return Json::parse(kitchen.says({"check", lot, "--format", "json"}).out);
    };
    const Json before = checked("ham-2026-10-27");
    CHECK(before["code"]["id"] == "us-fda-2022");
    CHECK(before["overall"] == "met"); // FDA Food Code 2022, 3-501.16(A)(1): 135 °F
    const Json after = checked("ham-2026-10-28");
    CHECK(after["code"]["id"] == "uk-england");
    CHECK(after["overall"] == "not-met"); // SI 2013/2996, schedule 4, paragraph 6: 63 °C
    CHECK_THAT(kitchen.good({"site"}),
               Contains("Now judged by uk-england") && Contains("the beginning"));
    const Json site = Json::parse(kitchen.good({"site", "--format", "json"}));
    CHECK(site["settings"][0]["from_the_beginning"] == true);
    CHECK(site["settings"][1]["from_the_beginning"] == false);
    for (const bool night : {false, true}) {
        const auto sheet = [&](const std::string& day) {
            return kitchen.good(
                night ? std::vector<std::string>{"sheet", "--holding-log", "--from", day, "--to",
                                                 day, "--format", "csv"}
                      : std::vector<std::string>{"sheet", "ham-" + day, "--format", "csv"});
        };
        CHECK_THAT(sheet("2026-10-27"), Contains("us-fda-2022") && !Contains("uk-england"));
        CHECK_THAT(sheet("2026-10-28"), Contains("uk-england"));
    }
    // What comes now, and what is handed on of what came before.
    kitchen.good({"lot", "open", "ham-now"});
    kitchen.good({"stage", "ham-now", "hot-holding"});
    kitchen.good({"log", "ham-now", "140F"});
    CHECK(checked("ham-now")["code"]["id"] == "uk-england");
    kitchen.good({"key", "new"});
    kitchen.good({"lot", "open", "ham-old", "--at", "2026-10-27 10:00"});
    kitchen.good({"stage", "ham-old", "cold-holding", "--at", "2026-10-27 10:00"});
    kitchen.good({"log", "ham-old", "38F", "--at", "2026-10-27 10:00"});
    const std::string file = (kitchen.folder() / "ham-old.lot").string();
    kitchen.good({"hand-on", "ham-old", "--kitchen", "Fairground tent", "--output", file});
    std::ifstream in{file};
    const std::string handed{std::istreambuf_iterator<char>{in}, {}};
    REQUIRE(handed.find("us-fda-2022") != std::string::npos);
    CHECK(handed.find("us-fda-2022") < handed.find("uk-england"));
}

TEST_CASE("site shows what the kitchen follows, and a change holds from its day on") {
    Kitchen kitchen;
    held(kitchen, 140);
    CHECK_THAT(kitchen.good({"site"}), Contains("Now judged by us-fda-2022"));
    kitchen.good({"site", "--code", "us-fda-2017", "--max-gap", "1h", "--since", "2026-11-01 06:30",
                  "--why", "the county says so", "--by", "RK"});
    kitchen.set_clock("2026-11-01T07:00:00-07:00");
    CHECK_THAT(kitchen.good({"site"}), Contains("Now judged by us-fda-2017") &&
                                           Contains("at least every 1 h") &&
                                           Contains("the county says so") && Contains("RK"));
    const Json site = Json::parse(kitchen.good({"site", "--format", "json"}));
    CHECK(site["settings"].size() == 2);
    // The hold began before the change: the old pack judges it.
    const Json json = Json::parse(kitchen.says(kCheck).out);
    CHECK(json["code"]["id"] == "us-fda-2022");
    CHECK(json["largest_interval_s"] == 7200);
    // What begins afterwards is judged by the new one, in the same lot.
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-11-01 06:40"});
    const Json mixed = Json::parse(kitchen.says(kCheck).out);
    CHECK(mixed["code"].is_null());
    REQUIRE(mixed["lots"][0]["judged_by"].size() == 2);
    CHECK(mixed["lots"][0]["judged_by"][1]["id"] == "us-fda-2017");
    CHECK_THAT(kitchen.says({"check", "brisket-1"}).out,
               Contains("Stages that began from 2026-11-01 06:40"));
    CHECK_THAT(kitchen.good({"sheet", "--night", "2026-10-31", "--format", "text"}),
               Contains("us-fda-2017") && Contains("us-fda-2022"));
}

TEST_CASE("a target band is noted when left upwards, and no verdict moves") {
    Kitchen kitchen;
    held(kitchen, 155);
    kitchen.good({"target", "add", "140F", "150F", "--unit", "cabinet-1", "--since",
                  "2026-10-31 12:00", "--why", "juicy slices", "--by", "RK"});
    const Answer answer = kitchen.says({"check", "brisket-1"});
    CHECK(answer.status == cli::kDone);
    CHECK_THAT(answer.out, Contains("left its target band of 140 °F to 150 °F"));
    CHECK_THAT(kitchen.good({"target", "list"}), Contains("cabinet-1"));
    kitchen.good(
        {"target", "withdraw", "1", "--from", "2026-10-31 12:30", "--why", "dry", "--by", "RK"});
    CHECK_THAT(kitchen.says({"check", "brisket-1"}).out, !Contains("target band"));
}
