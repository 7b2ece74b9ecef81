#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/zone.hpp>

#include <string>
#include <vector>

namespace holdwarden::sheets {

/// A labelled mark of a time axis.
struct AxisTick {
    Instant at;
    std::string clock;  ///< "01:00", the wall clock of that instant
    std::string offset; ///< "-06:00" where the wall time is shown twice, else empty
    std::string date;   ///< "2026-11-01" on the first tick and on the first of each date
};

/// Ticks in [from, to] at round wall-clock times, at most about `most` of them. The axis runs in
/// true time: over a change of clocks ticks stay on round wall times, so their distance changes
/// there. Where the clocks go back, the repeated stretch has a tick at the start of either pass; a
/// wall time that was never shown has none. `from` must not be after `to` (asserted).
std::vector<AxisTick> axis_ticks(Instant from, Instant to, const Zone& zone, std::size_t most);

} // namespace holdwarden::sheets
