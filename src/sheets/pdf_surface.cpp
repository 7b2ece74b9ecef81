#include "pdf_surface.hpp"

#include "messages.hpp"

#include <holdwarden/base/error.hpp>

#include <fmt/format.h>
#include <librsvg/rsvg.h>

namespace holdwarden::sheets {
namespace {

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

Error cannot_draw(const std::string& why) {
    return Error{ErrorKind::bad_input,
                 {.what = fmt::format(msg::pdf_not_drawn, why), .where = "", .fix = msg::pdf_fix}};
}

/// The document with its language in its catalog, and its title where a viewer shows a name (ISO
/// 32000-1:2008, 7.7.2 and 12.2), which Cairo cannot write. Cairo puts the catalog last, so that
/// only the place of the cross-reference table moves. A document of another shape is left as it is.
std::string with_language(std::string pdf, const std::string& lang) {
    static constexpr std::string_view kCatalog = "<< /Type /Catalog";
    static constexpr std::string_view kPlace = "startxref\n";
    const auto catalog = pdf.rfind(kCatalog);
    const auto place = pdf.rfind(kPlace);
    if (catalog == std::string::npos || place == std::string::npos || lang.empty()) {
        return pdf;
    }
    const auto table = static_cast<std::size_t>(std::stoull(pdf.substr(place + kPlace.size())));
    const auto next = pdf.find(" 0 obj", catalog);
    if (catalog > table || next < table) {
        return pdf;
    }
    const std::string added =
        fmt::format("\n   /Lang ({})\n   /ViewerPreferences << /DisplayDocTitle true >>", lang);
    pdf.replace(place, std::string::npos,
                fmt::format("{}{}\n%%EOF\n", kPlace, table + added.size()));
    pdf.insert(catalog + kCatalog.size(), added);
    return pdf;
}

/// Named, so that the same document comes out wherever the fonts are installed; Pango looks
/// elsewhere for letters it lacks.
constexpr const char* kFont = "DejaVu Sans";

/// A degree sign stays with its figure, and the parts of a clause "3-501.16(A)(1)" together.
void keep_whole(PangoLayout* layout, std::string_view text) {
    PangoAttrList* whole = nullptr;
    for (const std::string_view joint : {" °", ")("}) {
        for (auto at = text.find(joint); at != std::string_view::npos;
             at = text.find(joint, at + 1)) {
            PangoAttribute* unbroken = pango_attr_allow_breaks_new(FALSE);
            unbroken->start_index = static_cast<guint>(at > 0 ? at - 1 : at);
            unbroken->end_index = static_cast<guint>(at + joint.size());
            whole = whole == nullptr ? pango_attr_list_new() : whole;
            pango_attr_list_insert(whole, unbroken); // which owns it from here on
        }
    }
    if (whole != nullptr) {
        pango_layout_set_attributes(layout, whole);
        pango_attr_list_unref(whole);
    }
}

} // namespace

PaperSize size_of(Paper paper) noexcept {
    // 8.5 by 11 inches; 210 by 297 mm (ISO 216), at 72 points an inch.
    return paper == Paper::letter ? PaperSize{612, 792}
                                  : PaperSize{210 / 25.4 * 72, 297 / 25.4 * 72};
}

PdfSurface::PdfSurface(PaperSize size, const std::string& title, const std::string& author,
                       const std::string& created, std::string lang)
    : lang_{std::move(lang)}, surface_{cairo_pdf_surface_create_for_stream(
                                  &append, &bytes_, size.width_pt, size.height_pt)} {
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATOR, author.c_str());
    // Without it the clock would be in the file, and no two would be alike.
    cairo_pdf_surface_set_metadata(surface_.get(), CAIRO_PDF_METADATA_CREATE_DATE, created.c_str());
    context_.reset(cairo_create(surface_.get()));
    text_.reset(pango_cairo_create_context(context_.get()));
    // A point is a unit of the surface.
    pango_cairo_context_set_resolution(text_.get(), 72);
    // A line runs as its label does, also where it begins with a right-to-left name.
    pango_context_set_base_dir(text_.get(), PANGO_DIRECTION_LTR);
    font_.reset(pango_font_description_new());
    pango_font_description_set_family_static(font_.get(), kFont);
}

Layout PdfSurface::own_layout(std::string_view text, double size_pt, Weight weight, double width_pt,
                              Align align) const {
    Layout made{pango_layout_new(text_.get())};
    pango_font_description_set_size(font_.get(), pango_units_from_double(size_pt));
    pango_font_description_set_weight(font_.get(), weight == Weight::bold ? PANGO_WEIGHT_BOLD
                                                                          : PANGO_WEIGHT_NORMAL);
    pango_layout_set_font_description(made.get(), font_.get()); // copied
    pango_layout_set_text(made.get(), text.data(), static_cast<int>(text.size()));
    pango_layout_set_width(made.get(), width_pt < 0 ? -1 : pango_units_from_double(width_pt));
    pango_layout_set_wrap(made.get(), PANGO_WRAP_WORD_CHAR);
    pango_layout_set_alignment(made.get(),
                               align == Align::right ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
    if (width_pt >= 0) {
        keep_whole(made.get(), text);
    }
    // A right-to-left name must not move a cell to the other side.
    pango_layout_set_auto_dir(made.get(), FALSE);
    return made;
}

Layout PdfSurface::layout(std::string_view text, double size_pt, Weight weight, double width_pt,
                          Align align) const {
    constexpr std::size_t kMost = 4096; // some 15 MiB
    const std::string key =
        fmt::format("{} {} {} {} {}", text, size_pt, static_cast<int>(weight),
                    width_pt < 0 ? -1 : pango_units_from_double(width_pt), static_cast<int>(align));
    auto place = layouts_.find(key);
    if (place == layouts_.end()) {
        if (layouts_.size() >= kMost) {
            layouts_.clear();
        }
        place = layouts_.emplace(key, own_layout(text, size_pt, weight, width_pt, align)).first;
    }
    return Layout{PANGO_LAYOUT(g_object_ref(place->second.get()))};
}

double PdfSurface::line_width(std::string_view text, double size_pt, Weight weight) const {
    return width_of(layout(text, size_pt, weight, kOneLine));
}

double PdfSurface::word_width(std::string_view text, double size_pt, Weight weight) const {
    const Layout words = own_layout(text, size_pt, weight, 0);
    pango_layout_set_wrap(words.get(), PANGO_WRAP_WORD);
    return width_of(words);
}

void PdfSurface::line(double x1, double y1, double x2, double y2, double width_pt) {
    if (ink_ == Ink::none) {
        return;
    }
    cairo_set_line_width(context_.get(), width_pt);
    cairo_move_to(context_.get(), x1, y1);
    cairo_line_to(context_.get(), x2, y2);
    cairo_stroke(context_.get());
}

void PdfSurface::frame(double x, double y, double width, double height, double width_pt) {
    if (ink_ == Ink::none) {
        return;
    }
    cairo_set_line_width(context_.get(), width_pt);
    cairo_rectangle(context_.get(), x, y, width, height);
    cairo_stroke(context_.get());
}

double PdfSurface::draw_line(PangoLayoutLine* line, double x, double y) {
    PangoRectangle extents;
    pango_layout_line_get_extents(line, nullptr, &extents);
    if (ink_ == Ink::real) {
        cairo_move_to(context_.get(), x + pango_units_to_double(extents.x),
                      y - pango_units_to_double(extents.y));
        pango_cairo_show_layout_line(context_.get(), line);
    }
    return pango_units_to_double(extents.height);
}

void PdfSurface::draw(const Layout& layout, double x, double y) {
    if (ink_ == Ink::none) {
        return;
    }
    cairo_move_to(context_.get(), x, y);
    pango_cairo_show_layout(context_.get(), layout.get());
}

void PdfSurface::draw_svg(const std::string& svg, double x, double y, double width_pt,
                          double height_pt) {
    if (ink_ == Ink::none) {
        return;
    }
    // White behind the letters and suspect marks, as the page's style does for HTML.
    static constexpr std::string_view kStyle =
        "text { font-family: 'DejaVu Sans' } "
        ".halo { paint-order: stroke; stroke: #fff; stroke-width: 3px } "
        ".paper { fill: #fff }";
    GError* error = nullptr;
    const std::unique_ptr<RsvgHandle, decltype(&g_object_unref)> picture{
        rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &error),
        &g_object_unref};
    if (picture) {
        rsvg_handle_set_stylesheet(picture.get(), reinterpret_cast<const guint8*>(kStyle.data()),
                                   kStyle.size(), &error);
        const RsvgRectangle place{x, y, width_pt, height_pt};
        if (error == nullptr) {
            rsvg_handle_render_document(picture.get(), context_.get(), &place, &error);
        }
    }
    if (error != nullptr) {
        const std::string why = error->message;
        g_error_free(error);
        throw cannot_draw(why);
    }
}

int PdfSurface::outline(int parent, const std::string& text, int page, double y) {
    if (ink_ == Ink::none) {
        return parent;
    }
    const std::string place = fmt::format("page={} pos=[0 {:.1f}]", page, y);
    return cairo_pdf_surface_add_outline(surface_.get(), parent, text.c_str(), place.c_str(),
                                         CAIRO_PDF_OUTLINE_FLAG_OPEN);
}

void PdfSurface::next_page() {
    if (ink_ == Ink::none) {
        return;
    }
    cairo_show_page(context_.get());
}

std::string PdfSurface::finish() {
    cairo_surface_finish(surface_.get());
    const cairo_status_t status = cairo_surface_status(surface_.get());
    if (status != CAIRO_STATUS_SUCCESS) {
        throw cannot_draw(cairo_status_to_string(status));
    }
    return with_language(std::move(bytes_), lang_);
}

double width_of(const Layout& layout) noexcept {
    PangoRectangle extents;
    pango_layout_get_extents(layout.get(), nullptr, &extents);
    return pango_units_to_double(extents.width);
}

double height_of(const Layout& layout) noexcept {
    PangoRectangle extents;
    pango_layout_get_extents(layout.get(), nullptr, &extents);
    return pango_units_to_double(extents.height);
}

} // namespace holdwarden::sheets
