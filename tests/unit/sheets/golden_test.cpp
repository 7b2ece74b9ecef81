// These files guard wording and layout only: they were made by the printers themselves, and say
// nothing about what is right. HOLDWARDEN_WRITE_GOLDEN=1 writes them anew; read the difference.
#include "fixtures.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/print.hpp>

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

using namespace holdwarden;
using namespace holdwarden::sheets;

namespace {

void check_golden(const std::string& name, const std::string& made) {
    const std::filesystem::path path =
        std::filesystem::path{HOLDWARDEN_TEST_DATA} / "sheets" / name;
    if (std::getenv("HOLDWARDEN_WRITE_GOLDEN") != nullptr) {
        std::filesystem::create_directories(path.parent_path());
        std::ofstream{path, std::ios::binary} << made;
    }
    std::ifstream file{path, std::ios::binary};
    REQUIRE(file);
    std::ostringstream kept;
    kept << file.rdbuf();
    INFO(path.string());
    CHECK(kept.str() == made);
}

HtmlFrame frame() {
    return load_frame(std::filesystem::path{HOLDWARDEN_SOURCE_DIR} / "reports");
}

} // namespace

TEST_CASE("a lot's sheet keeps its wording and layout") {
    const Sheet sheet = lot_sheet(fixtures::larkspur(), fixtures::sunken_brisket(),
                                  fixtures::troubles(), fixtures::made());
    check_golden("lot.txt", to_text(sheet));
    check_golden("lot.html", to_html(sheet, frame()));
}

TEST_CASE("a night's sheet keeps its wording and layout") {
    const std::vector<LotRecord> lots = {fixtures::warm_shoulder(), fixtures::cooling_beans(),
                                         fixtures::silent_probe(), fixtures::sunken_brisket()};
    const Sheet sheet = night_sheet(fixtures::larkspur(), {2026, 10, 31}, lots,
                                    fixtures::troubles(), fixtures::made());
    check_golden("night.txt", to_text(sheet));
    check_golden("night.html", to_html(sheet, frame()));
}

TEST_CASE("logs and summary keep their wording and layout") {
    std::vector<LotRecord> lots = {fixtures::warm_shoulder(), fixtures::cooling_beans(),
                                   fixtures::silent_probe(), fixtures::sunken_brisket()};
    const Nights nights{{2026, 10, 31}, {2026, 10, 31}};
    const Sheet cooling = cooling_log(fixtures::larkspur(), nights, lots, fixtures::made());
    check_golden("cooling-log.txt", to_text(cooling));
    check_golden("cooling-log.html", to_html(cooling, frame()));
    const Sheet holding = holding_log(fixtures::larkspur(), nights, lots, fixtures::made());
    check_golden("holding-log.txt", to_text(holding));
    check_golden("holding-log.html", to_html(holding, frame()));
    const Sheet checks =
        check_log(fixtures::larkspur(), nights, fixtures::checks(), fixtures::made());
    check_golden("thermometer-checks.txt", to_text(checks));
    check_golden("thermometer-checks.html", to_html(checks, frame()));
    for (int i = 0; i < 5; ++i) {
        lots.push_back(fixtures::warm_shoulder());
        lots.back().history.name = "shoulder-" + std::to_string(i + 3);
    }
    const Sheet summary = period_summary(fixtures::larkspur(), nights, lots, fixtures::made());
    check_golden("summary.txt", to_text(summary));
    check_golden("summary.html", to_html(summary, frame()));
}

TEST_CASE("register and open items keep their wording and layout") {
    using judge::AnswerState;
    std::vector<LotRecord> lots = {fixtures::answered(AnswerState::unanswered),
                                   fixtures::answered(AnswerState::incomplete),
                                   fixtures::answered(AnswerState::closed),
                                   fixtures::silent_probe(), fixtures::warm_shoulder()};
    lots[1].history.name = "brisket-4";
    lots[2].history.name = "brisket-5";
    const Period period{.from = fixtures::after_noon(0), .to = fixtures::after_noon(1440)};
    const Sheet registered = actions_sheet(fixtures::larkspur(), period, lots, fixtures::made());
    check_golden("actions.txt", to_text(registered));
    check_golden("actions.html", to_html(registered, frame()));
    const std::vector<ReviewDue> reviews = {
        {.lot = "pork-9", .due = fixtures::after_noon(60), .overdue = true}};
    const Sheet open =
        open_items_sheet(fixtures::larkspur(), period, lots, {}, reviews, fixtures::made());
    check_golden("open-items.txt", to_text(open));
    check_golden("open-items.html", to_html(open, frame()));
}

TEST_CASE("a sheet of odd names and many readings keeps its layout") {
    // Also what the browser is shown: 120 characters without a blank, accents, right to left.
    LotRecord record = fixtures::long_hold(200, Span::minutes(4));
    record.history.name = std::string(114, 'x') + "übrige";
    record.history.description = "Bœuf braisé, \u05D1\u05E9\u05E8 \u05E6\u05DC\u05D9";
    record.history.points[0].point = "\u0643\u062A\u0641"; // shoulder
    record.history.stages[0].unit = "Wärmeschrank — hinten";
    const Sheet sheet =
        lot_sheet(fixtures::larkspur(), record, fixtures::troubles(), fixtures::made());
    check_golden("odd.txt", to_text(sheet));
    check_golden("odd.html", to_html(sheet, frame()));
}
