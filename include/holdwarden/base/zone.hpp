#pragma once

#include <holdwarden/base/instant.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <variant>

namespace date {
class time_zone;
}

namespace holdwarden {

/// What a clock on the wall showed: a date and time of day without a zone. `ms` counts from
/// 1970-01-01 00:00:00 of that clock, every day 24 hours.
struct WallTime {
    std::int64_t ms = 0;
    friend constexpr auto operator<=>(WallTime, WallTime) noexcept = default;
};

struct Once {
    Instant at;
};
/// The clocks went back: the wall time was shown twice.
struct Twice {
    Instant first;
    Instant second;
};
/// The clocks went forward: the wall time was never shown. The neighbours are the last instant
/// before the gap and the first after it.
struct Never {
    Instant before;
    Instant after;
};
using Resolved = std::variant<Once, Twice, Never>;

/// An IANA time zone, read from the system's zone data. A value; cheap to copy.
class Zone {
public:
    /// Throws Error{bad_input} for an unknown name or when the system has no zone data.
    static Zone named(std::string_view name);
    static Zone utc();

    const std::string& name() const;

    /// Seconds east of Greenwich in force at `at`.
    std::int32_t offset_s(Instant at) const;
    /// "MDT", "MST", "+0545".
    std::string abbreviation(Instant at) const;
    WallTime wall(Instant at) const;
    Resolved resolve(WallTime wall) const;
    /// Whether the zone changes its clocks at all in the years around `at`.
    bool has_rules(Instant at) const;
    /// Zone files list their changes to 2037 only: whether `at` lies past that in a zone that
    /// changes its clocks, so that its local time cannot be trusted (HowardHinnant/date, issue
    /// 794).
    bool beyond_rules(Instant at) const;

    friend bool operator==(const Zone& a, const Zone& b) noexcept { return a.zone_ == b.zone_; }

private:
    explicit Zone(const date::time_zone* zone) noexcept : zone_{zone} {}
    const date::time_zone* zone_;
};

} // namespace holdwarden
