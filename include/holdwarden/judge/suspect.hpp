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

/// Marks as suspect what steps as food cannot; `readings` ascend by time:
/// - what lies further from the last trusted reading than food can move in the time between, at
///   least a minute. Once enough time has passed for the change to be possible, readings are
///   trusted again;
/// - all that lies between two such steps less than kShortPlateau apart;
/// - the reading on the near side of a step, where none before bears it out: neither one within
///   kBearsOut nor one within 5 °C. Which of the two is the food's is not on record.
void mark_steps(std::span<records::Reading> readings) noexcept;
/// A probe that is moved and put back is seldom away for longer. (Common practice, no source.)
inline constexpr Span kShortPlateau = Span::minutes(30);
inline constexpr Span kBearsOut = Span::minutes(10);
/// Whether `r` lies too far from a trusted reading before it.
bool steps_too_far(const records::Reading& trusted, const records::Reading& r) noexcept;
/// The rule for one reading as it comes; `trusted`: the last trusted one before it, null if none
/// is, when a logged fault value is doubted. What is not doubted is the next to measure from.
bool is_doubted_after(const records::Reading* trusted, const records::Reading& r) noexcept;

/// Values that instruments show instead of a temperature: the power-on figure of a widespread
/// digital sensor (85 °C) and filled-in nines. They are suspect when they lie more than 5 °C from
/// the last trusted reading, however long ago that was, and when an instrument logs them before
/// any trusted one. (Common practice, no source.)
bool is_fault_value(Temperature value) noexcept;

/// Marks what swings as air does under a thermostat and food cannot: in any hour, four or more
/// turns with at least 2 °C between them. Only logged readings; a surface may swing, so the caller
/// leaves surfaces out. (Common practice, no source.)
void mark_air_like(std::span<records::Reading> readings);
inline constexpr Span kSwingWindow = Span::hours(1);
inline constexpr std::size_t kSwingTurns = 4;
inline constexpr std::int64_t kSwingCThousandths = 2000;

/// Ninths of a thousandth of a degree Celsius: exact in both scales.
std::int64_t apart_in_ninths(Temperature a, Temperature b) noexcept;

/// A run of one value to the last tenth. It is pointed out, and counts as any reading does.
struct StuckRun {
    Instant from;
    Instant to;
    std::size_t readings;
};
std::vector<StuckRun> stuck_runs(std::span<const records::Reading> readings);

} // namespace holdwarden::judge
