#include <holdwarden/judge/lethality.hpp>

#include <algorithm>
#include <cmath>

namespace holdwarden::judge {
namespace {

constexpr double kReferenceF = 140.0;
constexpr double kZF = 10.01;
constexpr double kDMinutes = 1.7138;
constexpr double kLowestCreditedF = 130.0;
constexpr Span kLongestGap = Span::minutes(10);

double rate(double t_f) noexcept {
    return std::pow(10.0, (t_f - kReferenceF) / kZF);
}

/// Equivalent minutes over a straight line from a to b in `minutes`: dt * (L1 - L0) / ln(L1 / L0).
double segment(double a_f, double b_f, double minutes) noexcept {
    const double x = std::log(10.0) * (b_f - a_f) / kZF;
    return minutes * rate(a_f) * (x == 0.0 ? 1.0 : std::expm1(x) / x);
}

/// The part of the segment at or above the lowest credited temperature.
double credited(double a_f, double b_f, double minutes) noexcept {
    if (std::max(a_f, b_f) < kLowestCreditedF) {
        return 0;
    }
    if (std::min(a_f, b_f) >= kLowestCreditedF) {
        return segment(a_f, b_f, minutes);
    }
    const double share = (std::max(a_f, b_f) - kLowestCreditedF) / std::abs(b_f - a_f);
    return segment(kLowestCreditedF, std::max(a_f, b_f), minutes * share);
}

} // namespace

Lethality lethality(std::span<const records::Reading> readings) noexcept {
    Lethality total;
    for (std::size_t i = 1; i < readings.size(); ++i) {
        const auto& a = readings[i - 1];
        const auto& b = readings[i];
        if (a.suspect || b.suspect || b.at - a.at > kLongestGap) {
            continue;
        }
        total.equivalent_minutes_at_140f +=
            credited(a.value.in_fahrenheit(), b.value.in_fahrenheit(), (b.at - a.at).in_minutes());
    }
    total.log_reductions = total.equivalent_minutes_at_140f / kDMinutes;
    return total;
}

} // namespace holdwarden::judge
