#include "kitchen.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Catch::Matchers::Contains;
using Json = nlohmann::json;

namespace {

const char* const kLong = "time,probe,temp_f\n"
                          "2026-10-31 18:00,p1,141.2\n"
                          "2026-10-31 18:00,p2,140.9\n"
                          "2026-10-31 18:05,p1,warm\n"
                          "2026-10-31 18:10,p1,140.7\n";

} // namespace

TEST_CASE("an import adds what is new, keeps what it refuses, and says both", "[REC-23]") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string file = kitchen.write("night.csv", kLong);
    const std::string out = kitchen.good({"import", file});
    CHECK_THAT(out, Contains("4 rows, 3 readings added, 0 there already"));
    CHECK_THAT(out, Contains("1 refused") && Contains("line 4:") && Contains("warm"));
    CHECK_THAT(out, Contains("From 2026-10-31 18:00 -06:00 to 2026-10-31 18:10 -06:00"));
    CHECK_THAT(out, Contains("p1 and p2 never had a place"));

    const std::string before = kitchen.store_bytes();
    CHECK_THAT(kitchen.good({"import", file}), Contains("imported before, byte for byte"));
    CHECK((kitchen.store_bytes() == before));

    // A longer file that begins with the same rows adds what is missing; another value is kept.
    const std::string more = kitchen.write(
        "more.csv", std::string{kLong} + "2026-10-31 18:15,p1,140.5\n2026-10-31 18:00,p1,130.0\n");
    const Json json = Json::parse(kitchen.good({"import", more, "--format", "json"}));
    CHECK(json["format"] == "holdwarden-import/1");
    CHECK(json["added"] == 1);
    CHECK(json["duplicates"] == 3);
    CHECK(json["conflicts"] == 1);
    CHECK(json["rejected"] == 1);
    CHECK(json["rejects"][0]["line"] == 4);
}

TEST_CASE("imported readings belong to the lot where the probe was placed, before or after") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"import", kitchen.write("night.csv", kLong)});
    kitchen.good(
        {"place", "p1", "brisket-1", "--at", "2026-10-31 18:00", "--until", "2026-10-31 18:10"});
    kitchen.good({"place", "p1", "brisket-2", "--at", "2026-10-31 18:10"});
    const auto readings = [&](const char* lot) {
        return Json::parse(
            kitchen.good({"lot", "show", lot, "--format", "json"}))["points"][0]["readings"];
    };
    CHECK(readings("brisket-1") == 1);
    CHECK(readings("brisket-2") == 1);
}

TEST_CASE("a dry run says what would be added and writes nothing") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string before = kitchen.store_bytes();
    CHECK_THAT(kitchen.good({"import", kitchen.write("night.csv", kLong), "--dry-run"}),
               Contains("3 readings that can be used") && Contains("nothing was written"));
    CHECK((kitchen.store_bytes() == before));
}

TEST_CASE("columns are mapped to probes by name, wide form included") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string wide =
        kitchen.write("wide.csv", "time,flat_f,point_c\n2026-10-31 18:00,141.2,60.5\n");
    kitchen.good({"place", "p2", "brisket-1", "--at", "2026-10-31 18:00"});
    CHECK_THAT(kitchen.good({"import", wide, "--probe-map", "flat=p1", "--probe-map", "point=p2"}),
               Contains("2 readings added"));
    const Json lot = Json::parse(kitchen.good({"lot", "show", "brisket-1", "--format", "json"}));
    CHECK(lot["points"][0]["highest"] == Json{{"value", 60.5}, {"scale", "C"}});
}

TEST_CASE("local times in a file are the site's, and the repeated hour goes by the rows' order") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string file = kitchen.write("hour.csv", "time,p1_f\n"
                                                       "2026-11-01 00:30,141\n"
                                                       "2026-11-01 01:10,140\n"
                                                       "2026-11-01 01:50,140\n"
                                                       "2026-11-01 01:10,139\n"
                                                       "2026-11-01 01:50,139\n"
                                                       "2026-11-01 02:30,138\n");
    const std::string out = kitchen.good({"import", file});
    CHECK_THAT(out, Contains("6 readings added") && Contains("0 in conflict"));
    CHECK_THAT(out, Contains("From 2026-11-01 00:30 -06:00 to 2026-11-01 "
                             "02:30 -07:00"));
    CHECK_THAT(out, Contains("placed by the order of their rows"));
}
