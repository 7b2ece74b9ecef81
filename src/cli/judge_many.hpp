#pragma once

#include <holdwarden/cli/lot_judge.hpp>

#include <map>
#include <string>
#include <vector>

namespace holdwarden::cli {

struct JudgedLots {
    std::vector<LotJudge::Brief> lots; ///< in the order asked for; of ended ones without readings
    std::map<std::string, codes::Pack> packs;
};

/// Judges lots of a store, many of them by two readers at once: reading the rows is what takes the
/// time, and SQLite reads them for each connection by itself. Throws what judging one throws.
JudgedLots judge_many(const OpenStore& store, const StoreArguments& arguments, Context& context,
                      Instant as_of, const LotJudge::Asked& asked,
                      const std::vector<records::LotId>& lots);

} // namespace holdwarden::cli
