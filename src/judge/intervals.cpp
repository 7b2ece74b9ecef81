#include "internal/intervals.hpp"

#include <algorithm>

namespace holdwarden::judge {

std::vector<Interval> joined(std::vector<Interval> intervals) {
    std::ranges::sort(intervals, {}, &Interval::from);
    std::vector<Interval> apart;
    for (const Interval& one : intervals) {
        if (!apart.empty() && one.from <= apart.back().to) {
            apart.back().to = std::max(apart.back().to, one.to);
        } else {
            apart.push_back(one);
        }
    }
    return apart;
}

Span covered_by(const std::vector<Interval>& intervals) {
    Span sum;
    for (const Interval& one : joined(intervals)) {
        sum += one.to - one.from;
    }
    return sum;
}

} // namespace holdwarden::judge
