#include "pdf_flow.hpp"

#include "messages.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {

Flow::Flow(PdfSurface& surface, PaperSize size, std::string running, int first_page, int pages)
    : surface_{surface}, size_{size}, running_{std::move(running)},
      first_page_{first_page}, pages_{pages} {}

void Flow::begin_page() {
    ++page_;
    y_ = kTopPt;
}

void Flow::foot() {
    const double y = size_.height_pt - kFootPt + 16;
    const std::string number = pages_ > 0 ? fmt::format(msg::page_of, page_, pages_) : msg::page;
    const Layout right = surface_.layout(number, kSmallPt, Weight::normal, 120, Align::right);
    surface_.draw(right, left() + width() - 120, y);
    // A long name gives way: one line, cut with an ellipsis.
    const Layout running = surface_.own_layout(running_, kSmallPt, Weight::normal, width() - 130);
    pango_layout_set_height(running.get(), -1);
    pango_layout_set_ellipsize(running.get(), PANGO_ELLIPSIZE_END);
    surface_.draw(running, left(), y);
}

void Flow::turn_page() {
    if (measuring_) {
        return;
    }
    if (draw_kept_) {
        const std::function<void()> draw = std::move(draw_kept_);
        y_ = bottom();
        give_back();
        draw();
    }
    foot();
    surface_.next_page();
    begin_page();
}

void Flow::keep_for(double height_pt, std::function<void()> draw) {
    kept_pt_ = height_pt;
    draw_kept_ = std::move(draw);
}

void Flow::give_back() {
    y_ = std::min(y_, bottom()); // a gap may reach into it
    kept_pt_ = 0;
    draw_kept_ = nullptr;
}

int Flow::end() {
    foot();
    surface_.next_page();
    return page_;
}

void Flow::need(double height_pt) {
    if (y_ + height_pt > bottom() && y_ > kTopPt) {
        turn_page();
    }
}

void Flow::rule(double width_pt) {
    surface_.line(left(), y_, left() + width(), y_, width_pt);
    y_ += width_pt;
}

void Flow::text(std::string_view words, double size_pt, Weight weight, double indent_pt) {
    const Layout layout = surface_.layout(words, size_pt, weight, width() - 2 * indent_pt);
    const int lines = pango_layout_get_line_count(layout.get());
    for (int i = 0; i < lines; ++i) {
        PangoLayoutLine* line = pango_layout_get_line_readonly(layout.get(), i);
        PangoRectangle extents;
        pango_layout_line_get_extents(line, nullptr, &extents);
        need(pango_units_to_double(extents.height));
        y_ += surface_.draw_line(line, left() + indent_pt, y_);
    }
}

void Flow::pair(std::string_view label, double label_pt, std::string_view words, double indent_pt) {
    const double x = left() + indent_pt;
    const double beside = label_pt + 8;
    const Layout name = surface_.layout(label, kBodyPt, Weight::bold, label_pt + 4);
    const Layout value =
        surface_.layout(words, kBodyPt, Weight::normal, width() - 2 * indent_pt - beside);
    need(std::min(std::max(height_of(name), height_of(value)), room_of_a_page()));
    surface_.draw(name, x, y_);
    const double name_end = y_ + height_of(name);
    const int lines = pango_layout_get_line_count(value.get());
    for (int i = 0; i < lines; ++i) {
        PangoLayoutLine* line = pango_layout_get_line_readonly(value.get(), i);
        PangoRectangle extents;
        pango_layout_line_get_extents(line, nullptr, &extents);
        need(pango_units_to_double(extents.height));
        y_ += surface_.draw_line(line, x + beside, y_);
    }
    y_ = lines <= 1 ? std::max(y_, name_end) : y_;
    y_ += 1.5;
}

namespace {
constexpr double kWritingPt = 20; // room for a hand
constexpr double kSignPt = 32;    // what `sign` takes while its words keep to a line
} // namespace

void Flow::fill_in(const std::vector<std::string>& lines, double indent_pt) {
    need(kWritingPt + 14);
    y_ += kWritingPt;
    fill_in_at(lines, left() + indent_pt, width() - 2 * indent_pt);
}

void Flow::sign(std::string_view role, const std::vector<std::string>& lines) {
    constexpr double kRolePt = 140;
    need(kSignPt);
    const Layout words = surface_.layout(role, kBodyPt, Weight::normal, kRolePt - 8);
    const double tall = height_of(words);
    const double top = y_;
    y_ += std::max(kWritingPt, tall);
    surface_.draw(words, left(), y_ - tall);
    fill_in_at(lines, left() + kRolePt, width() - kRolePt);
    y_ = std::max(y_, top + kSignPt);
}

void Flow::fill_in_at(const std::vector<std::string>& lines, double x, double room_pt) {
    constexpr double kBetween = 12;
    const double whole = room_pt - kBetween * static_cast<double>(lines.size() - 1);
    double letters = 0;
    for (const std::string& line : lines) {
        letters += std::max(static_cast<double>(line.size()), 12.0);
    }
    double tallest = 0;
    for (const std::string& line : lines) {
        const double share = whole * std::max(static_cast<double>(line.size()), 12.0) / letters;
        surface_.line(x, y_, x + share, y_, 0.6);
        const Layout words = surface_.layout(line, kSmallPt - 0.5, Weight::normal, share);
        surface_.draw(words, x, y_ + 1.5);
        tallest = std::max(tallest, height_of(words));
        x += share + kBetween;
    }
    y_ += tallest + 2;
}

double Flow::measured(const std::function<void()>& draw) {
    const double before = y_;
    const Ink ink = surface_.ink();
    measuring_ = true;
    surface_.set_ink(Ink::none);
    draw();
    surface_.set_ink(ink);
    measuring_ = false;
    const double height = y_ - before;
    y_ = before;
    return height;
}

Flow::Mark Flow::keep_together(const std::function<void()>& draw) {
    const double height = measured(draw);
    if (height <= room_of_a_page()) {
        need(height);
    }
    const Mark begin = mark();
    draw();
    return begin;
}

void Flow::frame_since(const Mark& begin) {
    const double top = begin.page == page_ ? begin.y : kTopPt;
    surface_.frame(left(), top, width(), y_ - top, 0.8);
}

void Flow::bar_since(const Mark& begin) {
    const double top = begin.page == page_ ? begin.y : kTopPt;
    surface_.line(left() + 2, top, left() + 2, y_, 1);
    surface_.line(left() + 4.5, top, left() + 4.5, y_, 1);
}

int Flow::outline(int parent, const std::string& heading) {
    return surface_.outline(parent, heading, first_page_ + page_ - 1, y_);
}

} // namespace holdwarden::sheets
