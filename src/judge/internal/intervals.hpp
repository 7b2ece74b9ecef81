#pragma once

// Stretches of time that are added up: where two overlap, the time is counted once.

#include <holdwarden/base/instant.hpp>

#include <vector>

namespace holdwarden::judge {

struct Interval {
    Instant from;
    Instant to;
};

/// In order, those that touch or overlap joined.
std::vector<Interval> joined(std::vector<Interval> intervals);

/// The time that lies in any of them.
Span covered_by(const std::vector<Interval>& intervals);

} // namespace holdwarden::judge
