#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

#include <fstream>

using namespace kitchen;
using Catch::Contains;

namespace {

/// brisket-1 was held at 137 °F for two hours, as p1 says.
void hold(Kitchen& kitchen) {
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 20:00"});
    for (const char* at : {"20:00", "20:40", "21:20", "22:00"}) {
        kitchen.good(
            {"log", "brisket-1", "137F", "--probe", "p1", "--at", std::string{"2026-10-31 "} + at});
    }
    kitchen.good({"stage", "brisket-1", "served", "--at", "2026-10-31 22:00"});
}

} // namespace

TEST_CASE("CHK-1: a check is kept as found and as left, with who and against what") {
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "ice-point", "33F", "--left", "32.2F", "--by",
                             "RK", "--person", "QM"}),
               Contains("showed 33 °F for 32 °F, +1 °F, within 2 °F") &&
                   Contains("adjusted, then 32.2 °F"));
    kitchen.good({"probe", "check", "p1", "reference", "140.6F", "--against", "lab-7",
                  "--other-shows", "140.2F", "--certificate", "0815"});
    const auto answer =
        nlohmann::json::parse(kitchen.good({"probe", "checks", "p1", "--format", "json"}));
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} +
                       "/schema/json/holdwarden-probe-checks-1.schema.json"};
    CHECK(test::schema_faults(nlohmann::json::parse(file), answer).empty());
    const auto& first = answer["checks"][0];
    CHECK(first["found"]["value"] == 33.0);
    CHECK(first["left"]["value"] == 32.2);
    CHECK(first["person"] == "QM");
    CHECK(first["entered_by"] == "RK");
    CHECK(first["passed"] == true);
    CHECK(answer["checks"][1]["reference"] == "lab-7");
    CHECK(answer["standing"] == "in-date");
    CHECK_THAT(kitchen.good({"probe", "checks", "p1"}), Contains("of lab-7, certificate 0815"));
}

TEST_CASE("CHK-5: boiling water is expected where the site lies, and a flat 212 F is refused") {
    // ISO 2533:1975 and IAPWS-IF97: 202.3 F at 5,280 ft.
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "boiling-point"}), Contains("202.3 °F"));
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "boiling-point", "202F"}),
               Contains("for 202.3 °F at 5280 ft") && Contains("within"));
    CHECK_THAT(
        kitchen.good({"probe", "check", "p1", "boiling-point", "201F", "--pressure", "820hPa"}),
        Contains("at 820.0 hPa"));
    const Answer flat =
        kitchen.says({"probe", "check", "p1", "boiling-point", "212F", "--expected", "212F"});
    CHECK(flat.status == cli::kFailed);
    CHECK_THAT(flat.err, Contains("202.3"));
    const Answer sea =
        kitchen.says({"probe", "check", "p1", "boiling-point", "202F", "--pressure", "1013hPa"});
    CHECK(sea.status == cli::kFailed);
    CHECK_THAT(sea.err, Contains("sea level"));
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "ice-point"}), Contains("32 °F"));
    CHECK_THAT(kitchen.good({"probe", "checks", "p1"}), !Contains("212"));
}

TEST_CASE("CHK-2: a failed check lists what the thermometer read since its last good one") {
    // 21 CFR 820.72(b), as it stood: evaluate whether past product was affected.
    Kitchen kitchen;
    hold(kitchen);
    kitchen.good({"probe", "check", "p1", "ice-point", "32F", "--at", "2026-10-31 19:00"});
    CHECK(kitchen.says({"check", "brisket-1"}).status == cli::kDone);
    const Answer failed = kitchen.says({"probe", "check", "p1", "ice-point", "35F"});
    CHECK(failed.status == cli::kNotMet);
    CHECK_THAT(failed.out, Contains("NOT within 2 °F") && Contains("out of use") &&
                               Contains("2026-10-31 19:00") && Contains("brisket-1"));
    CHECK_THAT(failed.out, Contains("met             not shown"));
    const Answer judged = kitchen.says({"check", "brisket-1"});
    CHECK(judged.status == cli::kNotShown);
    CHECK_THAT(judged.out, Contains("failed the check that followed"));
    CHECK_THAT(judged.out, Contains("137 °F")); // as displayed
}

TEST_CASE("CHK-2: a failed check of a thermometer that read no lot says so") {
    Kitchen kitchen;
    hold(kitchen);
    const Answer failed = kitchen.says({"probe", "check", "p2", "ice-point", "29F"});
    CHECK(failed.status == cli::kNotMet);
    CHECK_THAT(failed.out, Contains("no good check before") && Contains("no lot"));
    CHECK_THAT(failed.out, !Contains("brisket-1"));
}

TEST_CASE("CHK-4: a lot's findings say when its thermometer was never checked") {
    Kitchen kitchen;
    hold(kitchen);
    CHECK_THAT(kitchen.says({"check", "brisket-1"}).out,
               Contains("p1 had not been checked before") &&
                   Contains("4 readings by p1 with no good check in date"));
    kitchen.good({"probe", "check", "p1", "ice-point", "32F", "--at", "2026-10-31 19:00"});
    CHECK_THAT(kitchen.says({"check", "brisket-1"}).out,
               !Contains("p1 had not been checked") && !Contains("no good check in date"));
}

TEST_CASE("CHK-6: a display too coarse for food is pointed out") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"probe", "add", "dial-1", "--step", "5F"});
    CHECK_THAT(kitchen.good({"probe", "check", "dial-1", "ice-point", "32F"}),
               Contains("too coarse for food"));
    CHECK_THAT(kitchen.good({"probe", "checks", "dial-1"}), Contains("too coarse for food"));
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "ice-point", "32F"}), !Contains("coarse"));
}

TEST_CASE("REC-19: a check that was due is put on record as missed and stays so") {
    // NACMCF (1997), principle 4, and 9 CFR 417.2 (from memory).
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"probe", "schedule", "p1", "--every", "1d", "--source", "house rule"});
    CHECK_THAT(kitchen.good({"probe", "schedule"}), Contains("p1 is checked every day"));
    kitchen.set_clock("2026-11-02T08:00:00-07:00");
    CHECK_THAT(kitchen.good({"probe", "checks", "p1"}),
               Contains("not yet on record") && Contains("2026-11-02 06:00"));
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "ice-point", "32F"}),
               Contains("1 check of it was due before and not made"));
    CHECK_THAT(kitchen.good({"probe", "missed"}), Contains("No check"));
    const std::string told = kitchen.good({"probe", "checks", "p1"});
    CHECK_THAT(told, Contains("MISSED") && !Contains("not yet on record"));
    kitchen.set_clock("2026-11-05T08:00:01-07:00");
    CHECK_THAT(kitchen.good({"probe", "missed"}), Contains("3 missed checks"));
}

TEST_CASE("REC-21: two instruments read at once are both kept, and their difference is shown") {
    // 21 CFR 113.100 and 113.40: both readings; a recorder never reads higher.
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string high = kitchen.good({"probe", "check", "p1", "side-by-side", "141F",
                                           "--against", "hand-1", "--other-shows", "140.2F"});
    CHECK_THAT(high, Contains("141 °F") && Contains("140.2 °F") && Contains("+0.8 °F") &&
                         Contains("reads higher"));
    CHECK_THAT(kitchen.good({"probe", "check", "p1", "side-by-side", "140F", "--against", "hand-1",
                             "--other-shows", "140.2F"}),
               Contains("-0.2 °F") && !Contains("reads higher"));
    CHECK_THAT(kitchen.good({"probe", "checks", "p1"}), Contains("never checked"));
}
