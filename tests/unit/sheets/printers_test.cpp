#include "fixtures.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/markup.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/print.hpp>
#include <holdwarden/sheets/texts.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

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

/// The first letters of each word of each text: a narrow column may cut a longer word.
std::set<std::string> beginnings(Sheet sheet) {
    std::set<std::string> words;
    each_text(sheet, [&](std::string& text) {
        std::istringstream parts{text};
        for (std::string word; parts >> word;) {
            std::size_t bytes = std::min<std::size_t>(word.size(), 6);
            while (bytes < word.size() &&
                   (static_cast<unsigned char>(word[bytes]) & 0xC0u) == 0x80u) {
                ++bytes;
            }
            words.insert(word.substr(0, bytes));
        }
    });
    return words;
}

/// Hot-held over and over: `times` times as many findings and flags, more than a page holds.
LotRecord crowded(LotRecord record, std::size_t times) {
    const auto findings = record.judged.findings;
    const auto flags = record.judged.flags;
    for (std::size_t i = 1; i < times; ++i) {
        for (judge::Flag flag : flags) {
            flag.finding += record.judged.findings.size();
            record.judged.flags.push_back(std::move(flag));
        }
        std::ranges::copy(findings, std::back_inserter(record.judged.findings));
    }
    return record;
}

} // namespace

TEST_CASE("text, HTML, PDF and CSV carry the same facts") {
    const HtmlFrame frame = load_frame(std::string{HOLDWARDEN_SOURCE_DIR} + "/reports");
    std::vector<Sheet> sheets = fixtures::every_sheet();
    sheets.push_back(lot(crowded(fixtures::sunken_brisket(), 8))); // signed before its evidence
    for (Sheet& sheet : sheets) {
        INFO(sheet.title);
        const std::string text = squeezed(to_text(sheet));
        const std::string portable = squeezed(poppler("pdftotext -layout", pdf(sheet), "-"));
        for (const std::string& word : beginnings(sheet)) {
            INFO(word);
            CHECK(text.find(word) != std::string::npos);
            CHECK(portable.find(word) != std::string::npos);
        }
        const std::string html = to_html(sheet, frame);
        const std::string csv = to_csv(sheet);
        each_text(sheet, [&](std::string& whole) {
            INFO(whole);
            CHECK(html.find(escaped(whole)) != std::string::npos);
            CHECK(csv.find(whole) != std::string::npos);
        });
    }
}

TEST_CASE("CSV is RFC 4180 and cannot run in a spreadsheet") {
    LotRecord record = fixtures::sunken_brisket();
    record.history.description = "=1+1,\"quoted\"";
    record.history.stages[0].unit = "@unit";
    record.history.stages[1].unit = "-4 °F is a figure";
    const std::string csv = to_csv(lot(record));
    CHECK(csv.starts_with("\"section\",\"part\",\"row\",\"item\",\"value\"\r\n"));
    CHECK(csv.find("\"\"quoted\"\"") != std::string::npos);
    CHECK(csv.find("\"=") == std::string::npos);
    CHECK(csv.find("\"@") == std::string::npos);
    CHECK(csv.find("\"-4 °F is a figure") != std::string::npos);
    // Every line has five fields: outside quotes, four commas.
    std::size_t commas = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < csv.size(); ++i) {
        quoted = csv[i] == '"' ? !quoted : quoted;
        commas += !quoted && csv[i] == ',' ? 1 : 0;
        if (!quoted && csv[i] == '\n') {
            CHECK(csv[i - 1] == '\r');
            CHECK(commas == 4);
            commas = 0;
        }
    }
    CHECK_FALSE(quoted);
}

TEST_CASE("plain text is ASCII and as narrow") {
    LotRecord record = fixtures::sunken_brisket();
    record.history.name = "Brüstchen — \u05E2\u05D5\u05E3";
    const std::string plain = to_ascii_text(lot(record));
    CHECK(std::ranges::none_of(plain, [](char c) { return static_cast<unsigned char>(c) > 0x7E; }));
    CHECK(plain.find("Br\\u{00FC}stchen - \\u{05E2}") != std::string::npos);
    CHECK(plain.find("V not met") != std::string::npos);
    CHECK(plain.find("135 F (57 C)") != std::string::npos);
    std::istringstream lines{plain};
    for (std::string line; std::getline(lines, line);) {
        CHECK(line.size() <= 80);
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

TEST_CASE("a PDF names its language and title, and its table of objects stays true") {
    const std::string bytes = pdf(lot(fixtures::sunken_brisket()));
    // ISO 32000-1:2008, 7.7.2 (Lang), 12.2 (DisplayDocTitle).
    const auto catalog = bytes.rfind("/Type /Catalog");
    REQUIRE(catalog != std::string::npos);
    const std::string entries = bytes.substr(catalog, bytes.find("endobj", catalog) - catalog);
    CHECK(entries.find("/Lang (en)") != std::string::npos);
    CHECK(entries.find("/DisplayDocTitle true") != std::string::npos);
    // 7.5.4 and 7.5.5: startxref leads to the table, each of its entries to "N 0 obj".
    const auto place = bytes.rfind("startxref\n");
    REQUIRE(place != std::string::npos);
    std::istringstream table{bytes.substr(std::stoul(bytes.substr(place + 10)))};
    std::string word;
    std::size_t first = 0;
    std::size_t count = 0;
    table >> word >> first >> count;
    REQUIRE(word == "xref");
    REQUIRE(first == 0);
    REQUIRE(count > 10);
    for (std::size_t i = 0; i < count; ++i) {
        std::size_t offset = 0;
        std::string generation;
        std::string in_use;
        table >> offset >> generation >> in_use;
        if (in_use == "n") {
            const std::string head = std::to_string(i) + " 0 obj";
            CHECK(bytes.substr(offset, head.size()) == head);
        }
    }
    CHECK(poppler("pdfinfo", bytes).find("Syntax") == std::string::npos);
}

namespace {

/// The first page of the lot's PDF, without blanks.
std::string first_page(const LotRecord& record, Paper paper) {
    return squeezed(poppler("pdftotext -layout -l 1", pdf(lot(record), paper), "-"));
}

} // namespace

TEST_CASE("an inspector finds clause, limit, values, times and signatures on page one") {
    LotRecord many_findings = crowded(fixtures::sunken_brisket(), 20);
    many_findings.judged.flags.resize(1);
    LotRecord signed_once = fixtures::cooling_beans();
    signed_once.signatures.resize(1);
    signed_once.signatures[0].name = "M. Okafor";
    signed_once.signatures[0].at = fixtures::after_noon(24 * 60);
    for (const LotRecord& record :
         {fixtures::sunken_brisket(), fixtures::silent_probe(), fixtures::warm_shoulder(),
          fixtures::cooling_beans(), fixtures::long_hold(200, Span::minutes(4)), many_findings,
          crowded(fixtures::silent_probe(), 4), crowded(fixtures::sunken_brisket(), 30),
          signed_once}) {
        for (const Paper paper : {Paper::letter, Paper::a4}) {
            const std::string page = first_page(record, paper);
            const auto& finding = record.judged.findings.back();
            INFO(record.history.name << ", " << record.judged.findings.size() << " findings");
            for (const std::string& part :
                 {finding.clause.substr(0, 8), finding.limit.text.substr(0, 6),
                  std::string{"2026-11-01"}, std::string{"Personincharge"},
                  std::string{"Verifiedbyasecondperson"}, std::string{"Nameinprint"}}) {
                INFO(part);
                CHECK(page.find(squeezed(part)) != std::string::npos);
            }
            CHECK(count_of(squeezed(poppler("pdftotext -layout", pdf(lot(record), paper), "-")),
                           "Verifiedbyasecondperson") == 1);
        }
    }
}

TEST_CASE(
    "signatures end the first page that has no room for the chart, in steps of a few points") {
    std::size_t without_chart = 0;
    std::size_t with_chart = 0;
    for (std::size_t times = 1; times <= 8; ++times) {
        for (std::size_t notes = 0; notes <= 5; ++notes) {
            LotRecord record = crowded(fixtures::sunken_brisket(), times);
            record.judged.flags.resize(times % 2);
            record.judged.notes.resize(notes, "A note.");
            const Paper paper = notes % 2 == 0 ? Paper::letter : Paper::a4;
            const std::string page = first_page(record, paper);
            INFO(times << " times, " << notes << " notes");
            const auto foot = page.rfind("LarkspurYardSmokehouse,lot");
            const auto sign = page.rfind("Dateandtime");
            REQUIRE(foot != std::string::npos);
            REQUIRE(sign != std::string::npos);
            if (page.find("Temperatureofbrisket") != std::string::npos) {
                ++with_chart;
                continue;
            }
            ++without_chart;
            CHECK(page.find("Evidence") == std::string::npos);
            CHECK(foot == sign + std::string{"Dateandtime"}.size());
        }
    }
    CHECK(with_chart > 0);
    CHECK(without_chart > 20);
}

TEST_CASE("ACC-4: a table's heading stands on each of its pages") {
    const std::string text =
        poppler("pdftotext -layout", pdf(lot(fixtures::long_hold(200, Span::minutes(4)))), "-");
    std::size_t pages = 0;
    std::istringstream parts{text};
    for (std::string page; std::getline(parts, page, '\f');) {
        // A page with several rows of readings ("2026-10-31 23:40 -06:00  164.3 °F").
        if (count_of(page, ":00  ") + count_of(page, "°F\n") > 20) {
            ++pages;
            INFO(page);
            CHECK(page.find("Time") != std::string::npos);
            CHECK(page.find("Remarks") != std::string::npos);
        }
    }
    CHECK(pages >= 3);
}

TEST_CASE("pages are counted within each sheet of a document") {
    const std::vector<Sheet> sheets = {lot(fixtures::warm_shoulder()),
                                       lot(fixtures::sunken_brisket())};
    const std::string text = poppler("pdftotext -layout", to_pdf(sheets, Paper::letter), "-");
    CHECK(count_of(text, "page 1 of ") == 2);
    CHECK(text.find("page 0") == std::string::npos);
}

TEST_CASE("accented, Hebrew and Arabic names are drawn in full and turn nothing around them") {
    // A letter that no font has is drawn as a box, which is no text: pdftotext would not find it.
    LotRecord record = fixtures::warm_shoulder();
    record.history.name = "\u062F\u062C\u0627\u062C-1"; // Arabic, "chicken"
    record.history.description = "\u05D1\u05E9\u05E8";  // Hebrew, "meat"
    record.history.raw_mass_g = 5443;
    record.history.stages[0].unit = "Wärmeschrank — Süd, œuvre à 57 °C";
    const Sheet sheet = lot(record);
    const std::string bytes = pdf(sheet);
    const std::string text = poppler("pdftotext -layout", bytes, "-");
    for (const char* letter : {"\u062F", "\u062C", "\u0627", "\u05D1", "\u05E9", "\u05E8"}) {
        INFO(letter);
        CHECK(text.find(letter) != std::string::npos);
    }
    CHECK(squeezed(text).find("Wärmeschrank—Süd") != std::string::npos);
    CHECK(text.find("œuvre") != std::string::npos);
    // The description stands to the left of the weight that follows it: the line was not turned.
    const std::string boxes = poppler("pdftotext -bbox", bytes, "-");
    const auto left_of = [&](const std::string& word) {
        const auto end = boxes.find(word + "</word>");
        REQUIRE(end != std::string::npos);
        return std::stod(boxes.substr(boxes.rfind("xMin=\"", end) + 6));
    };
    CHECK(left_of("\u05E8") < left_of("raw"));
    // UAX #9: isolated, what a person wrote leaves the figures beside it in their order.
    const std::string page = to_text(sheet);
    CHECK(page.find("\u2068\u05D1\u05E9\u05E8\u2069 (") != std::string::npos);
    CHECK(page.find("\u2068\u062F\u062C\u0627\u062C-1\u2069") != std::string::npos);
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
