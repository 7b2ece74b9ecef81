#include <holdwarden/heat/range.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

namespace holdwarden::heat {

double quantile(std::vector<double> values, double share) {
    assert(!values.empty());
    std::sort(values.begin(), values.end());
    const double rank = share * static_cast<double>(values.size() - 1);
    const auto i = std::min(static_cast<std::size_t>(rank), values.size() - 1);
    const auto next = std::min(i + 1, values.size() - 1);
    if (next == i || !std::isfinite(values[next])) {
        return rank == static_cast<double>(i) ? values[i] : values[next];
    }
    return values[i] + (rank - static_cast<double>(i)) * (values[next] - values[i]);
}

CelsiusBand band_of(const std::vector<double>& degrees_c) {
    return {Celsius{quantile(degrees_c, 0.1)}, Celsius{quantile(degrees_c, 0.5)},
            Celsius{quantile(degrees_c, 0.9)}};
}

SpanBand band_of(std::span<const std::optional<Span>> times) {
    std::vector<double> ms;
    std::size_t happening = 0;
    for (const auto& time : times) {
        happening += time ? 1U : 0U;
        ms.push_back(time ? static_cast<double>(time->ms())
                          : std::numeric_limits<double>::infinity());
    }
    const auto at = [&](double share) -> std::optional<Span> {
        const double q = quantile(ms, share);
        return std::isfinite(q) ? std::optional{Span::milliseconds(std::llround(q))} : std::nullopt;
    };
    return {at(0.1), at(0.5), at(0.9),
            static_cast<double>(happening) / static_cast<double>(times.size())};
}

std::vector<std::vector<double>> stratified(std::size_t samples, std::size_t coordinates,
                                            std::uint64_t seed) {
    std::mt19937_64 random{seed};
    const auto uniform = [&] { return static_cast<double>(random() >> 11U) * 0x1p-53; };
    std::vector<std::vector<double>> points(samples, std::vector<double>(coordinates));
    std::vector<std::size_t> order(samples);
    for (std::size_t d = 0; d < coordinates; ++d) {
        std::iota(order.begin(), order.end(), std::size_t{0});
        for (std::size_t i = samples; i-- > 1;) { // Fisher-Yates; std::shuffle differs by library
            std::swap(order[i], order[random() % (i + 1)]);
        }
        for (std::size_t i = 0; i < samples; ++i) {
            points[i][d] =
                (static_cast<double>(order[i]) + uniform()) / static_cast<double>(samples);
        }
    }
    return points;
}

} // namespace holdwarden::heat
