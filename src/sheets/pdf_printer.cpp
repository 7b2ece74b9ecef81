#include "messages.hpp"
#include "pdf_surface.hpp"
#include "pdf_table.hpp"

#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/svg.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <map>
#include <optional>
#include <vector>

namespace holdwarden::sheets {
namespace {

constexpr double kTitlePt = 15;
constexpr double kSectionPt = 12;
constexpr double kPartPt = 10;
constexpr double kAboveHeadingPt = 10;
constexpr double kTableBeginsPt = 80; ///< caption, headings and a row
constexpr int kLeastChartPx = 170;    ///< a chart is drawn no lower than that

/// What the second time through a sheet needs not be found out again.
struct Known {
    WidthsOfTables tables;
    std::map<std::pair<const Chart*, int>, SvgPicture> pictures; ///< with their height in pixels
};

/// Lays one sheet out, page after page.
class SheetDrawer {
public:
    /// `pages`: how many pages the sheet has, 0 while that is being counted.
    SheetDrawer(PdfSurface& surface, PaperSize size, const Sheet& sheet, Known& known,
                int first_page, int pages)
        : flow_{surface, size, sheet.running, first_page, pages}, sheet_{sheet}, known_{known} {}

    /// Returns the number of pages.
    int draw() {
        flow_.begin_page();
        const int top = flow_.outline(0, sheet_.title);
        flow_.text(sheet_.title, kTitlePt, Weight::bold);
        flow_.gap(4);
        const std::optional<std::size_t> charted = chart_to_sign();
        bool is_signed = false;
        const auto sign = [&] {
            is_signed = true;
            draw_section(sheet_.sections[*charted + 1], 0, top);
        };
        if (charted) {
            after_chart_ = flow_.measured(sign) + 0.01; // sums differ in their last places
            is_signed = false;
            // What stands before the chart may fill the page: the signatures keep their place on
            // it.
            if (after_chart_ < flow_.room_of_a_page() / 2) {
                flow_.keep_for(after_chart_, sign);
            }
        }
        for (std::size_t i = 0; i < sheet_.sections.size(); ++i) {
            if (charted == i && !is_signed) {
                flow_.give_back();
                if (signs_first(sheet_.sections[i])) {
                    sign();
                }
            }
            if (is_signed) {
                after_chart_ = 0;
            }
            if (!is_signed || i != *charted + 1) {
                draw_section(sheet_.sections[i], 0, top);
            }
        }
        return flow_.end();
    }

private:
    void draw_section(const Section& section, int depth, int parent) {
        int here = parent;
        if (!section.heading.empty()) {
            const double size = depth == 0 ? kSectionPt : kPartPt;
            flow_.gap(depth == 0 ? kAboveHeadingPt : 6);
            // A heading is not left alone at the foot of a page.
            flow_.need(height_of_heading(section, size) + begins_with(section));
            if (depth == 0) {
                flow_.rule(1.2);
                flow_.gap(2);
            }
            here = flow_.outline(parent, section.heading);
            flow_.text(section.heading, size, Weight::bold);
            flow_.gap(2);
        }
        for (const Block& block : section.blocks) {
            std::visit([this](const auto& b) { draw_block(b); }, block);
        }
        for (const Section& part : section.parts) {
            draw_section(part, depth + 1, here);
        }
    }

    void draw_block(const Paragraph& paragraph) {
        const double indent = paragraph.tone == Tone::caution ? 10 : 0;
        const Flow::Mark begin = flow_.mark();
        flow_.text(paragraph.text, paragraph.tone == Tone::note ? kSmallPt : kBodyPt,
                   Weight::normal, indent);
        if (paragraph.tone == Tone::caution) {
            flow_.bar_since(begin);
        }
        flow_.gap(3);
    }

    void draw_block(const Facts& facts) {
        double label = 0;
        for (const Fact& fact : facts.facts) {
            label = std::max(label, flow_.surface().line_width(fact.label, kBodyPt, Weight::bold));
        }
        label = std::min(label, flow_.width() / 3);
        for (const Fact& fact : facts.facts) {
            flow_.pair(fact.label, label, fact.value);
        }
        flow_.gap(4);
    }

    void draw_block(const Bullets& bullets) {
        for (const std::string& item : bullets.items) {
            flow_.pair("•", 6, item);
        }
        flow_.gap(3);
    }

    void draw_block(const VerdictLine& verdict) {
        PdfSurface& surface = flow_.surface();
        const double inner = flow_.width() - 52;
        const Layout mark = surface.layout(judge::mark(verdict.verdict), 24, Weight::normal, 40);
        const Layout words = surface.layout(verdict.words, kTitlePt, Weight::bold, inner);
        const Layout says = surface.layout(verdict.says, kBodyPt, Weight::normal, inner);
        const double height = height_of(words) + height_of(says) + 14;
        flow_.need(height);
        const double y = flow_.y();
        surface.frame(flow_.left(), y, flow_.width(), height, 1.5);
        surface.draw(mark, flow_.left() + 12, y + 5);
        surface.draw(words, flow_.left() + 44, y + 5);
        surface.draw(says, flow_.left() + 44, y + 7 + height_of(words));
        flow_.gap(height + 6);
    }

    void draw_block(const Table& table) { draw_table(flow_, table, known_.tables); }

    void draw_block(const Action& action) {
        const Flow::Mark begin = flow_.keep_together([&] {
            flow_.gap(6);
            flow_.text(action.heading, kPartPt, Weight::bold, 8);
            flow_.text(action.by, kBodyPt, Weight::bold, 8);
            for (std::size_t i = 0; i < action.act.size(); ++i) {
                flow_.pair(fmt::format("{}.", i + 1), 14, action.act[i], 8);
            }
            if (!action.source.empty()) {
                flow_.text(fmt::format(msg::source, action.source), kSmallPt, Weight::normal, 8);
            }
            flow_.fill_in(action.lines, 8);
            flow_.gap(5);
        });
        flow_.frame_since(begin);
        flow_.gap(6);
    }

    void draw_block(const SignLines& sign) {
        for (const std::string& role : sign.roles) {
            flow_.sign(role, sign.lines);
        }
    }

    /// Whether a section that begins with a chart lets the signatures after it go first: on the
    /// first page there is room for them, but not for both.
    bool signs_first(const Section& section) {
        return flow_.page() == 1 && flow_.fits(after_chart_) &&
               !flow_.fits(kAboveHeadingPt + height_of_heading(section, kSectionPt) +
                           begins_with(section) + after_chart_);
    }
    double height_of_heading(const Section& section, double size_pt) {
        return height_of(flow_.surface().layout(section.heading, size_pt, Weight::bold,
                                                flow_.width())) +
               5.5; // with the rule and what stands round it
    }
    double words_of(const Chart& chart) {
        const PdfSurface& surface = flow_.surface();
        return height_of(surface.layout(chart.title, kBodyPt, Weight::bold, flow_.width())) +
               height_of(
                   surface.layout(figure_caption(chart), kSmallPt, Weight::normal, flow_.width())) +
               11;
    }
    /// What should stand below a section's heading on its page.
    double begins_with(const Section& section) {
        if (section.blocks.empty()) {
            return section.parts.empty() ? 0 : 2 * kPartPt + begins_with(section.parts.front());
        }
        if (const auto* chart = std::get_if<Chart>(&section.blocks.front())) {
            return words_of(*chart) + least_height_of(*chart);
        }
        return std::holds_alternative<Table>(section.blocks.front()) ? kTableBeginsPt : 40;
    }
    const SvgPicture& picture_of(const Chart& chart, int height_px) {
        const std::pair key{&chart, height_px};
        auto place = known_.pictures.find(key);
        if (place == known_.pictures.end()) {
            place = known_.pictures
                        .emplace(key, to_picture(chart, {kWideChart.width_px, height_px}, "chart"))
                        .first;
        }
        return place->second;
    }
    double least_height_of(const Chart& chart) {
        return flow_.width() / kWideChart.width_px * picture_of(chart, kLeastChartPx).height_px;
    }

    /// The chart gives way, to a point, so that it and the signatures after it fit on this page.
    void draw_block(const Chart& chart) {
        const double ratio = flow_.width() / kWideChart.width_px;
        const double words = words_of(chart);
        const SvgPicture* picture = &picture_of(chart, kWideChart.height_px);
        const double room = flow_.bottom() - flow_.y() - words - after_chart_;
        const double missing_px = picture->height_px - room / ratio;
        if (missing_px > 0 && kWideChart.height_px - missing_px >= kLeastChartPx) {
            const int height_px = static_cast<int>(kWideChart.height_px - missing_px);
            picture = &picture_of(chart, height_px);
        }
        const double height = ratio * picture->height_px;
        flow_.need(height + words);
        flow_.text(chart.title, kBodyPt, Weight::bold);
        flow_.gap(2);
        flow_.surface().draw_svg(picture->svg, flow_.left(), flow_.y(), flow_.width(), height);
        flow_.gap(height + 4);
        flow_.text(figure_caption(chart), kSmallPt, Weight::normal);
        flow_.gap(5);
    }

    void draw_block(const SmallCharts& small) {
        constexpr int kBeside = 3;
        constexpr double kGapPt = 10;
        const double width = (flow_.width() - (kBeside - 1) * kGapPt) / kBeside;
        flow_.text(small.title, kBodyPt, Weight::bold);
        flow_.gap(2);
        PdfSurface& surface = flow_.surface();
        for (std::size_t i = 0; i < small.charts.size(); i += kBeside) {
            std::vector<Layout> titles;
            std::vector<SvgPicture> pictures;
            double title_pt = 0;
            double picture_pt = 0;
            for (std::size_t k = i; k < std::min(i + kBeside, small.charts.size()); ++k) {
                titles.push_back(
                    surface.layout(small.charts[k].title, kSmallPt, Weight::bold, width));
                pictures.push_back(to_picture(small.charts[k], kSmallChart, "chart"));
                title_pt = std::max(title_pt, height_of(titles.back()));
                picture_pt = std::max(picture_pt,
                                      width * pictures.back().height_px / pictures.back().width_px);
            }
            flow_.need(std::min(title_pt + picture_pt + 4, flow_.room_of_a_page()));
            for (std::size_t k = 0; k < titles.size(); ++k) {
                const double x = flow_.left() + static_cast<double>(k) * (width + kGapPt);
                surface.draw(titles[k], x, flow_.y());
                surface.draw_svg(pictures[k].svg, x, flow_.y() + title_pt, width,
                                 width * pictures[k].height_px / pictures[k].width_px);
            }
            flow_.gap(title_pt + picture_pt + 4);
        }
        flow_.text(small.note, kSmallPt, Weight::normal);
        flow_.gap(5);
    }

    /// The section that begins with a chart and has the signatures after it.
    std::optional<std::size_t> chart_to_sign() const {
        const auto& sections = sheet_.sections;
        for (std::size_t i = 0; i + 1 < sections.size(); ++i) {
            if (!sections[i].blocks.empty() &&
                std::holds_alternative<Chart>(sections[i].blocks.front()) &&
                std::ranges::any_of(sections[i + 1].blocks, [](const Block& block) {
                    return std::holds_alternative<SignLines>(block);
                })) {
                return i;
            }
        }
        return std::nullopt;
    }

    Flow flow_;
    const Sheet& sheet_;
    Known& known_;
    double after_chart_ = 0; ///< what should still fit on a chart's page
};

} // namespace

std::string to_pdf(std::span<const Sheet> sheets, Paper paper) {
    assert(!sheets.empty());
    const PaperSize size = size_of(paper);
    const Sheet& first = sheets.front();
    PdfSurface surface{size, sheets.size() == 1 ? first.title : first.running, first.software,
                       first.made_at, first.lang};
    int page = 1;
    for (const Sheet& sheet : sheets) {
        // Once without ink, to count the pages that each foot names.
        Known known;
        surface.set_ink(Ink::none);
        const int pages = SheetDrawer{surface, size, sheet, known, 1, 0}.draw();
        surface.set_ink(Ink::real);
        page += SheetDrawer{surface, size, sheet, known, page, pages}.draw();
    }
    return surface.finish();
}

} // namespace holdwarden::sheets
