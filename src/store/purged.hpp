#pragma once

// Tombstones as the history sees them. Internal to the store.

#include "sqlite.hpp"

#include <holdwarden/base/instant.hpp>
#include <holdwarden/seal/digest.hpp>

#include <cstdint>
#include <functional>
#include <set>
#include <string>

namespace holdwarden::store {

/// What a tombstone's signature is over.
struct PurgeStatement {
    std::string site;
    Instant before{};
    std::string rules;
    std::int64_t leaves = 0;
    seal::Sha256 sha256{};
    Instant at{};
    std::string by;
    seal::Sha256 key{};
};
std::string to_text(const PurgeStatement& statement);

/// Leaves whose records a tombstone stands for.
std::set<std::int64_t> purged_leaves(const Database& database);

/// The digest over the stored hashes of an entry's purged leaves; and how many they are.
struct PurgedDigest {
    std::int64_t leaves = 0;
    seal::Sha256 sha256{};
};
PurgedDigest purged_digest(const Database& database, std::int64_t entry);

/// Checks each tombstone: its count, its digest, its signature, and that its key is that of a
/// checkpoint made before it.
void check_tombstones(const Database& database, const std::function<void(std::string)>& problem);

} // namespace holdwarden::store
