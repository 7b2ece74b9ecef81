#pragma once

#include <holdwarden/sheets/sheet.hpp>

#include <cstddef>
#include <string_view>
#include <vector>

namespace holdwarden::sheets {

/// A part of a text, in bytes: [from, to).
struct TextRange {
    std::size_t from = 0;
    std::size_t to = 0;
};

/// Where `text` (a cell's, perhaps with something before it) holds the values that are struck, in
/// ascending order. They stand behind what holds now, so they are looked for from the end.
std::vector<TextRange> struck_ranges(const Cell& cell, std::string_view text);

} // namespace holdwarden::sheets
