#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace architecture {

/// The string literals of a C++ source, in order, neighbours apart; raw strings, character
/// literals, comments and lines of the preprocessor are left out.
std::vector<std::string> literals(std::string_view source);

/// Whether a literal could be read by people: what is left without tags, attributes and
/// placeholders has three letters in a row.
bool could_be_wording(std::string_view literal);

} // namespace architecture
