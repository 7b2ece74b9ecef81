#include "messages.hpp"
#include "struck.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/markup.hpp>
#include <holdwarden/sheets/print.hpp>
#include <holdwarden/sheets/svg.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <sstream>

namespace holdwarden::sheets {
namespace {

/// Tables of more columns turn into lists on a phone.
constexpr std::size_t kMostPhoneColumns = 3;

std::string mark_markup(judge::Verdict verdict) {
    return fmt::format(R"(<span class="mark" aria-hidden="true">{}</span>)", judge::mark(verdict));
}

class HtmlWriter {
public:
    std::string body(const Sheet& sheet) {
        out_ = fmt::format("<h1>{}</h1>\n", escaped(sheet.title));
        for (const Section& part : sheet.sections) {
            section(part, 2);
        }
        return std::move(out_);
    }

private:
    void section(const Section& section_, int level) {
        // Headings deeper than six do not exist; no sheet nests so far.
        level_ = std::min(level, 6);
        out_ += "<section>\n";
        if (!section_.heading.empty()) {
            out_ += fmt::format("<h{0}>{1}</h{0}>\n", level_, escaped(section_.heading));
        }
        for (const Block& block : section_.blocks) {
            std::visit([this](const auto& b) { print(b); }, block);
        }
        for (const Section& part : section_.parts) {
            section(part, level + 1);
        }
        level_ = std::min(level, 6);
        out_ += "</section>\n";
    }

    void print(const Paragraph& paragraph) {
        const char* tone = paragraph.tone == Tone::note      ? " class=\"note\""
                           : paragraph.tone == Tone::caution ? " class=\"caution\""
                                                             : "";
        out_ += fmt::format("<p{}>{}</p>\n", tone, escaped(paragraph.text));
    }

    void print(const Facts& facts) {
        out_ += "<dl class=\"facts\">\n";
        for (const Fact& fact : facts.facts) {
            out_ +=
                fmt::format("<dt>{}</dt><dd>{}</dd>\n", escaped(fact.label), escaped(fact.value));
        }
        out_ += "</dl>\n";
    }

    void list(const char* tag, const std::vector<std::string>& items) {
        out_ += fmt::format("<{}>\n", tag);
        for (const std::string& item : items) {
            out_ += fmt::format("<li>{}</li>\n", escaped(item));
        }
        out_ += fmt::format("</{}>\n", tag);
    }

    void print(const Bullets& bullets) { list("ul", bullets.items); }

    void print(const VerdictLine& line) {
        out_ += fmt::format("<div class=\"verdict\">{}<div><strong>{}</strong><p>{}</p></div>"
                            "</div>\n",
                            mark_markup(line.verdict), escaped(line.words), escaped(line.says));
    }

    void print(const Table& table) {
        const bool stack = !table.dense && table.columns.size() > kMostPhoneColumns;
        out_ += stack         ? "<table class=\"stack\">\n"
                : table.dense ? "<table class=\"dense\">\n"
                              : "<table>\n";
        out_ += fmt::format("<caption>{}</caption>\n<thead><tr>", escaped(table.caption));
        for (const Column& column : table.columns) {
            out_ += fmt::format("<th scope=\"col\"{}>{}</th>", column.figures ? " class=\"n\"" : "",
                                escaped(column.title));
        }
        out_ += "</tr></thead>\n<tbody>\n";
        for (const auto& row : table.rows) {
            out_ += "<tr>";
            for (std::size_t i = 0; i < row.size(); ++i) {
                cell(table.columns.at(i), row[i], i == 0, stack);
            }
            out_ += "</tr>\n";
        }
        out_ += "</tbody>\n</table>\n";
    }

    void cell(const Column& column, const Cell& cell_, bool names_row, bool stack) {
        const char* style = column.figures ? " class=\"n\"" : cell_.verdict ? " class=\"v\"" : "";
        const std::string mark = cell_.verdict ? mark_markup(*cell_.verdict) + " " : std::string{};
        if (names_row) {
            out_ += fmt::format("<th scope=\"row\"{}>{}{}</th>", style, mark, with_struck(cell_));
            return;
        }
        const std::string label =
            stack ? fmt::format(" data-label=\"{}\"", escaped(column.title)) : std::string{};
        out_ += fmt::format("<td{}{}>{}{}</td>", style, label, mark, with_struck(cell_));
    }

    static std::string with_struck(const Cell& cell) {
        const std::string_view text = cell.text;
        std::string out;
        std::size_t done = 0;
        for (const TextRange& range : struck_ranges(cell, text)) {
            out += escaped(text.substr(done, range.from - done));
            out +=
                fmt::format("<s>{}</s>", escaped(text.substr(range.from, range.to - range.from)));
            done = range.to;
        }
        return out + escaped(text.substr(done));
    }

    void sign_lines(const std::vector<std::string>& lines) {
        constexpr std::size_t kLongLine = 20;
        out_ += "<ul class=\"sign\">";
        for (const std::string& line : lines) {
            out_ += fmt::format("<li{}><span>{}</span></li>",
                                line.size() > kLongLine ? " class=\"wide\"" : "", escaped(line));
        }
        out_ += "</ul>\n";
    }

    void print(const Action& action) {
        out_ += "<div class=\"action\">\n";
        out_ += fmt::format("<h{0}>{1}</h{0}>\n<p class=\"by\">{2}</p>\n", std::min(level_ + 1, 6),
                            escaped(action.heading), escaped(action.by));
        list("ol", action.act);
        if (!action.source.empty()) {
            out_ += fmt::format("<p class=\"source\">{}</p>\n",
                                escaped(fmt::format(msg::source, action.source)));
        }
        sign_lines(action.lines);
        out_ += "</div>\n";
    }

    void print(const SignLines& sign) {
        for (const std::string& role : sign.roles) {
            out_ += fmt::format("<p>{}</p>\n", escaped(role));
            sign_lines(sign.lines);
        }
    }

    void print(const Chart& chart) {
        ++charts_;
        out_ += "<figure>\n<div class=\"wide\">\n";
        out_ += to_svg(chart, kWideChart, fmt::format("chart-{}-wide", charts_));
        out_ += "</div>\n<div class=\"narrow\">\n";
        out_ += to_svg(chart, kNarrowChart, fmt::format("chart-{}-narrow", charts_));
        out_ += "</div>\n";
        out_ +=
            fmt::format("<figcaption>{}</figcaption>\n</figure>\n", escaped(figure_caption(chart)));
    }

    void print(const SmallCharts& small) {
        out_ += fmt::format("<p class=\"small-title\">{}</p>\n<div class=\"small\">\n",
                            escaped(small.title));
        for (const Chart& chart : small.charts) {
            ++charts_;
            out_ += fmt::format("<figure>\n<figcaption>{}</figcaption>\n{}</figure>\n",
                                escaped(chart.title),
                                to_svg(chart, kSmallChart, fmt::format("chart-{}-small", charts_)));
        }
        out_ += fmt::format("</div>\n<p class=\"note\">{}</p>\n", escaped(small.note));
    }

    std::string out_;
    int level_ = 2;
    int charts_ = 0;
};

std::string read_file(const std::filesystem::path& path) {
    std::ifstream file{path, std::ios::binary};
    std::ostringstream text;
    text << file.rdbuf();
    if (!file) {
        throw Error{
            ErrorKind::not_found,
            {.what = msg::template_unreadable, .where = path.string(), .fix = msg::template_fix}};
    }
    return text.str();
}

} // namespace

HtmlFrame load_frame(const std::filesystem::path& reports) {
    return {.page = read_file(reports / "sheet.html"), .style = read_file(reports / "sheet.css")};
}

std::string to_html(const Sheet& sheet, const HtmlFrame& frame) {
    const std::string style =
        frame.style +
        fmt::format("@page {{ @bottom-left {{ content: {}; font: 8pt \"DejaVu Sans\", "
                    "Verdana, sans-serif; }} }}",
                    css_string(sheet.running));
    const std::string body = HtmlWriter{}.body(sheet);
    std::string page;
    std::string_view rest = frame.page;
    // One pass, so that nothing put in is looked at again.
    while (!rest.empty()) {
        const auto open = rest.find("{{");
        const auto close = rest.find("}}", open == std::string_view::npos ? rest.size() : open);
        if (close == std::string_view::npos) {
            page += rest;
            break;
        }
        page += rest.substr(0, open);
        const std::string_view name = rest.substr(open + 2, close - open - 2);
        page += name == "lang"    ? escaped(sheet.lang)
                : name == "title" ? escaped(sheet.title)
                : name == "style" ? style
                : name == "body"  ? body
                                  : std::string{};
        rest.remove_prefix(close + 2);
    }
    return page;
}

} // namespace holdwarden::sheets
