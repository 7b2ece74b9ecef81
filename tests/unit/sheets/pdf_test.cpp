#include "fixtures.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/pdf.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

using namespace holdwarden;
using namespace holdwarden::sheets;
using fixtures::count_of;

namespace {

Sheet lot(const LotRecord& record) {
    return lot_sheet(fixtures::larkspur(), record, fixtures::troubles(), fixtures::made());
}

Sheet night() {
    const std::vector<LotRecord> lots = {fixtures::warm_shoulder(), fixtures::cooling_beans(),
                                         fixtures::silent_probe(), fixtures::sunken_brisket()};
    return night_sheet(fixtures::larkspur(), {2026, 10, 31}, lots, fixtures::troubles(),
                       fixtures::made());
}

std::string pdf(const Sheet& sheet, Paper paper = Paper::letter) {
    return to_pdf({&sheet, 1}, paper);
}

/// What a program prints of a PDF; the tools are poppler's (pdftotext, pdfinfo, pdffonts).
std::string poppler(const std::string& program, const std::string& bytes,
                    const std::string& after = "") {
    std::string name = (std::filesystem::temp_directory_path() / "sheet-XXXXXX").string();
    const int handle = mkstemp(name.data());
    REQUIRE(handle >= 0);
    std::ofstream{name, std::ios::binary} << bytes;
    const std::string command = program + " " + name + " " + after + " 2>&1";
    FILE* pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string text;
    std::array<char, 4096> part{};
    for (std::size_t n = 0; (n = fread(part.data(), 1, part.size(), pipe)) > 0;) {
        text.append(part.data(), n);
    }
    pclose(pipe);
    std::filesystem::remove(name);
    return text;
}

/// Without blanks and line ends, which a printer may put where it likes; and without the isolates a
/// PDF has no letters for.
std::string squeezed(std::string text) {
    std::erase_if(text, [](char c) { return c == ' ' || c == '\n' || c == '\f'; });
    return text;
}

void collect(const Section& section, std::vector<std::string>& words) {
    words.push_back(section.heading);
    for (const Block& block : section.blocks) {
        if (const auto* paragraph = std::get_if<Paragraph>(&block)) {
            words.push_back(paragraph->text);
        } else if (const auto* facts = std::get_if<Facts>(&block)) {
            for (const Fact& fact : facts->facts) {
                words.push_back(fact.label);
            }
        } else if (const auto* verdict = std::get_if<VerdictLine>(&block)) {
            words.push_back(verdict->words);
            words.push_back(verdict->says);
        } else if (const auto* action = std::get_if<Action>(&block)) {
            words.insert(words.end(), {action->heading, action->by, action->source});
            words.insert(words.end(), action->act.begin(), action->act.end());
        } else if (const auto* table = std::get_if<Table>(&block)) {
            words.push_back(table->caption);
            for (const auto& row : table->rows) {
                words.push_back(row.at(0).text.substr(0, row[0].text.find(' ')));
            }
        }
    }
    for (const Section& part : section.parts) {
        collect(part, words);
    }
}

} // namespace

TEST_CASE("what a sheet says can be read from its PDF") {
    for (const Sheet& sheet : {night(), lot(fixtures::sunken_brisket())}) {
        const std::string text = squeezed(poppler("pdftotext -layout", pdf(sheet), "-"));
        std::vector<std::string> words;
        for (const Section& section : sheet.sections) {
            collect(section, words);
        }
        for (const std::string& part : words) {
            // A long text wraps beside its neighbours: its first words must be there.
            const std::string wanted = squeezed(part).substr(0, 24);
            INFO(part);
            CHECK(text.find(wanted) != std::string::npos);
        }
    }
}

TEST_CASE("the same sheet gives the same bytes") {
    const Sheet sheet = night();
    CHECK(pdf(sheet) == pdf(sheet));
}

TEST_CASE("a PDF has its title, paper, embedded fonts, outline, and no picture of text") {
    const Sheet sheet = lot(fixtures::sunken_brisket());
    const std::string letter = pdf(sheet);
    const std::string info = poppler("pdfinfo", letter);
    CHECK(info.find("Lot brisket-2") != std::string::npos);
    CHECK(info.find("612 x 792 pts (letter)") != std::string::npos);
    CHECK(poppler("pdfinfo", pdf(sheet, Paper::a4)).find("(A4)") != std::string::npos);
    CHECK(count_of(poppler("pdffonts", letter), "yes yes yes") >= 2);
    CHECK(count_of(letter, "/Outlines") >= 1);
    CHECK(count_of(poppler("pdfimages -list", letter), "image") == 0);
}

TEST_CASE("pages are counted within each sheet of a document") {
    const std::vector<Sheet> sheets = {lot(fixtures::warm_shoulder()),
                                       lot(fixtures::sunken_brisket())};
    const std::string text = poppler("pdftotext -layout", to_pdf(sheets, Paper::letter), "-");
    CHECK(count_of(text, "page 1 of ") == 2);
    CHECK(text.find("page 0") == std::string::npos);
}

TEST_CASE("nothing is clipped: a name of 120 characters, 200 readings, a row taller than a page") {
    LotRecord record = fixtures::long_hold(200, Span::minutes(4));
    record.history.name = std::string(117, 'x') + "end";
    Troubles troubles = fixtures::troubles();
    std::string words;
    for (int i = 0; i < 600; ++i) {
        words += "word ";
    }
    troubles.rejects[0].reason = words + "finished";
    const Sheet sheet = lot_sheet(fixtures::larkspur(), record, troubles, fixtures::made());
    const std::string bytes = pdf(sheet);
    const std::string text = squeezed(poppler("pdftotext -layout", bytes, "-"));
    CHECK(text.find("finished") != std::string::npos);
    CHECK(text.find("xxend") != std::string::npos);
    // Every word lies on the paper: the box of each, in points.
    const std::string boxes = poppler("pdftotext -bbox", bytes, "-");
    std::size_t checked = 0;
    for (const std::string& x : fixtures::between(boxes, "xMax=\"", "\"")) {
        CHECK(std::stod(x) <= 612 - 30);
        ++checked;
    }
    for (const std::string& y : fixtures::between(boxes, "yMax=\"", "\"")) {
        CHECK(std::stod(y) <= 792 - 18);
    }
    CHECK(checked > 500);
    const std::size_t pages = count_of(boxes, "<page ");
    CHECK(count_of(poppler("pdftotext -layout", bytes, "-"), "of " + std::to_string(pages)) ==
          pages);
}
