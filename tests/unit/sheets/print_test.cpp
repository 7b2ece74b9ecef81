#include "fixtures.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/markup.hpp>
#include <holdwarden/sheets/print.hpp>
#include <holdwarden/sheets/texts.hpp>
#include <holdwarden/sheets/words.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <sstream>

using namespace holdwarden;
using namespace holdwarden::sheets;
using fixtures::between;
using fixtures::count_of;

namespace {

const HtmlFrame& frame() {
    static const HtmlFrame loaded = load_frame(std::string{HOLDWARDEN_SOURCE_DIR} + "/reports");
    return loaded;
}

Sheet night() {
    const std::vector<LotRecord> lots = {fixtures::warm_shoulder(), fixtures::cooling_beans(),
                                         fixtures::silent_probe(), fixtures::sunken_brisket()};
    return night_sheet(fixtures::larkspur(), {2026, 10, 31}, lots, fixtures::troubles(),
                       fixtures::made());
}

Sheet lot(const LotRecord& record) {
    return lot_sheet(fixtures::larkspur(), record, fixtures::troubles(), fixtures::made());
}

std::string html(const Sheet& sheet) {
    return to_html(sheet, frame());
}

std::size_t columns(const std::string& line) {
    return static_cast<std::size_t>(std::ranges::count_if(
        line, [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

/// Relative luminance and contrast ratio: WCAG 2.2, "relative luminance" and "contrast ratio".
double luminance(const std::string& hex) {
    const auto channel = [&](std::size_t i) {
        const double c = std::stoi(hex.substr(1 + 2 * i, 2), nullptr, 16) / 255.0;
        return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    return 0.2126 * channel(0) + 0.7152 * channel(1) + 0.0722 * channel(2);
}
double contrast(const std::string& a, const std::string& b) {
    const double la = luminance(a);
    const double lb = luminance(b);
    return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

} // namespace

TEST_CASE("hostile names come out as text in every printer") {
    LotRecord record = fixtures::sunken_brisket();
    const std::string hostile = "<img src=x onerror=alert(1)>&\"'</style></title>\x1b[31m\u202Eabc";
    record.history.name = hostile;
    record.history.description = hostile;
    record.history.points[0].point = hostile;
    record.history.probes[0].name = hostile;
    record.history.stages[0].unit = hostile;
    record.history.stages[0].by = hostile;
    record.judged.findings[1].reason = hostile;
    record.judged.findings[1].clause = hostile;
    record.judged.flags[0].act = {hostile};
    SiteFacts site = fixtures::larkspur();
    site.name = hostile;
    site.pack_title = hostile;
    Made made = fixtures::made();
    made.by = hostile;
    Troubles troubles = fixtures::troubles();
    troubles.rejects[0].text = hostile;
    troubles.rejects[0].reason = hostile;
    troubles.rejects[0].file = hostile;
    troubles.conflicts[0].point = hostile;
    const Sheet sheet = lot_sheet(site, record, troubles, made);
    const std::string page = html(sheet);
    CHECK(page.find("<img") == std::string::npos);
    CHECK(count_of(page, "</style>") == 1);
    CHECK(count_of(page, "</title>") == 3); // the page's and two charts'
    const std::string text = to_text(sheet);
    for (const std::string& out : {page, text}) {
        CHECK(is_utf8(out));
        CHECK(out.find('\x1b') == std::string::npos);
        CHECK(out.find("\u202E") == std::string::npos);
        CHECK(out.find("\\u{202E}") != std::string::npos);
    }
    CHECK(text.find("<img src=x") != std::string::npos);
}

TEST_CASE("the one escaping function covers what HTML gives a meaning to") {
    CHECK(escaped("a&b<c>d\"e'f") == "a&amp;b&lt;c&gt;d&quot;e&#39;f");
    CHECK(escaped("135 °F — ok") == "135 °F — ok");
}

TEST_CASE("a CSS string cannot end before its end") {
    CHECK(css_string("lot a-1") == "\"lot a-1\"");
    CHECK(css_string("\"</\\") == "\"\\000022\\00003C\\00002F\\00005C\"");
    CHECK(css_string("é") == "\"\\0000E9\"");
}

TEST_CASE("a right-to-left name is isolated, others are not") {
    // UAX #9: FSI U+2068, PDI U+2069.
    CHECK(shown("\u05E2\u05D5\u05E3") == "\u2068\u05E2\u05D5\u05E3\u2069");
    CHECK(shown("Brust Süd — 1") == "Brust Süd — 1");
}

TEST_CASE("what was entered late is named in words, not by id") {
    LotRecord record = fixtures::warm_shoulder();
    for (const char* subject : {"hot-holding", "time-control", "served", "core reading 171 °F"}) {
        record.history.remarks.emplace_back();
        records::EntryRemark& remark = record.history.remarks.back();
        remark.subject = subject;
        remark.happened_at = fixtures::after_noon(600);
        remark.entered_at = fixtures::after_noon(700);
        remark.by = "RK";
        remark.late = true;
    }
    const std::string text = to_csv(lot(record));
    CHECK(text.find("hot holding 2026-10-31 22:00 -06:00; time control 2026-10-31") !=
          std::string::npos);
    CHECK(text.find("; served 2026-10-31") != std::string::npos);
    CHECK(text.find("; core reading 171 °F 2026-10-31") != std::string::npos);
    CHECK(text.find("hot-holding") == std::string::npos);
}

TEST_CASE("only food that was discarded is called discarded") {
    // Of five kinds of end, each has a name of its own (include/holdwarden/base/vocabulary.hpp).
    std::set<std::string> titles;
    for (const Outcome outcome : {Outcome::served, Outcome::discarded, Outcome::split,
                                  Outcome::merged, Outcome::handed_on}) {
        titles.insert(outcome_title(outcome));
    }
    CHECK(titles.size() == 5);
}

TEST_CASE("the page stands alone: no script, no network") {
    for (const std::string& page : {html(night()), html(lot(fixtures::sunken_brisket()))}) {
        CHECK(page.find("<script") == std::string::npos);
        CHECK(page.find("src=") == std::string::npos);
        CHECK(page.find("href") == std::string::npos);
        CHECK(page.find("@import") == std::string::npos);
        for (const std::string& reference : between(page, "url(", ")")) {
            CHECK(reference.front() == '#');
        }
        for (const std::string& address : between(page, "http", "\"")) {
            CHECK(address == "://www.w3.org/2000/svg"); // a name, not fetched
        }
        CHECK(page.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
        CHECK(page.find("<meta name=\"viewport\"") != std::string::npos);
        CHECK(page.find("{{") == std::string::npos);
    }
}

TEST_CASE("headings descend one level at a time from one h1") {
    for (const std::string& page : {html(night()), html(lot(fixtures::silent_probe()))}) {
        CHECK(count_of(page, "<h1>") == 1);
        int before = 0;
        for (auto at = page.find("<h"); at != std::string::npos; at = page.find("<h", at + 1)) {
            const char digit = page[at + 2];
            if (digit >= '1' && digit <= '6') {
                CHECK(digit - '0' <= before + 1);
                before = digit - '0';
            }
        }
        CHECK(before > 0);
    }
}

TEST_CASE("every table has a caption and header cells with scope, and full rows") {
    for (const std::string& page : {html(night()), html(lot(fixtures::sunken_brisket()))}) {
        const auto tables = between(page, "<table", "</table>");
        CHECK(tables.size() >= 4);
        for (const std::string& table : tables) {
            CHECK(count_of(table, "<caption>") == 1);
            CHECK(count_of(table, "<th") - count_of(table, "<thead") ==
                  count_of(table, "scope=\"col\"") + count_of(table, "scope=\"row\""));
            const std::size_t wanted = count_of(table, "scope=\"col\"");
            const auto body = between(table, "<tbody>", "</tbody>");
            REQUIRE(body.size() == 1);
            for (const std::string& row : between(body[0], "<tr>", "</tr>")) {
                CHECK(count_of(row, "<td") + count_of(row, "<th ") == wanted);
            }
        }
    }
}

TEST_CASE("elements close in the order they opened, ids are unique") {
    const std::string page = html(night());
    static const std::set<std::string> kVoid = {"meta", "!DOCTYPE"};
    std::vector<std::string> open;
    std::string body = page;
    body.erase(body.find("<style>"), body.find("</style>") - body.find("<style>"));
    body.erase(body.find("</style>"), std::string{"</style>"}.size());
    for (const std::string& tag : between(body, "<", ">")) {
        const std::string name = tag.substr(0, tag.find_first_of(" \n/", 1));
        if (tag.front() == '/') {
            REQUIRE_FALSE(open.empty());
            CHECK(open.back() == tag.substr(1));
            open.pop_back();
        } else if (tag.back() != '/' && !kVoid.contains(name)) {
            open.push_back(name);
        }
    }
    CHECK(open.empty());
    const auto ids = between(page, " id=\"", "\"");
    CHECK(std::set<std::string>(ids.begin(), ids.end()).size() == ids.size());
}

TEST_CASE("a verdict is a word with its mark, in the order worst first") {
    const std::string text = to_text(night());
    const auto place = [&](const char* part) { return text.find(part); };
    CHECK(place("▼ not met") < place("brisket-2"));
    CHECK(place("brisket-2   ▼ not met") < place("shoulder-2  ◧ not"));
    CHECK(place("shoulder-2  ◧ not") < place("beans-1     □ open"));
    CHECK(place("beans-1     □ open") < place("shoulder-1  ■ met"));
    CHECK(place("shoulder-1  ■ met") != std::string::npos);
    const std::string page = html(night());
    for (const auto verdict : {judge::Verdict::not_met, judge::Verdict::not_shown,
                               judge::Verdict::open, judge::Verdict::met}) {
        const std::string mark = "aria-hidden=\"true\">" + std::string{judge::mark(verdict)} +
                                 "</span> " + std::string{judge::to_words(verdict)};
        CHECK(page.find(mark) != std::string::npos);
    }
}

TEST_CASE("among equal verdicts the lot with more unanswered flags comes first") {
    LotRecord quiet = fixtures::silent_probe();
    quiet.history.name = "a-quiet";
    quiet.judged.flags.clear();
    const std::vector<LotRecord> lots = {quiet, fixtures::silent_probe()};
    const std::string text =
        to_text(night_sheet(fixtures::larkspur(), {2026, 10, 31}, lots, {}, fixtures::made()));
    CHECK(text.find("shoulder-2  ◧") < text.find("a-quiet     ◧"));
}

TEST_CASE("each sheet states what it rests on") {
    for (const Sheet& sheet : fixtures::every_sheet()) {
        for (const std::string& out : {to_text(sheet), html(sheet)}) {
            for (const char* fact : {"Larkspur Yard Smokehouse",
                                     "America/Denver",
                                     "FDA Food Code, edition 2022",
                                     "us-fda-2022",
                                     "as read",
                                     "M. Okafor",
                                     "2026-11-01 12:00 -07:00",
                                     "holdwarden 0.1.0",
                                     "local food code",
                                     "regulator",
                                     "licensed",
                                     "5280 ft",
                                     "25 hours",
                                     "House limits",
                                     "Hot holding: 140 °F, since 2026-10-15",
                                     "Cooling, total time: within 5 h",
                                     "variance 2026-17",
                                     "Variances",
                                     "a3f5a3f5",
                                     "1234 leaves"}) {
                INFO(fact);
                CHECK(out.find(fact) != std::string::npos);
            }
        }
    }
}

TEST_CASE("reading order: verdict, what to do, why, evidence, signatures") {
    for (const std::string& out :
         {to_text(lot(fixtures::sunken_brisket())), html(lot(fixtures::sunken_brisket()))}) {
        std::size_t before = 0;
        for (const char* part : {"not met", "What to do", "Why", "Evidence", "Signatures"}) {
            const auto at = out.find(part, before);
            INFO(part);
            REQUIRE(at != std::string::npos);
            before = at;
        }
    }
}

TEST_CASE("a night without lots is not shown as met") {
    const Sheet sheet = night_sheet(fixtures::larkspur(), {2026, 7, 1}, {}, {}, fixtures::made());
    const std::string text = to_text(sheet);
    CHECK(text.find("◧ not shown") != std::string::npos);
    CHECK(text.find("■ met") == std::string::npos);
}

TEST_CASE("text keeps to 80 columns, also with a name of 120 characters and 200 readings") {
    LotRecord record = fixtures::long_hold(200, Span::minutes(4));
    record.history.name = std::string(120, 'x');
    record.history.points[0].point = "flat, thick end, above the fat seam";
    for (const Sheet& sheet : {lot(record), night()}) {
        std::istringstream lines{to_text(sheet)};
        for (std::string line; std::getline(lines, line);) {
            INFO(line);
            CHECK(columns(line) <= 80);
        }
    }
    const std::string page = html(lot(record));
    CHECK(page.find(std::string(120, 'x')) != std::string::npos);
}

TEST_CASE("no word that fits on a line is broken in text") {
    std::vector<Sheet> sheets = fixtures::every_sheet();
    const std::vector<LotRecord> lots = {fixtures::answered(judge::AnswerState::incomplete),
                                         fixtures::answered(judge::AnswerState::closed)};
    sheets.push_back(actions_sheet(fixtures::larkspur(),
                                   {fixtures::after_noon(0), fixtures::after_noon(25 * 60)}, lots,
                                   fixtures::made()));
    for (Sheet& sheet : sheets) {
        INFO(sheet.title);
        const std::string text = to_text(sheet);
        std::set<std::string> printed;
        std::istringstream lines{text};
        for (std::string word; lines >> word;) {
            printed.insert(word);
        }
        each_text(sheet, [&](std::string& whole) {
            std::istringstream words{whole};
            for (std::string word; words >> word;) {
                INFO(word);
                // A label of a fact or of a listed column has its colon.
                CHECK(
                    (columns(word) > 40 || printed.contains(word) || printed.contains(word + ":")));
            }
        });
        std::istringstream again{text};
        for (std::string line; std::getline(again, line);) {
            INFO(line);
            CHECK(columns(line) <= 80);
        }
    }
}

TEST_CASE("a row whose texts are too long for its columns is printed as a list") {
    const Table table{.caption = "Deviations",
                      .columns = {{"Lot"}, {"What happened"}, {"State"}},
                      .rows = {{{"beans-1"}, {"It cooled."}, {"open"}}}};
    Sheet sheet{
        .title = "t", .running = "", .lang = "en", .made_at = "", .software = "", .sections = {}};
    sheet.sections.push_back({.heading = "", .blocks = {table}});
    CHECK(to_text(sheet).find("beans-1  It cooled.     open\n") != std::string::npos);
    auto& rows = std::get<Table>(sheet.sections[0].blocks[0]).rows;
    rows[0][1].text += std::string(40, 'x') + " ";
    for (int i = 0; i < 200; ++i) {
        rows[0][1].text += " again";
    }
    const std::string listed = to_text(sheet);
    CHECK(listed.find("\nLot:           beans-1\nWhat happened: It cooled.") != std::string::npos);
    CHECK(listed.find("\nState:         open\n") != std::string::npos);
}

TEST_CASE("200 readings are printed one by one, 5,000 by interval with their extremes") {
    const std::string few = to_text(lot(fixtures::long_hold(200, Span::minutes(4))));
    CHECK(few.find("too many to print") == std::string::npos);
    LotRecord many = fixtures::long_hold(5000, Span::seconds(9));
    many.history.points[0].readings[2477].value =
        Temperature::of_thousandths(128'300, Scale::fahrenheit);
    const std::string reduced = to_text(lot(many));
    CHECK(reduced.find("5000 readings are too many to print") != std::string::npos);
    CHECK(reduced.find("128.3 °F") != std::string::npos);
}

TEST_CASE("a reading below the limit is remarked on, the one before is not") {
    const std::string text = to_text(lot(fixtures::sunken_brisket()));
    const auto readings = text.substr(text.find("Readings in the food"));
    CHECK(readings.find("2026-11-01 02:00 -07:00        145.1 °F") == std::string::npos);
    const auto line_at = [&](const std::string& time) {
        const auto at = readings.find(time);
        REQUIRE(at != std::string::npos);
        return readings.substr(at, readings.find('\n', at) - at);
    };
    CHECK(line_at("2026-11-01 01:50 -07:00").find("below") == std::string::npos);
    CHECK(line_at("2026-11-01 02:00 -07:00").find("flat below the limit") != std::string::npos);
}

TEST_CASE("inks of the page stand out from its papers in light and dark") {
    // WCAG 2.2, 1.4.3: at least 4.5 to 1.
    const auto inks = between(frame().style, "--ink: ", ";");
    const auto papers = between(frame().style, "--paper: ", ";");
    const auto softs = between(frame().style, "--soft: ", ";");
    REQUIRE(inks.size() == 3); // light, dark, print
    REQUIRE(papers.size() == 3);
    REQUIRE(softs.size() == 3);
    for (std::size_t i = 0; i < inks.size(); ++i) {
        CHECK(contrast(inks[i], papers[i]) >= 4.5);
        CHECK(contrast(inks[i], softs[i]) >= 4.5);
    }
    CHECK(contrast("#000000", "#ffffff") == Approx(21)); // WCAG 2.2: from 1 to 21
    CHECK(inks[2] == "#000000");
    CHECK(papers[2] == "#ffffff");
}

TEST_CASE("a missing template says which and how to mend it") {
    try {
        load_frame("/nowhere");
        FAIL("loaded");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::not_found);
        CHECK(error.text().where == "/nowhere/sheet.html");
        CHECK_FALSE(error.text().fix.empty());
    }
}
