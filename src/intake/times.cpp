#include "times.hpp"

#include "time_pattern.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>

#include <fmt/format.h>

#include <charconv>
#include <cstring>

namespace holdwarden::intake {
namespace {

constexpr std::int64_t kBlockMs = 21'600'000;                  // six hours
constexpr Instant k2037 = Instant::from_unix_s(2'114'380'800); // 2037-01-01: look closer from here
/// Years 1900 to 9999, as the parser of base takes them.
constexpr std::int64_t kLowestUnixMs = -2'208'988'800'000;
constexpr std::int64_t kHighestUnixMs = 253'402'300'799'999;

int two_digits(const char* p) noexcept {
    const int a = p[0] - '0';
    const int b = p[1] - '0';
    return a < 0 || a > 9 || b < 0 || b > 9 ? 100 : a * 10 + b;
}

std::string unreadable(std::string_view text, std::string_view expected) {
    return text.empty()
               ? "the time is empty"
               : fmt::format("time '{}' cannot be read; {}", for_display(text, 60), expected);
}

std::string sentence(const ErrorText& text) {
    return text.what + "; " + text.fix;
}

std::int64_t floored(std::int64_t value, std::int64_t step) noexcept {
    const std::int64_t rest = value % step;
    return value - rest - (rest < 0 ? step : 0);
}

} // namespace

Times::Times(std::string format, std::optional<Zone> zone)
    : format_{std::move(format)}, zone_{zone} {
    if (format_ == "unix") {
        how_ = How::unix_s;
    } else if (format_ == "unix-ms") {
        how_ = How::unix_ms;
    } else if (!format_.empty()) {
        how_ = How::pattern;
    }
}

Instant Times::noted(Instant at) {
    if (at >= k2037 && zone_ && zone_->beyond_rules(at)) {
        ++beyond_rules_;
    }
    return at;
}

/// "YYYY-MM-DD HH:MM:SS", with "Z", "+hh:mm" or nothing behind it, which is what loggers write;
/// everything else is left to the full parser.
Times::Quick Times::quick(std::string_view text) {
    constexpr std::size_t kToMinute = 16;
    if (text.size() < 19 || text[16] != ':') {
        return {};
    }
    if (minute_.size() != kToMinute || std::memcmp(text.data(), minute_.data(), kToMinute) != 0) {
        const auto wall = parse_wall(text.substr(0, kToMinute));
        if (!wall) {
            return {};
        }
        minute_.assign(text.substr(0, kToMinute));
        minute_ms_ = wall->ms;
    }
    const int s = two_digits(text.data() + 17);
    if (s > 59) {
        return {};
    }
    const std::int64_t ms = minute_ms_ + s * 1000LL;
    if (text.size() == 19) {
        return {Quick::Form::wall, ms};
    }
    if (text.size() == 20 && text[19] == 'Z') {
        return {Quick::Form::utc, ms};
    }
    if (text.size() == 25 && (text[19] == '+' || text[19] == '-') && text[22] == ':') {
        const int h = two_digits(text.data() + 20);
        const int m = two_digits(text.data() + 23);
        if (h > 23 || m > 59) {
            return {};
        }
        const std::int64_t offset = (h * 60LL + m) * 60'000;
        return {Quick::Form::utc, text[19] == '+' ? ms - offset : ms + offset};
    }
    return {};
}

std::optional<Instant> Times::read_quickly(std::string_view text) {
    if (how_ != How::told_by_form) {
        return std::nullopt;
    }
    const Quick found = quick(text);
    if (found.form == Quick::Form::utc) {
        return noted(Instant::from_unix_ms(found.ms));
    }
    if (found.form == Quick::Form::wall && found.ms >= block_from_ && found.ms < block_to_) {
        return Instant::from_unix_ms(found.ms - block_offset_ms_);
    }
    return std::nullopt;
}

ReadTime Times::read(std::string_view text) {
    if (how_ == How::told_by_form) {
        return read_slowly(text);
    }
    return how_ == How::pattern ? read_pattern(text) : read_unix(text);
}

ReadTime Times::read_slowly(std::string_view text) {
    const auto note_leap = [&] {
        if (text.size() >= 19 && text.substr(16, 3) == ":60") {
            ++leap_seconds_;
        }
    };
    if (const auto at = parse_rfc3339(text)) {
        note_leap();
        return noted(*at);
    }
    if (const auto wall = parse_wall(text)) {
        note_leap();
        return resolve(*wall, text);
    }
    return BadTime{unreadable(text, "write 2026-11-01T01:30:00-06:00 or 2026-11-01 01:30, or name "
                                    "the form with --time-format")};
}

ReadTime Times::read_unix(std::string_view text) {
    std::int64_t n = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), n);
    const std::int64_t scale = how_ == How::unix_s ? 1000 : 1;
    if (text.empty() || code != std::errc{} || end != text.data() + text.size() ||
        n < kLowestUnixMs / scale || n > kHighestUnixMs / scale) {
        return BadTime{unreadable(text, how_ == How::unix_s
                                            ? "whole seconds since 1970 were expected"
                                            : "whole milliseconds since 1970 were expected")};
    }
    return noted(Instant::from_unix_ms(n * scale));
}

ReadTime Times::read_pattern(std::string_view text) {
    const auto read = parse_by_pattern(text, format_);
    const std::int64_t ms = read ? read->ms : 0;
    if (!read || ms < kLowestUnixMs || ms > kHighestUnixMs) {
        return BadTime{
            unreadable(text, fmt::format("it is not of the form '{}'", for_display(format_, 60)))};
    }
    if (read->offset_min) {
        return noted(Instant::from_unix_ms(ms - std::int64_t{*read->offset_min} * 60'000));
    }
    return resolve(WallTime{ms}, text);
}

ReadTime Times::resolve(WallTime wall, std::string_view text) {
    if (wall.ms >= block_from_ && wall.ms < block_to_) {
        return Instant::from_unix_ms(wall.ms - block_offset_ms_);
    }
    if (!zone_) {
        return BadTime{fmt::format("'{}' is a local time and no zone is named; give --zone, such "
                                   "as America/Denver, or write times with their offset",
                                   for_display(text, 60))};
    }
    const Resolved resolved = zone_->resolve(wall);
    if (const auto* twice = std::get_if<Twice>(&resolved)) {
        return HeldTime{wall, *twice};
    }
    const auto* once = std::get_if<Once>(&resolved);
    if (once == nullptr) {
        return BadTime{sentence(ambiguity_text(text, *zone_, resolved))};
    }
    if (once->at >= k2037 && zone_->beyond_rules(once->at)) {
        return BadTime{fmt::format("the rules of {} are not known past 2037, so '{}' cannot be "
                                   "placed; write it with its offset",
                                   zone_->name(), for_display(text, 60))};
    }
    // No zone changes its clocks twice within six hours: equal offsets at both ends hold between.
    const std::int64_t from = floored(wall.ms, kBlockMs);
    const Resolved first = zone_->resolve(WallTime{from});
    const Resolved last = zone_->resolve(WallTime{from + kBlockMs - 1});
    const auto* first_once = std::get_if<Once>(&first);
    const auto* last_once = std::get_if<Once>(&last);
    const std::int64_t offset = wall.ms - once->at.unix_ms();
    if (once->at < k2037 && first_once != nullptr && last_once != nullptr &&
        from - first_once->at.unix_ms() == offset &&
        from + kBlockMs - 1 - last_once->at.unix_ms() == offset) {
        block_from_ = from;
        block_to_ = from + kBlockMs;
        block_offset_ms_ = offset;
    }
    return once->at;
}

} // namespace holdwarden::intake
