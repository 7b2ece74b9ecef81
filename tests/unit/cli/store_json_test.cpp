#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>

using namespace kitchen;
using Json = nlohmann::json;

namespace {

/// What is wrong with an answer by the schema of the format it names; "" when nothing is.
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

} // namespace

TEST_CASE("what the record-keeping commands print for programs fits its schema") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const auto json = [&](std::vector<std::string> arguments) {
        arguments.insert(arguments.end(), {"--format", "json"});
        return kitchen.good(arguments);
    };
    CHECK(faults(json({"lot", "show", "beans-1"})) == ""); // nothing said of it yet
    kitchen.good({"unit", "add", "oven-1", "--kind", "oven", "--oven", "convection"});
    kitchen.good({"lot", "open", "ham-1", "--mass", "5kg", "--thickness", "60mm", "--made-on",
                  "2026-10-31", "--at", "2026-10-31 05:00"});
    kitchen.good({"stage", "ham-1", "reheating", "100F", "--unit", "oven-1", "--setting", "300F",
                  "--at", "2026-10-31 18:00", "--by", "RK"});
    kitchen.good({"place", "p1", "ham-1", "--at", "2026-10-31 18:00"});
    kitchen.good({"place", "p2", "oven-1", "--air", "--at", "2026-10-31 18:00"});
    const std::string file = kitchen.write("oven.csv", "time,p1_f,p2_c\n"
                                                       "2026-10-31 18:10,110,150\n"
                                                       "2026-10-31 18:20,x,150.25\n");
    CHECK(faults(json({"import", file, "--dry-run"})) == "");
    CHECK(faults(json({"import", file})) == "");
    CHECK(faults(json({"import", file})) == "");
    CHECK(faults(json({"probe", "list"})) == "");
    kitchen.good({"stage", "ham-1", "served", "165F"});
    CHECK(faults(json({"lot", "show", "ham-1"})) == "");
    CHECK(faults(json({"lot", "list", "--all"})) == "");
    CHECK(faults(json({"unit", "list"})) == "");
    CHECK(faults(json({"house", "list"})) == "");
    CHECK(faults(json({"target", "list"})) == "");
    kitchen.good({"house", "add", "cooling-total", "--within", "4h", "--why", "w", "--by", "RK"});
    kitchen.good({"house", "add", "hot-holding", "--limit", "130F", "--variance", "LY-7", "--why",
                  "w", "--by", "RK"});
    kitchen.good({"house", "withdraw", "2", "--why", "w", "--by", "RK"});
    kitchen.good({"target", "add", "60C", "65C", "--lot", "ham-1", "--why", "w", "--by", "RK"});
    kitchen.good({"target", "withdraw", "1", "--why", "w", "--by", "RK"});
    kitchen.good({"site", "--max-gap", "1h", "--why", "w", "--by", "RK"});
    CHECK(faults(json({"house", "list"})) == "");
    CHECK(faults(json({"target", "list"})) == "");
    CHECK(faults(json({"site"})) == "");
    // JSON Schema draft 2020-12: a schema that takes everything would check nothing.
    Json bad = Json::parse(json({"lot", "show", "ham-1"}));
    bad["end"]["outcome"] = "eaten";
    CHECK(faults(bad.dump()) != "");
}
