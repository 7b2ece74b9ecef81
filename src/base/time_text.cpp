#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>

#include <date/date.h>
#include <fmt/format.h>

#include <cassert>
#include <cstdlib>

namespace holdwarden {
namespace {

constexpr std::int64_t kDayMs = 86'400'000;

/// Reads fields off the front of a text; `ok` goes false at the first that does not fit.
class Fields {
public:
    explicit Fields(std::string_view text) noexcept : rest_{text} {}

    int number(std::size_t digits) noexcept {
        if (rest_.size() < digits) {
            ok_ = false;
            return 0;
        }
        int n = 0;
        for (std::size_t i = 0; i < digits; ++i) {
            const char c = rest_[i];
            if (c < '0' || c > '9') {
                ok_ = false;
                return 0;
            }
            n = n * 10 + (c - '0');
        }
        rest_.remove_prefix(digits);
        return n;
    }

    void one_of(std::string_view letters) noexcept {
        if (rest_.empty() || letters.find(rest_.front()) == std::string_view::npos) {
            ok_ = false;
            return;
        }
        rest_.remove_prefix(1);
    }

    bool take(char c) noexcept {
        if (!rest_.empty() && rest_.front() == c) {
            rest_.remove_prefix(1);
            return true;
        }
        return false;
    }

    /// Digits after a decimal sign, as milliseconds; further digits are cut.
    std::int64_t fraction_ms() noexcept {
        std::int64_t ms = 0;
        std::int64_t weight = 100;
        std::size_t n = 0;
        for (; n < rest_.size() && rest_[n] >= '0' && rest_[n] <= '9'; ++n) {
            ms += (rest_[n] - '0') * weight;
            weight /= 10;
        }
        ok_ = ok_ && n > 0;
        rest_.remove_prefix(n);
        return ms;
    }

    std::string_view rest() const noexcept { return rest_; }
    bool ok() const noexcept { return ok_; }

private:
    std::string_view rest_;
    bool ok_ = true;
};

std::optional<std::int64_t> days(int y, int m, int d) noexcept {
    const date::year_month_day ymd{date::year{y}, date::month{static_cast<unsigned>(m)},
                                   date::day{static_cast<unsigned>(d)}};
    if (!ymd.ok() || y < 1900) {
        return std::nullopt;
    }
    return date::sys_days{ymd}.time_since_epoch().count();
}

/// Date and time of day from the front of `fields`, as milliseconds of that clock.
std::optional<std::int64_t> date_time_ms(Fields& fields) noexcept {
    const int y = fields.number(4);
    fields.one_of("-");
    const int mo = fields.number(2);
    fields.one_of("-");
    const int d = fields.number(2);
    fields.one_of("Tt ");
    const int h = fields.number(2);
    fields.one_of(":");
    const int mi = fields.number(2);
    int s = 0;
    std::int64_t ms = 0;
    if (fields.take(':')) {
        s = fields.number(2);
        if (fields.take('.') || fields.take(',')) {
            ms = fields.fraction_ms();
        }
    }
    const auto day = days(y, mo, d);
    if (!fields.ok() || !day || h > 23 || mi > 59 || s > 60) {
        return std::nullopt;
    }
    return *day * kDayMs + ((h * 60LL + mi) * 60 + s) * 1000 + ms;
}

struct Civil {
    LocalDate date;
    int hour;
    int minute;
    int second;
    int ms;
};

std::int64_t floor_div(std::int64_t a, std::int64_t b) noexcept {
    return a / b - (a % b < 0 ? 1 : 0);
}

Civil civil(std::int64_t wall_ms) noexcept {
    const std::int64_t day = floor_div(wall_ms, kDayMs);
    const auto in_day = static_cast<int>(wall_ms - day * kDayMs);
    return {date_from_day_number(day), in_day / 3'600'000, in_day / 60'000 % 60, in_day / 1000 % 60,
            in_day % 1000};
}

/// "17:12:24.741": everything, for programs.
std::string exact_clock(const Civil& c) {
    std::string text = fmt::format("{:02}:{:02}:{:02}", c.hour, c.minute, c.second);
    if (c.ms != 0) {
        text += fmt::format(".{:03}", c.ms);
    }
    return text;
}

/// "17:12" or "17:12:24": for people, to whom milliseconds say nothing.
std::string plain_clock(const Civil& c) {
    return c.second == 0 ? fmt::format("{:02}:{:02}", c.hour, c.minute)
                         : fmt::format("{:02}:{:02}:{:02}", c.hour, c.minute, c.second);
}

} // namespace

std::optional<Instant> parse_rfc3339(std::string_view text) {
    Fields fields{text};
    const auto local = date_time_ms(fields);
    if (!local) {
        return std::nullopt;
    }
    const bool leap_second = text.size() >= 19 && text[16] == ':' && text.substr(17, 2) == "60";
    std::int64_t offset_min = 0;
    if (!fields.take('Z') && !fields.take('z')) {
        const bool west = fields.take('-');
        if (!west && !fields.take('+')) {
            return std::nullopt;
        }
        const int h = fields.number(2);
        fields.one_of(":");
        const int m = fields.number(2);
        if (!fields.ok() || h > 23 || m > 59) {
            return std::nullopt;
        }
        offset_min = (h * 60LL + m) * (west ? -1 : 1);
    }
    const std::int64_t utc_ms = *local - offset_min * 60'000;
    if (!fields.rest().empty() || (leap_second && floor_div(utc_ms, 1000) * 1000 % kDayMs != 0)) {
        return std::nullopt;
    }
    // Years 1900 to 9999, as above; an offset must not carry the instant out of them in UTC,
    // where it could not be written down again.
    if (const int year = civil(utc_ms).date.year; year < 1900 || year > 9999) {
        return std::nullopt;
    }
    return Instant::from_unix_ms(utc_ms);
}

std::optional<WallTime> parse_wall(std::string_view text) {
    Fields fields{text};
    const auto local = date_time_ms(fields);
    if (!local || !fields.rest().empty()) {
        return std::nullopt;
    }
    return WallTime{*local};
}

ErrorText ambiguity_text(std::string_view text, const Zone& zone, const Resolved& resolved) {
    assert(!std::holds_alternative<Once>(resolved));
    if (const auto* twice = std::get_if<Twice>(&resolved)) {
        return {
            .what =
                fmt::format("the clocks in {} showed '{}' twice", zone.name(), for_display(text)),
            .where = "",
            .fix = fmt::format("write {} for the first pass or {} for the second",
                               to_rfc3339(twice->first, zone), to_rfc3339(twice->second, zone))};
    }
    const auto& never = std::get<Never>(resolved);
    return {.what =
                fmt::format("the clocks in {} never showed '{}'", zone.name(), for_display(text)),
            .where = "",
            .fix = fmt::format("the nearest times are {} and {}",
                               to_rfc3339(never.after - Span::seconds(1), zone),
                               to_rfc3339(never.after, zone))};
}

Instant parse_instant(std::string_view text, const Zone& zone) {
    const std::string_view plain = trimmed(text);
    if (const auto at = parse_rfc3339(plain)) {
        return *at;
    }
    const auto wall = parse_wall(plain);
    if (!wall) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("time '{}' cannot be read", for_display(text)),
                     .where = "",
                     .fix = "write 2026-11-01 01:30 (local) or 2026-11-01T01:30:00-06:00"}};
    }
    const Resolved resolved = zone.resolve(*wall);
    if (const auto* once = std::get_if<Once>(&resolved)) {
        return once->at;
    }
    throw Error{ErrorKind::bad_input, ambiguity_text(plain, zone, resolved)};
}

std::optional<LocalDate> parse_date(std::string_view text) {
    Fields fields{trimmed(text)};
    const int y = fields.number(4);
    fields.one_of("-");
    const int m = fields.number(2);
    fields.one_of("-");
    const int d = fields.number(2);
    if (!fields.ok() || !fields.rest().empty() || !days(y, m, d)) {
        return std::nullopt;
    }
    return LocalDate{y, static_cast<unsigned>(m), static_cast<unsigned>(d)};
}

LocalDate date_of(WallTime wall) noexcept {
    return civil(wall.ms).date;
}

std::int64_t day_number(const LocalDate& date) noexcept {
    return days(date.year, static_cast<int>(date.month), static_cast<int>(date.day)).value_or(0);
}

LocalDate date_from_day_number(std::int64_t day) noexcept {
    const date::year_month_day ymd{date::sys_days{date::days{day}}};
    return {static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()),
            static_cast<unsigned>(ymd.day())};
}

std::string to_text(const LocalDate& date) {
    return fmt::format("{:04}-{:02}-{:02}", date.year, date.month, date.day);
}

Instant start_of(const LocalDate& date, const Zone& zone) {
    const Resolved resolved = zone.resolve(WallTime{day_number(date) * kDayMs});
    if (const auto* once = std::get_if<Once>(&resolved)) {
        return once->at;
    }
    if (const auto* twice = std::get_if<Twice>(&resolved)) {
        return twice->first;
    }
    return std::get<Never>(resolved).after;
}

std::string to_utc_text(Instant at) {
    const Civil c = civil(at.unix_ms());
    return fmt::format("{}T{}Z", to_text(c.date), exact_clock(c));
}

std::string offset_text(Instant at, const Zone& zone) {
    const int minutes = zone.offset_s(at) / 60;
    return fmt::format("{}{:02}:{:02}", minutes < 0 ? '-' : '+', std::abs(minutes) / 60,
                       std::abs(minutes) % 60);
}

std::string to_rfc3339(Instant at, const Zone& zone) {
    const Civil c = civil(zone.wall(at).ms);
    return fmt::format("{}T{}{}", to_text(c.date), exact_clock(c), offset_text(at, zone));
}

std::string clock_text(Instant at, const Zone& zone) {
    return plain_clock(civil(zone.wall(at).ms));
}

std::string local_text(Instant at, const Zone& zone) {
    const Civil c = civil(zone.wall(at).ms);
    return fmt::format("{} {}", to_text(c.date), plain_clock(c));
}

std::string local_text_with_offset(Instant at, const Zone& zone) {
    return fmt::format("{} {}", local_text(at, zone), offset_text(at, zone));
}

} // namespace holdwarden
