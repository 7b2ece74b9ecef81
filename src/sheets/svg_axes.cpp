#include "messages.hpp"
#include "svg_canvas.hpp"

#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/time_axis.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace holdwarden::sheets {
namespace {

/// A step of 1, 2 or 5 times a power of ten that gives about `most` ticks.
double nice_step(double range, int most) {
    const double rough = range / most;
    const double power = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double factor : {1.0, 2.0, 5.0}) {
        if (rough <= factor * power) {
            return factor * power;
        }
    }
    return 10.0 * power;
}

double to_other(double degrees, Scale from, bool difference) {
    if (difference) {
        return from == Scale::fahrenheit ? degrees / 1.8 : degrees * 1.8;
    }
    return from == Scale::fahrenheit ? (degrees - 32.0) / 1.8 : degrees * 1.8 + 32.0;
}

double to_own(double degrees, Scale own, bool difference) {
    if (difference) {
        return own == Scale::fahrenheit ? degrees * 1.8 : degrees / 1.8;
    }
    return own == Scale::fahrenheit ? degrees * 1.8 + 32.0 : (degrees - 32.0) / 1.8;
}

/// Without the "-0" that a small negative number rounds to.
std::string whole(double degrees) {
    return fmt::format("{}", std::lround(degrees));
}

void draw_degrees(Canvas& canvas, const Chart& chart, const Frame& frame) {
    const Box& plot = frame.plot;
    const int most = frame.small ? 3 : (plot.bottom - plot.top) > 180 ? 7 : 5;
    const double step = std::max(nice_step(frame.high_degrees - frame.low_degrees, most), 1.0);
    for (double d = std::ceil(frame.low_degrees / step) * step; d <= frame.high_degrees + 1e-9;
         d += step) {
        canvas.line(plot.left, frame.y(d), plot.right, frame.y(d),
                    R"(stroke="currentColor" stroke-opacity="0.15")");
        canvas.text(plot.left - 5, frame.y(d) + 4, Anchor::end, whole(d));
    }
    if (frame.small) {
        canvas.text(plot.left + 3, plot.top + 11, Anchor::start, sign(chart.scale),
                    Face::over_plot);
        return;
    }
    const double low = to_other(frame.low_degrees, chart.scale, chart.difference);
    const double high = to_other(frame.high_degrees, chart.scale, chart.difference);
    const double other_step = std::max(nice_step(high - low, most), 1.0);
    for (double d = std::ceil(low / other_step) * other_step; d <= high + 1e-9; d += other_step) {
        const double y = frame.y(to_own(d, chart.scale, chart.difference));
        canvas.line(plot.right, y, plot.right + 4, y, R"(stroke="currentColor")");
        canvas.text(plot.right + 7, y + 4, Anchor::start, whole(d));
    }
    const Scale other = chart.scale == Scale::fahrenheit ? Scale::celsius : Scale::fahrenheit;
    canvas.text(plot.left - 5, plot.top - 8, Anchor::end, sign(chart.scale));
    canvas.text(plot.right + 7, plot.top - 8, Anchor::start, sign(other));
}

void draw_times(Canvas& canvas, const Frame& frame, const AxisPlan& plan) {
    const double bottom = frame.plot.bottom;
    for (const PlannedTick& tick : plan.ticks) {
        const double x = frame.x(tick.at);
        const double level_px = std::max(tick.level, 0) * plan.level_rows * Canvas::kLinePx;
        canvas.line(x, bottom, x, bottom + 5 + level_px, R"(stroke="currentColor")");
        if (tick.level < 0) {
            continue;
        }
        const double y = bottom + 5 + level_px + Canvas::kLinePx - 2;
        canvas.text(x, y, Anchor::middle, tick.clock);
        if (!tick.offset.empty()) {
            canvas.text(x, y + Canvas::kLinePx, Anchor::middle, tick.offset);
        }
    }
    const double y = bottom + 5 + plan.rows * Canvas::kLinePx - 2;
    for (const auto& [at, date] : plan.dates) {
        canvas.text(frame.x(at), y, Anchor::start, date);
        canvas.line(frame.x(at) - 3, y - 10, frame.x(at) - 3, y + 2, R"(stroke="currentColor")");
    }
}

/// A line where the clocks change.
void draw_changes(Canvas& canvas, const Chart& chart, const Frame& frame) {
    if (frame.small) {
        return; // the axis shows both passes
    }
    for (const ClockChange& change : clock_changes(chart.from, chart.to, chart.zone)) {
        const double x = frame.x(change.at);
        canvas.line(x, frame.plot.top, x, frame.plot.bottom,
                    R"(stroke="currentColor" stroke-dasharray="2 5")");
    }
}

} // namespace

AxisPlan plan_axis(const Chart& chart, double plot_left, double plot_right) {
    const Frame frame{.plot = {plot_left, 0, plot_right, 1}, .from = chart.from, .to = chart.to};
    const auto most = static_cast<std::size_t>(std::max(2.0, (plot_right - plot_left) / 52));
    AxisPlan plan;
    std::array<double, 2> taken_to = {-1e9, -1e9};
    double date_taken_to = -1e9;
    int levels = 1;
    for (const AxisTick& tick : axis_ticks(chart.from, chart.to, chart.zone, most)) {
        const double x = frame.x(tick.at);
        const double half =
            std::max(Canvas::width_px(tick.clock), Canvas::width_px(tick.offset)) / 2 + 3;
        PlannedTick planned{tick.at, tick.clock, tick.offset, -1};
        for (int level = 0; level < 2 && planned.level < 0; ++level) {
            auto& edge = taken_to.at(static_cast<std::size_t>(level));
            // A lower level serves only ticks of a repeated hour; others may go unlabelled.
            if (x - half >= edge && (level == 0 || !tick.offset.empty())) {
                planned.level = level;
                edge = x + half;
                levels = std::max(levels, level + 1);
            }
        }
        plan.level_rows = std::max(plan.level_rows, tick.offset.empty() ? 1 : 2);
        if (!tick.date.empty()) {
            if (x < date_taken_to && !plan.dates.empty()) {
                plan.dates.pop_back(); // the later date says more
            }
            plan.dates.emplace_back(tick.at, tick.date);
            date_taken_to = x + Canvas::width_px(tick.date) + 6;
        }
        plan.ticks.push_back(std::move(planned));
    }
    plan.rows = levels * plan.level_rows + 1;
    return plan;
}

void draw_axes(Canvas& canvas, const Chart& chart, const Frame& frame, const AxisPlan& plan) {
    draw_degrees(canvas, chart, frame);
    draw_times(canvas, frame, plan);
    draw_changes(canvas, chart, frame);
    canvas.rect(frame.plot, R"(fill="none" stroke="currentColor")");
}

} // namespace holdwarden::sheets
