#pragma once

#include <holdwarden/base/temperature.hpp>
#include <holdwarden/heat/range.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// A temperature's band over time.
struct BandSeries {
    std::string label;
    std::vector<heat::CelsiusBand> bands; ///< one for each of the chart's first times
};

/// From when to when a limit may be crossed.
struct CrossingBar {
    heat::Celsius at;
    Span from;
    Span to;
};

struct BandChart {
    std::string title;
    std::vector<Span> times;        ///< ascending, from the start
    std::vector<std::string> clock; ///< what stands below them; empty: hours since the start
    std::vector<BandSeries> series;
    std::vector<heat::Celsius> limits;
    Scale scale = Scale::fahrenheit;
    std::vector<CrossingBar> bars{};
};

/// Drawn with letters, 78 columns: a series' middle by the first letter of its label, its band by
/// dots, a limit by dashes.
std::string text_chart(const BandChart& chart);
/// One <svg> element, black on nothing, dashed unlike for each series, bands lightly filled.
std::string svg_chart(const BandChart& chart);
/// Writes the chart beside what the command prints. Throws Error{bad_input} when it cannot.
void write_svg(const BandChart& chart, const std::filesystem::path& file);
/// Writes text to a file. Throws Error{bad_input} when it cannot.
void write_file(const std::string& text, const std::filesystem::path& file);

} // namespace holdwarden::cli
