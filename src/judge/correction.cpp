#include <holdwarden/judge/correction.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace holdwarden::judge {
namespace {

using Point = Calibration::Point;
using records::CheckPoint;

double in_scale(Temperature t, Scale scale) noexcept {
    return scale == Scale::fahrenheit ? t.in_fahrenheit() : t.in_celsius();
}

Point point_of(Temperature shown, Temperature truth, Scale scale) noexcept {
    const double at = in_scale(shown, scale);
    return {at, in_scale(truth, scale) - at};
}

void sort_points(std::vector<Point>& points) {
    std::ranges::stable_sort(points, {}, &Point::shown);
    // Of two at one value the larger correction stands.
    for (std::size_t i = 1; i < points.size();) {
        if (points[i].shown != points[i - 1].shown) {
            ++i;
            continue;
        }
        const bool later = std::abs(points[i].correction) > std::abs(points[i - 1].correction);
        points.erase(points.begin() + static_cast<std::ptrdiff_t>(later ? i - 1 : i));
    }
}

/// What a session leaves of one of its checks.
struct Left {
    double truth;
    Point point;
    bool usable;
};

/// As found: up to and with the first that was adjusted. As left: from the last that was adjusted,
/// and of two at one temperature the later.
Calibration session_of(std::span<const CheckPoint> checks) {
    constexpr double kSameDegrees = 1.0; // two ice baths, two boils
    Calibration session{.from = checks.front().at,
                        .to = checks.back().at,
                        .scale = checks.front().truth.scale(),
                        .passed = true,
                        .usable = true};
    bool adjusted = false;
    std::vector<Left> left;
    for (const CheckPoint& check : checks) {
        const double truth = in_scale(check.truth, session.scale);
        if (!adjusted) {
            session.found.push_back(point_of(check.shown_found, check.truth, session.scale));
            session.passed = session.passed && check.passed;
        }
        if (check.shown_left) { // what was measured before it holds no more
            left.clear();
            adjusted = true;
        }
        std::erase_if(left,
                      [&](const Left& one) { return std::abs(one.truth - truth) <= kSameDegrees; });
        left.push_back(
            {truth,
             point_of(check.shown_left.value_or(check.shown_found), check.truth, session.scale),
             check.usable});
    }
    for (const Left& one : left) {
        session.left.push_back(one.point);
        session.usable = session.usable && one.usable;
    }
    sort_points(session.found);
    sort_points(session.left);
    return session;
}

/// To a thousandth; between the scales by 9/5, without the 32 of a temperature.
TemperatureDelta delta(double degrees, Scale from, Scale to) noexcept {
    const double scaled = from == to             ? degrees
                          : to == Scale::celsius ? degrees / 1.8
                                                 : degrees * 1.8;
    return TemperatureDelta::of_thousandths(static_cast<std::int32_t>(std::lround(scaled * 1000)),
                                            to);
}

/// One step of the display; where it is not known, 1 F or 0.5 C (common practice, no source).
TemperatureDelta display_step(const records::Probe& probe, Scale scale) noexcept {
    if (probe.display_step) {
        return probe.display_step->in(scale);
    }
    return TemperatureDelta::of_thousandths(scale == Scale::fahrenheit ? 1000 : 500, scale);
}

std::optional<TemperatureDelta> agreement(TemperatureDelta a, TemperatureDelta b,
                                          TemperatureDelta step) noexcept {
    const std::int64_t product = std::int64_t{a.thousandths()} * b.thousandths();
    if (product <= 0 || std::abs(a.thousandths() - b.thousandths()) > step.thousandths()) {
        return std::nullopt;
    }
    return std::abs(a.thousandths()) < std::abs(b.thousandths()) ? a : b;
}

} // namespace

std::vector<Calibration> calibrations(const records::Probe& probe) {
    std::vector<Calibration> sessions;
    const std::span<const CheckPoint> checks = probe.checks;
    for (std::size_t first = 0; first < checks.size();) {
        std::size_t end = first + 1;
        while (end < checks.size() && checks[end].at - checks[end - 1].at <= kCheckSession) {
            ++end;
        }
        sessions.push_back(session_of(checks.subspan(first, end - first)));
        first = end;
    }
    return sessions;
}

PointCorrection correction_at(std::span<const Point> points, Scale points_scale,
                              Temperature shown) {
    assert(!points.empty());
    const double at = in_scale(shown, points_scale);
    const auto above = std::ranges::lower_bound(points, at, {}, &Point::shown);
    double correction = points.back().correction;
    if (above == points.begin()) {
        correction = points.front().correction;
    } else if (above != points.end()) {
        const Point& a = *(above - 1);
        const Point& b = *above;
        correction =
            a.correction + (at - a.shown) * (b.correction - a.correction) / (b.shown - a.shown);
    }
    return {.correction = delta(correction, points_scale, shown.scale()),
            .outside = at < points.front().shown || at > points.back().shown};
}

CorrectedReading corrected(const records::Reading& reading, const records::Probe& probe,
                           std::span<const Calibration> sessions) {
    CorrectedReading answer{.raw = reading};
    // What is read while a session goes on lies between its checks: it is held against both.
    const auto next = std::ranges::upper_bound(sessions, reading.at, {}, &Calibration::to);
    const auto last = std::ranges::upper_bound(sessions, reading.at, {}, &Calibration::from);
    const Calibration* before = last == sessions.begin() ? nullptr : &*(last - 1);
    const Calibration* after = next == sessions.end() ? nullptr : &*next;
    if (before != nullptr) {
        answer.by_last = correction_at(before->left, before->scale, reading.value);
    }
    if (after != nullptr) {
        (after->passed ? answer.by_next : answer.by_failed) =
            correction_at(after->found, after->scale, reading.value);
    }
    if (before != nullptr && before->usable && answer.by_next && before != after) {
        answer.agreed = agreement(answer.by_last->correction, answer.by_next->correction,
                                  display_step(probe, reading.value.scale()));
    }
    return answer;
}

} // namespace holdwarden::judge
