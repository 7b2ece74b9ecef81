#pragma once

#include <filesystem>
#include <string>
#include <system_error>
#include <vector>

namespace holdwarden {

/// The names of what is in `folder`, sorted, without "." and ".."; none, and `code` set, when it
/// cannot be read to its end. Throws std::bad_alloc where the standard library's iterator ends the
/// program (libstdc++ 12: `_Dir::advance` is noexcept and allocates).
std::vector<std::string> names_in(const std::filesystem::path& folder, std::error_code& code);

/// Removes `folder` and everything below it as far as that can be done; links are not followed.
/// Throws std::bad_alloc.
void remove_tree(const std::filesystem::path& folder);

} // namespace holdwarden
