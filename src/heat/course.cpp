#include <holdwarden/heat/course.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdwarden::heat {
namespace {

Celsius richardson(Celsius coarse, Celsius fine) noexcept {
    return Celsius{(4.0 * fine.degrees - coarse.degrees) / 3.0};
}

constexpr Point kPoints[] = {&State::centre, &State::warmest, &State::surface, &State::coldest,
                             &State::mean};

double seconds(const Course& course, std::size_t i) noexcept {
    return course[i].at.in_seconds();
}

/// Lagrange's cubic through the four samples around [i, i + 1].
double cubic(const Course& course, std::size_t piece, Point point, std::size_t i, double t) {
    const std::size_t n = course.size();
    const std::size_t count = std::min<std::size_t>(4, n);
    const std::size_t from = std::min(i > 0 ? i - 1 : 0, n - count);
    double value = 0.0;
    for (std::size_t a = from; a < from + count; ++a) {
        double weight = 1.0;
        for (std::size_t b = from; b < from + count; ++b) {
            if (b != a) {
                weight *= (t - seconds(course, b)) / (seconds(course, a) - seconds(course, b));
            }
        }
        value += weight * (course[a].pieces[piece].*point).degrees;
    }
    return value;
}

std::optional<Span> crossing(const Course& course, std::size_t piece, Point point, double limit,
                             double sign) {
    const auto side = [&](double value) { return sign * (value - limit); };
    for (std::size_t i = 0; i + 1 < course.size(); ++i) {
        const double before = side((course[i].pieces[piece].*point).degrees);
        const double after = side((course[i + 1].pieces[piece].*point).degrees);
        if (!(before >= 0.0 && after < 0.0)) {
            continue;
        }
        double low = seconds(course, i);
        double high = seconds(course, i + 1);
        for (int k = 0; k < 60; ++k) {
            const double middle = 0.5 * (low + high);
            (side(cubic(course, piece, point, i, middle)) >= 0.0 ? low : high) = middle;
        }
        return Span::milliseconds(std::llround(low * 1000.0));
    }
    return std::nullopt;
}

} // namespace

Course simulate(const Situation& situation, const Stepping& stepping,
                const std::function<bool(const Sample&)>& enough) {
    Simulation run{situation};
    Course course{run.sample()};
    Span at;
    Span step = stepping.first;
    int taken = 0;
    while (at < stepping.until) {
        const Span by = std::min(step, stepping.until - at);
        run.advance(by, by);
        at += by;
        Sample sample = run.sample();
        sample.at = at;
        course.push_back(std::move(sample));
        if (enough && enough(course.back())) {
            break;
        }
        if (++taken % 12 == 0) {
            step = std::min(step + step, stepping.largest);
        }
    }
    return course;
}

Converged simulate_converged(const Situation& situation, Span until, Span step) {
    Situation finer = situation;
    finer.cells_per_half = 2 * situation.cells_per_half;
    Simulation coarse_run{situation};
    Simulation fine_run{finer};
    const Span half = Span::milliseconds(step.ms() / 2);
    Converged result;
    Span at;
    for (;;) {
        Sample coarse = coarse_run.sample();
        const Sample fine = fine_run.sample();
        for (std::size_t p = 0; p < coarse.pieces.size() && at > Span{}; ++p) {
            for (const Point point : kPoints) {
                Celsius& into = coarse.pieces[p].*point;
                const Celsius better = fine.pieces[p].*point;
                double& worst = (result.correction.*point).degrees;
                worst = std::max(worst, std::abs(better.degrees - into.degrees) / 3.0);
                into = richardson(into, better);
            }
        }
        coarse.air = richardson(coarse.air, fine.air);
        coarse.at = at;
        result.course.push_back(std::move(coarse));
        if (at >= until) {
            break;
        }
        const Span by = std::min(step, until - at);
        coarse_run.advance(by, by);
        fine_run.advance(by, half);
        at += by;
    }
    result.imbalance = std::max(coarse_run.energy().imbalance(), fine_run.energy().imbalance());
    return result;
}

std::optional<Span> falls_below(const Course& course, std::size_t piece, Point point,
                                Celsius limit) {
    return crossing(course, piece, point, limit.degrees, 1.0);
}

std::optional<Span> rises_above(const Course& course, std::size_t piece, Point point,
                                Celsius limit) {
    return crossing(course, piece, point, limit.degrees, -1.0);
}

Celsius value_at(const Course& course, std::size_t piece, Point point, Span at) {
    assert(!course.empty());
    if (course.size() == 1 || at <= course.front().at) {
        return course.front().pieces[piece].*point;
    }
    if (at >= course.back().at) {
        return course.back().pieces[piece].*point;
    }
    std::size_t i = 0;
    while (course[i + 1].at < at) {
        ++i;
    }
    return Celsius{cubic(course, piece, point, i, at.in_seconds())};
}

Celsius air_at(const Course& course, Span at) {
    assert(!course.empty());
    for (std::size_t i = 0; i + 1 < course.size(); ++i) {
        if (course[i + 1].at >= at) {
            const double share =
                (at - course[i].at).in_seconds() / (course[i + 1].at - course[i].at).in_seconds();
            return Celsius{course[i].air.degrees +
                           share * (course[i + 1].air.degrees - course[i].air.degrees)};
        }
    }
    return course.back().air;
}

} // namespace holdwarden::heat
