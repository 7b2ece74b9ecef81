#include "toml_table.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/codes/retention.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <fstream>
#include <iterator>
#include <set>

namespace holdwarden::codes {

bool RetentionRule::covers(FoodKind food) const noexcept {
    return foods.empty() || std::find(foods.begin(), foods.end(), food) != foods.end();
}

const RetentionRule& longest_for(FoodKind food, const std::vector<RetentionRule>& rules) {
    assert(!rules.empty());
    const RetentionRule* longest = nullptr;
    for (const bool any : {false, true}) {
        for (const RetentionRule& rule : rules) {
            if ((any || rule.covers(food)) &&
                (longest == nullptr || rule.months > longest->months)) {
                longest = &rule;
            }
        }
        if (longest != nullptr) {
            break;
        }
    }
    return *longest;
}

std::vector<RetentionRule> parse_retention(std::string_view text, const std::string& name) {
    const toml::table parsed = parse_toml(text, name);
    const TomlTable file{parsed, name};
    file.only({"rule"}, "the file");
    std::vector<RetentionRule> rules;
    std::set<std::string> ids;
    for (const TomlTable& table : file.tables("rule")) {
        table.only({"id", "title", "months", "clause", "status", "foods"}, "a rule");
        constexpr int kMostMonths = 600;
        rules.push_back({.id = table.text("id"),
                         .title = table.text("title"),
                         .months = table.whole_number("months", 1, kMostMonths),
                         .clause = table.text("clause"),
                         .status = table.status_or("status", std::nullopt),
                         .foods = table.foods_or_all("foods")});
        if (!ids.insert(rules.back().id).second) {
            throw table.error("id", "this id is there twice", "give each rule its own");
        }
    }
    return rules;
}

std::vector<RetentionRule> load_retention(const std::filesystem::path& path) {
    std::ifstream in{path, std::ios::binary};
    const std::string text{std::istreambuf_iterator<char>{in}, {}};
    if (!in || text.empty()) {
        throw Error{
            ErrorKind::not_found,
            {.what = "the rules for keeping records cannot be read",
             .where = for_display(path.string()),
             .fix = "install holdwarden again, or name its data folder in HOLDWARDEN_DATA"}};
    }
    return parse_retention(text, path.string());
}

} // namespace holdwarden::codes
