#include "messages.hpp"

#include <holdwarden/sheets/local_times.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

constexpr std::int64_t kDayMs = 86'400'000;

/// The first instant in (before, after] whose offset is that of `after`. The offsets must differ.
Instant change_between(Instant before, Instant after, const Zone& zone) {
    const std::int32_t old_offset = zone.offset_s(before);
    while ((after - before).ms() > 1) {
        const Instant middle = before + Span::milliseconds((after - before).ms() / 2);
        (zone.offset_s(middle) == old_offset ? before : after) = middle;
    }
    return after;
}

Instant at_wall(WallTime wall, const Zone& zone) {
    const Resolved resolved = zone.resolve(wall);
    if (const auto* once = std::get_if<Once>(&resolved)) {
        return once->at;
    }
    if (const auto* twice = std::get_if<Twice>(&resolved)) {
        return twice->first;
    }
    return std::get<Never>(resolved).after;
}

} // namespace

std::vector<ClockChange> clock_changes(Instant from, Instant to, const Zone& zone) {
    std::vector<ClockChange> changes;
    // No zone changes its clocks twice within six hours.
    const Span step = Span::hours(6);
    for (Instant at = from; at < to; at = at + step) {
        const Instant next = std::min(at + step, to);
        const std::int32_t old_offset = zone.offset_s(at);
        const std::int32_t new_offset = zone.offset_s(next);
        if (old_offset != new_offset) {
            const Instant change = change_between(at, next, zone);
            if (change < to) {
                changes.push_back({change, Span::seconds(new_offset - old_offset)});
            }
        }
    }
    return changes;
}

bool is_repeated(Instant at, const Zone& zone) {
    return std::holds_alternative<Twice>(zone.resolve(zone.wall(at)));
}

Period night_of(const LocalDate& date, const Zone& zone) {
    const std::int64_t noon = day_number(date) * kDayMs + kDayMs / 2;
    return {at_wall(WallTime{noon}, zone), at_wall(WallTime{noon + kDayMs}, zone)};
}

LocalTimes::LocalTimes(const Zone& zone, Period period)
    : zone_{zone}, period_{period},
      // A repeated hour that ends just before the period began would still be ambiguous.
      offsets_{
          !clock_changes(period.from - Span::hours(2), period.to + Span::hours(2), zone).empty()} {}

std::string LocalTimes::full(Instant at) const {
    return local_text_with_offset(at, zone_);
}

std::string LocalTimes::row(Instant at) const {
    return offsets_ ? full(at) : local_text(at, zone_);
}

std::string LocalTimes::range(Instant from, Instant to) const {
    const bool one_day = date_of(zone_.wall(from)) == date_of(zone_.wall(to));
    const bool one_offset = zone_.offset_s(from) == zone_.offset_s(to);
    const std::string first = one_day && one_offset ? local_text(from, zone_) : full(from);
    const std::string last =
        one_day ? fmt::format("{} {}", clock_text(to, zone_), offset_text(to, zone_)) : full(to);
    return fmt::format(msg::range, first, last, to_text(to - from));
}

std::vector<std::string> LocalTimes::day_notes() const {
    std::vector<std::string> notes;
    const std::int64_t last =
        day_number(date_of(zone_.wall(std::max(period_.from, period_.to - Span::milliseconds(1)))));
    for (std::int64_t day = day_number(date_of(zone_.wall(period_.from))); day <= last; ++day) {
        const LocalDate date = date_from_day_number(day);
        const Instant from = start_of(date, zone_);
        const Instant to = start_of(date_from_day_number(day + 1), zone_);
        if (to - from == Span::hours(24)) {
            continue;
        }
        const auto changes = clock_changes(from, to, zone_);
        if (changes.empty()) {
            continue;
        }
        const ClockChange& change = changes.front();
        const std::int64_t wall = zone_.wall(change.at).ms;
        // The wall clock as it stood just before, and just after, on that date.
        const auto clock = [](std::int64_t ms) {
            const std::int64_t minutes = ms / 60'000 % (24 * 60);
            return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
        };
        const std::string turn =
            change.shift < Span{}
                ? fmt::format(msg::clocks_go_back, clock(wall - change.shift.ms()), clock(wall))
                : fmt::format(msg::clocks_go_forward, clock(wall - change.shift.ms()), clock(wall));
        const std::int64_t minutes = (to - from).ms() / 60'000;
        const std::string hours =
            minutes % 60 == 0 ? fmt::format(msg::hours, minutes / 60) : to_text(to - from);
        notes.push_back(fmt::format(msg::day_has, holdwarden::to_text(date), hours, turn));
    }
    return notes;
}

} // namespace holdwarden::sheets
