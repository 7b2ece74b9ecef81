#pragma once

#include <holdwarden/sheets/chart.hpp>

#include <string>

namespace holdwarden::sheets {

/// How large a chart is drawn, in CSS pixels.
struct ChartSize {
    int width_px = 720;
    int height_px = 340;
};
inline constexpr ChartSize kWideChart{720, 340};   ///< paper and wide screens
inline constexpr ChartSize kSmallChart{236, 150};  ///< one of many: axes and limits only
inline constexpr ChartSize kNarrowChart{340, 300}; ///< a phone

/// The chart as one <svg> element that stands inline or, with its namespace, alone: no script, no
/// outside reference, colours of the surrounding text only, so that it prints in black and white
/// and follows a dark page. `id` must be unique on its page (letters, digits and hyphens).
std::string to_svg(const Chart& chart, ChartSize size, const std::string& id);

/// The same with the size it came out at: the legend below the plot takes what it needs.
struct SvgPicture {
    std::string svg;
    double width_px;
    double height_px;
};
SvgPicture to_picture(const Chart& chart, ChartSize size, const std::string& id);

} // namespace holdwarden::sheets
