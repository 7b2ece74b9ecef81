#pragma once

#include <filesystem>
#include <string>

namespace holdwarden::cli {

enum class IfThere { refuse, replace };

/// Writes the whole text or nothing: a new file beside it takes the name when it is complete.
/// Throws Error{conflict} when there is such a file and it is not to be replaced, Error{bad_input}
/// when it cannot be written.
void write_file(const std::filesystem::path& file, const std::string& text, IfThere if_there);

/// `name` fit for a file name: letters, digits, dot, hyphen and low line of ASCII stay, letters of
/// other scripts too; anything else becomes a low line; never empty, never beginning with a dot or
/// a hyphen, at most 120 bytes, cut between characters.
std::string file_name_for(const std::string& name);

} // namespace holdwarden::cli
