#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/sheets/label.hpp>

#include <nlohmann/json.hpp>

#include <fstream>

using namespace kitchen;
using Json = nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t n = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++n;
    }
    return n;
}

std::string faults(const std::string& answer, const char* schema) {
    std::ifstream file{std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/json/" + schema};
    std::string text;
    for (const std::string& fault : test::schema_faults(Json::parse(file), Json::parse(answer))) {
        text += fault + "\n";
    }
    return text;
}

} // namespace

TEST_CASE("a label counts the day of making as day 1 and names day 7") {
    // FDA Food Code 2022, 3-501.17: at most 7 days, the day of making being day 1.
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "cooking", "60F", "--at", "2026-10-31 05:00"});
    const std::string label = kitchen.good({"label", "brisket-1"});
    CHECK(has(label, "USE OR DISCARD BY Fri 2026-11-06")); // 31 Oct is day 1, 6 Nov day 7
    CHECK(has(label, "Made (day 1): Sat 2026-10-31"));
    CHECK(has(label, "day 7 (3-501.17)"));
    CHECK(has(label, "Larkspur Yard Smokehouse, us-fda-2022"));
    CHECK(has(label, "\nbrisket-1\n"));
    CHECK(count(kitchen.good({"label", "brisket-1", "--copies", "3"}), "USE OR DISCARD") == 3);
    CHECK(has(kitchen.good({"label", "brisket-1", "--note", "for Sunday"}), "Note: for Sunday"));
}

TEST_CASE("whole days in the freezer move the last day, those before the cook do not") {
    Kitchen kitchen;
    kitchen.set_clock("2026-11-10T06:00:00-07:00");
    kitchen.good({"init", "--name", "Larkspur Yard Smokehouse", "--zone", "America/Denver"});
    kitchen.good({"lot", "open", "ham-1", "--at", "2026-11-01 05:00"});
    kitchen.good({"stage", "ham-1", "frozen", "--at", "2026-11-01 05:00"});
    kitchen.good({"stage", "ham-1", "cooking", "--at", "2026-11-04 05:00"});
    CHECK(has(kitchen.good({"label", "ham-1"}), "USE OR DISCARD BY Tue 2026-11-10"));
    kitchen.good({"stage", "ham-1", "frozen", "--at", "2026-11-05 05:00"});
    kitchen.good({"stage", "ham-1", "thawing", "--at", "2026-11-07 06:00"}); // two whole days
    const std::string label = kitchen.good({"label", "ham-1"});
    CHECK(has(label, "USE OR DISCARD BY Thu 2026-11-12"));
    CHECK(has(label, "2 frozen days not counted"));
}

TEST_CASE("under time control the label has the hour: four hours, six, and what is left of them") {
    // FDA Food Code 2022, 3-501.19(B) and (C): marked with the time that is 4 h, or 6 h, after the
    // removal.
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "cooking", "--at", "2026-10-31 05:00"});
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 17:00"});
    kitchen.good({"stage", "brisket-1", "time-control", "150F", "--at", "2026-11-01 05:00"});
    const std::string label = kitchen.good({"label", "brisket-1"});
    CHECK(has(label, "OUT BY Sun 2026-11-01 09:00 -07:00"));
    CHECK(has(label, "Taken out: Sun 2026-11-01 05:00 -07:00"));
    CHECK(has(kitchen.good({"label", "brisket-1", "--day"}), "USE OR DISCARD BY Fri 2026-11-06"));
    kitchen.good({"stage", "beans-1", "cold-holding", "--at", "2026-10-31 18:00"});
    kitchen.good(
        {"stage", "beans-1", "time-control", "38F", "--form", "6h", "--at", "2026-11-01 05:00"});
    CHECK(has(kitchen.good({"label", "beans-1"}), "OUT BY Sun 2026-11-01 11:00 -07:00"));
    kitchen.good({"stage", "beans-1", "served"});
    CHECK(kitchen.says({"label", "beans-1"}).status == cli::kFailed);
    CHECK(kitchen.says({"label", "brisket-2"}).status ==
          cli::kFailed); // nothing says when it was made
}

TEST_CASE("labels are printed as HTML and PDF in the size asked for") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"lot", "open", "beans <hot> & sweet", "--made-on", "2026-10-31", "--at",
                  "2026-10-31 18:00"});
    const std::string html =
        kitchen.good({"label", "beans <", "--format", "html", "--copies", "2"});
    CHECK(has(html, "size:76.0mm 51.0mm"));
    CHECK(has(html, "beans &lt;hot&gt; &amp; sweet"));
    CHECK(count(html, "<section>") == 2);
    const std::string pdf = (kitchen.folder() / "label.pdf").string();
    CHECK(has(kitchen.good({"label", "beans <", "--size", "100x50mm", "--output", pdf}), "Wrote"));
    std::ifstream in{pdf, std::ios::binary};
    const std::string bytes{std::istreambuf_iterator<char>{in}, {}};
    CHECK(bytes.starts_with("%PDF-"));
    // ISO 32000-1, 14.11.2: the media box, in points of 1/72 inch: 100 mm is 283.46, 50 mm 141.73.
    CHECK(has(bytes, "283.46"));
    CHECK(has(bytes, "141.73"));
    CHECK(kitchen.says({"label", "beans <", "--output", pdf}).status ==
          cli::kFailed); // there already
    CHECK(kitchen.good({"label", "beans <", "--format", "pdf", "--copies", "2"})
              .starts_with("%PDF-"));
}

TEST_CASE("a label's size is read in millimetres and inches, within what printers take") {
    // An inch is 25.4 mm exactly (NIST SP 811, App. B.6, from memory).
    const auto read = [](const char* text) {
        const sheets::LabelSize size = sheets::parse_label_size(text);
        return std::pair{size.width_tenth_mm, size.height_tenth_mm};
    };
    CHECK(read("50x25mm") == std::pair{500, 250});
    CHECK(read("100 x 50 mm") == std::pair{1000, 500});
    CHECK(read("3x2in") == std::pair{762, 508});
    CHECK(read("2.5x1in") == std::pair{635, 254});
    for (const char* bad : {"", "50", "50x25", "50mm", "x25mm", "50xmm", "19x50mm", "50x301mm",
                            "-50x25mm", "nanx50mm", "50x25x10mm", "50x25cm"}) {
        INFO(bad);
        CHECK_THROWS_AS(sheets::parse_label_size(bad), Error);
    }
}

TEST_CASE("a label whose words do not fit says so instead of cutting them") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"lot", "open", "ham-1", "--made-on", "2026-10-31", "--description",
                  std::string(400, 'w'), "--at", "2026-10-31 18:00"});
    const Answer answer = kitchen.says({"label", "ham-1", "--size", "20x20mm", "--format", "pdf"});
    CHECK(answer.status == cli::kFailed);
    CHECK(has(answer.err, "take a larger one"));
    CHECK(answer.out.empty());
}

TEST_CASE("a written procedure is kept with its versions and printed on demand") {
    Kitchen kitchen;
    kitchen.open_for_business();
    CHECK(has(kitchen.good({"paper", "list"}), "No papers on file"));
    const std::string file =
        kitchen.write("counter.txt", "1. Mark the pan <here>.\r\n2. Out after 4 h.\n");
    CHECK(has(kitchen.good({"paper", "keep", "counter", "--kind", "time-control-procedure",
                            "--title", "Brisket at the counter", "--file", file, "--by", "RK"}),
              "Paper counter, version 1"));
    const Answer same =
        kitchen.says({"paper", "keep", "counter", "--kind", "time-control-procedure", "--title",
                      "Brisket at the counter", "--file", file});
    CHECK(same.status == cli::kFailed);
    CHECK(
        has(kitchen.good({"paper", "keep", "counter", "--file", "-", "--by", "QM"}, "New text.\n"),
            "version 2"));
    const std::string latest = kitchen.good({"paper", "show", "counter"});
    CHECK(has(latest, "New text."));
    CHECK(has(latest, "version 2, kept on file by QM"));
    const std::string first = kitchen.good({"paper", "show", "counter", "--version-of", "1"});
    CHECK(has(first, "Brisket at the counter"));
    CHECK(has(first, "1. Mark the pan <here>.\n2. Out after 4 h."));
    CHECK(has(kitchen.good({"paper", "show", "counter", "--version-of", "1", "--format", "html"}),
              "1. Mark the pan &lt;here&gt;."));
    CHECK(kitchen.good({"paper", "show", "counter", "--format", "pdf"}).starts_with("%PDF-"));
    CHECK(kitchen.says({"paper", "show", "counter", "--version-of", "3"}).status == cli::kFailed);
    CHECK(kitchen.says({"paper", "show", "menu"}).status == cli::kFailed);
    CHECK(has(kitchen.good({"paper", "list"}), "time-control-procedure"));
    CHECK(faults(kitchen.good({"paper", "list", "--format", "json"}),
                 "holdwarden-papers-1.schema.json") == "");
}

TEST_CASE("ACC-6: blank forms carry the limits and the columns that transcribe reads") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::string cooling = kitchen.good({"form", "cooling"});
    // FDA Food Code 2022, 3-501.14(A): 135 °F to 70 °F within 2 h, to 41 °F within a total of 6 h.
    for (const char* part :
         {"135 °F (57 °C)", "70 °F (21 °C)", "41 °F (5 °C)", "3-501.14(A)", "temperature, °F",
          "initials", "Keep this sheet: it is the original", "us-fda-2022"}) {
        INFO(part);
        CHECK(has(cooling, part));
    }
    const std::string holding =
        kitchen.good({"form", "holding", "--rows", "5", "--format", "html"});
    CHECK(has(holding, "3-501.16(A)(1)"));
    CHECK(has(holding, "at least every 2 h"));
    CHECK(count(holding, "<tr>") == 6); // the heading and five rows
    CHECK(has(kitchen.good({"form", "check"}), "within 2 °F"));
    CHECK(kitchen.good({"form", "holding", "--rows", "60", "--paper", "a4", "--format", "pdf"})
              .starts_with("%PDF-"));
    CHECK(has(kitchen.good({"form", "holding", "--code", "uk-england"}), "63 °C"));
    CHECK(kitchen.says({"form", "menu"}).status == cli::kWrongUsage);
    CHECK(kitchen.says({"form", "cooling", "--rows", "0"}).status == cli::kWrongUsage);

    // The printed headings are those that transcribe takes.
    const std::string head = cooling.substr(
        cooling.find("| lot"), cooling.find('\n', cooling.find("| lot")) - cooling.find("| lot"));
    std::string csv;
    for (const char c : head) {
        csv += c == '|' ? '\n' : c;
    }
    std::string line;
    std::istringstream cells{csv};
    std::string heading;
    while (std::getline(cells, line)) {
        if (!line.empty()) {
            const std::string cell = line.substr(1, line.find_last_not_of(' '));
            heading += (heading.empty() ? "\"" : ",\"") + cell + "\"";
        }
    }
    const std::string file =
        kitchen.write("rows.csv", heading + "\nbrisket-1,2026-10-31,22:05,141,,,QM,\n");
    CHECK(has(kitchen.good({"transcribe", file, "--form", "cooling", "--written-by", "QM", "--kept",
                            "folder 3"}),
              "brisket-1, core: 141 °F at 2026-10-31 22:05 -06:00"));
}

TEST_CASE("ACC-6: a filled form is entered with the paper's times, its writer and its place") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "150F", "--at", "2026-10-31 18:00"});
    const std::string rows =
        kitchen.write("rows.csv", "lot,date,time,temperature,point,probe,initials\n"
                                  "brisket-1,2026-10-31,20:00,145F,core,p1,QM\n"
                                  ",,21:30,143,,,\n"
                                  "\"brisket-1\",,2026-10-31T23:00:00-06:00,62.5C,flat,,\n");
    const std::vector<std::string> command{"transcribe",   rows, "--form", "holding",
                                           "--written-by", "QM", "--kept", "folder 3, page 12",
                                           "--by",         "RK"};
    // The third row has a date from the row above and a whole time: refused, and nothing is
    // written.
    const std::string before = kitchen.store_bytes();
    const Answer refused = kitchen.says(command);
    CHECK(refused.status == cli::kWrongUsage);
    CHECK(has(refused.err, "rows.csv:4"));
    CHECK(kitchen.store_bytes() == before);

    kitchen.write("rows.csv", "lot,date,time,temperature,point,probe,initials\n"
                              "brisket-1,2026-10-31,20:00,145F,core,p1,QM\n"
                              ",,21:30,143,,,\n"
                              "\"brisket-1\",,23:00,62.5C,flat,,\n");
    const std::string said = kitchen.good(command);
    CHECK(has(said, "1  brisket-1, core: 145 °F at 2026-10-31 20:00 -06:00 (QM)"));
    CHECK(has(said, "2  brisket-1, core: 143 °F at 2026-10-31 21:30 -06:00"));
    CHECK(has(said, "3  brisket-1, flat: 62.5 °C at 2026-10-31 23:00 -06:00"));
    CHECK(has(said,
              "Transcribed 3 rows written by QM; the paper is the original, kept at: folder 3, "
              "page 12. 3 added"));
    CHECK(has(said, "entered by RK"));
    CHECK(kitchen.says(command).status == cli::kFailed); // the same sheet again
    const std::string list = kitchen.good({"filled-form", "list"});
    CHECK(has(list, "holding form, written by QM, kept at folder 3, page 12; typed by RK"));
    CHECK(has(list, "brisket-1 | 2026-10-31 | 20:00 | 145F | core | p1 | QM"));
    CHECK(faults(kitchen.good({"filled-form", "list", "--format", "json"}),
                 "holdwarden-filled-forms-1.schema.json") == "");
    CHECK(has(kitchen.good({"lot", "show", "brisket-1"}),
              "3 of its readings were entered from a form filled in by pen"));
}

TEST_CASE("a form is entered row by row at the keyboard, the usual answer being one key") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const std::vector<std::string> command{"transcribe", "--form", "cooling", "--written-by",
                                           "QM",         "--kept", "folder 3"};
    const Answer answer = kitchen.says(command, "beans\n2026-10-31\n20:00\n120F\n\n"
                                                "\n\n21:00\nwarm\n\n" // no temperature: asked again
                                                "\n\n21:00\n71F\nTM\n"
                                                "\n\n\n");
    CHECK(answer.status == cli::kDone);
    CHECK(has(answer.err, "row 2, lot [beans]"));
    CHECK(has(answer.err, "The row was not taken; write it again."));
    CHECK(has(answer.out, "1  beans-1, core: 120 °F at 2026-10-31 20:00 -06:00 (QM)"));
    CHECK(has(answer.out, "2  beans-1, core: 71 °F at 2026-10-31 21:00 -06:00 (TM)"));
    CHECK(has(answer.out, "2 added"));
    // Answers that end in the middle of a row, and no row at all, enter nothing.
    CHECK(kitchen.says(command, "beans\n2026-10-31\n22:00\n").status == cli::kFailed);
    CHECK(kitchen.says(command, "").status == cli::kFailed);
    CHECK(count(kitchen.good({"filled-form", "list"}), "form, written by") == 1);
}

TEST_CASE("ACC-6: a filled check form is entered, and sheets mark it as transcribed") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "150F", "--at", "2026-10-31 18:00"});
    // The form's foot names the command, its headings are the columns that are read.
    const std::string form = kitchen.good({"form", "check"});
    CHECK(has(form, "holdwarden transcribe --form check"));
    for (const char* heading :
         {"probe", "method", "should be, °F", "showed, °F", "what was done"}) {
        CHECK(has(form, heading));
    }
    // Water boils at 202.6 °F or so at 5,280 ft (ICAO standard atmosphere; common practice rounds
    // to 1 °F per 500 ft): the empty cell takes what the site's altitude gives.
    const std::string rows = kitchen.write(
        "checks.csv",
        "probe,date,time,method,\"should be, °F\",\"showed, °F\",initials,what was done\n"
        "p1,2026-10-31,16:00,ice,,33,QM,\n"
        ",,16:05,boiling,,203,,\n"
        "p2,,16:10,side-by-side p1,140,143,QM,\"said so, on paper\"\n");
    const std::vector<std::string> command{"transcribe",   rows, "--form", "check",
                                           "--written-by", "QM", "--kept", "folder 4",
                                           "--by",         "RK"};
    const std::string said = kitchen.good(command);
    CHECK(has(said, "p1, ice-point: 33 °F where 32 °F was true, within"));
    CHECK(has(said, "p1, boiling-point: 203 °F"));
    CHECK(has(said, "p2, side-by-side: 143 °F where 140 °F"));
    CHECK(has(said, "3 added"));
    CHECK(kitchen.says(command).status == cli::kFailed); // the same paper again
    const std::string sheet =
        kitchen.good({"sheet", "--checks", "--night", "2026-10-31", "--format", "html"});
    CHECK(count(sheet, "the original, kept at folder 4") >= 1);
    // They count as checks: p1's last check is the paper's.
    CHECK(has(kitchen.good({"probe", "checks", "p1"}), "2026-10-31 16:05"));

    const std::string before = kitchen.store_bytes();
    for (const char* bad :
         {"p9,2026-10-31,17:00,ice,,32,QM,", "p1,2026-10-31,17:00,nose,,32,QM,",
          "p1,2026-10-31,17:00,ice,33,32,QM,", "p1,2026-10-31,17:00,reference,140,,QM,",
          "p1,2026-10-31,17:00,side-by-side,140,141,QM,", "p1,2027-10-31,17:00,ice,,32,QM,"}) {
        INFO(bad);
        const std::string file = kitchen.write(
            "bad.csv",
            std::string{"probe,date,time,method,should be,showed,initials,what was done\n"} + bad +
                "\n");
        CHECK(kitchen
                  .says({"transcribe", file, "--form", "check", "--written-by", "QM", "--kept",
                         "folder 4"})
                  .status != cli::kDone);
    }
    CHECK(kitchen.store_bytes() == before);
}

TEST_CASE(
    "transcribed readings stand on the sheet with the paper's time, its writer and its place") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "150F", "--at", "2026-10-31 18:00"});
    const std::string rows = kitchen.write(
        "rows.csv", "lot,date,time,temperature\nbrisket-1,2026-10-31,20:00,145F\n,,21:30,143\n");
    kitchen.good({"transcribe", rows, "--form", "holding", "--written-by", "QM", "--kept",
                  "folder 3, page 12", "--by", "RK"});
    const std::string sheet = kitchen.good({"sheet", "brisket-1", "--format", "html"});
    CHECK(count(sheet, "transcribed from paper (QM)") == 2);
    CHECK(has(sheet, "folder 3, page 12"));
    CHECK(has(kitchen.says({"check", "brisket-1", "--format", "json"}).out,
              "\"paper\": \"folder 3, page 12\""));
}
