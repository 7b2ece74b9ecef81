#include <holdwarden/sheets/texts.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

namespace holdwarden::sheets {
namespace {

using Use = std::function<void(std::string&)>;

void visit(Paragraph& paragraph, const Use& use) {
    use(paragraph.text);
}
void visit(Facts& facts, const Use& use) {
    for (Fact& fact : facts.facts) {
        use(fact.label);
        use(fact.value);
    }
}
void visit(Bullets& bullets, const Use& use) {
    for (std::string& item : bullets.items) {
        use(item);
    }
}
void visit(Table& table, const Use& use) {
    use(table.caption);
    for (Column& column : table.columns) {
        use(column.title);
    }
    for (auto& row : table.rows) {
        for (Cell& cell : row) {
            use(cell.text);
        }
    }
}
void visit(VerdictLine& verdict, const Use& use) {
    use(verdict.words);
    use(verdict.says);
}
void visit(Action& action, const Use& use) {
    use(action.heading);
    use(action.by);
    for (std::string& act : action.act) {
        use(act);
    }
    use(action.source);
    for (std::string& line : action.lines) {
        use(line);
    }
}
void visit(SignLines& sign, const Use& use) {
    for (std::string& role : sign.roles) {
        use(role);
    }
    for (std::string& line : sign.lines) {
        use(line);
    }
}
void visit(Chart& chart, const Use& use) {
    use(chart.title);
    use(chart.description);
    for (ChartBand& band : chart.bands) {
        use(band.label);
    }
}

void visit(SmallCharts& small, const Use& use) {
    use(small.title);
    use(small.note);
    for (Chart& chart : small.charts) {
        use(chart.title);
    }
}

void visit(Section& section, const Use& use) {
    use(section.heading);
    for (Block& block : section.blocks) {
        std::visit([&](auto& b) { visit(b, use); }, block);
    }
    for (Section& part : section.parts) {
        visit(part, use);
    }
}

/// The neighbours in ASCII of what sheets themselves print, and of common punctuation.
constexpr std::array<std::pair<std::string_view, std::string_view>, 17> kNeighbours = {{
    {"°", ""},
    {"±", "+/-"},
    {"—", "-"},
    {"–", "-"},
    {"‘", "'"},
    {"’", "'"},
    {"“", "\""},
    {"”", "\""},
    {"…", "..."},
    {"\u00A0", " "},
    {"\u2068", ""},
    {"\u2069", ""},
    {"\u25A0", "#"},
    {"\u25E7", "%"},
    {"\u25A1", "o"},
    {"\u25BC", "V"},
    {"\u25AC", "="},
}};

std::size_t length_of(unsigned char lead) {
    return lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
}

void to_ascii(std::string& text) {
    std::string plain;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t length = length_of(static_cast<unsigned char>(text[i]));
        const std::string_view letter = std::string_view{text}.substr(i, length);
        i += length;
        if (length == 1) {
            plain += letter;
            continue;
        }
        const auto* known = std::find_if(kNeighbours.begin(), kNeighbours.end(),
                                         [&](const auto& n) { return n.first == letter; });
        if (known != kNeighbours.end()) {
            plain += known->second;
            continue;
        }
        unsigned value = static_cast<unsigned char>(letter[0]) & (0x7Fu >> length);
        for (const char c : letter.substr(1)) {
            value = (value << 6u) | (static_cast<unsigned char>(c) & 0x3Fu);
        }
        plain += fmt::format("\\u{{{:04X}}}", value);
    }
    text = std::move(plain);
}

} // namespace

void each_text(Sheet& sheet, const Use& use) {
    use(sheet.title);
    for (Section& section : sheet.sections) {
        visit(section, use);
    }
}

Sheet in_ascii(Sheet sheet) {
    each_text(sheet, to_ascii);
    return sheet;
}

} // namespace holdwarden::sheets
