#include "said.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <optional>

using namespace holdwarden;
using namespace holdwarden::cli;
using holdwarden::test::Said;
using holdwarden::test::said;
using Json = nlohmann::json;

namespace {

using Words = std::vector<std::string>;

Said check(const std::string& csv, Words more) {
    Words words{"check", "--csv", "-"};
    words.insert(words.end(), more.begin(), more.end());
    return said(words, csv);
}

Json answer(const std::string& csv, Words more) {
    more.insert(more.end(), {"--format", "json"});
    const Said got = check(csv, more);
    INFO(got.err);
    REQUIRE_FALSE(got.out.empty());
    return Json::parse(got.out);
}

Json only(const Json& answer, const std::string& requirement) {
    Json found;
    for (const Json& finding : answer.at("lots").at(0).at("findings")) {
        if (finding.at("requirement") == requirement) {
            REQUIRE(found.is_null());
            found = finding;
        }
    }
    INFO(requirement);
    REQUIRE_FALSE(found.is_null());
    return found;
}

std::string verdict(const std::string& csv, const Words& more, const std::string& requirement) {
    return only(answer(csv, more), requirement).at("verdict");
}

const std::string kF = "time,probe,temp_f\n";
const std::string kC = "time,probe,temp_c\n";

} // namespace

// ---- verdicts, end to end ----------------------------------------------------------------------

TEST_CASE("57 °C meets the hot-holding limit and 134.6 °F, the same heat, does not",
          "[check][verdict]") {
    // FDA Food Code 2022, 3-501.16(A)(1): 135 °F (57 °C) or above, each figure for its own scale.
    const std::string celsius = kC + "2026-11-01T00:00:00Z,core,57.0\n"
                                     "2026-11-01T01:00:00Z,core,57.0\n";
    const std::string fahrenheit = kF + "2026-11-01T00:00:00Z,core,134.6\n"
                                        "2026-11-01T01:00:00Z,core,134.6\n";
    CHECK(verdict(celsius, {"--stage", "hot-holding"}, "hot-holding") == "met");
    CHECK(check(celsius, {"--stage", "hot-holding"}).status == kDone);
    CHECK(verdict(fahrenheit, {"--stage", "hot-holding"}, "hot-holding") == "not-met");
    CHECK(check(fahrenheit, {"--stage", "hot-holding"}).status == kNotMet);
}

TEST_CASE("135 °F at 0 h and 65 °F at 3 h cannot prove the first cooling window",
          "[check][verdict]") {
    // FDA Food Code 2022, 3-501.14(A)(1): from 135 °F to 70 °F within 2 hours. Somewhere in the
    // three hours 70 °F was passed; no reading says whether before two of them were over.
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,135\n2026-11-01T03:00:00Z,core,65\n";
    const Json got = answer(csv, {"--stage", "cooling"});
    const Json window = only(got, "cooling-first-window");
    CHECK(window.at("verdict") == "not-shown");
    CHECK(window.at("elapsed_s").at("latest") == 10'800);
    CHECK(window.at("evidence").size() == 2);
    CHECK(got.at("overall") == "not-shown");
    CHECK(check(csv, {"--stage", "cooling"}).status == kNotShown);
}

TEST_CASE("140 °F at 0 h and 50 °F at 8 h is not shown and acted on as a miss, and a reading below "
          "135 °F in the first two hours makes it a miss",
          "[check][verdict]") {
    // FDA Food Code 2022, 3-501.14(A)(2): to 41 °F within a total of 6 hours.
    const std::string two = kF + "2026-11-01T00:00:00Z,core,140\n2026-11-01T08:00:00Z,core,50\n";
    const Json unpinned = only(answer(two, {"--stage", "cooling"}), "cooling-total");
    CHECK(unpinned.at("verdict") == "not-shown");
    CHECK(unpinned.at("acts_as_missed") == true);
    CHECK(check(two, {"--stage", "cooling"}).status == kNotShown);

    const std::string three = two + "2026-11-01T01:00:00Z,core,130\n";
    const Json pinned = answer(three, {"--stage", "cooling"});
    CHECK(only(pinned, "cooling-total").at("verdict") == "not-met");
    CHECK(pinned.at("intake").at("out_of_order") == 1);
    CHECK(check(three, {"--stage", "cooling"}).status == kNotMet);
}

TEST_CASE("exactly two hours and exactly six hours are within", "[check][verdict]") {
    // FDA Food Code 2022, 3-501.14(A): "within 2 hours", "a total of 6 hours"; both include.
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,135\n2026-11-01T02:00:00Z,core,70\n";
    CHECK(verdict(csv, {"--stage", "cooling"}, "cooling-first-window") == "met");
    CHECK(verdict(csv, {"--stage", "cooling"}, "cooling-total") == "open");
    CHECK(check(csv, {"--stage", "cooling"}).status == kOpen);
    const std::string late = kF + "2026-11-01T00:00:00Z,core,135\n"
                                  "2026-11-01T02:00:01Z,core,70\n";
    CHECK(verdict(late, {"--stage", "cooling"}, "cooling-first-window") != "met");
    const std::string whole = csv + "2026-11-01T06:00:00Z,core,41\n";
    CHECK(verdict(whole, {"--stage", "cooling"}, "cooling-total") == "met");
    CHECK(check(whole, {"--stage", "cooling"}).status == kDone);
}

TEST_CASE("local times across the change of the clocks have their true length",
          "[check][verdict]") {
    // IANA time zone database 2025b, America/Chicago: 23:30 on 31 October 2026 to 05:30 on 1
    // November 2026 are seven hours. FDA Food Code 2022, 3-501.14(A)(2): 41 °F within six.
    const std::string csv = kF + "2026-10-31 23:30,core,135\n2026-11-01 00:30,core,70\n"
                                 "2026-11-01 05:30,core,41\n";
    const Json total =
        only(answer(csv, {"--stage", "cooling", "--zone", "America/Chicago"}), "cooling-total");
    CHECK(total.at("elapsed_s").at("latest") == 7 * 3600);
    CHECK(total.at("verdict") == "not-shown");
    CHECK(total.at("evidence").back().at("time") == "2026-11-01T05:30:00-06:00");
}

TEST_CASE("a cook ends with the file, a hold runs on", "[check][verdict]") {
    // FDA Food Code 2022, 3-401.11(A)(3): 165 °F.
    const std::string cold = kF + "2026-11-01T00:00:00Z,core,150\n2026-11-01T00:10:00Z,core,160\n";
    CHECK(check(cold, {"--stage", "cooking", "--food", "poultry"}).status == kNotMet);
    const std::string hot = cold + "2026-11-01T00:20:00Z,core,165\n";
    CHECK(check(hot, {"--stage", "cooking", "--food", "poultry"}).status == kDone);
}

TEST_CASE("the stage column cuts a file into stages and ends", "[check][verdict]") {
    const std::string csv = "time,probe,temp_f,stage\n"
                            "2026-11-01T00:00:00Z,core,165,cooking\n"
                            "2026-11-01T00:10:00Z,core,166,\n"
                            "2026-11-01T00:20:00Z,core,160,hot-holding\n"
                            "2026-11-01T01:20:00Z,core,150,hot-holding\n"
                            "2026-11-01T02:20:00Z,,,served\n";
    const Json got = answer(csv, {});
    CHECK(only(got, "cooking").at("verdict") == "met");
    CHECK(only(got, "hot-holding").at("verdict") == "met");
    CHECK(only(got, "hot-holding").at("stage_from") == "2026-11-01T00:20:00Z");
    CHECK(got.at("as_of") == "2026-11-01T02:20:00Z");
}

TEST_CASE("the guarded rule keeps the thermometer's accuracy away from the limit",
          "[check][verdict]") {
    // JCGM 106:2012, guarded acceptance; FDA Food Code 2022, 3-501.16(A)(1).
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,136\n2026-11-01T01:00:00Z,core,136\n";
    CHECK(check(csv, {"--stage", "hot-holding"}).status == kDone);
    const Words guarded{"--stage", "hot-holding", "--rule", "guarded", "--tolerance", "2F"};
    CHECK(check(csv, guarded).status == kNotShown);
    CHECK(answer(csv, guarded).at("tolerance").at("value") == 2.0);
    CHECK(check(csv, {"--stage", "hot-holding", "--rule", "guarded", "--tolerance", "1F"}).status ==
          kDone);
}

TEST_CASE("the largest interval is two hours unless said otherwise", "[check][verdict]") {
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,150\n2026-11-01T02:00:00Z,core,150\n";
    CHECK(check(csv, {"--stage", "hot-holding"}).status == kDone);
    CHECK(check(csv, {"--stage", "hot-holding", "--max-gap", "30min"}).status == kNotShown);
}

TEST_CASE("air proves nothing about the food", "[check][verdict]") {
    const std::string csv = "time,flat_f,cabinet_f\n2026-11-01T00:00:00Z,150,160\n"
                            "2026-11-01T06:00:00Z,150,160\n2026-11-01T03:00:00Z,,160\n";
    CHECK(check(csv, {"--stage", "hot-holding", "--air", "cabinet"}).status == kNotShown);
    const Said only_air = check("time,cabinet_f\n2026-11-01T00:00:00Z,150\n",
                                {"--stage", "hot-holding", "--air", "cabinet"});
    CHECK(only_air.status == kFailed);
    CHECK_THAT(only_air.err, Catch::Contains("no reading in the food, only air"));
}

TEST_CASE("a probe that is called air and not declared as such is pointed out", "[check]") {
    const std::string csv = "time,flat_f,air-chest_f\n2026-11-01T00:00:00Z,150,160\n";
    const auto notes = [&](const Words& more) {
        return answer(csv, more).at("intake").at("notes").dump();
    };
    CHECK_THAT(notes({"--stage", "hot-holding"}), Catch::Contains("give --air air-chest"));
    CHECK(notes({"--stage", "hot-holding", "--air", "air-chest"}) == "[]");
}

TEST_CASE("each lot of a file is judged, the worst speaks", "[check]") {
    const std::string csv = "time,lot,core_f\n"
                            "2026-11-01T00:00:00Z,pork,150\n2026-11-01T00:00:00Z,beef,150\n"
                            "2026-11-01T01:00:00Z,pork,130\n2026-11-01T01:00:00Z,beef,150\n";
    const Json got = answer(csv, {"--stage", "hot-holding"});
    REQUIRE(got.at("lots").size() == 2);
    CHECK(got.at("lots").at(0).at("lot") == "pork");
    CHECK(got.at("lots").at(0).at("overall") == "not-met");
    CHECK(got.at("lots").at(1).at("overall") == "met");
    CHECK(got.at("overall") == "not-met");
    CHECK(check(csv, {"--stage", "hot-holding"}).status == kNotMet);
    CHECK(check(csv, {"--stage", "hot-holding", "--lot", "beef"}).status == kDone);
    CHECK(check(csv, {"--stage", "hot-holding", "--lot", "lamb"}).status == kFailed);
}

TEST_CASE("air logged without a lot is every lot's", "[check]") {
    const std::string csv = "time,lot,probe,temp_f\n"
                            "2026-11-01T00:00:00Z,,cabinet,160\n2026-11-01T00:00:00Z,pork,a,150\n"
                            "2026-11-01T00:00:00Z,beef,b,150\n2026-11-01T01:00:00Z,pork,a,150\n"
                            "2026-11-01T01:00:00Z,beef,b,150\n";
    const Json got = answer(csv, {"--stage", "hot-holding", "--air", "cabinet"});
    CHECK(got.at("lots").size() == 2);
    CHECK(got.at("overall") == "met");
}

TEST_CASE("the option --as-of leaves out what came later", "[check]") {
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,150\n2026-11-01T01:00:00Z,core,150\n"
                                 "2026-11-01T02:00:00Z,core,120\n";
    const Words until{"--stage", "hot-holding", "--as-of", "2026-11-01T01:30:00Z"};
    CHECK(check(csv, until).status == kDone);
    CHECK(answer(csv, until).at("as_of") == "2026-11-01T01:30:00Z");
    CHECK(check(csv, {"--stage", "hot-holding"}).status == kNotMet);
    CHECK(check(csv, {"--stage", "hot-holding", "--as-of", "2026-10-31 17:30", "--zone",
                      "America/Denver"})
              .status == kWrongUsage); // before the first reading
}

TEST_CASE("rejected rows, repeats and conflicts are counted in the answer", "[check]") {
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,150\n2026-11-01T00:00:00Z,core,150\n"
                                 "2026-11-01T00:30:00Z,core,nan\n2026-11-01T01:00:00Z,core,150\n"
                                 "2026-11-01T01:00:00Z,core,149\n";
    const Json intake = answer(csv, {"--stage", "hot-holding"}).at("intake");
    CHECK(intake.at("rows") == 5);
    CHECK(intake.at("accepted") == 3);
    CHECK(intake.at("duplicates") == 1);
    CHECK(intake.at("conflicts") == 1);
    CHECK(intake.at("rejected") == 1);
    CHECK(intake.at("rejects").at(0).at("line") == 4);
    CHECK(intake.at("rejects").at(0).at("reason") == "'nan' is not a temperature");
}

// ---- the text ----------------------------------------------------------------------------------

TEST_CASE("the first two lines say the verdict and what to do", "[check][text]") {
    const std::string csv = kF + "2026-11-01T00:00:00Z,core,150\n2026-11-01T01:00:00Z,core,130\n";
    std::istringstream lines{check(csv, {"--stage", "hot-holding", "--lot", "brisket"}).out};
    std::string first;
    std::string second;
    std::getline(lines, first);
    std::getline(lines, second);
    CHECK_THAT(first, Catch::Contains("NOT MET  brisket: hot-holding"));
    CHECK_THAT(second, Catch::StartsWith("Do: ") && Catch::Contains("165 °F"));
}

TEST_CASE("the text fits 80 columns and shows hostile names harmlessly", "[check][text]") {
    const std::string csv = "time,lot,probe,temp_f\n"
                            "2026-11-01T00:00:00Z,\x1B[2Jlot,\u202Eeroc,150\n"
                            "2026-11-01T05:00:00Z,\x1B[2Jlot,\u202Eeroc,150\n"
                            "2026-11-01T06:00:00Z,\x1B[2Jlot,\u202Eeroc,\x1B[1m\n";
    const Said got = check(csv, {"--stage", "hot-holding"});
    CHECK(got.status == kNotShown);
    CHECK(got.out.find('\x1B') == std::string::npos);
    CHECK(got.out.find("\u202E") == std::string::npos);
    std::istringstream lines{got.out};
    std::string line;
    while (std::getline(lines, line)) {
        INFO(line);
        CHECK(std::ranges::count_if(line, [](char c) {
                  return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; // UTF-8 (RFC 3629)
              }) <= 80);
    }
}

// ---- what cannot be done -----------------------------------------------------------------------

TEST_CASE("a check that cannot be done says what, where and how to mend it", "[check]") {
    struct Bad {
        std::string csv;
        Words more;
        int status;
        std::string says;
    };
    const std::string good = kF + "2026-11-01T00:00:00Z,core,150\n2026-11-01T01:00:00Z,core,150\n";
    const Words hold{"--stage", "hot-holding"};
    const auto with = [&](Words more) {
        more.insert(more.begin(), hold.begin(), hold.end());
        return more;
    };
    const std::vector<Bad> table{
        {good, {}, kWrongUsage, "there is no stage column"},
        {good, {"--stage", "warming"}, kWrongUsage, "'warming' is not a stage"},
        {good, with({"--food", "cake"}), kWrongUsage, "'cake' is not a food kind"},
        {good, with({"--rule", "strict"}), kWrongUsage, "give as-read or guarded"},
        {good, with({"--rule", "guarded"}), kWrongUsage, "give --tolerance"},
        {good, with({"--tolerance", "1"}), kWrongUsage, "--tolerance"},
        {good, with({"--tolerance", "-1F"}), kWrongUsage, "below zero"},
        {good, with({"--max-gap", "soon"}), kWrongUsage, "--max-gap"},
        {good, with({"--max-gap", "0min"}), kWrongUsage, "longer than nothing"},
        {good, with({"--format", "xml"}), kWrongUsage, "give text or json"},
        {good, with({"--scale", "K"}), kWrongUsage, "give F or C"},
        {good, with({"--separator", "x"}), kWrongUsage, "comma, semicolon or tab"},
        {good, with({"--column", "x"}), kWrongUsage, "OLD=NEW"},
        {good, with({"--column", "x=time"}), kFailed, "no column 'x'"},
        {good, with({"--time-column", "Zeit"}), kFailed, "no column 'Zeit'"},
        {good, with({"--repeated-hour", "third"}), kWrongUsage, "first or second"},
        {good, with({"--zone", "Mars/Base"}), kWrongUsage, "time zone 'Mars/Base'"},
        {good, with({"--code", "us-fda-1899"}), kFailed, "us-fda-2022"},
        {good, with({"--air", "pit"}), kFailed, "no probe is called 'pit'"},
        {good, with({"--as-of", "noon"}), kWrongUsage, "--as-of"},
        {good, with({"--as-of", "2026-11-01 00:30"}), kWrongUsage, "no zone is named"},
        {good, with({"--nonsense"}), kWrongUsage, "--nonsense"},
        {"", hold, kFailed, "the file is empty"},
        {kF, hold, kFailed, "no rows behind the header"},
        {kF + "yesterday,core,150\n", hold, kFailed, "line 2: time 'yesterday'"},
        {kF + "2026-11-01 01:30,core,150\n", hold, kFailed, "give --zone"},
        {"time,probe,temp_f,stage\n2026-11-01T00:00:00Z,core,150,hot-holding\n", hold, kWrongUsage,
         "a stage is given twice"},
        {"time,probe,temp_f,stage\n2026-11-01T00:00:00Z,core,150,\n",
         {},
         kFailed,
         "no row of lot 'lot' names a stage"},
        {"time,probe,temp_f,stage\n2026-11-01T00:00:00Z,core,150,hot-holding\n"
         "2026-11-01T01:00:00Z,,,served\n2026-11-01T02:00:00Z,core,150,cooling\n",
         {},
         kFailed,
         "goes on in line 4 after its end in line 3"},
    };
    for (const Bad& bad : table) {
        INFO(bad.says);
        const Said got = check(bad.csv, bad.more);
        CHECK(got.status == bad.status);
        CHECK(got.out.empty());
        CHECK_THAT(got.err, Catch::Contains(bad.says));
        CHECK(std::ranges::count(got.err, '\n') >= 1);
    }
    CHECK(said({"check", "--stage", "hot-holding"}).status == kWrongUsage);
    const Said missing = said({"check", "--csv", "/nonexistent/x.csv", "--stage", "hot-holding"});
    CHECK(missing.status == kFailed);
    CHECK_THAT(missing.err, Catch::Contains("there is no file '/nonexistent/x.csv'"));
}
