#pragma once

// Where a code lets all times between its cold and its hot limit add up
// (codes::TimeControlRule::adds_up_below): the time in stages that are not wholly counted as time
// out (time_out.hpp), by what the readings show.

#include "case.hpp"
#include "intervals.hpp"

#include <vector>

namespace holdwarden::judge {

class AddedUp {
public:
    /// Nothing adds up where the rule does not say so. `c` and `rule` are only looked at here.
    AddedUp(const Case& c, const codes::TimeControlRule& rule);

    /// At least: between readings that show it between the limits, at the worst point. At most: all
    /// but what readings vouch for and what other limits look at.
    SpanBracket up_to(Instant until) const;

private:
    std::vector<std::vector<Interval>> shown_; ///< per point, in order
    std::vector<Interval> possible_;           ///< in order, apart
};

/// Whether nothing but `preparing` lies between time control and stage `i`: a `preparing` there is
/// time out, by the clock, whatever is read.
bool follows_time_control(const std::vector<StageSpan>& stages, std::size_t i) noexcept;

} // namespace holdwarden::judge
