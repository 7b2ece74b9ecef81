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
