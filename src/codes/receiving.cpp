#include "receiving_table.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/codes/receiving.hpp>

#include <algorithm>
#include <fstream>
#include <iterator>

namespace holdwarden::codes {
namespace {

ReceivingRule read_rule(const TomlTable& in) {
    in.only({"as", "limit", "clause", "status", "says"}, "receiving");
    ReceivingRule rule{
        .as = kReceivedAs.at(in.choice("as", {"cold", "hot", "frozen"}, "way to arrive")),
        .limit = {},
        .clause = in.text("clause"),
        .status = in.status_or("status", std::nullopt),
        .says = in.text("says")};
    if (in.has("limit")) {
        rule.limit = in.limit("limit");
    }
    if (rule.limit.has_value() == (rule.as == ReceivedAs::frozen)) {
        throw in.error("limit",
                       "food received frozen is frozen, without a figure; other food has one",
                       rule.limit ? "take 'limit' out" : "add 'limit'");
    }
    if (rule.limit && rule.limit->wants_hot() != (rule.as == ReceivedAs::hot)) {
        throw in.error("limit", "the limit points the wrong way here",
                       "hot food is received at a figure or above, cold food at one or below");
    }
    return rule;
}

} // namespace

const ReceivingRule* Receiving::of(ReceivedAs as) const {
    const auto found = std::find_if(rules.begin(), rules.end(),
                                    [&](const ReceivingRule& rule) { return rule.as == as; });
    return found == rules.end() ? nullptr : &*found;
}

std::vector<ReceivingRule> read_receiving(const TomlTable& pack) {
    Receiving found;
    if (pack.has("receiving")) {
        for (const TomlTable& table : pack.tables("receiving")) {
            ReceivingRule rule = read_rule(table);
            if (found.of(rule.as) != nullptr) {
                throw table.error("as", "receiving is given twice for one way to arrive",
                                  "take one out");
            }
            found.rules.push_back(std::move(rule));
        }
    }
    return found.rules;
}

Receiving parse_receiving(std::string_view text, const std::string& name) {
    const toml::table parsed = parse_toml(text, name);
    const TomlTable pack{parsed, name};
    return {.pack = pack.text("id"), .rules = read_receiving(pack)};
}

Receiving load_receiving(const std::filesystem::path& path) {
    std::ifstream in{path, std::ios::binary};
    if (!in) {
        throw Error{ErrorKind::not_found,
                    {.what = "there is no code pack '" + for_display(path.string()) + "'",
                     .where = "",
                     .fix = "see the packs with: holdwarden codes"}};
    }
    const std::string text{std::istreambuf_iterator<char>{in}, {}};
    return parse_receiving(text, path.string());
}

} // namespace holdwarden::codes
