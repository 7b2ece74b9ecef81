#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/band_chart.hpp>
#include <holdwarden/cli/plan_values.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>

namespace holdwarden::cli {
namespace {

double shown(heat::Celsius t, Scale scale) {
    return scale == Scale::celsius ? t.degrees : t.degrees * 1.8 + 32.0;
}

struct Extent {
    double low = 1e9;
    double high = -1e9;
};

/// Of everything drawn, out to whole tens.
Extent extent_of(const BandChart& chart) {
    Extent e;
    const auto see = [&](heat::Celsius t) {
        e.low = std::min(e.low, shown(t, chart.scale));
        e.high = std::max(e.high, shown(t, chart.scale));
    };
    for (const BandSeries& series : chart.series) {
        for (const heat::CelsiusBand& band : series.bands) {
            see(band.low);
            see(band.high);
        }
    }
    for (const heat::Celsius limit : chart.limits) {
        see(limit);
    }
    e.low = std::floor(e.low / 10.0) * 10.0;
    e.high = std::max(e.low + 10.0, std::ceil(e.high / 10.0) * 10.0);
    return e;
}

std::string time_label(const BandChart& chart, std::size_t i) {
    if (!chart.clock.empty()) {
        return chart.clock[i];
    }
    return fmt::format("{:g} h", std::round(chart.times[i].in_minutes() / 6.0) / 10.0);
}

std::string escaped(const std::string& text) {
    std::string out;
    for (const char c : text) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

/// Which times get a label: about `most` of them, evenly.
std::size_t label_step(std::size_t times, std::size_t most) {
    return std::max<std::size_t>(1, (times + most - 1) / most);
}

} // namespace

std::string text_chart(const BandChart& chart) {
    constexpr std::size_t kColumns = 66;
    constexpr std::size_t kRows = 16;
    const Extent e = extent_of(chart);
    const std::size_t n = chart.times.size();
    const auto column = [&](std::size_t i) {
        return static_cast<std::size_t>(std::lround(chart.times[i].in_seconds() /
                                                    std::max(1.0, chart.times.back().in_seconds()) *
                                                    static_cast<double>(kColumns - 1)));
    };
    const auto row = [&](double value) {
        const double share = (e.high - value) / (e.high - e.low);
        return static_cast<std::size_t>(
            std::lround(std::clamp(share, 0.0, 1.0) * static_cast<double>(kRows - 1)));
    };
    std::vector<std::string> grid(kRows, std::string(kColumns, ' '));
    for (const heat::Celsius limit : chart.limits) {
        grid[row(shown(limit, chart.scale))].assign(kColumns, '-');
    }
    for (const BandSeries& series : chart.series) {
        for (std::size_t i = 0; i < std::min(n, series.bands.size()); ++i) {
            const std::size_t top = row(shown(series.bands[i].high, chart.scale));
            const std::size_t bottom = row(shown(series.bands[i].low, chart.scale));
            for (std::size_t r = top; r <= bottom; ++r) {
                char& cell = grid[r][column(i)];
                cell = cell == ' ' || cell == '-' ? '.' : cell;
            }
        }
    }
    const auto column_at = [&](Span at) {
        const double share = at.in_seconds() / std::max(1.0, chart.times.back().in_seconds());
        return static_cast<std::size_t>(
            std::lround(std::clamp(share, 0.0, 1.0) * static_cast<double>(kColumns - 1)));
    };
    for (const CrossingBar& bar : chart.bars) {
        for (std::size_t c = column_at(bar.from); c <= column_at(bar.to); ++c) {
            grid[row(shown(bar.at, chart.scale))][c] = '=';
        }
    }
    for (const BandSeries& series : chart.series) {
        for (std::size_t i = 0; i < std::min(n, series.bands.size()); ++i) {
            grid[row(shown(series.bands[i].middle, chart.scale))][column(i)] = series.label.front();
        }
    }
    std::string out = chart.title + "\n";
    for (std::size_t r = 0; r < kRows; ++r) {
        const double value =
            e.high - (e.high - e.low) * static_cast<double>(r) / static_cast<double>(kRows - 1);
        std::string line = r % 3 == 0 ? fmt::format("{:7.0f} |{}", value, grid[r])
                                      : fmt::format("        |{}", grid[r]);
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + "\n";
    }
    std::string axis(kColumns + 9, ' ');
    for (std::size_t i = 0; i < n; i += label_step(n, 8)) {
        const std::string label = time_label(chart, i);
        const std::size_t at = 9 + column(i);
        if (at + label.size() <= axis.size()) {
            axis.replace(at, label.size(), label);
        }
    }
    axis.erase(axis.find_last_not_of(' ') + 1);
    out += fmt::format("     {} +{}\n{}\n", sign(chart.scale), std::string(kColumns, '-'), axis);
    std::string legend;
    for (const BandSeries& series : chart.series) {
        legend += fmt::format("  {} = {}", series.label.front(), series.label);
    }
    return out + "         middle of" + legend + "; . = 10 to 90 %; --- = limit" +
           (chart.bars.empty() ? "\n" : "; === = crossing, estimated\n");
}

std::string svg_chart(const BandChart& chart) {
    constexpr double kLeft = 56;
    constexpr double kRight = 700;
    constexpr double kTop = 40;
    constexpr double kBottom = 300;
    constexpr const char* kDashes[] = {"none", "7 4", "2 3", "9 3 2 3"};
    const Extent e = extent_of(chart);
    const double last = std::max(1.0, chart.times.back().in_seconds());
    const auto x = [&](std::size_t i) {
        return kLeft + (kRight - kLeft) * chart.times[i].in_seconds() / last;
    };
    const auto y = [&](double value) {
        return kBottom - (kBottom - kTop) * (value - e.low) / (e.high - e.low);
    };
    std::string svg = fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 720 {}\" role=\"img\" "
        "font-family=\"sans-serif\" font-size=\"12\" fill=\"currentColor\">\n<title>{}</title>\n"
        "<desc>Estimated bands, 10 to 90 %. {}</desc>\n<text x=\"{}\" y=\"18\">{}</text>\n",
        340 + 16 * static_cast<int>(chart.series.size()), escaped(chart.title), kEstimateCaution,
        kLeft, escaped(chart.title));
    const double step = e.high - e.low > 120 ? 20 : 10;
    for (double v = e.low; v <= e.high + 1e-9; v += step) {
        svg += fmt::format("<line x1=\"{0}\" x2=\"{1}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\" "
                           "stroke=\"currentColor\" stroke-opacity=\"0.15\"/>\n<text x=\"{3}\" "
                           "y=\"{4:.1f}\" text-anchor=\"end\">{5:g}</text>\n",
                           kLeft, kRight, y(v), kLeft - 6, y(v) + 4, v);
    }
    svg += fmt::format("<text x=\"6\" y=\"34\">{}</text>\n", sign(chart.scale));
    for (std::size_t i = 0; i < chart.times.size(); i += label_step(chart.times.size(), 8)) {
        svg += fmt::format("<text x=\"{:.1f}\" y=\"{}\" text-anchor=\"middle\">{}</text>\n", x(i),
                           kBottom + 18, escaped(time_label(chart, i)));
    }
    for (const heat::Celsius limit : chart.limits) {
        const double v = shown(limit, chart.scale);
        svg += fmt::format("<line x1=\"{0}\" x2=\"{1}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\" "
                           "stroke=\"currentColor\" stroke-width=\"1.5\"/>\n<text x=\"{1}\" "
                           "y=\"{3:.1f}\" text-anchor=\"end\">limit {4}</text>\n",
                           kLeft, kRight, y(v), y(v) - 4, limit_text(limit, chart.scale));
    }
    const auto x_at = [&](Span at) {
        return kLeft + (kRight - kLeft) * std::clamp(at.in_seconds() / last, 0.0, 1.0);
    };
    for (const CrossingBar& bar : chart.bars) {
        const double v = y(shown(bar.at, chart.scale));
        svg += fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"8\" "
                           "fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.5\"><title>"
                           "crossing, estimated</title></rect>\n",
                           x_at(bar.from), v - 4, std::max(1.0, x_at(bar.to) - x_at(bar.from)));
    }
    for (std::size_t s = 0; s < chart.series.size(); ++s) {
        const BandSeries& series = chart.series[s];
        std::string upper;
        std::string lower;
        std::string middle;
        for (std::size_t i = 0; i < std::min(chart.times.size(), series.bands.size()); ++i) {
            const auto point = [&](heat::Celsius t) {
                return fmt::format("{:.1f},{:.1f} ", x(i), y(shown(t, chart.scale)));
            };
            upper += point(series.bands[i].high);
            lower = point(series.bands[i].low) + lower;
            middle += point(series.bands[i].middle);
        }
        const char* dash = kDashes[s % std::size(kDashes)];
        const double legend = kBottom + 38 + 16 * static_cast<double>(s);
        svg += fmt::format(
            "<polygon points=\"{}{}\" fill=\"currentColor\" fill-opacity=\"0.10\"/>\n<polyline "
            "points=\"{}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.5\" "
            "stroke-dasharray=\"{}\"/>\n<line x1=\"{}\" x2=\"{}\" y1=\"{}\" y2=\"{}\" "
            "stroke=\"currentColor\" stroke-width=\"1.5\" stroke-dasharray=\"{}\"/>\n<text "
            "x=\"{}\" y=\"{}\">{}: middle, and 10 to 90 % (estimate)</text>\n",
            upper, lower, middle, dash, kLeft, kLeft + 36, legend - 4, legend - 4, dash, kLeft + 44,
            legend, escaped(series.label));
    }
    return svg + "</svg>\n";
}

void write_file(const std::string& text, const std::filesystem::path& file) {
    std::ofstream out{file, std::ios::binary};
    out << text;
    out.close();
    if (!out) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the file cannot be written",
                     .where = for_display(file.string()),
                     .fix = "check the folder, its permissions and the space left"}};
    }
}

void write_svg(const BandChart& chart, const std::filesystem::path& file) {
    write_file(svg_chart(chart), file);
}

} // namespace holdwarden::cli
