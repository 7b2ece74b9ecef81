#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace holdwarden {

/// A length of time in milliseconds. Never a wall-clock difference: see Instant.
class Span {
public:
    constexpr Span() noexcept = default;
    static constexpr Span milliseconds(std::int64_t n) noexcept { return Span{n}; }
    static constexpr Span seconds(std::int64_t n) noexcept { return Span{n * 1000}; }
    static constexpr Span minutes(std::int64_t n) noexcept { return Span{n * 60'000}; }
    static constexpr Span hours(std::int64_t n) noexcept { return Span{n * 3'600'000}; }

    constexpr std::int64_t ms() const noexcept { return ms_; }
    constexpr double in_seconds() const noexcept { return static_cast<double>(ms_) / 1000.0; }
    constexpr double in_minutes() const noexcept { return static_cast<double>(ms_) / 60'000.0; }

    friend constexpr auto operator<=>(Span, Span) noexcept = default;
    friend constexpr Span operator+(Span a, Span b) noexcept { return Span{a.ms_ + b.ms_}; }
    friend constexpr Span operator-(Span a, Span b) noexcept { return Span{a.ms_ - b.ms_}; }
    constexpr Span& operator+=(Span b) noexcept {
        ms_ += b.ms_;
        return *this;
    }

private:
    explicit constexpr Span(std::int64_t ms) noexcept : ms_{ms} {}
    std::int64_t ms_ = 0;
};

/// A point of time: UTC, whole milliseconds since 1970-01-01T00:00:00Z, leap seconds not counted
/// (POSIX).
class Instant {
public:
    constexpr Instant() noexcept = default;
    static constexpr Instant from_unix_ms(std::int64_t ms) noexcept { return Instant{ms}; }
    static constexpr Instant from_unix_s(std::int64_t s) noexcept { return Instant{s * 1000}; }

    constexpr std::int64_t unix_ms() const noexcept { return ms_; }

    friend constexpr auto operator<=>(Instant, Instant) noexcept = default;
    friend constexpr Span operator-(Instant a, Instant b) noexcept {
        return Span::milliseconds(a.ms_ - b.ms_);
    }
    friend constexpr Instant operator+(Instant a, Span d) noexcept {
        return Instant{a.ms_ + d.ms()};
    }
    friend constexpr Instant operator-(Instant a, Span d) noexcept {
        return Instant{a.ms_ - d.ms()};
    }

private:
    explicit constexpr Instant(std::int64_t ms) noexcept : ms_{ms} {}
    std::int64_t ms_ = 0;
};

/// "2 h 5 min", "47 s", "1 d 3 h 20 min"; whole seconds, the sign in front.
std::string to_text(Span span);

/// Reads "2h", "30min", "1h30m", "90 s", "2 h 5 min", "7d", "2 hours". Throws Error{bad_input} on
/// anything else or below zero.
Span parse_span(std::string_view text);

} // namespace holdwarden
