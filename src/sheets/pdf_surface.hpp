#pragma once

#include <holdwarden/sheets/pdf.hpp>

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>

// The one place that owns Cairo's and Pango's objects.
namespace holdwarden::sheets {

struct PaperSize {
    double width_pt;
    double height_pt;
};
PaperSize size_of(Paper paper) noexcept;

struct Unref {
    void operator()(cairo_surface_t* surface) const noexcept { cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const noexcept { cairo_destroy(context); }
    void operator()(PangoLayout* layout) const noexcept { g_object_unref(layout); }
    void operator()(PangoContext* context) const noexcept { g_object_unref(context); }
    void operator()(PangoFontDescription* font) const noexcept {
        pango_font_description_free(font);
    }
};
using Layout = std::unique_ptr<PangoLayout, Unref>;

enum class Weight { normal, bold };
enum class Align { left, right };

enum class Ink {
    real,
    none, ///< only places and heights matter: nothing is drawn
};

/// A PDF being drawn into memory. Coordinates are points from the top left.
class PdfSurface {
public:
    PdfSurface(PaperSize size, const std::string& title, const std::string& author,
               const std::string& created, std::string lang);

    static constexpr double kOneLine = -1; ///< a width: the text is not wrapped
    /// Text ready to be drawn, wrapped at `width_pt`. The same call may return the same object:
    /// what is to be changed comes from `own_layout`.
    Layout layout(std::string_view text, double size_pt, Weight weight, double width_pt,
                  Align align = Align::left) const;
    Layout own_layout(std::string_view text, double size_pt, Weight weight, double width_pt,
                      Align align = Align::left) const;
    /// How wide the text is on one line, and its widest word.
    double line_width(std::string_view text, double size_pt, Weight weight) const;
    double word_width(std::string_view text, double size_pt, Weight weight) const;

    void line(double x1, double y1, double x2, double y2, double width_pt);
    void frame(double x, double y, double width, double height, double width_pt);
    void set_ink(Ink ink) noexcept { ink_ = ink; }
    Ink ink() const noexcept { return ink_; }
    /// A line of the layout with its top at (x, y); returns its height.
    double draw_line(PangoLayoutLine* line, double x, double y);
    /// All of the layout.
    void draw(const Layout& layout, double x, double y);
    /// An SVG picture scaled to `width_pt`.
    void draw_svg(const std::string& svg, double x, double y, double width_pt, double height_pt);

    /// A heading of the outline that leads to (page, y); returns its id for children, 0 is the
    /// root.
    int outline(int parent, const std::string& text, int page, double y);
    void next_page();
    /// Ends the document. Throws Error{bad_input} when Cairo reports a failure.
    std::string finish();

private:
    std::string bytes_;
    std::string lang_;
    Ink ink_ = Ink::real;
    std::unique_ptr<cairo_surface_t, Unref> surface_;
    std::unique_ptr<cairo_t, Unref> context_;
    std::unique_ptr<PangoContext, Unref> text_; ///< shared by all layouts: making one is slow
    std::unique_ptr<PangoFontDescription, Unref> font_;
    /// Laid out before: a sheet is gone through twice, and texts recur on it. Emptied when full.
    mutable std::unordered_map<std::string, Layout> layouts_;
};

double width_of(const Layout& layout) noexcept;
double height_of(const Layout& layout) noexcept;

} // namespace holdwarden::sheets
