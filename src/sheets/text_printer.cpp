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

/// Takes the next word off `text`, which must not be empty; a unit of degrees stays with its
/// figure.
std::string_view next_word(std::string_view& text) {
    auto blank = std::min(text.find(' '), text.size());
    while (text.substr(blank).starts_with(" °")) {
        blank = std::min(text.find(' ', blank + 1), text.size());
    }
    const std::string_view word = text.substr(0, blank);
    text.remove_prefix(std::min(blank + 1, text.size()));
    return word;
}

/// Breaks at blanks; a word wider than `width` is cut between characters.
std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    std::vector<std::string> lines(1);
    std::size_t used = 0;
    while (!text.empty()) {
        std::string_view word = next_word(text);
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

    std::string text_of(const Cell& cell) const {
        return cell.verdict ? fmt::format("{} {}", mark_in(*cell.verdict, ascii_), cell.text)
                            : cell.text;
    }

    /// Column widths that fit the page: the widest column gives first, and none breaks a word while
    /// another can give. `whole`: whether none had to.
    struct Widths {
        std::vector<std::size_t> columns{};
        std::size_t gap = 2; ///< between two of them
        bool whole = true;
    };
    Widths widths_of(const Table& table) const {
        const Widths widths = widths_of(table, 2);
        return widths.whole ? widths : widths_of(table, 1);
    }
    Widths widths_of(const Table& table, std::size_t gap) const {
        Widths widths{.gap = gap};
        std::vector<std::size_t> least; // the widest word
        const auto take = [&](std::string_view text) {
            widths.columns.back() = std::max(widths.columns.back(), columns_of(text));
            while (!text.empty()) {
                const std::size_t width = columns_of(next_word(text));
                // A longer one is cut wherever it stands.
                least.back() = std::max(least.back(), width <= kWidth / 2 ? width : 0);
            }
        };
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            widths.columns.push_back(0);
            least.push_back(kNarrowestColumn);
            take(table.columns[i].title);
            for (const auto& row : table.rows) {
                take(text_of(row.at(i)));
            }
        }
        const std::size_t room = kWidth - gap * (least.size() - 1);
        while (std::reduce(widths.columns.begin(), widths.columns.end()) > room) {
            std::size_t gives = 0;
            std::size_t most = 0;
            for (std::size_t i = 0; i < least.size(); ++i) {
                if (widths.columns[i] > least[i] && widths.columns[i] > most) {
                    gives = i;
                    most = widths.columns[i];
                }
            }
            if (most > 0) {
                --widths.columns[gives];
            } else if (widths.whole) {
                widths.whole = false;
                std::ranges::fill(least, kNarrowestColumn);
            } else {
                break;
            }
        }
        return widths;
    }

    /// Whether each row is better read as a list of its own: the columns are too narrow for their
    /// words, or make its texts long and thin.
    bool is_stacked(const Table& table, const Widths& widths) const {
        constexpr std::size_t kTallestRow = 10;
        return !table.dense &&
               (!widths.whole || std::ranges::any_of(table.rows, [&](const auto& row) {
                   for (std::size_t i = 0; i < row.size(); ++i) {
                       if (wrapped(text_of(row[i]), widths.columns[i]).size() > kTallestRow) {
                           return true;
                       }
                   }
                   return false;
               }));
    }

    void print(const Table& table) {
        const Widths widths = widths_of(table);
        hanging("", table.caption);
        if (is_stacked(table, widths)) {
            print_stacked(table);
            return;
        }
        std::vector<std::string> titles;
        std::vector<std::string> rules;
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            titles.push_back(table.columns[i].title);
            rules.emplace_back(widths.columns[i], '-');
        }
        print_row(table, titles, widths);
        print_row(table, rules, widths);
        for (const auto& row : table.rows) {
            std::vector<std::string> texts;
            for (const Cell& cell : row) {
                texts.push_back(text_of(cell));
            }
            print_row(table, texts, widths);
        }
    }

    /// Each row as a list: a column's title and what the row has there.
    void print_stacked(const Table& table) {
        constexpr std::size_t kWidestLabel = 34;
        std::size_t widest = 0;
        for (const Column& column : table.columns) {
            widest = std::max(widest, std::min(columns_of(column.title), kWidestLabel));
        }
        for (const auto& row : table.rows) {
            blank();
            for (std::size_t i = 0; i < row.size(); ++i) {
                const std::string label = table.columns[i].title + ":";
                if (columns_of(label) > widest + 1) {
                    hanging("", label);
                }
                hanging(padded(columns_of(label) > widest + 1 ? "" : label, widest + 2, false),
                        text_of(row[i]));
            }
        }
    }

    void print_row(const Table& table, const std::vector<std::string>& texts,
                   const Widths& widths) {
        std::vector<std::vector<std::string>> cells;
        std::size_t height = 1;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            cells.push_back(wrapped(texts[i], widths.columns[i]));
            height = std::max(height, cells.back().size());
        }
        for (std::size_t k = 0; k < height; ++k) {
            std::string text;
            for (std::size_t i = 0; i < cells.size(); ++i) {
                text += std::string(i == 0 ? 0 : widths.gap, ' ');
                text += padded(k < cells[i].size() ? cells[i][k] : "", widths.columns[i],
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
