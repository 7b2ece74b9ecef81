#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/records/reading.hpp>

#include <cstddef>
#include <span>
#include <vector>

namespace holdwarden::judge {

/// No food moves faster than 5 °C in a minute at a probe's place; a probe pulled out into the air
/// does. (Common practice, no source: conduction in food is two orders slower.)
inline constexpr double kLargestStepCThousandths = 5000.0;
/// A display of tenths that shows one value for this long and this often is stuck, not steady.
/// (Common practice, no source.)
inline constexpr Span kStuckFor = Span::hours(4);
inline constexpr std::size_t kStuckReadings = 100;

/// Marks readings as suspect that lie further from the last trusted reading than food can move in
/// the time between, at least a minute. Once enough time has passed for the change to be possible,
/// readings are trusted again. `readings` ascend by time.
void mark_steps(std::span<records::Reading> readings) noexcept;

/// A run of one value to the last tenth. It is pointed out, and counts as any reading does.
struct StuckRun {
    Instant from;
    Instant to;
    std::size_t readings;
};
std::vector<StuckRun> stuck_runs(std::span<const records::Reading> readings);

} // namespace holdwarden::judge
