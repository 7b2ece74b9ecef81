#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/icalendar.hpp>

namespace holdwarden::cli {
namespace {

/// 3.3.5, form 2: "20261128T010000Z".
std::string utc_form(Instant at) {
    std::string out;
    for (const char c : to_utc_text(Instant::from_unix_s(at.unix_ms() / 1000))) {
        if (c != '-' && c != ':') {
            out += c;
        }
    }
    return out;
}

std::string escaped(const std::string& text) {
    std::string out;
    for (const char c : text) {
        if (c == '\n') {
            out += "\\n";
        } else if (c == '\\' || c == ';' || c == ',') {
            out += '\\';
            out += c;
        } else if (static_cast<unsigned char>(c) >= 0x20) {
            out += c;
        }
    }
    return out;
}

/// One content line, folded: at most 75 octets a line, the continuation begins with a blank.
std::string content_line(const std::string& line) {
    std::string out;
    std::size_t used = 0;
    for (std::size_t i = 0; i < line.size();) {
        std::size_t bytes = 1; // of the UTF-8 character
        while (i + bytes < line.size() &&
               (static_cast<unsigned char>(line[i + bytes]) & 0xC0U) == 0x80U) {
            ++bytes;
        }
        if (used + bytes > 75) {
            out += "\r\n ";
            used = 1;
        }
        out += line.substr(i, bytes);
        used += bytes;
        i += bytes;
    }
    return out + "\r\n";
}

} // namespace

std::string icalendar(const std::vector<CalendarEvent>& events, Instant stamp) {
    std::string out = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//holdwarden//plan night//EN\r\n";
    for (const CalendarEvent& event : events) {
        out += "BEGIN:VEVENT\r\n";
        out += content_line("UID:" + escaped(event.uid));
        out += content_line("DTSTAMP:" + utc_form(stamp));
        out += content_line("DTSTART:" + utc_form(event.from));
        out += content_line("DTEND:" + utc_form(event.to));
        out += content_line("SUMMARY:" + escaped(event.summary));
        out += content_line("DESCRIPTION:" + escaped(event.description));
        out += "END:VEVENT\r\n";
    }
    return out + "END:VCALENDAR\r\n";
}

} // namespace holdwarden::cli
