#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/zone.hpp>

#include <string>
#include <vector>

namespace holdwarden::sheets {

/// The clocks of a zone change at `at`.
struct ClockChange {
    Instant at; ///< the first instant of the new offset
    Span shift; ///< new offset less old: negative when the clocks go back
};

/// The changes in [from, to), ascending.
std::vector<ClockChange> clock_changes(Instant from, Instant to, const Zone& zone);

/// Whether the wall time of `at` is shown twice.
bool is_repeated(Instant at, const Zone& zone);

/// The night named by a date: [local noon of that date, local noon of the next).
struct Period {
    Instant from;
    Instant to;
};
Period night_of(const LocalDate& date, const Zone& zone);

/// Writes the times of one sheet. Where the clocks change within the sheet's period every time
/// carries its offset; elsewhere only those of `full` do.
class LocalTimes {
public:
    LocalTimes(const Zone& zone, Period period);

    /// "2026-11-01 01:30 -06:00".
    std::string full(Instant at) const;
    /// "2026-11-01 01:30", with the offset where the period has a change of clocks.
    std::string row(Instant at) const;
    /// "2026-11-01 01:30 -06:00 to 06:00 -07:00 (5 h 30 min)"; the second date only if it differs.
    std::string range(Instant from, Instant to) const;
    /// One sentence for each local date of the period that has not 24 hours.
    std::vector<std::string> day_notes() const;

    const Zone& zone() const noexcept { return zone_; }
    const Period& period() const noexcept { return period_; }

private:
    Zone zone_;
    Period period_;
    bool offsets_;
};

} // namespace holdwarden::sheets
