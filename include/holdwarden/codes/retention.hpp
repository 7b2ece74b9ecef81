#pragma once

#include <holdwarden/codes/pack.hpp>

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::codes {

/// How long a rule asks for records to be kept.
struct RetentionRule {
    std::string id;
    std::string title;
    int months = 0; ///< calendar months, 1 to 600
    std::string clause;
    Status status{};
    std::vector<FoodKind> foods{}; ///< whose records it is about; empty: any

    bool covers(FoodKind food) const noexcept;
};

/// The longest of the rules that cover a food; of all where none does, since what is not known is
/// kept. `rules` must not be empty (asserted).
const RetentionRule& longest_for(FoodKind food, const std::vector<RetentionRule>& rules);

/// Reads and validates rules from TOML text. Throws Error{bad_input} naming file, line and column.
std::vector<RetentionRule> parse_retention(std::string_view toml, const std::string& name);
/// Reads `path`. Throws Error{not_found} if there is no such file.
std::vector<RetentionRule> load_retention(const std::filesystem::path& path);

} // namespace holdwarden::codes
