#include <holdwarden/judge/judge.hpp>
#include <holdwarden/judge/suspect.hpp>

#include <algorithm>
#include <cstdlib>

namespace holdwarden::judge {

using records::Reading;

namespace {

std::int64_t apart_in_c_thousandths(Temperature a, Temperature b) noexcept {
    // Exact: nine times Celsius thousandths is five times Fahrenheit thousandths less 160 degrees.
    const auto ninths = [](Temperature t) -> std::int64_t {
        const std::int64_t n = t.thousandths();
        return t.scale() == Scale::celsius ? n * 9 : (n - 32'000) * 5;
    };
    return std::llabs(ninths(a) - ninths(b)) / 9;
}

} // namespace

void mark_steps(std::span<Reading> readings) noexcept {
    const Reading* trusted = nullptr;
    for (Reading& r : readings) {
        if (trusted != nullptr && r.at == trusted->at) {
            continue; // a conflict: both count, the first stays the one to measure from
        }
        if (trusted != nullptr) {
            const Span since = std::max(Span::minutes(1), r.at - trusted->at);
            // Food may move 5 degrees a minute for as long as it went unobserved.
            const double allowed = kLargestStepCThousandths * since.in_minutes();
            if (static_cast<double>(apart_in_c_thousandths(r.value, trusted->value)) > allowed) {
                r.suspect = true;
                continue;
            }
        }
        trusted = &r;
    }
}

std::vector<StuckRun> stuck_runs(std::span<const Reading> readings) {
    std::vector<StuckRun> runs;
    for (std::size_t i = 0; i < readings.size();) {
        std::size_t j = i;
        while (j + 1 < readings.size() && readings[j + 1].value == readings[i].value) {
            ++j;
        }
        const bool tenths = readings[i].value.thousandths() % 100 == 0;
        if (tenths && j - i + 1 >= kStuckReadings && readings[j].at - readings[i].at >= kStuckFor) {
            runs.push_back({readings[i].at, readings[j].at, j - i + 1});
        }
        i = j + 1;
    }
    return runs;
}

void mark_suspects(records::LotHistory& lot) {
    for (records::PointSeries& point : lot.points) {
        mark_steps(point.readings);
    }
}

} // namespace holdwarden::judge
