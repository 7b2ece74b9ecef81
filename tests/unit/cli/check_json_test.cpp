#include "said.hpp"
#include "schema_walk.hpp"

#include <catch2/catch.hpp>

#include <fstream>

using namespace holdwarden;
using holdwarden::test::said;
using Json = nlohmann::json;

namespace {

Json schema() {
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} +
                       "/schema/json/holdwarden-check-1.schema.json"};
    return Json::parse(file);
}

std::string faults_text(const Json& value) {
    std::string text;
    for (const std::string& fault : test::schema_faults(schema(), value)) {
        text += fault + "\n";
    }
    return text;
}

} // namespace

TEST_CASE("what check prints for programs fits its schema", "[check][json]") {
    const std::string csv = "time,lot,core_f,air_c\n"
                            "2026-10-31 20:00,a,150,60\n2026-10-31 23:00,a,149.5,60.25\n"
                            "2026-10-31 20:00,b,150,60\n2026-10-31 23:00:00.5,b,130,x\n";
    for (const std::string stage : {"cooking", "resting", "hot-holding", "cooling", "cold-holding",
                                    "frozen", "thawing", "reheating", "time-control"}) {
        INFO(stage);
        const auto got =
            said({"check", "--csv", "-", "--stage", stage, "--zone", "America/Denver", "--air",
                  "air", "--rule", "guarded", "--tolerance", "0.5C", "--format", "json"},
                 csv);
        INFO(got.err);
        REQUIRE_FALSE(got.out.empty());
        CHECK(faults_text(Json::parse(got.out)) == "");
    }
}

TEST_CASE("the schema refuses what is not an answer", "[check][json]") {
    // JSON Schema draft 2020-12: a schema that takes everything would check nothing.
    const std::string csv = "time,core_f\n2026-10-31T20:00:00Z,150\n2026-10-31T21:00:00Z,150\n";
    const Json good = Json::parse(
        said({"check", "--csv", "-", "--stage", "hot-holding", "--format", "json"}, csv).out);
    CHECK(faults_text(good) == "");
    Json bad = good;
    bad["overall"] = "not met";
    CHECK(faults_text(bad) != "");
    bad = good;
    bad["extra"] = 1;
    CHECK(faults_text(bad) != "");
    bad = good;
    bad["lots"][0]["findings"][0].erase("clause");
    CHECK(faults_text(bad) != "");
    bad = good;
    bad["as_of"] = "2026-10-31 21:00";
    CHECK(faults_text(bad) != "");
    bad = good;
    bad["lots"][0]["findings"][0]["margin"] = Json::object();
    CHECK(faults_text(bad) != "");
}

TEST_CASE("the keys come in the documented order", "[check][json]") {
    const std::string csv = "time,core_f\n2026-10-31T20:00:00Z,150\n2026-10-31T21:00:00Z,150\n";
    const auto got = nlohmann::ordered_json::parse(
        said({"check", "--csv", "-", "--stage", "hot-holding", "--format", "json"}, csv).out);
    std::string keys;
    for (const auto& [key, value] : got.items()) {
        keys += key + " ";
    }
    CHECK(keys == "format code decision_rule tolerance largest_interval_s as_of zone overall "
                  "house_overall lots "
                  "intake caution ");
}
