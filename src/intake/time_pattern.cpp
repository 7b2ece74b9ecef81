#include "time_pattern.hpp"

#include <date/date.h>

#include <chrono>
#include <locale>
#include <sstream>

namespace holdwarden::intake {

std::optional<PatternTime> parse_by_pattern(std::string_view text, const std::string& pattern) {
    constexpr std::chrono::minutes kNone{100'000};
    std::istringstream in{std::string{text}};
    in.imbue(std::locale::classic());
    date::local_time<std::chrono::milliseconds> local;
    std::chrono::minutes offset = kNone;
    date::from_stream(in, pattern.c_str(), local, static_cast<std::string*>(nullptr), &offset);
    if (in.fail() || in.peek() != std::istringstream::traits_type::eof()) {
        return std::nullopt;
    }
    PatternTime read{.ms = local.time_since_epoch().count(), .offset_min = std::nullopt};
    if (offset != kNone && pattern.find("%z") != std::string::npos) {
        read.offset_min = static_cast<int>(offset.count());
    }
    return read;
}

} // namespace holdwarden::intake
