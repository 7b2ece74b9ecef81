#pragma once

#include "pdf_surface.hpp"

#include <functional>
#include <string>
#include <vector>

namespace holdwarden::sheets {

inline constexpr double kBodyPt = 9;
inline constexpr double kSmallPt = 8;

/// Puts one thing below another and turns the page when it is full.
class Flow {
public:
    Flow(PdfSurface& surface, PaperSize size, std::string running, int first_page, int pages);

    PdfSurface& surface() noexcept { return surface_; }
    double left() const noexcept { return kMarginPt; }
    double width() const noexcept { return size_.width_pt - 2 * kMarginPt; }
    double y() const noexcept { return y_; }
    double bottom() const noexcept { return size_.height_pt - kFootPt - kept_pt_; }
    /// What a page holds.
    double room_of_a_page() const noexcept { return size_.height_pt - kFootPt - kTopPt; }

    int page() const noexcept { return page_; }
    bool fits(double height_pt) const noexcept { return y_ + height_pt <= bottom(); }

    void begin_page();
    void turn_page();
    /// Keeps the lowest `height_pt` of this page free: `draw` draws there when the page turns,
    /// unless the room is given back before.
    void keep_for(double height_pt, std::function<void()> draw);
    void give_back();
    /// Draws the last foot; the number of pages.
    int end();

    /// Turns the page unless `height_pt` fits, or the page is fresh.
    void need(double height_pt);
    void gap(double height_pt) noexcept { y_ += height_pt; }
    void rule(double width_pt);

    void text(std::string_view words, double size_pt, Weight weight, double indent_pt = 0);
    /// A label and a text beside it that wraps under itself.
    void pair(std::string_view label, double label_pt, std::string_view words,
              double indent_pt = 0);
    /// Lines to be filled in by hand, beside each other, what they are for below each.
    void fill_in(const std::vector<std::string>& lines, double indent_pt);

    /// A role, and beside it the lines its person fills in.
    void sign(std::string_view role, const std::vector<std::string>& lines);

    struct Mark {
        int page;
        double y;
    };
    Mark mark() const noexcept { return {page_, y_}; }
    /// How high it would come out on a page without end.
    double measured(const std::function<void()>& draw);
    /// Draws on a fresh page if it does not fit on this one but would on a whole one. Returns where
    /// it began.
    Mark keep_together(const std::function<void()>& draw);
    /// A frame, or a bar on the left, round what was drawn since; what began on an earlier page has
    /// it from the top of this one.
    void frame_since(const Mark& begin);
    void bar_since(const Mark& begin);

    /// Adds a heading that leads here.
    int outline(int parent, const std::string& heading);

private:
    static constexpr double kMarginPt = 42;
    static constexpr double kTopPt = 42;
    static constexpr double kFootPt = 50;

    void foot();
    void fill_in_at(const std::vector<std::string>& lines, double x, double room_pt);

    PdfSurface& surface_;
    PaperSize size_;
    std::string running_;
    int first_page_;
    int pages_;
    int page_ = 0; ///< of this sheet, from 1
    double y_ = 0;
    bool measuring_ = false;
    double kept_pt_ = 0;
    std::function<void()> draw_kept_;
};

} // namespace holdwarden::sheets
