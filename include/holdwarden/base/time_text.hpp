#pragma once

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/zone.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace holdwarden {

/// RFC 3339 with an offset: "2026-11-01T01:30:00-06:00", "…Z", lower case and a blank instead of T
/// accepted, up to milliseconds kept (further digits must be zero-extended noise and are cut).
/// Second 60, at the end of a UTC day only, is the following second (RFC 3339, 5.7). nullopt if the
/// text is not of that form or names an impossible date.
std::optional<Instant> parse_rfc3339(std::string_view text);

/// "YYYY-MM-DD HH:MM[:SS[.fff]]" or with T, no offset. nullopt if the text is not of that form.
std::optional<WallTime> parse_wall(std::string_view text);

/// An instant given either way: RFC 3339, or the zone's own wall time. Throws Error{bad_input} when
/// it is neither, or when the wall time occurred twice or never; the message then offers both
/// readings.
Instant parse_instant(std::string_view text, const Zone& zone);

/// What the message says of a wall time that cannot be taken: both readings, in RFC 3339.
/// `resolved` must be Twice or Never (asserted).
ErrorText ambiguity_text(std::string_view text, const Zone& zone, const Resolved& resolved);

/// "2026-11-01": a date. nullopt if impossible.
struct LocalDate {
    int year = 1970;
    unsigned month = 1;
    unsigned day = 1;
    friend constexpr auto operator<=>(const LocalDate&, const LocalDate&) noexcept = default;
};
std::optional<LocalDate> parse_date(std::string_view text);
LocalDate date_of(WallTime wall) noexcept;
/// Days from 1970-01-01.
std::int64_t day_number(const LocalDate& date) noexcept;
LocalDate date_from_day_number(std::int64_t days) noexcept;
std::string to_text(const LocalDate& date);
/// The first instant of the local date (a zone may skip midnight; then the first instant after the
/// gap).
Instant start_of(const LocalDate& date, const Zone& zone);

/// "2026-11-01T07:30:00Z", milliseconds only when not zero.
std::string to_utc_text(Instant at);
/// "2026-11-01T01:30:00-06:00".
std::string to_rfc3339(Instant at, const Zone& zone);
/// "01:30", with seconds only when not zero; milliseconds are cut: for people.
std::string clock_text(Instant at, const Zone& zone);
/// "2026-11-01 01:30", the clock as clock_text.
std::string local_text(Instant at, const Zone& zone);
/// "2026-11-01 01:30 -06:00": for records; the offset tells the repeated hour apart.
std::string local_text_with_offset(Instant at, const Zone& zone);
/// "-06:00".
std::string offset_text(Instant at, const Zone& zone);

} // namespace holdwarden
