#pragma once

#include <holdwarden/intake/csv.hpp>
#include <holdwarden/records/keeper.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <string>
#include <vector>

namespace holdwarden::intake {

/// What a stage column says at one instant: a stage, or an end.
struct StageMark {
    Instant at;
    std::uint32_t line = 0;
    std::optional<Stage> stage;
    std::optional<Outcome> outcome;
};

/// One lot's readings by probe, and its marks; both ascending by time, equal times in file order.
struct CollectedSeries {
    std::string probe;
    std::vector<records::Reading> readings; ///< `probe` counts the lot's series from 0
};
struct CollectedLot {
    std::string name; ///< empty when the file names none
    std::vector<CollectedSeries> series;
    std::vector<StageMark> marks; ///< one for each change, not for each row
};

/// One file in memory: sorted, repeats dropped and counted, conflicting values kept side by side.
struct Collected {
    std::vector<CollectedLot> lots; ///< in the order of the file
    std::vector<Reject> rejects;    ///< the first `kMostRejectsKept`; Summary::rejected counts all
    Summary summary;
    bool late = false; ///< a row came too late to be put where it belongs: `lots` must not be used
};
inline constexpr std::size_t kMostRejectsKept = 10'000;

/// Throws what read_csv throws.
Collected collect_csv(const Source& source, const CsvOptions& options);

/// The same in memory that does not grow with the file: of each series the last rows wait to be
/// sorted, what comes before goes to a keeper. For files without a stage column; the rows of
/// others are kept whole.
Collected collect_csv(const Source& source, const CsvOptions& options,
                      const records::KeeperMaker& keeper);
/// How many readings of a series wait at the most, and at the least once some went to the keeper.
inline constexpr std::size_t kMostWaiting = 65'536;
inline constexpr std::size_t kLeastWaiting = kMostWaiting / 2;

} // namespace holdwarden::intake
