#include "schema_walk.hpp"

#include <algorithm>
#include <regex>
#include <set>

namespace holdwarden::test {
namespace {

using Json = nlohmann::json;

class Walk {
public:
    explicit Walk(const Json& root) : root_{root} {}

    std::vector<std::string> faults(const Json& schema, const Json& value,
                                    const std::string& at) const {
        std::vector<std::string> found;
        for (const auto& [keyword, rule] : schema.items()) {
            apply(keyword, rule, schema, value, at, found);
        }
        return found;
    }

private:
    using Faults = std::vector<std::string>;

    void add(const Json& schema, const Json& value, const std::string& at, Faults& found) const {
        const Faults more = faults(schema, value, at);
        found.insert(found.end(), more.begin(), more.end());
    }

    static bool is_of(const std::string& type, const Json& value) {
        return (type == "object" && value.is_object()) || (type == "array" && value.is_array()) ||
               (type == "string" && value.is_string()) || (type == "number" && value.is_number()) ||
               (type == "integer" && value.is_number_integer()) ||
               (type == "boolean" && value.is_boolean()) || (type == "null" && value.is_null());
    }

    void apply(const std::string& keyword, const Json& rule, const Json& schema, const Json& value,
               const std::string& at, Faults& found) const {
        static const std::set<std::string> kSilent{"$schema", "$id", "$defs", "title",
                                                   "description"};
        const auto fault = [&](const std::string& what) { found.push_back(at + ": " + what); };
        if (kSilent.contains(keyword)) {
            return;
        }
        if (keyword == "$ref") {
            const std::string path = rule;
            add(root_.at(Json::json_pointer{path.substr(1)}), value, at, found);
        } else if (keyword == "type") {
            const bool fits =
                rule.is_array()
                    ? std::ranges::any_of(rule, [&](const Json& t) { return is_of(t, value); })
                    : is_of(rule, value);
            if (!fits) {
                fault("is not of type " + rule.dump());
            }
        } else if (keyword == "const" || keyword == "enum") {
            const bool fits = keyword == "const"
                                  ? rule == value
                                  : std::find(rule.begin(), rule.end(), value) != rule.end();
            if (!fits) {
                fault(value.dump() + " is not " + rule.dump());
            }
        } else if (keyword == "required") {
            for (const Json& key : rule) {
                if (value.is_object() && !value.contains(key.get<std::string>())) {
                    fault("lacks " + key.dump());
                }
            }
        } else if (keyword == "properties") {
            for (const auto& [key, part] : rule.items()) {
                if (value.is_object() && value.contains(key)) {
                    add(part, value.at(key), at + "/" + key, found);
                }
            }
        } else if (keyword == "additionalProperties") {
            for (const auto& [key, part] : value.items()) {
                if (value.is_object() && !schema.at("properties").contains(key)) {
                    fault("has the unknown key " + key);
                }
            }
        } else if (keyword == "items") {
            for (std::size_t i = 0; value.is_array() && i < value.size(); ++i) {
                add(rule, value.at(i), at + "/" + std::to_string(i), found);
            }
        } else if (keyword == "anyOf") {
            if (std::ranges::none_of(rule,
                                     [&](const Json& s) { return faults(s, value, at).empty(); })) {
                fault("fits none of the alternatives");
            }
        } else if (keyword == "maximum") {
            if (value.is_number() && value.get<double>() > rule.get<double>()) {
                fault("is above " + rule.dump());
            }
        } else if (keyword == "minimum") {
            if (value.is_number() && value.get<double>() < rule.get<double>()) {
                fault("is below " + rule.dump());
            }
        } else if (keyword == "pattern") {
            if (value.is_string() &&
                !std::regex_search(value.get<std::string>(), std::regex{rule.get<std::string>()})) {
                fault(value.dump() + " is not of the form " + rule.dump());
            }
        } else {
            fault("the schema uses " + keyword + ", which is not checked");
        }
    }

    const Json& root_;
};

} // namespace

std::vector<std::string> schema_faults(const Json& schema, const Json& value) {
    return Walk{schema}.faults(schema, value, "");
}

} // namespace holdwarden::test
