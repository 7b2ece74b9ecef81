// Values that no longer hold stay legible: 21 CFR 11.10(e), the earlier value is not obscured.
#include "../../../src/sheets/struck.hpp"

#include <holdwarden/sheets/print.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden::sheets;

namespace {

std::vector<std::string> struck_in(const Cell& cell, const std::string& text) {
    std::vector<std::string> parts;
    for (const TextRange& range : struck_ranges(cell, text)) {
        parts.push_back(text.substr(range.from, range.to - range.from) + "@" +
                        std::to_string(range.from));
    }
    return parts;
}

Sheet with(const Cell& cell) {
    Sheet sheet;
    sheet.title = "Lot";
    Table table{.caption = "Readings", .columns = {{"Time"}, {"core", true}}};
    table.rows.push_back({{"22:10"}, cell});
    sheet.sections.push_back({.heading = "Record", .blocks = {table}});
    return sheet;
}

} // namespace

TEST_CASE("a struck value is the one behind what holds now, even where both read alike") {
    CHECK(struck_in({.text = "139, was 193 [1]", .struck = {"193"}}, "139, was 193 [1]") ==
          std::vector<std::string>{"193@9"});
    // Amended to and fro: 193, then 139, then 193 again.
    const Cell twice{.text = "193, was 139 [2], was 193 [1]", .struck = {"139", "193"}};
    CHECK(struck_in(twice, twice.text) == std::vector<std::string>{"139@9", "193@22"});
    CHECK(struck_in({.text = "void", .struck = {"193"}}, "void").empty());
    CHECK(struck_in({.text = "140"}, "140").empty());
}

TEST_CASE(
    "ACC-5: each printer keeps the old value legible: struck where it can draw, in words always") {
    const Sheet sheet = with({.text = "139 °F, was 193 °F [1]", .struck = {"193 °F"}});
    CHECK(to_text(sheet).find("was 193 °F") != std::string::npos);
    CHECK(to_ascii_text(sheet).find("was 193") != std::string::npos);
    CHECK(to_csv(sheet).find("139 °F, was 193 °F [1]") != std::string::npos);
    const std::string html = to_html(sheet, {.page = "{{body}}", .style = ""});
    CHECK(html.find("139 °F, was <s>193 °F</s> [1]") != std::string::npos);
    // What is struck is escaped like everything else.
    const std::string hostile = to_html(with({.text = "a, was <b> [1]", .struck = {"<b>"}}),
                                        {.page = "{{body}}", .style = ""});
    CHECK(hostile.find("<s>&lt;b&gt;</s>") != std::string::npos);
}
