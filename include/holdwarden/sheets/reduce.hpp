#pragma once

#include <holdwarden/base/instant.hpp>

#include <span>
#include <vector>

namespace holdwarden::sheets {

/// A place on a drawn line: when, and how warm in the chart's scale.
struct LinePoint {
    Instant at;
    double degrees = 0;
    friend bool operator==(const LinePoint&, const LinePoint&) = default;
};

/// Fewer points that draw the same line: [from, to) is cut into `parts` equal stretches, and of
/// each the first, the lowest, the highest and the last point stay, in their order. `line` must
/// ascend by time (asserted); points outside [from, to) count with the first or last stretch. A
/// line of at most four points a stretch comes back unchanged.
std::vector<LinePoint> reduced(std::span<const LinePoint> line, Instant from, Instant to,
                               std::size_t parts);

} // namespace holdwarden::sheets
