#include "curves.hpp"

#include <algorithm>
#include <cmath>

namespace holdwarden::test {

std::int32_t Display::shown(double degrees) const {
    const double steps = degrees * 1000.0 / step;
    switch (rounding) {
    case Rounding::down:
        return static_cast<std::int32_t>(std::floor(steps)) * step;
    case Rounding::up:
        return static_cast<std::int32_t>(std::ceil(steps)) * step;
    case Rounding::nearest:
        break;
    }
    return static_cast<std::int32_t>(std::floor(steps + 0.5)) * step;
}

Course& Course::line(double minutes, double degrees) {
    const auto ms = std::max<std::int64_t>(1, std::llround(minutes * 60'000.0));
    knots_.push_back({knots_.back().ms + ms, degrees});
    return *this;
}

Course& Course::towards(double ambient, double tau_minutes, double minutes) {
    constexpr int kChords = 12;
    const double from = knots_.back().degrees;
    for (int i = 1; i <= kChords; ++i) {
        const double t = minutes * i / kChords;
        line(minutes / kChords, ambient + (from - ambient) * std::exp(-t / tau_minutes));
    }
    return *this;
}

double Course::degrees(std::int64_t ms) const {
    if (ms <= knots_.front().ms) {
        return knots_.front().degrees;
    }
    if (ms >= knots_.back().ms) {
        return knots_.back().degrees;
    }
    const auto after = std::ranges::upper_bound(knots_, ms, {}, &Knot::ms);
    const auto before = std::prev(after);
    // std::lerp is exact at both ends and never turns back between them.
    return std::lerp(before->degrees, after->degrees,
                     static_cast<double>(ms - before->ms) /
                         static_cast<double>(after->ms - before->ms));
}

std::vector<Stretch> stretches(const Course& course, std::int64_t from, std::int64_t to,
                               const std::function<bool(double)>& holds) {
    const auto holds_at = [&](std::int64_t ms) { return holds(course.degrees(ms)); };
    std::vector<std::int64_t> marks{from};
    for (const auto& knot : course.knots()) {
        if (knot.ms > from && knot.ms < to) {
            marks.push_back(knot.ms);
        }
    }
    marks.push_back(to);

    std::vector<Stretch> found;
    const auto add = [&](std::int64_t first, std::int64_t last) {
        if (!found.empty() && found.back().last + 1 >= first) {
            found.back().last = last;
        } else {
            found.push_back({first, last});
        }
    };
    for (std::size_t i = 0; i + 1 < marks.size(); ++i) {
        const std::int64_t a = marks[i];
        const std::int64_t b = marks[i + 1];
        const bool at_a = holds_at(a);
        if (at_a == holds_at(b)) { // straight between: the same all along
            if (at_a) {
                add(a, b);
            }
            continue;
        }
        std::int64_t same = a;
        std::int64_t other = b;
        while (other - same > 1) {
            const std::int64_t middle = same + (other - same) / 2;
            (holds_at(middle) == at_a ? same : other) = middle;
        }
        if (at_a) {
            add(a, same);
        } else {
            add(other, b);
        }
    }
    return found;
}

} // namespace holdwarden::test
