#pragma once

#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/judge/due.hpp>
#include <holdwarden/records/plausible.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// One thing that waits for somebody in the kitchen.
struct DueItem {
    std::string what;          ///< reading, target, end, use-by, action, air, check
    std::string name;          ///< of the lot, unit or thermometer
    std::optional<Instant> by; ///< nullopt: at once
    std::string requirement;
    std::string point;
    std::string why;
};

/// Everything that waits at the judge's as-of instant, soonest first: of the lots that live, the
/// units whose air is being logged (a reading in the last day), the thermometers.
std::vector<DueItem> due_in_kitchen(const OpenStore& store, LotJudge& judge);

/// Whether the flag has an answer on record: of the lot, or of one it came from, where the same
/// flag stood before (a merged lot's begins with the name of the source).
bool is_answered(const OpenStore& store, records::LotId lot, const std::string& flag);

/// "19:02" within 18 hours of now, else with the date; a local time that occurs twice has its
/// offset. Whole minutes, downwards.
std::string clock_of(const OpenStore& store, Instant at);

/// One line about a lot after an entry: the verdict so far, what happens next, the next reading.
std::string next_step(const OpenStore& store, LotJudge& judge, records::LotId lot);

/// Why a value typed for a lot's point is asked about; nullopt: it is not.
std::optional<records::Doubt> doubt_about(const OpenStore& store,
                                          const records::TypedReading& reading);

} // namespace holdwarden::cli
