// How long records are kept: 9 CFR 417.5(e), 21 CFR 117.315, 120.12(d) and 123.9(b): one year for
// refrigerated food, two years for frozen, preserved or shelf-stable food and for preventive
// controls (where each was read stands in the file).
#include <holdwarden/base/error.hpp>
#include <holdwarden/codes/retention.hpp>

#include <catch2/catch.hpp>

#include <map>

using namespace holdwarden;
using namespace holdwarden::codes;

namespace {

const std::string kPath = std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/keeping/retention.toml";

std::string rule(const std::string& id, const std::string& months, const std::string& more = "") {
    return "[[rule]]\nid = \"" + id + "\"\ntitle = \"t\"\nmonths = " + months +
           "\nclause = \"c\"\nstatus = \"remembered\"\n" + more;
}

std::string fault_of(const std::string& text) {
    try {
        parse_retention(text, "x.toml");
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::bad_input);
        CHECK_FALSE(e.text().fix.empty());
        return e.text().where + ": " + e.text().what;
    }
    return "";
}

} // namespace

TEST_CASE("the federal rules for keeping records have the published times") {
    std::map<std::string, int> months;
    for (const RetentionRule& r : load_retention(kPath)) {
        months[r.id] = r.months;
    }
    CHECK(months.at("usda-417-refrigerated") == 12);
    CHECK(months.at("usda-417-shelf-stable") == 24);
    CHECK(months.at("fda-117") == 24);
    CHECK(months.at("fda-120-refrigerated") == 12);
    CHECK(months.at("fda-120-shelf-stable") == 24);
    CHECK(months.at("fda-123-refrigerated") == 12);
    CHECK(months.at("fda-123-frozen") == 24);
}

TEST_CASE("of the rules about a food the longest counts, of all where none is about it") {
    const auto rules =
        parse_retention(rule("fish", "12", "foods = [\"fish\"]\n") +
                            rule("fish-longer", "13", "foods = [\"fish\", \"eggs\"]\n") +
                            rule("plants", "24", "foods = [\"plant\"]\n"),
                        "x.toml");
    CHECK(longest_for(FoodKind::fish, rules).id == "fish-longer");
    CHECK(longest_for(FoodKind::plant, rules).id == "plants");
    CHECK(longest_for(FoodKind::poultry, rules).id == "plants");
    const auto any =
        parse_retention(rule("fish", "24", "foods = [\"fish\"]\n") + rule("all", "12"), "x.toml");
    CHECK(longest_for(FoodKind::poultry, any).id == "all");
    CHECK(any[1].covers(FoodKind::poultry));
    CHECK_FALSE(any[0].covers(FoodKind::poultry));
}

TEST_CASE("rules that cannot be right are refused with their place") {
    CHECK(fault_of(rule("a", "1")).empty());
    CHECK(fault_of(rule("a", "600")).empty());
    CHECK(fault_of(rule("a", "0")).starts_with("x.toml:4"));
    CHECK(fault_of(rule("a", "601")).starts_with("x.toml:4"));
    CHECK(fault_of(rule("a", "1") + rule("a", "2")).find("this id is there twice") !=
          std::string::npos);
    CHECK(fault_of(rule("a", "1", "colour = \"red\"\n")).find("colour") != std::string::npos);
    CHECK(fault_of("[[rule]]\nid = \"a\"\n").find("missing") != std::string::npos);
    try {
        load_retention(kPath + ".none");
        FAIL("there is no such file");
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::not_found);
    }
}
