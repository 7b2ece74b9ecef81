#pragma once

#include <holdwarden/codes/pack.hpp>

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::codes {

/// Reads and validates a pack from TOML text. `name` is the file name for messages. Throws
/// Error{bad_input} with file, line and column for a syntax error, an unknown key, a missing
/// clause, a wrong unit or a table that is not monotone.
Pack parse_pack(std::string_view toml, const std::string& name);

/// Reads `path`. Throws Error{not_found} if there is no such file.
Pack load_pack(const std::filesystem::path& path);

/// The ids of the packs (`*.toml`) in a folder, sorted.
std::vector<std::string> pack_ids(const std::filesystem::path& folder);

} // namespace holdwarden::codes
