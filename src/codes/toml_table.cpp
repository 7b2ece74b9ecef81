#include "toml_table.hpp"

#include "figures.hpp"

#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace holdwarden::codes {
namespace {

constexpr std::array kStatuses{Status::seen_in_edition, Status::seen_in_adoption,
                               Status::seen_in_account, Status::remembered};

template <class Values>
std::vector<std::string> names_of(const Values& values) {
    std::vector<std::string> names;
    for (const auto value : values) {
        names.emplace_back(to_name(value));
    }
    return names;
}

std::string quoted(std::string_view key) {
    return fmt::format("'{}'", for_display(key));
}

} // namespace

Error at_place(const std::string& file, const toml::source_region& place, std::string what,
               std::string fix) {
    // A root table without any key has no place of its own: the file's first character.
    const auto line = std::max<toml::source_index>(place.begin.line, 1);
    const auto column = std::max<toml::source_index>(place.begin.column, 1);
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what),
                  .where = fmt::format("{}:{}:{}", file, line, column),
                  .fix = std::move(fix)}};
}

toml::table parse_toml(std::string_view text, const std::string& file) {
    try {
        return toml::parse(text, file);
    } catch (const toml::parse_error& complaint) {
        throw at_place(file, complaint.source(), std::string{complaint.description()},
                       "mend the TOML there: the file cannot be read past it");
    }
}

Error TomlTable::error_here(std::string what, std::string fix) const {
    return at_place(file_, table_.get().source(), std::move(what), std::move(fix));
}

Error TomlTable::error(std::string_view key, std::string what, std::string fix) const {
    const toml::node* node = table_.get().get(key);
    return node == nullptr ? error_here(std::move(what), std::move(fix))
                           : at_place(file_, node->source(), std::move(what), std::move(fix));
}

void TomlTable::only(std::initializer_list<std::string_view> keys, std::string_view title) const {
    for (const auto& [key, value] : table_.get()) {
        if (std::find(keys.begin(), keys.end(), key.str()) == keys.end()) {
            throw at_place(file_, key.source(),
                           fmt::format("{} has no key {}", title, quoted(key.str())),
                           "use " + listed({keys.begin(), keys.end()}));
        }
    }
}

const toml::node& TomlTable::need(std::string_view key) const {
    const toml::node* node = table_.get().get(key);
    if (node == nullptr) {
        throw error_here(fmt::format("{} is missing", quoted(key)),
                         fmt::format("add {} here", quoted(key)));
    }
    return *node;
}

template <class Read>
auto TomlTable::read_text(std::string_view key, Read read) const {
    const toml::node& node = need(key);
    const auto* value = node.as_string();
    if (value == nullptr || trimmed(value->get()).empty()) {
        throw error(key, fmt::format("{} must be a text that says something", quoted(key)),
                    "write it between quotation marks, a figure with its unit");
    }
    try {
        return read(value->get());
    } catch (const Error& complaint) {
        throw error(key, fmt::format("{}: {}", key, complaint.text().what), complaint.text().fix);
    }
}

std::string TomlTable::text(std::string_view key) const {
    return read_text(key, [](const std::string& text) { return std::string{trimmed(text)}; });
}

std::string TomlTable::text_or(std::string_view key, std::string fallback) const {
    return has(key) ? text(key) : std::move(fallback);
}

bool TomlTable::flag_or(std::string_view key, bool fallback) const {
    if (!has(key)) {
        return fallback;
    }
    const auto* value = need(key).as_boolean();
    if (value == nullptr) {
        throw error(key, fmt::format("{} must be true or false", quoted(key)),
                    "write true or false without quotation marks");
    }
    return value->get();
}

int TomlTable::whole_number(std::string_view key, int least, int most) const {
    const auto* value = need(key).as_integer();
    if (value == nullptr || value->get() < least || value->get() > most) {
        throw error(
            key, fmt::format("{} must be a whole number from {} to {}", quoted(key), least, most),
            "write it without quotation marks");
    }
    return static_cast<int>(value->get());
}

std::vector<std::string> TomlTable::texts(std::string_view key) const {
    const auto* array = need(key).as_array();
    if (array == nullptr || array->empty()) {
        throw error(key, fmt::format("{} must be a list of texts, not empty", quoted(key)),
                    "write [\"…\", \"…\"]");
    }
    std::vector<std::string> found;
    for (const toml::node& node : *array) {
        const auto* value = node.as_string();
        if (value == nullptr || trimmed(value->get()).empty()) {
            throw at_place(file_, node.source(),
                           fmt::format("{} must hold texts that say something", quoted(key)),
                           "write each between quotation marks");
        }
        found.emplace_back(trimmed(value->get()));
    }
    return found;
}

TomlTable TomlTable::table(std::string_view key) const {
    const auto* found = need(key).as_table();
    if (found == nullptr) {
        throw error(key, fmt::format("{} must be a table", quoted(key)),
                    fmt::format("write {} = {{ … }}", key));
    }
    return {*found, file_};
}

std::vector<TomlTable> TomlTable::tables(std::string_view key) const {
    const auto* array = need(key).as_array();
    if (array == nullptr || array->empty()) {
        throw error(key, fmt::format("{} must be a list of tables, not empty", quoted(key)),
                    fmt::format("write [[{}]], or {} = [ {{ … }} ]", key, key));
    }
    std::vector<TomlTable> found;
    for (const toml::node& node : *array) {
        const auto* value = node.as_table();
        if (value == nullptr) {
            throw at_place(file_, node.source(), fmt::format("{} must hold tables", quoted(key)),
                           "write each as { … }");
        }
        found.emplace_back(*value, file_);
    }
    return found;
}

TemperatureLimit TomlTable::limit(std::string_view key) const {
    return read_text(key, parse_limit);
}

TimeLimit TomlTable::time_limit(std::string_view key) const {
    return read_text(key, parse_time_limit);
}

Span TomlTable::span(std::string_view key) const {
    return read_text(key, parse_span);
}

TemperatureDelta TomlTable::delta(std::string_view key, Scale scale) const {
    return read_text(key, [&](const std::string& text) {
        const TemperatureDelta found = parse_delta(text);
        if (found.scale() != scale || found.thousandths() == 0) {
            throw Error{
                ErrorKind::bad_input,
                {.what = fmt::format("'{}' is not a size in {}", for_display(text), sign(scale)),
                 .where = "",
                 .fix = fmt::format("write it like \"1 {}\"", sign(scale))}};
        }
        return found;
    });
}

std::int64_t TomlTable::mass_g(std::string_view key) const {
    return read_text(key, parse_mass_g);
}

std::size_t TomlTable::choice(std::string_view key, const std::vector<std::string>& names,
                              std::string_view sort) const {
    const std::string name = text(key);
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end()) {
        throw error(key, fmt::format("{} is no {}", quoted(name), sort), "use " + listed(names));
    }
    return static_cast<std::size_t>(found - names.begin());
}

Status TomlTable::status_or(std::string_view key, std::optional<Status> fallback) const {
    if (!has(key) && fallback) {
        return *fallback;
    }
    return kStatuses[choice(key, names_of(kStatuses), "status")];
}

std::vector<FoodKind> TomlTable::foods_or_all(std::string_view key) const {
    if (!has(key)) {
        return {};
    }
    const auto names = texts(key);
    std::vector<FoodKind> foods;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const auto food = food_named(names[i]);
        const bool again = food && std::find(foods.begin(), foods.end(), *food) != foods.end();
        if (!food || again) {
            throw at_place(
                file_, need(key).as_array()->get(i)->source(),
                fmt::format("{} is {}", quoted(names[i]), again ? "listed twice" : "no food kind"),
                "use " + listed(names_of(all_foods())));
        }
        foods.push_back(*food);
    }
    return foods;
}

} // namespace holdwarden::codes
