#include "messages.hpp"
#include "svg_canvas.hpp"

#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/markup.hpp>
#include <holdwarden/sheets/svg.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace holdwarden::sheets {
namespace {

constexpr std::size_t kMarkedReadings = 40; ///< up to so many readings each has its mark

/// The lowest and highest thing drawn, widened to whole tens.
void fit_degrees(Frame& frame, const Chart& chart) {
    double low = 1e9;
    double high = -1e9;
    const auto take = [&](double degrees) {
        low = std::min(low, degrees);
        high = std::max(high, degrees);
    };
    for (const ChartSeries& series : chart.series) {
        for (const auto& run : series.runs) {
            for (const LinePoint& point : run) {
                take(point.degrees);
            }
        }
        for (const LinePoint& point : series.suspect) {
            take(point.degrees);
        }
    }
    for (const ChartLimit& limit : chart.limits) {
        take(limit.degrees);
    }
    for (const ChartForecast& forecast : chart.forecasts) {
        take(forecast.now.degrees);
        for (const ChartForecastEdge& edge : forecast.edges) {
            take(edge.degrees);
        }
    }
    if (chart.least && chart.most) {
        low = *chart.least;
        high = *chart.most;
    }
    if (low > high) {
        low = high = chart.scale == Scale::fahrenheit ? 100 : 40;
    }
    const double pad = std::max((high - low) * 0.06, 2.0);
    frame.low_degrees = std::floor((low - pad) / 10) * 10;
    frame.high_degrees = std::ceil((high + pad) / 10) * 10;
}

void draw_bands(Canvas& canvas, const Chart& chart, const Frame& frame) {
    const bool named = std::ranges::all_of(chart.bands, [&](const ChartBand& band) {
        return frame.x(band.to) - frame.x(band.from) > Canvas::width_px(band.label) + 4;
    });
    for (std::size_t i = 0; i < chart.bands.size(); ++i) {
        const ChartBand& band = chart.bands[i];
        const Box box{frame.x(band.from), frame.plot.top - (frame.small ? 0 : 22), frame.x(band.to),
                      frame.plot.bottom};
        if (i % 2 == 0) {
            canvas.rect(box, R"(fill="currentColor" fill-opacity="0.06")");
        }
        canvas.line(box.left, box.top, box.left, box.bottom,
                    R"(stroke="currentColor" stroke-opacity="0.5")");
        const std::string words = named ? band.label : fmt::format("{}", i + 1);
        if (!frame.small && Canvas::width_px(words) < box.right - box.left + 2) {
            canvas.text((box.left + box.right) / 2, frame.plot.top - 8, Anchor::middle, words,
                        Face::bold);
        }
    }
}

std::string path_of(const std::vector<LinePoint>& points, const Frame& frame) {
    std::string path;
    for (const LinePoint& point : points) {
        path += fmt::format("{}{:.1f} {:.1f}", path.empty() ? "M" : "L", frame.x(point.at),
                            frame.y(point.degrees));
    }
    return path;
}

std::vector<LinePoint> drawn(const std::vector<LinePoint>& run, const Frame& frame) {
    return reduced(run, frame.from, frame.to,
                   static_cast<std::size_t>(frame.plot.right - frame.plot.left));
}

/// Marks that would lie on each other are left out, but for the lowest and highest of each stretch.
std::vector<LinePoint> marked(const std::vector<LinePoint>& points, const Frame& frame) {
    constexpr double kMarkPx = 14;
    return reduced(points, frame.from, frame.to,
                   static_cast<std::size_t>((frame.plot.right - frame.plot.left) / kMarkPx));
}

/// The food on the wrong side of a hold: hatched between line and limit, and a solid bar along the
/// time axis from each first to last reading on the wrong side. Returns whether there was any.
bool draw_wrong_side(Canvas& canvas, const Chart& chart, const Frame& frame,
                     const std::string& id) {
    std::size_t n = 0;
    bool any = false;
    for (const ChartLimit& limit : chart.limits) {
        if (!limit.shaded || limit.from >= limit.to) {
            continue;
        }
        const std::string clip = fmt::format("{}-clip{}", id, n++);
        const double level = frame.y(limit.degrees);
        const Box wrong{frame.x(limit.from), limit.hot_side ? level : frame.plot.top,
                        frame.x(limit.to), limit.hot_side ? frame.plot.bottom : level};
        canvas.raw(fmt::format(R"(<clipPath id="{}">)", clip));
        canvas.rect(wrong, "");
        canvas.raw("</clipPath>\n");
        for (const ChartSeries& series : chart.series) {
            if (series.air) {
                continue;
            }
            for (const auto& run : series.runs) {
                canvas.raw(fmt::format(
                    R"svg(<path class="wrong" d="{}L{:.1f} {:.1f}L{:.1f} {:.1f}Z" fill="url(#{}-hatch)" clip-path="url(#{})"/>)svg",
                    path_of(drawn(run, frame), frame), frame.x(run.back().at), level,
                    frame.x(run.front().at), level, id, clip));
                canvas.raw("\n");
                std::optional<Instant> first;
                Instant last;
                const auto bar = [&] {
                    if (first) {
                        any = true;
                        const double left = frame.x(*first);
                        canvas.rect({left, frame.plot.bottom - 5, std::max(frame.x(last), left + 3),
                                     frame.plot.bottom},
                                    R"(class="wrong-time" fill="currentColor")");
                        first.reset();
                    }
                };
                for (const LinePoint& point : run) {
                    const bool inside = point.at >= limit.from && point.at <= limit.to;
                    const bool is_wrong = limit.hot_side ? point.degrees < limit.degrees - 1e-9
                                                         : point.degrees > limit.degrees + 1e-9;
                    if (inside && is_wrong) {
                        first = first.value_or(point.at);
                        last = point.at;
                    } else {
                        bar();
                    }
                }
                bar();
            }
        }
    }
    return any;
}

void draw_gaps(Canvas& canvas, const Chart& chart, const Frame& frame) {
    for (const judge::Gap& gap : chart.gaps) {
        const double left = frame.x(std::max(gap.from, chart.from));
        const double right = frame.x(std::min(gap.to, chart.to));
        if (right <= left) {
            continue;
        }
        canvas.rect({left, frame.plot.top, right, frame.plot.bottom},
                    R"(class="gap" fill="none" stroke="currentColor" stroke-dasharray="1 3")");
        if (frame.small) {
            continue;
        }
        const std::string words = fmt::format(msg::no_reading, to_text(gap.to - gap.from));
        const double middle = (frame.plot.top + frame.plot.bottom) / 2;
        if (Canvas::width_px(words) < right - left - 4) {
            canvas.text((left + right) / 2, middle, Anchor::middle, words, Face::over_plot);
        } else if (right - left > Canvas::kLinePx) {
            canvas.upright_text((left + right) / 2 + 4, middle, words);
        }
    }
}

void draw_series(Canvas& canvas, const Chart& chart, const Frame& frame) {
    for (std::size_t i = 0; i < chart.series.size(); ++i) {
        const ChartSeries& series = chart.series[i];
        std::size_t count = 0;
        for (const auto& run : series.runs) {
            count += run.size();
        }
        if (frame.small && series.air) {
            continue;
        }
        const bool mark_all = count <= kMarkedReadings && !series.air && !frame.small;
        const std::size_t every = mark_all ? 1 : std::max<std::size_t>(count / 9, 1);
        const bool mark_some = mark_all || (chart.series.size() > 1 && !series.air && !frame.small);
        std::size_t n = 0;
        for (const auto& run : series.runs) {
            const std::string_view dash = dash_of(i, series.air);
            canvas.raw(fmt::format(
                R"(<path class="run" d="{}" fill="none" stroke="currentColor" stroke-width="{}" stroke-linejoin="round"{}/>)",
                path_of(drawn(run, frame), frame), series.air ? "1.2" : "1.8",
                dash.empty() ? "" : fmt::format(R"( stroke-dasharray="{}")", dash)));
            canvas.raw("\n");
            for (const LinePoint& point : run) {
                // A run of one reading draws no line: it needs its mark to be seen.
                if ((mark_some && n % every == every / 2) || run.size() == 1) {
                    canvas.raw(series_mark(i, frame.x(point.at), frame.y(point.degrees)) + "\n");
                }
                ++n;
            }
        }
        for (const LinePoint& point : marked(series.suspect, frame)) {
            canvas.raw(suspect_mark(frame.x(point.at), frame.y(point.degrees)) + "\n");
        }
        for (const LinePoint& point : marked(series.set_aside, frame)) {
            canvas.raw(set_aside_mark(frame.x(point.at), frame.y(point.degrees)) + "\n");
        }
    }
}

/// A band from the last reading on, its edges dashed, filled with lines of its own slope.
void draw_forecasts(Canvas& canvas, const Chart& chart, const Frame& frame, const std::string& id) {
    for (const ChartForecast& forecast : chart.forecasts) {
        std::string early;
        std::string late;
        for (const ChartForecastEdge& edge : forecast.edges) {
            early += fmt::format("L{:.1f} {:.1f}", frame.x(edge.earliest), frame.y(edge.degrees));
            late =
                fmt::format("L{:.1f} {:.1f}", frame.x(edge.latest), frame.y(edge.degrees)) + late;
        }
        canvas.raw(fmt::format(
            R"svg(<path class="forecast" d="M{:.1f} {:.1f}{}{}Z" fill="url(#{}-estimate)" stroke="currentColor" stroke-dasharray="2 2"/>)svg",
            frame.x(forecast.now.at), frame.y(forecast.now.degrees), early, late, id));
        canvas.raw("\n");
        const double x = frame.x(forecast.now.at);
        canvas.line(x, frame.plot.top, x, frame.plot.bottom,
                    R"(class="now" stroke="currentColor" stroke-dasharray="6 3")");
        canvas.text(x + 4, frame.plot.top + 12, Anchor::start, msg::chart_now, Face::over_plot);
    }
}

/// A line that a label should not lie on, and how much it hurts there.
struct Stroke {
    double x1;
    double y1;
    double x2;
    double y2;
    double weight;
};

std::vector<Stroke> strokes_of(const Chart& chart, const Frame& frame) {
    std::vector<Stroke> strokes;
    for (const ChartSeries& series : chart.series) {
        for (const auto& run : series.runs) {
            const std::vector<LinePoint> line = drawn(run, frame);
            for (std::size_t i = 1; i < line.size(); ++i) {
                strokes.push_back({frame.x(line[i - 1].at), frame.y(line[i - 1].degrees),
                                   frame.x(line[i].at), frame.y(line[i].degrees),
                                   series.air ? 0.3 : 3});
            }
        }
    }
    for (const ChartLimit& limit : chart.limits) {
        const double y = frame.y(limit.degrees);
        strokes.push_back({frame.x(limit.from), y, frame.x(limit.to), y, 0.3});
    }
    for (const ChartBand& band : chart.bands) {
        const double x = frame.x(band.from);
        strokes.push_back({x, frame.plot.top, x, frame.plot.bottom, 0.3});
    }
    for (const ChartBracket& bracket : chart.brackets) {
        const double y = frame.y(bracket.degrees);
        for (const Instant at : {bracket.earliest, bracket.latest}) {
            strokes.push_back({frame.x(at), y - 5, frame.x(at), y + 5, 6});
        }
    }
    return strokes;
}

/// How much of the stroke lies within the box, in pixels (Liang and Barsky's clipping).
double length_in(const Stroke& stroke, const Box& box) noexcept {
    const double dx = stroke.x2 - stroke.x1;
    const double dy = stroke.y2 - stroke.y1;
    double from = 0;
    double to = 1;
    for (const auto& [step, room] : {std::pair{-dx, stroke.x1 - box.left},
                                     {dx, box.right - stroke.x1},
                                     {-dy, stroke.y1 - box.top},
                                     {dy, box.bottom - stroke.y1}}) {
        if (step == 0) {
            if (room < 0) {
                return 0;
            }
        } else if (step < 0) {
            from = std::max(from, room / step);
        } else {
            to = std::min(to, room / step);
        }
    }
    return from < to ? (to - from) * std::hypot(dx, dy) : 0;
}

struct LabelPlace {
    double x;
    double y;
    Anchor anchor;
    double cost; ///< of itself; in pixels of line that the label would lie on
};

/// Where the label of a limit may stand, the usual place first: above and below its line from end
/// to end and beyond, then on either side of it.
std::vector<LabelPlace> places_of(double left, double right, double y, double width,
                                  const Box& plot) {
    constexpr double kStepPx = 16;
    constexpr double kAbovePx = -5;
    constexpr double kBelowPx = 14;
    const double first = std::max(left, plot.left) + 4;
    const double last = std::min(right, plot.right) - 4;
    std::vector<LabelPlace> places = {{last, y + kAbovePx, Anchor::end, 0},
                                      {last, y + kBelowPx, Anchor::end, 0},
                                      {first, y + kAbovePx, Anchor::start, 0},
                                      {first, y + kBelowPx, Anchor::start, 0}};
    for (double x = last + width; x > first; x -= kStepPx) {
        places.push_back({x, y + kAbovePx, Anchor::end, 2});
        places.push_back({x, y + kBelowPx, Anchor::end, 2});
    }
    places.push_back({right + 4, y + 4, Anchor::start, 6});
    places.push_back({left - 4, y + 4, Anchor::end, 6});
    for (LabelPlace& place : places) {
        // What sticks out of its line could be taken for another stage's.
        const Box box = Canvas::text_box(place.x, place.y, place.anchor, "");
        const double begins = place.anchor == Anchor::end ? box.right - 1 - width : box.left + 1;
        if (place.y != y + 4) {
            place.cost +=
                (std::max(first - 4 - begins, 0.0) + std::max(begins + width - last - 4, 0.0)) / 2;
        }
        const bool inside = begins >= plot.left && begins + width <= plot.right;
        place.cost += inside ? 0 : 100'000;
    }
    return places;
}

/// The place with the least under it; of equals the first.
const LabelPlace& emptiest(const Canvas& canvas, const std::vector<Stroke>& strokes,
                           std::vector<LabelPlace>& places, std::string_view words) {
    for (LabelPlace& place : places) {
        const Box box = Canvas::text_box(place.x, place.y, place.anchor, words);
        place.cost += canvas.is_free(box) ? 0 : 10'000;
        for (const Stroke& stroke : strokes) {
            place.cost += stroke.weight * length_in(stroke, box);
        }
    }
    return *std::ranges::min_element(places, {}, &LabelPlace::cost);
}

void draw_limit_labels(Canvas& canvas, const Chart& chart, const Frame& frame,
                       const std::vector<Stroke>& all) {
    for (const ChartLimit& limit : chart.limits) {
        const double level = frame.y(limit.degrees);
        std::vector<Stroke> strokes; // that any of its places could lie on
        std::ranges::copy_if(all, std::back_inserter(strokes), [&](const Stroke& stroke) {
            return std::max(stroke.y1, stroke.y2) > level - 20 &&
                   std::min(stroke.y1, stroke.y2) < level + 20;
        });
        const double left = frame.x(limit.from);
        const double right = std::max(frame.x(limit.to), left + 4);
        std::vector<LabelPlace> places =
            places_of(left, right, level, Canvas::width_px(limit.label), frame.plot);
        const LabelPlace& best = emptiest(canvas, strokes, places, limit.label);
        canvas.text(best.x, best.y, best.anchor, limit.label, Face::bold_over_plot);
    }
}

/// What happens to the clocks, beside the line where they change.
void draw_change_labels(Canvas& canvas, const Chart& chart, const Frame& frame,
                        const std::vector<Stroke>& strokes) {
    for (const ClockChange& change : clock_changes(chart.from, chart.to, chart.zone)) {
        const double x = frame.x(change.at);
        const bool back = change.shift < Span{};
        const Span size = back ? Span{} - change.shift : change.shift;
        const std::string words = back ? fmt::format(msg::chart_clocks_back, to_text(size))
                                       : fmt::format(msg::chart_clocks_forward, to_text(size));
        const double width = Canvas::width_px(words);
        std::vector<LabelPlace> places;
        for (const double y : {frame.plot.bottom - 8, frame.plot.top + 14}) {
            places.push_back(
                {x + 4, y, Anchor::start, x + 4 + width < frame.plot.right ? 0.0 : 100'000});
            places.push_back(
                {x - 4, y, Anchor::end, x - 4 - width > frame.plot.left ? 2.0 : 100'000});
        }
        const LabelPlace& best = emptiest(canvas, strokes, places, words);
        canvas.text(best.x, best.y, best.anchor, words, Face::over_plot);
    }
}

void draw_limits(Canvas& canvas, const Chart& chart, const Frame& frame) {
    for (const ChartLimit& limit : chart.limits) {
        const double y = frame.y(limit.degrees);
        const double left = frame.x(limit.from);
        const double right = std::max(frame.x(limit.to), left + 4);
        canvas.line(left, y, right, y, R"(class="limit" stroke="currentColor" stroke-width="1.3")");
    }
    if (!frame.small) {
        const std::vector<Stroke> strokes = strokes_of(chart, frame);
        draw_limit_labels(canvas, chart, frame, strokes);
        draw_change_labels(canvas, chart, frame, strokes);
    }
    for (const ChartBracket& bracket : chart.brackets) {
        const double y = frame.y(bracket.degrees);
        const double left = frame.x(bracket.earliest);
        const double right = frame.x(bracket.latest);
        constexpr std::string_view kStyle =
            R"(class="bracket" stroke="currentColor" stroke-width="2")";
        canvas.line(left, y - 5, left, y + 5, kStyle);
        canvas.line(right, y - 5, right, y + 5, kStyle);
        canvas.line(left, y, right, y, R"(class="bracket" stroke="currentColor" stroke-width="3")");
    }
}

/// What each kind of mark means, only of those in the picture; lines wrap within the width.
class Legend {
public:
    Legend(Canvas& canvas, double left, double right, double top)
        : canvas_{canvas}, left_{left}, right_{right}, x_{left}, y_{top} {}

    /// `draw(x, y)` puts a sample 26 px wide, centred on y.
    template <class Draw>
    void item(std::string_view words, Draw draw) {
        const double width = 32 + Canvas::width_px(words) + 14;
        if (x_ > left_ && x_ + width > right_ + 14) {
            x_ = left_;
            y_ += Canvas::kLinePx + 2;
        }
        draw(x_, y_ - 4);
        canvas_.text(x_ + 32, y_, Anchor::start, words);
        x_ += width;
    }
    double bottom() const noexcept { return y_ + 6; }

private:
    Canvas& canvas_;
    double left_;
    double right_;
    double x_;
    double y_;
};

double draw_legend(Canvas& canvas, const Chart& chart, double left, double right, double top,
                   bool any_wrong, const std::string& id) {
    Legend legend{canvas, left, right, top};
    for (std::size_t i = 0; i < chart.series.size(); ++i) {
        const ChartSeries& series = chart.series[i];
        legend.item(series.label, [&](double x, double y) {
            const std::string_view dash = dash_of(i, series.air);
            canvas.line(
                x, y, x + 26, y,
                fmt::format(R"(stroke="currentColor" stroke-width="{}"{})",
                            series.air ? "1.2" : "1.8",
                            dash.empty() ? "" : fmt::format(R"( stroke-dasharray="{}")", dash)));
            if (!series.air) {
                canvas.raw(series_mark(i, x + 13, y) + "\n");
            }
        });
    }
    if (any_wrong) {
        legend.item(msg::legend_wrong_side, [&](double x, double y) {
            canvas.rect({x, y - 5, x + 26, y + 5},
                        fmt::format(R"svg(fill="url(#{}-hatch)" stroke="currentColor")svg", id));
        });
    }
    if (!chart.brackets.empty()) {
        legend.item(msg::legend_crossed, [&](double x, double y) {
            canvas.raw(fmt::format(
                R"(<path d="M{0:.1f} {1:.1f}v10M{2:.1f} {1:.1f}v10M{0:.1f} {3:.1f}h18" fill="none" stroke="currentColor" stroke-width="2"/>)",
                x + 4, y - 5, x + 22, y));
            canvas.raw("\n");
        });
    }
    if (!chart.forecasts.empty()) {
        legend.item(msg::legend_forecast, [&](double x, double y) {
            canvas.rect(
                {x, y - 5, x + 26, y + 5},
                fmt::format(
                    R"svg(fill="url(#{}-estimate)" stroke="currentColor" stroke-dasharray="2 2")svg",
                    id));
        });
    }
    if (std::ranges::any_of(chart.series,
                            [](const ChartSeries& series) { return !series.set_aside.empty(); })) {
        legend.item(msg::legend_set_aside,
                    [&](double x, double y) { canvas.raw(set_aside_mark(x + 13, y) + "\n"); });
    }
    if (std::ranges::any_of(chart.series,
                            [](const ChartSeries& series) { return !series.suspect.empty(); })) {
        legend.item(msg::legend_suspect,
                    [&](double x, double y) { canvas.raw(suspect_mark(x + 13, y) + "\n"); });
    }
    return legend.bottom();
}

} // namespace

std::string to_svg(const Chart& chart, ChartSize size, const std::string& id) {
    return to_picture(chart, size, id).svg;
}

SvgPicture to_picture(const Chart& chart, ChartSize size, const std::string& id) {
    Canvas canvas;
    const double width = size.width_px;
    Frame frame{.plot = {38, 28, width - 34, 0}, .from = chart.from, .to = chart.to};
    frame.small = size.width_px <= kSmallChart.width_px;
    if (frame.small) {
        frame.plot = {32, 8, width - 19, 0};
    }
    const AxisPlan plan = plan_axis(chart, frame.plot.left, frame.plot.right);
    // The plot keeps its height; what stands below it adds to the picture.
    frame.plot.bottom = size.height_px - (frame.small ? 34 : 60);
    fit_degrees(frame, chart);

    draw_bands(canvas, chart, frame);
    draw_axes(canvas, chart, frame, plan);
    draw_gaps(canvas, chart, frame);
    const bool any_wrong = draw_wrong_side(canvas, chart, frame, id);
    draw_forecasts(canvas, chart, frame, id);
    draw_series(canvas, chart, frame);
    draw_limits(canvas, chart, frame);
    const double below = frame.plot.bottom + 5 + (plan.rows + 1) * Canvas::kLinePx + 4;
    const double bottom = frame.small ? below
                                      : draw_legend(canvas, chart, frame.plot.left,
                                                    frame.plot.right, below, any_wrong, id);

    std::string svg = fmt::format(
        R"(<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{0}-title {0}-desc" )"
        R"(viewBox="0 0 {1} {2:.0f}" width="{1}" height="{2:.0f}" font-family="sans-serif" )"
        R"(font-size="{3:.0f}" fill="currentColor" color="#000">)",
        id, size.width_px, bottom, Canvas::kFontPx);
    svg += fmt::format("\n<title id=\"{0}-title\">{1}</title>\n<desc id=\"{0}-desc\">{2}</desc>\n",
                       id, escaped(chart.title), escaped(chart.description));
    svg += fmt::format(
        R"(<defs><pattern id="{0}-hatch" width="6" height="6" patternUnits="userSpaceOnUse" )"
        R"svg(patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="6" stroke="currentColor" )svg"
        R"svg(stroke-width="2.4"/></pattern><pattern id="{0}-estimate" width="8" height="8" )svg"
        R"svg(patternUnits="userSpaceOnUse" patternTransform="rotate(-45)"><line x1="0" y1="0" x2="0" )svg"
        R"(y2="8" stroke="currentColor" stroke-width="0.8"/></pattern></defs>)",
        id);
    svg += "\n" + canvas.markup() + "</svg>\n";
    return {std::move(svg), width, bottom};
}

} // namespace holdwarden::sheets
