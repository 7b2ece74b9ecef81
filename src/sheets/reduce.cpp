#include <holdwarden/sheets/reduce.hpp>

#include <algorithm>
#include <array>
#include <cassert>

namespace holdwarden::sheets {

std::vector<LinePoint> reduced(std::span<const LinePoint> line, Instant from, Instant to,
                               std::size_t parts) {
    assert(std::ranges::is_sorted(line, {}, &LinePoint::at));
    if (line.size() <= 4 * parts || parts == 0 || from >= to) {
        return {line.begin(), line.end()};
    }
    const auto part_of = [&](const LinePoint& point) {
        const double share =
            static_cast<double>((point.at - from).ms()) / static_cast<double>((to - from).ms());
        const auto last = static_cast<double>(parts - 1);
        return static_cast<std::size_t>(std::clamp(share * static_cast<double>(parts), 0.0, last));
    };
    const auto lower = [](const LinePoint& a, const LinePoint& b) { return a.degrees < b.degrees; };
    std::vector<LinePoint> kept;
    for (auto first = line.begin(); first != line.end();) {
        const std::size_t part = part_of(*first);
        const auto end = std::find_if(
            first, line.end(), [&](const LinePoint& point) { return part_of(point) != part; });
        const auto [low, high] = std::minmax_element(first, end, lower);
        std::array places = {first, low, high, end - 1};
        std::ranges::sort(places);
        const auto unique_end = std::unique(places.begin(), places.end());
        for (auto place = places.begin(); place != unique_end; ++place) {
            kept.push_back(**place);
        }
        first = end;
    }
    return kept;
}

} // namespace holdwarden::sheets
