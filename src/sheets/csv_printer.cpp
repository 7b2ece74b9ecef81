#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/print.hpp>

#include <string_view>

namespace holdwarden::sheets {
namespace {

/// A field of RFC 4180; always quoted, so that a reader need not guess. A text that a spreadsheet
/// would take for a formula gets an apostrophe in front, which spreadsheets hide: a name from
/// outside must not be able to run there. Figures are left alone.
std::string field(std::string_view text) {
    std::string out = "\"";
    if (!text.empty()) {
        const char first = text.front();
        const bool figure =
            text.size() > 1 && ((text[1] >= '0' && text[1] <= '9') || text[1] == '.');
        if (first == '=' || first == '@' || ((first == '+' || first == '-') && !figure)) {
            out += '\'';
        }
    }
    for (const char c : text) {
        out += c;
        if (c == '"') {
            out += '"';
        }
    }
    return out + '"';
}

class CsvWriter {
public:
    std::string page(const Sheet& sheet) {
        row("section", "part", "row", "item", "value");
        section_ = sheet.title;
        row("sheet", "", "title", sheet.title);
        for (const Section& section : sheet.sections) {
            section_ = section.heading.empty() ? sheet.title : section.heading;
            print(section);
        }
        return std::move(out_);
    }

private:
    void row(std::string_view part, std::string_view name, std::string_view item,
             std::string_view value) {
        row(section_, part, name, item, value);
    }
    void row(std::string_view section, std::string_view part, std::string_view name,
             std::string_view item, std::string_view value) {
        out_ += field(section) + "," + field(part) + "," + field(name) + "," + field(item) + "," +
                field(value) + "\r\n";
    }

    void print(const Section& section) {
        for (const Block& block : section.blocks) {
            std::visit([this](const auto& b) { print(b); }, block);
        }
        const std::string above = section_;
        for (const Section& part : section.parts) {
            section_ = above + " / " + part.heading;
            print(part);
        }
        section_ = above;
    }

    void print(const Paragraph& paragraph) {
        row(paragraph.tone == Tone::caution ? "caution" : "text", "", "", paragraph.text);
    }
    void print(const Facts& facts) {
        for (const Fact& fact : facts.facts) {
            row("facts", "", fact.label, fact.value);
        }
    }
    void print(const Bullets& bullets) {
        for (const std::string& item : bullets.items) {
            row("notes", "", "", item);
        }
    }
    void print(const VerdictLine& verdict) {
        row("verdict", "", "verdict", verdict.words);
        row("verdict", "", "why", verdict.says);
    }
    void print(const Action& action) {
        row("action", action.heading, "when", action.by);
        for (const std::string& act : action.act) {
            row("action", action.heading, "do", act);
        }
        row("action", action.heading, "source", action.source);
        for (const std::string& line : action.lines) {
            row("action", action.heading, line, "");
        }
    }
    void print(const SignLines& sign) {
        for (const std::string& role : sign.roles) {
            for (const std::string& line : sign.lines) {
                row("signature", role, line, "");
            }
        }
    }
    void print(const Table& table) {
        for (const auto& cells : table.rows) {
            for (std::size_t i = 0; i < cells.size(); ++i) {
                row(table.caption, cells.front().text, table.columns.at(i).title, cells[i].text);
            }
        }
    }
    void print(const SmallCharts& small) {
        row("charts", "", small.title, small.note);
        for (const Chart& chart : small.charts) {
            row("charts", "", small.title, chart.title);
        }
    }
    void print(const Chart& chart) { row("chart", "", chart.title, figure_caption(chart)); }

    std::string out_;
    std::string section_;
};

} // namespace

std::string to_csv(const Sheet& sheet) {
    return CsvWriter{}.page(sheet);
}

} // namespace holdwarden::sheets
