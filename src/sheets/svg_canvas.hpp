#pragma once

#include <holdwarden/sheets/chart.hpp>
#include <holdwarden/sheets/svg.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::sheets {

struct Box {
    double left;
    double top;
    double right;
    double bottom;
    bool meets(const Box& other) const noexcept {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
};

enum class Anchor { start, middle, end };
enum class Face {
    plain,
    bold,
    over_plot, ///< with the paper's colour round the letters, so that lines do not cross them
    bold_over_plot,
};

/// The plot's frame within the picture and the two mappings into it, in pixels.
struct Frame {
    Box plot{};
    Instant from;
    Instant to;
    double low_degrees = 0;
    double high_degrees = 1;
    bool small = false; ///< one of many beside each other: no words inside

    double x(Instant at) const noexcept {
        return plot.left + (plot.right - plot.left) * static_cast<double>((at - from).ms()) /
                               static_cast<double>((to - from).ms());
    }
    double y(double degrees) const noexcept {
        return plot.bottom -
               (plot.bottom - plot.top) * (degrees - low_degrees) / (high_degrees - low_degrees);
    }
};

/// Collects SVG elements and remembers where text stands.
class Canvas {
public:
    static constexpr double kFontPx = 12;
    static constexpr double kLinePx = 14;

    void raw(std::string_view markup) { out_ += markup; }
    void line(double x1, double y1, double x2, double y2, std::string_view attributes);
    void rect(const Box& box, std::string_view attributes);
    /// Plain text, escaped here; its box counts as taken.
    void text(double x, double y, Anchor anchor, std::string_view words, Face face = Face::plain);

    /// Text that runs upwards, centred on (x, y); for places too narrow for a line.
    void upright_text(double x, double y, std::string_view words);

    bool is_free(const Box& box) const noexcept;
    static double width_px(std::string_view words) noexcept;
    static Box text_box(double x, double y, Anchor anchor, std::string_view words) noexcept;

    const std::string& markup() const noexcept { return out_; }

private:
    std::string out_;
    std::vector<Box> taken_;
};

/// Columns a text takes: code points, without marks that combine and without isolates.
std::size_t columns_of(std::string_view text) noexcept;

/// "5 3" and the like; "" is a solid line.
std::string_view dash_of(std::size_t series, bool air) noexcept;
/// A mark of the series' own shape, hollow, about 7 px wide.
std::string series_mark(std::size_t series, double x, double y);
/// The mark of a suspect reading: a question mark in a ring.
std::string suspect_mark(double x, double y);
std::string set_aside_mark(double x, double y);

/// Where the time labels go, fixed before the frame since they take room below it.
struct PlannedTick {
    Instant at;
    std::string clock;
    std::string offset;
    int level = 0; ///< 0 or 1: which pair of rows; -1: no room for a label
};
struct AxisPlan {
    std::vector<PlannedTick> ticks;
    std::vector<std::pair<Instant, std::string>> dates;
    int rows = 2;       ///< rows of text below the plot, dates included
    int level_rows = 1; ///< rows of one level: clock, and offset where any tick has one
};
AxisPlan plan_axis(const Chart& chart, double plot_left, double plot_right);

void draw_axes(Canvas& canvas, const Chart& chart, const Frame& frame, const AxisPlan& plan);

} // namespace holdwarden::sheets
