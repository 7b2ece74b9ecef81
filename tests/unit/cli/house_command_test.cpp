// Dated settings, house limits, variances and target bands by the commands that keep them.
#include "kitchen.hpp"

#include <nlohmann/json.hpp>

#include <array>
#include <cstdio>

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
