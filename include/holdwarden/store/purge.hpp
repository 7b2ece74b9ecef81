#pragma once

// The one way in which records leave a store: after the time that the rules ask for, leaving a
// signed tombstone. docs/keeping-records.md. Stores given here must come from store::open or
// store::create.

#include <holdwarden/records/keeping.hpp>
#include <holdwarden/records/store.hpp>
#include <holdwarden/seal/signing.hpp>

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace holdwarden::store {

/// What would go: lots that ended before the instant with all that is about nothing but them,
/// batches of readings all before it, imports and rejected rows with no reading left.
struct PurgePlan {
    Instant before{};
    std::uint64_t entries = 0;
    std::uint64_t readings = 0; ///< logged ones
    std::uint64_t rejects = 0;
    std::uint64_t leaves = 0;
    struct Lot {
        records::LotId id;
        std::string name;
        FoodKind food = FoodKind::other_tcs;
        Instant over; ///< it ended, and nothing about it was entered later
    };
    std::vector<Lot> lots; ///< in the order of entry
};

/// What stays although it was over.
struct PurgeExcept {
    std::set<records::LotId> lots{};
    std::optional<Instant> readings_from{}; ///< batches of logged readings with any from then on
};
PurgePlan plan_purge(const records::Store& store, Instant before, const PurgeExcept& except = {});

/// Removes it in one transaction and leaves a tombstone: how many leaves, the digest over their
/// hashes, who, when, signed. The leaves' hashes stay, so that the history still verifies. `rules`
/// says which rule counted; that it allows this is the caller's to know. Throws Error{not_found} if
/// there is nothing to remove.
records::Purge purge(records::Store& store, Instant before, const std::string& rules,
                     const seal::SigningKey& key, const records::Stamp& stamp,
                     const PurgeExcept& except = {});

} // namespace holdwarden::store
