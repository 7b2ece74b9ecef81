#include "kitchen.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

TEST_CASE("init makes a store and says what it takes for granted") {
    Kitchen kitchen;
    kitchen.set_clock("2026-10-31T12:00:00-06:00");
    const std::string out =
        kitchen.good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver",
                      "--altitude", "5,280 ft", "--max-gap", "30min", "--by", "RK"});
    CHECK_THAT(out, Contains("Larkspur Yard Smokehouse, America/Denver, 5280 ft"));
    CHECK_THAT(out, Contains("A bare number means °F"));
    CHECK_THAT(out, Contains("us-fda-2022"));
    CHECK_THAT(out, Contains("every 30 min"));
    CHECK(fs::exists(kitchen.store()));
}

TEST_CASE("the option --store wins over HOLDWARDEN_STORE, which wins over the folder at hand") {
    Kitchen kitchen;
    const std::string other = (kitchen.folder() / "other.db").string();
    kitchen.good({"init", "--name", "A", "--zone", "America/Denver", "--store", other});
    CHECK(fs::exists(other));
    CHECK_FALSE(fs::exists(kitchen.store()));
    kitchen.good({"probe", "add", "p1", "--store", other});
    kitchen.environment()["HOLDWARDEN_STORE"] = other;
    CHECK_THAT(kitchen.good({"probe", "list"}), Contains("p1"));
    kitchen.environment().erase("HOLDWARDEN_STORE");
    const Answer answer = kitchen.says({"probe", "list"});
    CHECK(answer.status == cli::kFailed);
    CHECK_THAT(answer.err, Contains("holdwarden.db") && Contains("init"));
}

TEST_CASE("a lot's night is entered, echoed with scale and offset, and read back") {
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK_THAT(
        kitchen.good({"stage", "brisket-1", "cooking", "--at", "2026-10-31 05:00", "--by", "RK"}),
        Contains("brisket-1: cooking from 2026-10-31 05:00 -06:00, entered by RK at "
                 "2026-11-01 06:00 -07:00, late: no reason given."));
    CHECK_THAT(kitchen.good({"stage", "brisket-1", "hot-holding", "141F", "--at",
                             "2026-10-31 18:00", "--unit", "cabinet-1", "--setting", "250F",
                             "--watched", "20s", "--probe", "p2"}),
               Contains("brisket-1: hot-holding in cabinet-1, set to 250 °F from 2026-10-31 18:00 "
                        "-06:00; core 141 °F at 2026-10-31 18:00 -06:00 by p2, watched for 20 s"));
    CHECK_THAT(
        kitchen.good({"place", "p1", "brisket-1", "--point", "flat", "--at", "2026-10-31 18:00"}),
        Contains("p1 reads brisket-1, flat from 2026-10-31 18:00 -06:00"));
    // The clocks go back at 02:00 that night: both passes of 01:30 can be entered, each by its
    // offset.
    CHECK_THAT(kitchen.good({"log", "brisket-1", "139.5", "--at", "2026-11-01T01:30:00-06:00"}),
               Contains("brisket-1, core: 139.5 °F at 2026-11-01 01:30 -06:00"));
    CHECK_THAT(kitchen.good({"log", "brisket-1", "60C", "--at", "2026-11-01T01:30:00-07:00"}),
               Contains("60 °C at 2026-11-01 01:30 -07:00"));
    CHECK_THAT(kitchen.good({"log", "brisket-1", "140", "--by", "JT"}),
               Contains("140 °F at 2026-11-01 06:00 -07:00 by p2, entered by JT."));
    CHECK_THAT(kitchen.good({"lift", "p1", "--at", "2026-11-01 05:50"}),
               Contains("p1 no longer reads brisket-1, flat from 2026-11-01 05:50 -07:00"));
    CHECK_THAT(kitchen.good({"stage", "brisket-1", "served", "140F"}),
               Contains("brisket-1: served at 2026-11-01 06:00 -07:00") && Contains("already"));

    const std::string text = kitchen.good({"lot", "show", "brisket-1"});
    CHECK_THAT(text, Contains("hot-holding in cabinet-1, set to 250 °F"));
    CHECK_THAT(text, Contains("2026-11-01 06:00 -07:00  served"));
    CHECK_THAT(text, Contains("p1 in flat from 2026-10-31 18:00 -06:00 to 2026-11-01 05:50"));
    const Json json = Json::parse(kitchen.good({"lot", "show", "brisket-1", "--format", "json"}));
    CHECK(json["format"] == "holdwarden-lot/1");
    CHECK(json["stages"].size() == 2);
    CHECK(json["stages"][1]["setting"] == Json{{"value", 250.0}, {"scale", "F"}});
    CHECK(json["end"]["outcome"] == "served");
    CHECK(json["points"][0]["readings"] == 4);
    CHECK(json["points"][0]["lowest"] == Json{{"value", 139.5}, {"scale", "F"}});
}

TEST_CASE("a bare number takes the site's scale") {
    Kitchen kitchen;
    kitchen.set_clock("2026-11-01T06:00:00Z");
    kitchen.good({"init", "--name", "A", "--zone", "Europe/Dublin", "--scale", "C"});
    kitchen.good({"lot", "open", "soup"});
    CHECK_THAT(kitchen.good({"log", "soup", "63"}), Contains("soup, core: 63 °C at"));
    CHECK_THAT(kitchen.good({"log", "soup", "-4", "--point", "edge"}), Contains("edge: -4 °C"));
}

TEST_CASE("an entry made again adds nothing, another value is kept beside the first") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"log", "beans-1", "140F", "--at", "2026-10-31 19:00"});
    CHECK_THAT(kitchen.good({"log", "beans-1", "140F", "--at", "2026-10-31 19:00"}),
               Contains("on record already"));
    CHECK_THAT(kitchen.good({"log", "beans-1", "135F", "--at", "2026-10-31 19:00"}),
               Contains("both are kept"));
    const Json json = Json::parse(kitchen.good({"lot", "show", "beans-1", "--format", "json"}));
    CHECK(json["points"][0]["readings"] == 2);
}

TEST_CASE("the name of who enters comes from --by, else from HOLDWARDEN_BY") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.environment()["HOLDWARDEN_BY"] = "MK";
    CHECK_THAT(kitchen.good({"log", "beans-1", "140F"}), Contains("entered by MK."));
    CHECK_THAT(kitchen.good({"log", "beans-1", "139F", "--by", "JT"}), Contains("by JT."));
}

TEST_CASE("a unit's air is read by a probe and by hand") {
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK_THAT(kitchen.good({"place", "p2", "walk-in-1", "--air"}),
               Contains("p2 reads walk-in-1, air"));
    CHECK_THAT(kitchen.good({"log", "walk-in-1", "38F", "--air"}),
               Contains("walk-in-1, air: 38 °F"));
    CHECK_THAT(kitchen.good({"probe", "list"}), Contains("walk-in-1, air"));
}

TEST_CASE("lists are tables for people and JSON for programs") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "beans-1", "cooling", "--at", "2026-10-31 21:00"});
    kitchen.good({"stage", "brisket-2", "discarded"});
    CHECK_THAT(kitchen.good({"lot", "list"}),
               Contains("beans-1    other-tcs     cooling       2026-10-31 21:00 -06:00") &&
                   !Contains("brisket-2"));
    const Json lots = Json::parse(kitchen.good({"lot", "list", "--all", "--format", "json"}));
    CHECK(lots["format"] == "holdwarden-lots/1");
    REQUIRE(lots["lots"].size() == 3);
    CHECK(lots["lots"][1]["now"] == "discarded");
    CHECK(lots["lots"][2]["since"] == "2026-10-31T21:00:00-06:00");
    const Json probes = Json::parse(kitchen.good({"probe", "list", "--format", "json"}));
    CHECK(probes["probes"][0]["accuracy"] == Json{{"value", 1.0}, {"scale", "F"}});
    CHECK(probes["probes"][1]["accuracy"].is_null());
    const Json units = Json::parse(kitchen.good({"unit", "list", "--format", "json"}));
    CHECK(units["units"][1] ==
          Json{{"unit", "walk-in-1"}, {"kind", "walk-in"}, {"oven", nullptr}, {"note", ""}});
}

TEST_CASE("a reading command leaves the store's bytes alone") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string before = kitchen.store_bytes();
    for (const char* what : {"probe", "unit", "lot"}) {
        kitchen.good({what, "list"});
    }
    kitchen.good({"lot", "show", "beans-1"});
    CHECK((kitchen.store_bytes() == before));
}
