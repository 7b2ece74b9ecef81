#include "messages.hpp"
#include "svg_canvas.hpp"

#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/print.hpp>
#include <holdwarden/sheets/texts.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace holdwarden::sheets {
namespace {

constexpr std::size_t kWidth = 80;
constexpr std::size_t kNarrowestColumn = 6;

/// Breaks at blanks; a word wider than `width` is cut between characters.
std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    while (!text.empty()) {
        const auto blank = std::min(text.find(' '), text.size());
        std::string_view word = text.substr(0, blank);
        text.remove_prefix(std::min(blank + 1, text.size()));
        if (used > 0 && used + 1 + columns_of(word) > width) {
            lines.emplace_back();
            used = 0;
        }
        while (columns_of(word) > width) {
            std::size_t bytes = 0;
            while (bytes < word.size() && columns_of(word.substr(0, bytes + 1)) <= width) {
                ++bytes;
            }
            // Never inside a character.
            while (bytes < word.size() &&
                   (static_cast<unsigned char>(word[bytes]) & 0xC0u) == 0x80u) {
                ++bytes;
            }
            lines.back() += word.substr(0, bytes);
            word.remove_prefix(bytes);
            lines.emplace_back();
        }
        lines.back() += used > 0 ? " " : "";
        lines.back() += word;
        used += columns_of(word) + (used > 0 ? 1 : 0);
    }
    return lines;
}

std::string padded(const std::string& text, std::size_t width, bool to_the_right) {
    const std::size_t columns = columns_of(text);
    const std::string blanks(columns < width ? width - columns : 0, ' ');
    return to_the_right ? blanks + text : text + blanks;
}

/// The mark as it stands in text; in ASCII the neighbours of in_ascii.
std::string_view mark_in(judge::Verdict verdict, bool ascii) {
    if (!ascii) {
        return judge::mark(verdict);
    }
    switch (verdict) {
    case judge::Verdict::met:
        return "#";
    case judge::Verdict::not_shown:
        return "%";
    case judge::Verdict::open:
        return "o";
    case judge::Verdict::not_met:
        return "V";
    case judge::Verdict::ended:
        return "=";
    }
    return "";
}

class TextWriter {
public:
    enum class Letters { all, ascii };
    explicit TextWriter(Letters letters) : ascii_{letters == Letters::ascii} {}

    std::string page(const Sheet& sheet) {
        heading(sheet.title, '=');
        for (const Section& part : sheet.sections) {
            section(part, 0);
        }
        while (out_.ends_with("\n\n")) {
            out_.pop_back();
        }
        return std::move(out_);
    }

private:
    void line(const std::string& text) {
        const auto last = text.find_last_not_of(' ');
        out_ += text.substr(0, last == std::string::npos ? 0 : last + 1);
        out_ += '\n';
    }
    void blank() {
        if (!out_.empty() && !out_.ends_with("\n\n")) {
            out_ += '\n';
        }
    }
    /// Wrapped text; later lines stand under the first word.
    void hanging(const std::string& lead, std::string_view text) {
        const std::size_t indent = columns_of(lead);
        bool first = true;
        for (const std::string& part : wrapped(text, kWidth - indent)) {
            line((first ? lead : std::string(indent, ' ')) + part);
            first = false;
        }
    }
    void heading(const std::string& text, char rule) {
        blank();
        std::size_t widest = 0;
        for (const std::string& part : wrapped(text, kWidth)) {
            widest = std::max(widest, columns_of(part));
            line(part);
        }
        line(std::string(widest, rule));
    }

    void section(const Section& section_, int depth) {
        if (!section_.heading.empty()) {
            if (depth == 0) {
                heading(section_.heading, '-');
            } else {
                blank();
                hanging("", section_.heading);
            }
        }
        for (const Block& block : section_.blocks) {
            std::visit([this](const auto& b) { print(b); }, block);
            blank();
        }
        for (const Section& part : section_.parts) {
            section(part, depth + 1);
        }
    }

    void print(const Paragraph& paragraph) {
        hanging(paragraph.tone == Tone::caution ? "! " : "", paragraph.text);
    }

    void print(const Facts& facts) {
        std::size_t widest = 0;
        for (const Fact& fact : facts.facts) {
            widest = std::max(widest, columns_of(fact.label));
        }
        for (const Fact& fact : facts.facts) {
            hanging(padded(fact.label + ":", widest + 2, false), fact.value);
        }
    }

    void print(const Bullets& bullets) {
        for (const std::string& item : bullets.items) {
            hanging("- ", item);
        }
    }

    void print(const VerdictLine& verdict) {
        hanging(fmt::format("{} ", mark_in(verdict.verdict, ascii_)), verdict.words);
        hanging("", verdict.says);
    }

    /// Column widths that fit the page: the widest column gives first.
    static std::vector<std::size_t> widths_of(const Table& table) {
        std::vector<std::size_t> widths;
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            std::size_t widest = columns_of(table.columns[i].title);
            for (const auto& row : table.rows) {
                widest = std::max(widest, columns_of(row.at(i).text) + (row[i].verdict ? 2 : 0));
            }
            widths.push_back(widest);
        }
        const std::size_t room = kWidth - 2 * (widths.size() - 1);
        while (std::accumulate(widths.begin(), widths.end(), std::size_t{0}) > room) {
            const auto widest = std::ranges::max_element(widths);
            if (*widest <= kNarrowestColumn) {
                break;
            }
            --*widest;
        }
        return widths;
    }

    void print(const Table& table) {
        const std::vector<std::size_t> widths = widths_of(table);
        line(table.caption);
        std::vector<std::string> titles;
        std::vector<std::string> rules;
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            titles.push_back(table.columns[i].title);
            rules.emplace_back(widths[i], '-');
        }
        print_row(table, titles, widths);
        print_row(table, rules, widths);
        for (const auto& row : table.rows) {
            std::vector<std::string> texts;
            for (const Cell& cell : row) {
                texts.push_back(
                    cell.verdict ? fmt::format("{} {}", mark_in(*cell.verdict, ascii_), cell.text)
                                 : cell.text);
            }
            print_row(table, texts, widths);
        }
    }

    void print_row(const Table& table, const std::vector<std::string>& texts,
                   const std::vector<std::size_t>& widths) {
        std::vector<std::vector<std::string>> cells;
        std::size_t height = 1;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            cells.push_back(wrapped(texts[i], widths[i]));
            height = std::max(height, cells.back().size());
        }
        for (std::size_t k = 0; k < height; ++k) {
            std::string text;
            for (std::size_t i = 0; i < cells.size(); ++i) {
                text += i == 0 ? "" : "  ";
                text += padded(k < cells[i].size() ? cells[i][k] : "", widths[i],
                               table.columns[i].figures);
            }
            line(text);
        }
    }

    void sign_lines(const std::vector<std::string>& lines, const std::string& indent) {
        std::size_t widest = 0;
        for (const std::string& item : lines) {
            widest = std::max(widest, columns_of(item));
        }
        for (const std::string& item : lines) {
            const std::string lead = indent + padded(item + ":", widest + 2, false);
            line(lead + std::string(kWidth - columns_of(lead), '_'));
        }
    }

    void print(const Action& action) {
        hanging("* ", action.heading);
        hanging("  ", action.by);
        for (std::size_t i = 0; i < action.act.size(); ++i) {
            hanging(fmt::format("  {}. ", i + 1), action.act[i]);
        }
        if (!action.source.empty()) {
            hanging("  ", fmt::format(msg::source, action.source));
        }
        sign_lines(action.lines, "  ");
    }

    void print(const SignLines& sign) {
        for (const std::string& role : sign.roles) {
            line(role);
            sign_lines(sign.lines, "  ");
        }
    }

    void print(const SmallCharts& small) {
        hanging("", small.title);
        hanging("", small.note);
        for (const Chart& chart : small.charts) {
            hanging("- ", chart.title);
        }
    }

    void print(const Chart& chart) {
        hanging("", chart.title);
        hanging("", figure_caption(chart));
    }

    std::string out_;
    bool ascii_;
};

} // namespace

std::string to_text(const Sheet& sheet) {
    return TextWriter{TextWriter::Letters::all}.page(sheet);
}

std::string to_ascii_text(const Sheet& sheet) {
    return TextWriter{TextWriter::Letters::ascii}.page(in_ascii(sheet));
}

} // namespace holdwarden::sheets
