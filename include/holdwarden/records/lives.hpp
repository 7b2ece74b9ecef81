#pragma once

#include <holdwarden/records/lot_history.hpp>

#include <string>
#include <vector>

namespace holdwarden::records {

/// One way food came into a merged lot: its own life up to each merging and the shared life since,
/// as one history without sources.
struct Life {
    LotHistory history;
    /// Which lot the food was in from when on, ascending; the first begins with the life.
    struct Spell {
        std::string lot;
        Instant from;
    };
    std::vector<Spell> spells;
    /// Judge only what began then or later; empty: everything.
    std::optional<Instant> only_from{};
};

/// The lot as each of its sources lived it, down to food that was never merged. A lot without
/// sources is its own only life. A life that goes on as another food kind than it began is there
/// twice: as its own kind, and, from the merging on, as the merged one; being in one piece counts
/// for nothing from then. Lives that tell the same are there once.
std::vector<Life> lives_of(const LotHistory& lot);

/// When the first cook of the food began, whichever source it came from; nullopt: none is on
/// record.
std::optional<Instant> first_cook(const LotHistory& lot);

/// The name of the lot the food of `life` was in at `at`.
const std::string& lot_at(const Life& life, Instant at);

} // namespace holdwarden::records
