// How fast sheets are made. Targets, on one core of a release build: a lot with 5,000 readings
// under 100 ms as HTML and under 150 ms as PDF; 300 lots in one PDF under 10 s and 200 MiB of
// memory. Exits with 1 when one is missed.
#include "../unit/sheets/fixtures.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/print.hpp>

#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>

using namespace holdwarden;
using namespace holdwarden::sheets;

namespace {

/// The fastest of some runs: what else the machine does only adds to it.
double best_ms(int runs, const std::function<void()>& work) {
    double best = 1e12;
    for (int i = 0; i < runs; ++i) {
        const auto begin = std::chrono::steady_clock::now();
        work();
        const std::chrono::duration<double, std::milli> took =
            std::chrono::steady_clock::now() - begin;
        best = std::min(best, took.count());
    }
    return best;
}

bool told(const char* what, double measured, double target, const char* unit) {
    std::printf("%-48s %8.1f %s (target %.0f)%s\n", what, measured, unit, target,
                measured < target ? "" : "  MISSED");
    return measured < target;
}

/// The same lot some nights earlier, so that no two in a document have their times in common.
LotRecord earlier(LotRecord lot, Span by) {
    records::LotHistory& history = lot.history;
    for (records::StageEntry& stage : history.stages) {
        stage.from = stage.from - by;
    }
    for (records::PointSeries& point : history.points) {
        for (records::Reading& reading : point.readings) {
            reading.at = reading.at - by;
        }
    }
    if (history.end) {
        history.end->at = history.end->at - by;
    }
    for (judge::Finding& finding : lot.judged.findings) {
        finding.stage_from = finding.stage_from - by;
    }
    return lot;
}

} // namespace

int main() {
    const SiteFacts site = fixtures::larkspur();
    const HtmlFrame frame = load_frame(std::string{HOLDWARDEN_SOURCE_DIR} + "/reports");
    const LotRecord many = fixtures::long_hold(5000, Span::seconds(9));
    bool good = true;
    std::size_t bytes = 0;
    good &= told("a lot with 5,000 readings as HTML",
                 best_ms(7,
                         [&] {
                             bytes +=
                                 to_html(lot_sheet(site, many, {}, fixtures::made()), frame).size();
                         }),
                 100, "ms");
    good &= told("a lot with 5,000 readings as PDF",
                 best_ms(7,
                         [&] {
                             const Sheet sheet = lot_sheet(site, many, {}, fixtures::made());
                             bytes += to_pdf({&sheet, 1}, Paper::letter).size();
                         }),
                 150, "ms");
    good &= told("300 lots in one PDF",
                 best_ms(1,
                         [&] {
                             std::vector<Sheet> sheets;
                             for (int i = 0; i < 300; ++i) {
                                 LotRecord lot = i % 3 == 0 ? fixtures::sunken_brisket()
                                                 : i % 3 == 1
                                                     ? fixtures::silent_probe()
                                                     : fixtures::long_hold(400, Span::minutes(2));
                                 lot.history.name += "-" + std::to_string(i);
                                 lot = earlier(std::move(lot), Span::minutes(i * 1447));
                                 sheets.push_back(lot_sheet(site, lot, {}, fixtures::made()));
                             }
                             bytes += to_pdf(sheets, Paper::letter).size();
                         }) /
                     1000,
                 10, "s");
    rusage use{};
    getrusage(RUSAGE_SELF, &use);
    good &= told("most memory of all this", static_cast<double>(use.ru_maxrss) / 1024, 200, "MiB");
    return good && bytes > 0 ? 0 : 1;
}
