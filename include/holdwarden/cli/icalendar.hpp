#pragma once

#include <holdwarden/base/instant.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

struct CalendarEvent {
    std::string uid; ///< unique for all time, such as "put-on-20261128T010000Z@holdwarden"
    Instant from;
    Instant to;
    std::string summary;
    std::string description;
};

/// An iCalendar object (RFC 5545): UTC times, CRLF, lines folded at 75 octets (3.1) without cutting
/// a UTF-8 character, text escaped (3.3.11). `stamp` becomes DTSTAMP.
std::string icalendar(const std::vector<CalendarEvent>& events, Instant stamp);

} // namespace holdwarden::cli
