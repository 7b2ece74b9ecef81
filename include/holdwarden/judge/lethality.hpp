#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/records/reading.hpp>

#include <span>

namespace holdwarden::judge {

/// Log-linear lethality of Salmonella in beef roasts, for a process authority and never a verdict.
/// The constants are inferred from the 6.5-log column of FSIS Appendix A (1999): z = 10.01 °F,
/// D(140 °F) = 1.7138 min is the line whose values, rounded up, are all 28 printed rows.
struct Lethality {
    double equivalent_minutes_at_140f = 0; ///< integral of 10^((T - 140 °F) / 10.01 °F)
    double log_reductions = 0;             ///< that over D(140 °F)
};

/// The integral over straight lines between neighbouring readings, exact for each (the logarithmic
/// mean of the rates), with no credit below 130 °F (the table's lowest row), none across a gap of
/// more than 10 minutes and none for suspect readings. `readings` ascend by time.
Lethality lethality(std::span<const records::Reading> readings) noexcept;

} // namespace holdwarden::judge
