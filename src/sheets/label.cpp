#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/sheets/label.hpp>
#include <holdwarden/sheets/markup.hpp>

#include <fmt/format.h>

#include <charconv>
#include <cmath>

namespace holdwarden::sheets {
namespace {

Error bad_size(const std::string& text) {
    return Error{ErrorKind::usage,
                 {.what = fmt::format("'{}' is no size of a label", for_display(text, 60)),
                  .where = "--size",
                  .fix = "give width by height, each 20 to 300 mm: 50x25mm, 100x50mm, 3x2in"}};
}

std::string without_blanks(std::string text) {
    std::erase(text, ' ');
    return text;
}

/// Tenths of a millimetre of "2.5" in millimetres (`unit` 10) or inches (254).
int edge(std::string_view text, double unit, const std::string& whole) {
    double value = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    constexpr double kLeast = 200;
    constexpr double kMost = 3000;
    const double tenths = value * unit;
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size() ||
        !(tenths >= kLeast && tenths <= kMost)) {
        throw bad_size(whole);
    }
    return static_cast<int>(std::lround(tenths));
}

} // namespace

LabelSize parse_label_size(const std::string& text) {
    const std::string plain = without_blanks(text);
    const bool mm = plain.ends_with("mm");
    const std::size_t by = plain.find('x');
    if ((!mm && !plain.ends_with("in")) || by == std::string::npos) {
        throw bad_size(text);
    }
    const double unit = mm ? 10.0 : 254.0; // an inch is exactly 25.4 mm
    const std::string_view edges = std::string_view{plain}.substr(0, plain.size() - 2);
    return {.width_tenth_mm = edge(edges.substr(0, by), unit, text),
            .height_tenth_mm = edge(edges.substr(by + 1), unit, text)};
}

std::string to_text(const Label& label) {
    const std::string rule(32, '-');
    std::string text = rule + "\n" + label.name + "\n";
    if (!label.deadline.empty()) {
        text += label.deadline + "\n";
    }
    for (const Label::Line& line : label.lines) {
        text += line.what + ": " + line.value + "\n";
    }
    return text + (label.foot.empty() ? "" : label.foot + "\n") + rule + "\n";
}

std::string label_html(const Label& label, LabelSize size, int copies) {
    const double width = size.width_tenth_mm / 10.0;
    const double height = size.height_tenth_mm / 10.0;
    // Letters grow with the label's lower edge: 16 lines of the smallest fit one above the other.
    const double small = height / 16;
    std::string html = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"{}\"><head><meta charset=\"utf-8\"><title>{}</title>\n"
        "<style>@page{{size:{:.1f}mm {:.1f}mm;margin:0}}body{{margin:0;color:#000;background:#fff;"
        "font-family:sans-serif}}section{{box-sizing:border-box;width:{:.1f}mm;height:{:.1f}mm;"
        "padding:{:.2f}mm;font-size:{:.2f}mm;line-height:1.2;overflow-wrap:anywhere;"
        "break-after:page}}h1{{margin:0;font-size:1.6em}}.by{{margin:0;font-size:1.6em;"
        "font-weight:bold}}p{{margin:0}}.foot{{font-size:.85em}}"
        "@media screen{{section{{border:1px solid #000;margin:4mm}}}}</style></head>\n<body>\n",
        escaped(label.lang), escaped(label.name), width, height, width, height, small, small);
    for (int copy = 0; copy < copies; ++copy) {
        html += "<section><h1>" + escaped(label.name) + "</h1>\n";
        if (!label.deadline.empty()) {
            html += "<p class=\"by\">" + escaped(label.deadline) + "</p>\n";
        }
        for (const Label::Line& line : label.lines) {
            html += "<p>" + escaped(line.what) + ": " + escaped(line.value) + "</p>\n";
        }
        if (!label.foot.empty()) {
            html += "<p class=\"foot\">" + escaped(label.foot) + "</p>\n";
        }
        html += "</section>\n";
    }
    return html + "</body></html>\n";
}

} // namespace holdwarden::sheets
