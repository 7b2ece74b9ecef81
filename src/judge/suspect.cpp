#include <holdwarden/judge/judge.hpp>
#include <holdwarden/judge/suspect.hpp>

#include <algorithm>
#include <cstdlib>
#include <optional>

namespace holdwarden::judge {

using records::Reading;

std::int64_t apart_in_ninths(Temperature a, Temperature b) noexcept {
    // Nine times Celsius thousandths is five times Fahrenheit thousandths less 160 degrees.
    const auto ninths = [](Temperature t) -> std::int64_t {
        const std::int64_t n = t.thousandths();
        return t.scale() == Scale::celsius ? n * 9 : (n - 32'000) * 5;
    };
    return std::llabs(ninths(a) - ninths(b));
}

bool steps_too_far(const Reading& trusted, const Reading& r) noexcept {
    const Span since = std::max(Span::minutes(1), r.at - trusted.at);
    // Food may move 5 degrees a minute for as long as it went unobserved.
    constexpr double kStep = kLargestStepCThousandths * 9;
    const double allowed = kStep * since.in_minutes();
    const auto apart = static_cast<double>(apart_in_ninths(r.value, trusted.value));
    return apart > allowed || (is_fault_value(r.value) && apart > kStep);
}

bool is_doubted_after(const Reading* trusted, const Reading& r) noexcept {
    if (trusted == nullptr) {
        return r.origin == records::Origin::logged && is_fault_value(r.value);
    }
    // Two values of one instant are a conflict: both count.
    return r.at != trusted->at && steps_too_far(*trusted, r);
}

namespace {

/// What lies beyond a step, until one leads away from it.
struct Plateau {
    std::size_t from; ///< the first reading beyond the step
    bool trusted;     ///< again, because food could have come so far
};

void mark(std::span<Reading> readings) noexcept {
    for (Reading& r : readings) {
        r.suspect = true;
    }
}

/// Against the last trusted reading. What lies between two steps for less than kShortPlateau is
/// marked whole: a probe was moved and put back.
void mark_against_trusted(std::span<Reading> readings) noexcept {
    const Reading* trusted = nullptr;
    std::optional<Plateau> plateau;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        Reading& r = readings[i];
        if (!is_doubted_after(trusted, r)) {
            if (plateau && !plateau->trusted) {
                // Nearer to what was trusted before the step it is back there, and nothing lasted.
                plateau->trusted = apart_in_ninths(r.value, readings[i - 1].value) <=
                                   apart_in_ninths(r.value, trusted->value);
                if (!plateau->trusted) {
                    plateau.reset();
                }
            }
            if (trusted == nullptr || trusted->at != r.at) {
                trusted = &r; // of one instant the first stays the one to measure from
            }
            continue;
        }
        r.suspect = true;
        if (plateau && plateau->trusted) {
            if (r.at - readings[plateau->from].at < kShortPlateau) {
                mark(readings.subspan(plateau->from, i - plateau->from));
            }
            plateau.reset();
        }
        if (!plateau && trusted != nullptr) {
            plateau = Plateau{i, false};
        }
    }
}

/// Whether the reading before `r` bears it out: near enough in time, or in value. Those of a
/// condensed run are near in value.
bool borne_out(const Reading* before, const Reading& r) noexcept {
    if (before == nullptr || steps_too_far(*before, r)) {
        return false;
    }
    return r.at - before->at <= kBearsOut ||
           static_cast<double>(apart_in_ninths(before->value, r.value)) <=
               kLargestStepCThousandths * 9;
}

/// A reading that the next one contradicts, and none before bears out, is no better than that one.
/// A fault value contradicts nothing. Instant by instant: there may be many readings of one.
void mark_contradicted(std::span<Reading> readings) noexcept {
    const Reading* before = nullptr;
    for (std::size_t i = 0; i < readings.size();) {
        std::size_t next = i;
        while (next < readings.size() && readings[next].at == readings[i].at) {
            ++next;
        }
        if (next < readings.size() && !is_fault_value(readings[next].value)) {
            for (Reading& r : readings.subspan(i, next - i)) {
                r.suspect =
                    r.suspect || (steps_too_far(r, readings[next]) && !borne_out(before, r));
            }
        }
        before = &readings[next - 1];
        i = next;
    }
}

} // namespace

void mark_steps(std::span<Reading> readings) noexcept {
    mark_against_trusted(readings);
    mark_contradicted(readings);
}

bool is_fault_value(Temperature value) noexcept {
    constexpr std::int32_t kPowerOnC = 85'000;
    const bool power_on = value.scale() == Scale::celsius && value.thousandths() == kPowerOnC;
    const bool power_on_f = value.scale() == Scale::fahrenheit && value.thousandths() == 185'000;
    const bool nines = value.thousandths() == -99'900 || value.thousandths() == -99'000;
    return power_on || power_on_f || nines;
}

void mark_air_like(std::span<Reading> readings) {
    // The turning points of the series with at least the swing between neighbours, by the usual
    // zigzag rule.
    std::vector<std::size_t> turns;
    std::size_t extreme = 0;
    int direction = 0;
    for (std::size_t i = 1; i < readings.size(); ++i) {
        const auto order = physical_order(readings[i].value, readings[extreme].value);
        const bool further = direction == 0 || (direction > 0 ? order > 0 : order < 0);
        const bool swung =
            apart_in_ninths(readings[i].value, readings[extreme].value) >= kSwingCThousandths * 9;
        if (direction == 0 && swung) {
            direction = order > 0 ? 1 : -1;
            extreme = i;
        } else if (direction != 0 && further) {
            extreme = i;
        } else if (direction != 0 && swung) {
            turns.push_back(extreme);
            direction = -direction;
            extreme = i;
        }
    }
    for (std::size_t k = 0; k + kSwingTurns <= turns.size(); ++k) {
        const std::size_t first = turns[k];
        const std::size_t last = turns[k + kSwingTurns - 1];
        if (readings[last].at - readings[first].at > kSwingWindow) {
            continue;
        }
        for (std::size_t i = first; i <= last; ++i) {
            readings[i].suspect =
                readings[i].suspect || readings[i].origin == records::Origin::logged;
        }
    }
}

std::vector<StuckRun> stuck_runs(std::span<const Reading> readings) {
    std::vector<StuckRun> runs;
    for (std::size_t i = 0; i < readings.size();) {
        std::size_t j = i;
        std::size_t count = 1;
        while (j + 1 < readings.size() && readings[j + 1].value == readings[i].value &&
               (readings[j + 1].left_out == 0 || readings[j + 1].flat == 1)) {
            ++j;
            count += 1 + readings[j].left_out;
        }
        const bool tenths = readings[i].value.thousandths() % 100 == 0;
        if (tenths && count >= kStuckReadings && readings[j].at - readings[i].at >= kStuckFor) {
            runs.push_back({readings[i].at, readings[j].at, count});
        }
        i = j + 1;
    }
    return runs;
}

namespace {

/// `marked` holds the marks: a merged lot's sources have none of their own.
void mark_life(const records::LotHistory& marked, records::LotHistory& life) {
    for (records::PointSeries& point : life.points) {
        mark_steps(point.readings);
        if (point.point != "surface") {
            mark_air_like(point.readings);
        }
        for (Reading& reading : point.readings) {
            const records::ReadingMark* mark =
                reading.suspect ? mark_on(marked, life, point.point, reading) : nullptr;
            if (mark != nullptr && mark->kind == records::MarkKind::confirmed) {
                reading.suspect = false;
            }
        }
    }
    for (records::LotHistory& source : life.sources) {
        mark_life(marked, source);
    }
}

} // namespace

void mark_suspects(records::LotHistory& lot) {
    mark_life(lot, lot);
}

} // namespace holdwarden::judge
