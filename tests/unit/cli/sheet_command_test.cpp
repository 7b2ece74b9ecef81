#include "kitchen.hpp"

#include <holdwarden/cli/write_file.hpp>

#include <fmt/format.h>

using namespace kitchen;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;

namespace {

/// brisket-1 held from 18:00 to 06:00 over the change of clocks, a reading each half hour, one of
/// them twice with two values; two rows that cannot be taken, one of the night and one of another
/// day.
void hold_overnight(Kitchen& kitchen) {
    kitchen.open_for_business();
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00"});
    kitchen.good(
        {"stage", "brisket-1", "hot-holding", "--unit", "cabinet-1", "--at", "2026-10-31 18:00"});
    std::string csv = "time,p1_f\n";
    const Instant from = *parse_rfc3339("2026-10-31T18:00:00-06:00");
    for (int i = 0; i <= 26; ++i) {
        csv += to_utc_text(from + Span::minutes(30 * i)) + ",141.5\n";
    }
    csv += "2026-11-01T01:30:00-06:00,139.9\n";
    csv += "2026-11-01T01:45:00-06:00,warm\n";
    csv += "2026-10-20T12:00:00-06:00,cold\n";
    // A row is refused and a value in conflict, so something is said; it is no failure.
    const Answer imported = kitchen.says({"import", kitchen.write("night.csv", csv)});
    INFO(imported.err);
    REQUIRE(imported.status == cli::kDone);
    kitchen.good({"stage", "brisket-1", "served", "--at", "2026-11-01 06:00"});
}

std::string content(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

} // namespace

TEST_CASE("sheet prints a lot's life as text") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    const std::string before = kitchen.store_bytes();
    const std::string text = kitchen.good({"sheet", "brisket-1", "--by", "M. Okafor"});
    CHECK_THAT(text, StartsWith("Lot brisket-1\n"));
    CHECK_THAT(text, Contains("Hot holding"));
    CHECK_THAT(text, Contains("3-501.16(A)(1)"));
    CHECK_THAT(text, Contains("M. Okafor"));
    CHECK_THAT(text, Contains("(13 h)")); // 18:00 to 06:00 on the night the clocks go back
    CHECK_THAT(text, Contains("2026-11-01 has 25 hours"));
    CHECK_THAT(text, Contains("139.9 °F")); // the conflict, both values
    CHECK_THAT(text, Contains("141.5 °F"));
    CHECK_THAT(text, Contains("2026-11-01 01:30 -06:00"));
    CHECK_THAT(text, Contains("2026-11-01 01:30 -07:00"));
    CHECK(kitchen.store_bytes() == before);
}

TEST_CASE("sheet lists the rejects of its own time and not those of another day") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    const std::string text = kitchen.good({"sheet", "--night", "2026-10-31"});
    CHECK_THAT(text, Contains("warm"));
    CHECK_THAT(text, !Contains("cold"));
}

TEST_CASE(
    "a sheet shows the forecast of a lot still cooling, marked as one, and no verdict of it") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"place", "p1", "beans-1", "--at", "2026-10-31 18:00"});
    kitchen.good({"stage", "beans-1", "cooling", "--at", "2026-10-31 18:00"});
    std::string csv = "time,p1_f\n";
    const Instant from = *parse_rfc3339("2026-10-31T18:00:00-06:00");
    for (int i = 0; i <= 8; ++i) {
        csv += fmt::format("{},{}\n", to_utc_text(from + Span::minutes(5 * i)), 150.0 - 3.5 * i);
    }
    kitchen.good({"import", kitchen.write("cooling.csv", csv)});
    const std::string text = kitchen.good({"sheet", "beans-1", "--as-of", "2026-10-31 18:40"});
    CHECK_THAT(text, Contains("Forecast"));
    CHECK_THAT(text, Contains("It never changes a verdict"));
    CHECK_THAT(text, Contains("70 °F at 20:"));
    CHECK_THAT(text, Contains("closes 20:20")); // 136 °F at 18:20 is the last at or above 135 °F
    CHECK_THAT(text, Contains("open"));
}

TEST_CASE("a night's sheet has the lots of that night only") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    kitchen.good({"stage", "brisket-2", "served", "--at", "2026-10-31 11:00"});
    const std::string text = kitchen.good({"sheet", "--night", "2026-10-31"});
    CHECK_THAT(text, StartsWith("Night of 2026-10-31\n"));
    CHECK_THAT(text, Contains("brisket-1"));
    CHECK_THAT(text, Contains("beans-1"));
    CHECK_THAT(text, !Contains("brisket-2")); // over before noon
    const std::string quiet = kitchen.good({"sheet", "--night", "2026-10-20"});
    CHECK_THAT(quiet, Contains("No lot is on record"));
    CHECK_THAT(quiet, !Contains("■ met"));
}

TEST_CASE("a night is told as it stood at its end, whenever it is printed") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    kitchen.set_clock("2026-11-01T13:00:00-07:00");
    const std::string first = kitchen.good({"sheet", "--night", "2026-10-31", "--format", "csv"});
    kitchen.set_clock("2026-11-05T13:00:00-07:00");
    std::string later = kitchen.good({"sheet", "--night", "2026-10-31", "--format", "csv"});
    const std::string made = "2026-11-05 13:00 -07:00";
    const auto at = later.find(made);
    REQUIRE(at != std::string::npos);
    later.replace(at, made.size(), "2026-11-01 13:00 -07:00");
    CHECK(first == later);
}

TEST_CASE("sheet writes the form that the file's name asks for, and names the file") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    const auto written = [&](const std::string& name) {
        const std::string file = (kitchen.folder() / name).string();
        CHECK(kitchen.good({"sheet", "brisket-1", "-o", file}) == "Wrote " + file + "\n");
        return content(file);
    };
    CHECK_THAT(written("a.html"), StartsWith("<!DOCTYPE html>"));
    CHECK_THAT(written("a.pdf"), StartsWith("%PDF-"));
    CHECK_THAT(written("a.csv"), StartsWith("\"section\""));
    CHECK_THAT(written("a.txt"), StartsWith("Lot brisket-1"));
}

TEST_CASE("sheet replaces a file only when told to, and its own in a folder") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    const std::string file = kitchen.write("mine.html", "something of mine");
    const Answer refused = kitchen.says({"sheet", "brisket-1", "-o", file});
    CHECK(refused.status == cli::kFailed);
    CHECK_THAT(refused.err, Contains("--force"));
    CHECK(content(file) == "something of mine");
    kitchen.good({"sheet", "brisket-1", "-o", file, "--force"});
    CHECK_THAT(content(file), StartsWith("<!DOCTYPE html>"));
    for (int i = 0; i < 2; ++i) {
        kitchen.good({"sheet", "--night", "2026-10-31", "-o", kitchen.folder().string(), "--format",
                      "html"});
    }
    CHECK(fs::exists(kitchen.folder() / "night-2026-10-31.html"));
    for (const auto& entry : fs::directory_iterator{kitchen.folder()}) {
        CHECK(entry.path().extension() != ".part");
    }
}

TEST_CASE("a wrong call of sheet says what is wrong and how to mend it") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    struct Case {
        std::vector<std::string> arguments;
        int status;
        std::string says;
        std::string mends;
    };
    const std::vector<Case> table = {
        {{"sheet"}, cli::kWrongUsage, "neither", "--night"},
        {{"sheet", "brisket-1", "--night", "2026-10-31"}, cli::kWrongUsage, "together", "--night"},
        {{"sheet", "brisket-9"}, cli::kFailed, "brisket-9", "lot"},
        {{"sheet", "--night", "yesterday"}, cli::kWrongUsage, "'yesterday'", "2026-10-31"},
        {{"sheet", "--night", "2026-02-30"}, cli::kWrongUsage, "'2026-02-30'", "2026-10-31"},
        {{"sheet", "--night", "2026-11-20"}, cli::kFailed, "has not begun", "noon"},
        {{"sheet", "brisket-1", "--format", "docx"}, cli::kWrongUsage, "'docx'", "html"},
        {{"sheet", "brisket-1", "--format", "pdf", "--paper", "b5"},
         cli::kWrongUsage,
         "'b5'",
         "a4"},
        {{"sheet", "brisket-1", "--code", "us-fda-1776"},
         cli::kFailed,
         "us-fda-1776",
         "us-fda-2022"},
        {{"sheet", "brisket-1", "--as-of", "2026-11-01 01:30"},
         cli::kWrongUsage,
         "twice",
         "-06:00"},
        {{"sheet", "brisket-1", "-o", "/nowhere/at/all.html"},
         cli::kFailed,
         "/nowhere/at/all.html",
         "folder"},
    };
    const std::string before = kitchen.store_bytes();
    for (const Case& wrong : table) {
        const Answer answer = kitchen.says(wrong.arguments);
        INFO(answer.err);
        CHECK(answer.status == wrong.status);
        CHECK(answer.out.empty());
        CHECK_THAT(answer.err, Contains(wrong.says));
        CHECK_THAT(answer.err, Contains(wrong.mends));
    }
    CHECK(kitchen.store_bytes() == before);
}

TEST_CASE("a lot's name becomes a file name that stays in its folder") {
    CHECK(cli::file_name_for("brisket-1") == "brisket-1");
    CHECK(cli::file_name_for("../../etc/passwd") == "_.._.._etc_passwd");
    CHECK(cli::file_name_for("a b/c\\d:e") == "a_b_c_d_e");
    CHECK(cli::file_name_for("") == "_");
    CHECK(cli::file_name_for("-rf") == "_-rf");
    CHECK(cli::file_name_for("Süd") == "Süd");
    CHECK(cli::file_name_for(std::string(300, 'x')).size() == 120);
}

TEST_CASE("logs and summaries take a night or a span of nights, and name their files") {
    Kitchen kitchen;
    hold_overnight(kitchen);
    const std::string held = kitchen.good({"sheet", "--holding-log", "--night", "2026-10-31"});
    CHECK_THAT(held, StartsWith("Holding log, 2026-10-31\n"));
    CHECK_THAT(held, Contains("Unit cabinet-1"));
    // The lower of the two values of 01:30: the worse counts.
    CHECK_THAT(held, Contains("01:30 -06:00"));
    CHECK_THAT(held, Contains("139.9"));
    const std::string cooled =
        kitchen.good({"sheet", "--cooling-log", "--from", "2026-10-31", "--to", "2026-11-01"});
    CHECK_THAT(cooled, Contains("No cooling is on record for this time."));
    const std::string checked = kitchen.good({"sheet", "--checks", "--night", "2026-10-31"});
    CHECK_THAT(checked, StartsWith("Thermometer checks, 2026-10-31\n"));
    CHECK_THAT(checked, Contains("No check of a thermometer is on record for this time."));
    CHECK_THAT(checked, Contains("never checked"));
    const fs::path folder = kitchen.folder() / "sheets";
    fs::create_directory(folder);
    kitchen.good({"sheet", "--summary", "--from", "2026-10-30", "--to", "2026-10-31", "--format",
                  "csv", "--output", folder.string()});
    const std::string summary = content(folder / "summary-2026-10-30-to-2026-10-31.csv");
    CHECK_THAT(summary, Contains("1 lot: too few for figures"));
    CHECK_THAT(summary, Contains("Checkpoint of the record"));
}
