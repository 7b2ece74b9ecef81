#include "svg_canvas.hpp"

#include <holdwarden/sheets/markup.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace holdwarden::sheets {

std::size_t columns_of(std::string_view text) noexcept {
    std::size_t columns = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        if ((c & 0xC0u) == 0x80u) {
            continue;
        }
        const auto next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0u;
        const auto third = i + 2 < text.size() ? static_cast<unsigned char>(text[i + 2]) : 0u;
        const bool combining = c == 0xCC || (c == 0xCD && next < 0xB0); // U+0300 to U+036F
        const bool isolate = c == 0xE2 && next == 0x81 && third >= 0xA6 && third <= 0xA9;
        columns += combining || isolate ? 0 : 1;
    }
    return columns;
}

double Canvas::width_px(std::string_view words) noexcept {
    return 0.58 * kFontPx * static_cast<double>(columns_of(words));
}

Box Canvas::text_box(double x, double y, Anchor anchor, std::string_view words) noexcept {
    const double width = width_px(words);
    const double left = anchor == Anchor::start    ? x
                        : anchor == Anchor::middle ? x - width / 2
                                                   : x - width;
    return {left - 1, y - kFontPx, left + width + 1, y + 3};
}

bool Canvas::is_free(const Box& box) const noexcept {
    return std::ranges::none_of(taken_, [&](const Box& there) { return there.meets(box); });
}

void Canvas::line(double x1, double y1, double x2, double y2, std::string_view attributes) {
    out_ += fmt::format(R"(<line x1="{:.1f}" y1="{:.1f}" x2="{:.1f}" y2="{:.1f}" {}/>)", x1, y1, x2,
                        y2, attributes);
    out_ += '\n';
}

void Canvas::rect(const Box& box, std::string_view attributes) {
    out_ += fmt::format(R"(<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" {}/>)",
                        box.left, box.top, box.right - box.left, box.bottom - box.top, attributes);
    out_ += '\n';
}

void Canvas::text(double x, double y, Anchor anchor, std::string_view words, Face face) {
    static constexpr std::array<std::string_view, 3> kAnchors = {"start", "middle", "end"};
    static constexpr std::array<std::string_view, 4> kFaces = {
        "", R"( font-weight="bold")", R"( class="halo")", R"( class="halo" font-weight="bold")"};
    out_ += fmt::format(R"(<text x="{:.1f}" y="{:.1f}" text-anchor="{}"{}>{}</text>)", x, y,
                        kAnchors.at(static_cast<std::size_t>(anchor)),
                        kFaces.at(static_cast<std::size_t>(face)), escaped(words));
    out_ += '\n';
    taken_.push_back(text_box(x, y, anchor, words));
}

void Canvas::upright_text(double x, double y, std::string_view words) {
    out_ += fmt::format(
        R"svg(<text class="halo" x="{0:.1f}" y="{1:.1f}" text-anchor="middle" transform="rotate(-90 {0:.1f} {1:.1f})">{2}</text>)svg",
        x, y, escaped(words));
    out_ += '\n';
    const double half = width_px(words) / 2;
    taken_.push_back({x - kFontPx, y - half, x + 3, y + half});
}

std::string_view dash_of(std::size_t series, bool air) noexcept {
    static constexpr std::array<std::string_view, 5> kDashes = {"", "8 4", "3 3", "10 3 2 3",
                                                                "10 3 2 3 2 3"};
    static constexpr std::array<std::string_view, 3> kAirDashes = {"1 4", "4 5", "1 3 1 8"};
    return air ? kAirDashes.at(series % kAirDashes.size()) : kDashes.at(series % kDashes.size());
}

std::string series_mark(std::size_t series, double x, double y) {
    static constexpr std::string_view kStyle =
        R"(fill="none" stroke="currentColor" stroke-width="1.2")";
    switch (series % 4) {
    case 0:
        return fmt::format(R"(<circle cx="{:.1f}" cy="{:.1f}" r="2.6" {}/>)", x, y, kStyle);
    case 1:
        return fmt::format(R"(<rect x="{:.1f}" y="{:.1f}" width="6" height="6" {}/>)", x - 3, y - 3,
                           kStyle);
    case 2:
        return fmt::format(R"(<path d="M{:.1f} {:.1f}l4 7h-8z" {}/>)", x, y - 4, kStyle);
    default:
        return fmt::format(R"(<path d="M{:.1f} {:.1f}l4 4l-4 4l-4 -4z" {}/>)", x, y - 4, kStyle);
    }
}

std::string set_aside_mark(double x, double y) {
    return fmt::format(
        R"(<path class="set-aside" d="M{:.1f} {:.1f}l9 9m0 -9l-9 9" fill="none" stroke="currentColor" stroke-width="1.6"/>)",
        x - 4.5, y - 4.5);
}

std::string suspect_mark(double x, double y) {
    return fmt::format(
        R"(<circle cx="{0:.1f}" cy="{1:.1f}" r="7" class="paper" fill="none" stroke="currentColor"/>)"
        R"(<text x="{0:.1f}" y="{2:.1f}" text-anchor="middle" font-weight="bold" font-size="11">?</text>)",
        x, y, y + 4);
}

} // namespace holdwarden::sheets
