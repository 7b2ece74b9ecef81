#include <holdwarden/heat/series.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace holdwarden::heat {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kSmallestTerm = 1e-15; // exponentials below this cannot change a double near 1
constexpr int kMostTerms = 400;

template <class F>
double bisect(F f, double low, double high) {
    const bool low_negative = f(low) < 0.0;
    for (int i = 0; i < 200; ++i) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) {
            break;
        }
        ((f(middle) < 0.0) == low_negative ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

double j(int order, double x) {
    return std::cyl_bessel_j(static_cast<double>(order), x);
}

/// The n-th positive zero of J0 or J1: McMahon's expansion (Abramowitz & Stegun 9.5.12; from
/// memory), then Newton's steps with J0' = -J1 and J1' = J0 - J1 / x.
double bessel_zero(int order, int n) {
    if (n == 0) {
        return 0.0;
    }
    const double mu = 4.0 * order * order;
    const double b = (n + 0.5 * order - 0.25) * kPi;
    double x = b - (mu - 1.0) / (8.0 * b) -
               4.0 * (mu - 1.0) * (7.0 * mu - 31.0) / (3.0 * std::pow(8.0 * b, 3));
    for (int i = 0; i < 6; ++i) {
        x -= order == 0 ? -j(0, x) / j(1, x) : j(1, x) / (j(0, x) - j(1, x) / x);
    }
    return x;
}

SeriesTerm term(Solid solid, double biot, int n) {
    switch (solid) {
    case Solid::wall: {
        const double z = bisect([biot](double x) { return x * std::sin(x) - biot * std::cos(x); },
                                (n - 1) * kPi, (n - 0.5) * kPi);
        return {z, 4.0 * std::sin(z) / (2.0 * z + std::sin(2.0 * z))};
    }
    case Solid::cylinder: {
        const double z = bisect([biot](double x) { return x * j(1, x) - biot * j(0, x); },
                                bessel_zero(1, n - 1), bessel_zero(0, n));
        const double a = j(0, z);
        const double b = j(1, z);
        return {z, 2.0 / z * b / (a * a + b * b)};
    }
    case Solid::sphere: {
        const double z =
            bisect([biot](double x) { return (1.0 - biot) * std::sin(x) - x * std::cos(x); },
                   n == 1 ? 1e-9 : (n - 1) * kPi, n * kPi);
        return {z, 4.0 * (std::sin(z) - z * std::cos(z)) / (2.0 * z - std::sin(2.0 * z))};
    }
    }
    return {};
}

double shape(Solid solid, double argument) {
    switch (solid) {
    case Solid::wall:
        return std::cos(argument);
    case Solid::cylinder:
        return j(0, argument);
    case Solid::sphere:
        return argument < 1e-8 ? 1.0 : std::sin(argument) / argument;
    }
    return 0.0;
}

double mean_shape(Solid solid, double z) {
    switch (solid) {
    case Solid::wall:
        return std::sin(z) / z;
    case Solid::cylinder:
        return 2.0 * j(1, z) / z;
    case Solid::sphere:
        return 3.0 * (std::sin(z) - z * std::cos(z)) / (z * z * z);
    }
    return 0.0;
}

template <class F>
double sum(Solid solid, double biot, double fourier, F weight) {
    assert(biot > 0.0 && fourier > 0.0);
    double total = 0.0;
    for (int n = 1; n <= kMostTerms; ++n) {
        const SeriesTerm t = term(solid, biot, n);
        const double decay = std::exp(-t.root * t.root * fourier);
        total += t.coefficient * decay * weight(t.root);
        if (decay < kSmallestTerm) {
            break;
        }
    }
    return total;
}

} // namespace

std::vector<SeriesTerm> series_terms(Solid solid, double biot, int count) {
    assert(biot > 0.0);
    std::vector<SeriesTerm> terms;
    for (int n = 1; n <= count; ++n) {
        terms.push_back(term(solid, biot, n));
    }
    return terms;
}

double difference_left(Solid solid, double biot, double fourier, double place) {
    return sum(solid, biot, fourier, [&](double z) { return shape(solid, z * place); });
}

double mean_difference_left(Solid solid, double biot, double fourier) {
    return sum(solid, biot, fourier, [&](double z) { return mean_shape(solid, z); });
}

double slab_difference_left(double biot_at_0, double biot_at_1, double fourier, double x) {
    const double h0 = biot_at_0;
    const double h1 = biot_at_1;
    double total = 0.0;
    for (int n = 1; n <= kMostTerms; ++n) {
        const double b = bisect(
            [&](double z) { return (z * z - h0 * h1) * std::sin(z) - z * (h0 + h1) * std::cos(z); },
            n == 1 ? 1e-9 : (n - 1) * kPi, n * kPi);
        const double r = h0 / b;
        const double s = std::sin(b);
        const double c = std::cos(b);
        // The integrals of X = cos bx + (H0/b) sin bx and of its square over 0..1.
        const double first = (s + r * (1.0 - c)) / b;
        const double second =
            0.5 * (1.0 + s * c / b) + 0.5 * r * r * (1.0 - s * c / b) + r * s * s / b;
        const double decay = std::exp(-b * b * fourier);
        total += first / second * decay * (std::cos(b * x) + r * std::sin(b * x));
        if (decay < kSmallestTerm) {
            break;
        }
    }
    return total;
}

} // namespace holdwarden::heat
