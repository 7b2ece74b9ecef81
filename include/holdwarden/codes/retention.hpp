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
};

/// Reads and validates rules from TOML text. Throws Error{bad_input} naming file, line and column.
std::vector<RetentionRule> parse_retention(std::string_view toml, const std::string& name);
/// Reads `path`. Throws Error{not_found} if there is no such file.
std::vector<RetentionRule> load_retention(const std::filesystem::path& path);

} // namespace holdwarden::codes
