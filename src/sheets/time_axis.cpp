#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/time_axis.hpp>

#include <algorithm>
#include <array>
#include <cassert>

namespace holdwarden::sheets {
namespace {

constexpr std::array<std::int64_t, 14> kStepMinutes = {1,   2,   5,   10,  15,  30,   60,
                                                       120, 180, 240, 360, 720, 1440, 2880};

std::int64_t step_ms(Span length, std::size_t most) {
    const auto allowed = static_cast<std::int64_t>(std::max<std::size_t>(most, 2));
    for (const std::int64_t minutes : kStepMinutes) {
        if (length.ms() <= minutes * 60'000 * allowed) {
            return minutes * 60'000;
        }
    }
    // Longer than that: whole weeks.
    const std::int64_t week = 7 * 86'400'000LL;
    return week * (1 + length.ms() / (week * allowed));
}

/// The least multiple of `step` that is not below `value`; `value` may be negative.
std::int64_t round_up(std::int64_t value, std::int64_t step) {
    const std::int64_t remainder = ((value % step) + step) % step;
    return remainder == 0 ? value : value - remainder + step;
}

/// The instants in [from, to] whose wall clock shows a multiple of `step`.
std::vector<Instant> round_times(Instant from, Instant to, const Zone& zone,
                                 const std::vector<ClockChange>& changes, std::int64_t step) {
    std::vector<Instant> times;
    Instant begin = from;
    for (std::size_t i = 0; i <= changes.size(); ++i) {
        // One stretch of one offset: [begin, end), the last one closed.
        const bool last = i == changes.size();
        const Instant end = last ? to + Span::milliseconds(1) : changes[i].at;
        const std::int64_t offset = std::int64_t{zone.offset_s(begin)} * 1000;
        for (std::int64_t wall = round_up(begin.unix_ms() + offset, step);
             Instant::from_unix_ms(wall - offset) < end; wall += step) {
            times.push_back(Instant::from_unix_ms(wall - offset));
        }
        begin = end;
    }
    return times;
}

} // namespace

std::vector<AxisTick> axis_ticks(Instant from, Instant to, const Zone& zone, std::size_t most) {
    assert(from <= to);
    const std::vector<ClockChange> changes = clock_changes(from, to, zone);
    const std::int64_t step = step_ms(to - from, most);
    std::vector<Instant> times = round_times(from, to, zone, changes, step);
    for (const ClockChange& change : changes) {
        if (change.shift >= Span{} || step > 12 * 3'600'000LL) {
            continue;
        }
        // Start of the first pass and of the second; round times too near to them give way.
        const std::array<Instant, 2> passes = {std::max(from, change.at + change.shift), change.at};
        const Span near = Span::milliseconds(std::min<std::int64_t>(
            step - 1,
            (to - from).ms() / static_cast<std::int64_t>(2 * std::max<std::size_t>(most, 2))));
        std::erase_if(times,
                      [&](Instant at) { return at > passes[0] - near && at < passes[1] + near; });
        times.insert(times.end(), passes.begin(), passes.end());
        std::ranges::sort(times);
    }
    std::vector<AxisTick> ticks;
    std::string date;
    for (const Instant at : times) {
        AxisTick tick{at, clock_text(at, zone), "", ""};
        if (is_repeated(at, zone)) {
            tick.offset = offset_text(at, zone);
        }
        const std::string today = to_text(date_of(zone.wall(at)));
        if (today != date) {
            tick.date = today;
            date = today;
        }
        ticks.push_back(std::move(tick));
    }
    return ticks;
}

} // namespace holdwarden::sheets
