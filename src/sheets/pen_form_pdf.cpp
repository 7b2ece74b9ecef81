#include "pdf_surface.hpp"

#include <holdwarden/sheets/pen_form.hpp>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

constexpr double kMarginPt = 42;
constexpr double kBodyPt = 9.5;
constexpr double kRowPt = 25; // 9 mm: room for handwriting (common practice, no source)

class Page {
public:
    Page(PdfSurface& surface, PaperSize size) : surface_{surface}, size_{size} {}

    double left() const noexcept { return kMarginPt; }
    double width() const noexcept { return size_.width_pt - 2 * kMarginPt; }
    double y() const noexcept { return y_; }
    bool fits(double height) const noexcept { return y_ + height <= size_.height_pt - kMarginPt; }
    void gap(double height) noexcept { y_ += height; }
    void turn() {
        surface_.next_page();
        y_ = kMarginPt;
    }

    void text(const std::string& words, double size_pt, Weight weight) {
        const Layout made = surface_.layout(words, size_pt, weight, width());
        const double height = height_of(made);
        if (!fits(height)) {
            turn();
        }
        surface_.draw(made, left(), y_);
        y_ += height + 2;
    }
    void field(const std::string& words) {
        if (!fits(kRowPt)) {
            turn();
        }
        const Layout made = surface_.layout(words + ":", kBodyPt, Weight::normal, width() / 3);
        surface_.draw(made, left(), y_ + 8);
        surface_.line(left() + width() / 3, y_ + 20, left() + width(), y_ + 20, 0.7);
        y_ += kRowPt;
    }

private:
    PdfSurface& surface_;
    PaperSize size_;
    double y_ = kMarginPt;
};

/// The table's heading; its height.
void head(PdfSurface& surface, Page& page, const PenForm& form, const std::vector<double>& widths) {
    double height = 0;
    std::vector<Layout> cells;
    for (std::size_t i = 0; i < widths.size(); ++i) {
        cells.push_back(
            surface.layout(form.columns[i].heading, kBodyPt - 1, Weight::bold, widths[i] - 6));
        height = std::max(height, height_of(cells.back()) + 6);
    }
    double x = page.left();
    for (std::size_t i = 0; i < widths.size(); ++i) {
        surface.frame(x, page.y(), widths[i], height, 0.7);
        surface.draw(cells[i], x + 3, page.y() + 3);
        x += widths[i];
    }
    page.gap(height);
}

void table(PdfSurface& surface, Page& page, const PenForm& form) {
    int shares = 0;
    for (const PenForm::Column& column : form.columns) {
        shares += column.share;
    }
    std::vector<double> widths;
    for (const PenForm::Column& column : form.columns) {
        widths.push_back(page.width() * column.share / shares);
    }
    page.gap(6);
    if (!page.fits(3 * kRowPt)) {
        page.turn();
    }
    head(surface, page, form, widths);
    for (int row = 0; row < form.rows; ++row) {
        if (!page.fits(kRowPt)) {
            page.turn();
            head(surface, page, form, widths);
        }
        double x = page.left();
        for (const double width : widths) {
            surface.frame(x, page.y(), width, kRowPt, 0.5);
            x += width;
        }
        page.gap(kRowPt);
    }
    page.gap(6);
}

} // namespace

std::string to_pdf(const PenForm& form, Paper paper) {
    const PaperSize size = size_of(paper);
    PdfSurface surface{size, form.title, "holdwarden", form.made, form.lang};
    Page page{surface, size};
    page.text(form.title, 15, Weight::bold);
    page.text(form.site, kBodyPt, Weight::bold);
    page.gap(4);
    for (const std::string& line : form.lines) {
        page.text(line, kBodyPt, Weight::normal);
    }
    for (const std::string& field : form.fields) {
        page.field(field);
    }
    if (!form.columns.empty()) {
        table(surface, page, form);
    }
    for (std::size_t from = 0; from < form.body.size();) {
        const std::size_t end = std::min(form.body.find('\n', from), form.body.size());
        page.text(form.body.substr(from, end - from) + " ", kBodyPt + 1, Weight::normal);
        from = end + 1;
    }
    page.gap(4);
    page.text(form.foot, kBodyPt - 1.5, Weight::normal);
    return surface.finish();
}

} // namespace holdwarden::sheets
