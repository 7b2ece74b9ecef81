#include "pdf_surface.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/sheets/label.hpp>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

constexpr double kPointsPerTenthMm = 72.0 / 254.0;
constexpr double kSmallestPt = 5;
constexpr double kLargestPt = 22;

struct Placed {
    Layout layout;
    double height;
};

/// The label's lines with small letters of `size_pt`.
std::vector<Placed> placed(const PdfSurface& surface, const Label& label, double size_pt,
                           double width_pt) {
    std::vector<Placed> all;
    const auto add = [&](const std::string& text, double pt, Weight weight) {
        if (!text.empty()) {
            Layout made = surface.layout(text, pt, weight, width_pt);
            const double height = height_of(made);
            all.push_back({std::move(made), height});
        }
    };
    add(label.name, 1.6 * size_pt, Weight::bold);
    add(label.deadline, 1.6 * size_pt, Weight::bold);
    for (const Label::Line& line : label.lines) {
        add(line.what + ": " + line.value, size_pt, Weight::normal);
    }
    add(label.foot, std::max(kSmallestPt, 0.85 * size_pt), Weight::normal);
    return all;
}

double height_of_all(const std::vector<Placed>& all) {
    double sum = 0;
    for (const Placed& one : all) {
        sum += one.height;
    }
    return sum;
}

} // namespace

std::string label_pdf(const Label& label, LabelSize size, int copies) {
    const PaperSize paper{size.width_tenth_mm * kPointsPerTenthMm,
                          size.height_tenth_mm * kPointsPerTenthMm};
    // Printers of labels leave an edge white (common practice, no source).
    const double margin = std::min(paper.width_pt, paper.height_pt) / 16;
    PdfSurface surface{paper, label.name, "holdwarden", "1970-01-01T00:00:00Z", label.lang};
    const double width = paper.width_pt - 2 * margin;
    std::vector<Placed> lines;
    for (double pt = kLargestPt; lines.empty() && pt >= kSmallestPt; pt -= 0.5) {
        auto tried = placed(surface, label, pt, width);
        if (height_of_all(tried) <= paper.height_pt - 2 * margin) {
            lines = std::move(tried);
        }
    }
    if (lines.empty()) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the words do not fit on a label of this size",
                     .where = "--size",
                     .fix = "take a larger one"}};
    }
    for (int copy = 0; copy < copies; ++copy) {
        if (copy > 0) {
            surface.next_page();
        }
        double y = margin;
        for (const Placed& line : lines) {
            surface.draw(line.layout, margin, y);
            y += line.height;
        }
    }
    return surface.finish();
}

} // namespace holdwarden::sheets
