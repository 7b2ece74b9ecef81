#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/heat/units.hpp>

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace holdwarden::heat {

/// Something not known exactly: every value from low to high is as likely. The unit is that of the
/// field it stands in.
struct Range {
    double low = 0.0;
    double high = 0.0;
    static constexpr Range exactly(double v) noexcept { return {v, v}; }
    static constexpr Range within(double v, double share) noexcept {
        return {v * (1.0 - share), v * (1.0 + share)};
    }
    constexpr double at(double share) const noexcept { return low + share * (high - low); }
    constexpr double middle() const noexcept { return at(0.5); }
};

/// What came out of many samples: a tenth lies below `low`, half below `middle`, a tenth above
/// `high`.
struct CelsiusBand {
    Celsius low;
    Celsius middle;
    Celsius high;
};

/// The same of a time at which something happens. nullopt: later than the plan looks, or never.
struct SpanBand {
    std::optional<Span> low;
    std::optional<Span> middle;
    std::optional<Span> high;
    double share_happening = 0.0; ///< of the samples in which it happens while the plan looks
};

/// The value below which `share` (0..1) of the values lie; linear between ranks. `values` not
/// empty (asserted).
double quantile(std::vector<double> values, double share);
CelsiusBand band_of(const std::vector<double>& degrees_c);
SpanBand band_of(std::span<const std::optional<Span>> times);

/// Points of the unit cube, each coordinate in a stratum of its own (Latin hypercube: McKay,
/// Beckman & Conover 1979, Technometrics 21(2); from memory). Same seed, same points, on every
/// machine. Row i is sample i.
std::vector<std::vector<double>> stratified(std::size_t samples, std::size_t coordinates,
                                            std::uint64_t seed);

} // namespace holdwarden::heat
