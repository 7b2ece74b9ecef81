#pragma once
// Inside `codes` only: a TOML table whose every complaint names file, line and column.

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/codes/pack.hpp>

#include <toml++/toml.h>

#include <functional>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::codes {

/// Error{bad_input} at a place of a file: "pack.toml:8:5".
Error at_place(const std::string& file, const toml::source_region& place, std::string what,
               std::string fix);

/// Throws Error{bad_input} at the place where the text is not TOML.
toml::table parse_toml(std::string_view text, const std::string& file);

/// A table of a pack's file, read key by key. Holds references: the parsed file must outlive it.
class TomlTable {
public:
    TomlTable(const toml::table& table, const std::string& file) : table_{table}, file_{file} {}

    /// Refuses keys that are not listed. `title` names the table in the message.
    void only(std::initializer_list<std::string_view> keys, std::string_view title) const;

    bool has(std::string_view key) const { return table_.get().contains(key); }

    /// A text that says something.
    std::string text(std::string_view key) const;
    std::string text_or(std::string_view key, std::string fallback) const;
    bool flag_or(std::string_view key, bool fallback) const;
    int whole_number(std::string_view key, int least, int most) const;
    std::vector<std::string> texts(std::string_view key) const;
    TomlTable table(std::string_view key) const;
    std::vector<TomlTable> tables(std::string_view key) const;

    /// "135 °F (57 °C) or above", "above 63 °C", "41 °F or below", "below 8 °C".
    TemperatureLimit limit(std::string_view key) const;
    /// "2 h" (the figure included) or "less than 2 h".
    TimeLimit time_limit(std::string_view key) const;
    Span span(std::string_view key) const;
    TemperatureDelta delta(std::string_view key, Scale scale) const;
    /// "10 lb", "4.5 kg": grams.
    std::int64_t mass_g(std::string_view key) const;
    Status status_or(std::string_view key, std::optional<Status> fallback) const;
    std::vector<FoodKind> foods_or_all(std::string_view key) const;

    /// One of `names` by its place in the list.
    std::size_t choice(std::string_view key, const std::vector<std::string>& names,
                       std::string_view sort) const;

    /// An error at the value of `key`, or at the table when it has no such key.
    Error error(std::string_view key, std::string what, std::string fix) const;
    Error error_here(std::string what, std::string fix) const;

private:
    const toml::node& need(std::string_view key) const;
    /// Runs `read` on the text of `key`; what it complains of gets the place.
    template <class Read>
    auto read_text(std::string_view key, Read read) const;

    std::reference_wrapper<const toml::table> table_;
    std::reference_wrapper<const std::string> file_;
};

} // namespace holdwarden::codes
