#include "pdf_table.hpp"

#include "struck.hpp"

#include <holdwarden/judge/marks.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace holdwarden::sheets {
namespace {

constexpr double kPadPt = 4;
constexpr double kRowRulePt = 0.3;

std::string text_of(const Cell& cell) {
    return cell.verdict ? fmt::format("{} {}", judge::mark(*cell.verdict), cell.text) : cell.text;
}

using Measure = double (PdfSurface::*)(std::string_view, double, Weight) const;

/// The widest heading or cell of each column, with its padding.
std::vector<double> widest(const PdfSurface& surface, const Table& table, Measure measure) {
    std::vector<double> widths;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        double width = (surface.*measure)(table.columns[i].title, kSmallPt, Weight::bold);
        std::string last;
        for (const auto& row : table.rows) {
            const std::string text = text_of(row.at(i));
            if (text != last) { // names repeat down a column
                const Weight weight = row[i].verdict ? Weight::bold : Weight::normal;
                width = std::max(width, (surface.*measure)(text, kSmallPt, weight));
                last = text;
            }
        }
        widths.push_back(width + 2 * kPadPt + 0.5);
    }
    return widths;
}

/// Each column gets at least its widest word, while the page allows; what is left goes to those
/// that would have to wrap, by how much they want.
ColumnWidths columns_of(const PdfSurface& surface, double whole, const Table& table) {
    const std::vector<double> wanted = widest(surface, table, &PdfSurface::line_width);
    const double all_wanted = std::accumulate(wanted.begin(), wanted.end(), 0.0);
    ColumnWidths columns{.pt = wanted, .unwrapped = all_wanted <= whole};
    if (columns.unwrapped) {
        for (double& width : columns.pt) {
            width *= whole / all_wanted;
        }
        return columns;
    }
    std::vector<double> least = widest(surface, table, &PdfSurface::word_width);
    for (double& width : least) {
        width = std::min(width, whole / static_cast<double>(least.size()));
    }
    const double all_least = std::accumulate(least.begin(), least.end(), 0.0);
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        columns.pt[i] = least[i] + (whole - all_least) * (wanted[i] - least[i]) /
                                       std::max(all_wanted - all_least, 1.0);
    }
    return columns;
}

/// Whether the text has only letters of the sheets' own font, so that its line is as high as any.
bool is_plain(std::string_view text) noexcept {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto c = static_cast<unsigned char>(text[i]);
        // ASCII, and U+00A0 to U+00FF.
        if (c >= 0x80 && c != 0xC2 && c != 0xC3) {
            return false;
        }
        i += c >= 0x80 ? 1 : 0;
    }
    return true;
}

class Rows {
public:
    Rows(Flow& flow, const Table& table, const ColumnWidths& columns)
        : flow_{flow}, table_{table}, columns_{columns}, pad_{table.dense ? 0.6 : 1.8},
          line_pt_{height_of(flow.surface().layout("0", kSmallPt, Weight::normal, 100))} {}

    void heading() {
        std::vector<Layout> cells;
        for (std::size_t i = 0; i < table_.columns.size(); ++i) {
            cells.push_back(cell(table_.columns[i].title, i, Weight::bold));
        }
        draw(cells);
        flow_.rule(1);
    }

    void row(const std::vector<Cell>& cells_) {
        if (flow_.surface().ink() == Ink::none && columns_.unwrapped &&
            std::ranges::all_of(cells_,
                                [](const Cell& c) { return !c.verdict && is_plain(c.text); })) {
            make_room(line_pt_ + 2 * pad_);
            flow_.gap(line_pt_ + 2 * pad_ + kRowRulePt);
            return;
        }
        std::vector<Layout> cells;
        double height = 0;
        for (std::size_t i = 0; i < cells_.size(); ++i) {
            const Weight weight = cells_[i].verdict ? Weight::bold : Weight::normal;
            cells.push_back(cells_[i].struck.empty() ? cell(text_of(cells_[i]), i, weight)
                                                     : struck_cell(cells_[i], i, weight));
            height = std::max(height, height_of(cells.back()));
        }
        height += 2 * pad_;
        make_room(height);
        if (height > flow_.bottom() - flow_.y()) {
            draw_over_pages(cells);
        } else {
            draw(cells);
        }
        flow_.rule(kRowRulePt);
    }

private:
    void make_room(double height_pt) {
        if (flow_.y() + height_pt > flow_.bottom()) {
            flow_.turn_page();
            heading();
        }
    }

    double inner(std::size_t column) const noexcept { return columns_.pt[column] - 2 * kPadPt; }
    Align align(std::size_t column) const noexcept {
        return table_.columns[column].figures ? Align::right : Align::left;
    }
    Layout cell(const std::string& text, std::size_t column, Weight weight) const {
        const PdfSurface& surface = flow_.surface();
        // As it was measured, so that it is laid out once.
        return columns_.unwrapped
                   ? surface.layout(text, kSmallPt, weight, PdfSurface::kOneLine)
                   : surface.layout(text, kSmallPt, weight, inner(column), align(column));
    }

    /// With a line through what no longer holds.
    Layout struck_cell(const Cell& cell, std::size_t column, Weight weight) const {
        Layout layout = flow_.surface().own_layout(
            text_of(cell), kSmallPt, weight,
            columns_.unwrapped ? PdfSurface::kOneLine : inner(column), align(column));
        PangoAttrList* there = pango_layout_get_attributes(layout.get());
        PangoAttrList* lines =
            there == nullptr ? pango_attr_list_new() : pango_attr_list_copy(there);
        for (const TextRange& range : struck_ranges(cell, text_of(cell))) {
            PangoAttribute* line = pango_attr_strikethrough_new(TRUE);
            line->start_index = static_cast<guint>(range.from);
            line->end_index = static_cast<guint>(range.to);
            pango_attr_list_insert(lines, line); // which owns it from here on
        }
        pango_layout_set_attributes(layout.get(), lines);
        pango_attr_list_unref(lines);
        return layout;
    }

    void draw(const std::vector<Layout>& cells) {
        flow_.gap(pad_);
        double x = flow_.left();
        double height = 0;
        for (std::size_t i = 0; i < cells.size(); ++i) {
            const bool to_the_right = columns_.unwrapped && align(i) == Align::right;
            flow_.surface().draw(cells[i],
                                 x + kPadPt + (to_the_right ? inner(i) - width_of(cells[i]) : 0),
                                 flow_.y());
            height = std::max(height, height_of(cells[i]));
            x += columns_.pt[i];
        }
        flow_.gap(height + pad_);
    }

    /// A row taller than a page, line by line.
    void draw_over_pages(const std::vector<Layout>& cells) {
        constexpr double kLinePt = 11;
        int lines = 0;
        for (const Layout& cell_ : cells) {
            lines = std::max(lines, pango_layout_get_line_count(cell_.get()));
        }
        for (int k = 0; k < lines; ++k) {
            if (flow_.y() + kLinePt > flow_.bottom()) {
                flow_.turn_page();
                heading();
            }
            double x = flow_.left();
            for (std::size_t i = 0; i < cells.size(); ++i) {
                if (k < pango_layout_get_line_count(cells[i].get())) {
                    flow_.surface().draw_line(pango_layout_get_line_readonly(cells[i].get(), k),
                                              x + kPadPt, flow_.y());
                }
                x += columns_.pt[i];
            }
            flow_.gap(kLinePt);
        }
    }

    Flow& flow_;
    const Table& table_;
    const ColumnWidths& columns_;
    double pad_;
    double line_pt_;
};

} // namespace

void draw_table(Flow& flow, const Table& table, WidthsOfTables& known) {
    flow.gap(3);
    flow.need(60);
    flow.text(table.caption, kBodyPt, Weight::bold);
    flow.gap(1);
    auto place = known.find(&table);
    if (place == known.end()) {
        place = known.emplace(&table, columns_of(flow.surface(), flow.width(), table)).first;
    }
    Rows rows{flow, table, place->second};
    rows.heading();
    for (const auto& row : table.rows) {
        rows.row(row);
    }
    flow.gap(6);
}

} // namespace holdwarden::sheets
