#include "struck.hpp"

#include <algorithm>

namespace holdwarden::sheets {

std::vector<TextRange> struck_ranges(const Cell& cell, std::string_view text) {
    std::vector<TextRange> ranges;
    std::size_t before = text.size();
    for (auto value = cell.struck.rbegin(); value != cell.struck.rend(); ++value) {
        const std::size_t at = text.substr(0, before).rfind(*value);
        if (value->empty() || at == std::string_view::npos) {
            continue;
        }
        ranges.push_back({at, at + value->size()});
        before = at;
    }
    std::reverse(ranges.begin(), ranges.end());
    return ranges;
}

} // namespace holdwarden::sheets
