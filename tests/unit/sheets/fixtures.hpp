#pragma once

#include <holdwarden/sheets/facts.hpp>
#include <holdwarden/sheets/sheet.hpp>

#include <string>
#include <vector>

// Invented records of the invented Larkspur Yard Smokehouse, for tests of wording and layout. The
// findings are written by hand: what a judgement says is tested with the judge.
namespace holdwarden::sheets::fixtures {

/// 2026-10-31 12:00 in Denver plus so many minutes of true time.
Instant after_noon(std::int64_t minutes);

SiteFacts larkspur();
Made made();

/// A brisket in a closed chest that sinks below 135 °F in the night, on the night the clocks go
/// back. Two points, a suspect reading, an excursion, an action.
LotRecord sunken_brisket();
/// A pork shoulder in a warm oven: every finding met.
LotRecord warm_shoulder();
/// A probe silent for 50 minutes under a 30-minute interval: not shown.
LotRecord silent_probe();
/// Beans that are still cooling: open.
LotRecord cooling_beans();

/// The sunken brisket, its flags in `state`.
LotRecord answered(judge::AnswerState state);

Troubles troubles();

/// One lot with so many readings, one each `step`.
LotRecord long_hold(std::size_t readings, Span step);

/// What lies between `open` and `close`, each time it does.
std::vector<std::string> between(const std::string& text, const std::string& open,
                                 const std::string& close);
std::size_t count_of(const std::string& text, const std::string& part);

/// One sheet of each kind; the night's first, with four lots.
std::vector<Sheet> every_sheet();

/// Checks of thermometers around the night.
CheckRecords checks();

} // namespace holdwarden::sheets::fixtures
