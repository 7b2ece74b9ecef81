#pragma once

// Which records an extent leaves out. Internal to the store.

#include "sqlite.hpp"

#include <holdwarden/store/export.hpp>

#include <cstdint>
#include <map>
#include <optional>
#include <set>

namespace holdwarden::store {

/// Ids of what is left out; everything else is in.
struct LeftOut {
    std::set<std::int64_t> entries;
    std::set<std::int64_t> batches;
    std::set<std::int64_t> imports;
    /// The last entry about each lot. Not where the extent is everything.
    std::map<std::int64_t, std::int64_t> last_entry;
    std::set<std::int64_t> secrets; ///< entries that never leave the store, whatever the extent
};

/// What stays in, whatever the extent.
struct Kept {
    std::set<std::int64_t> lots{};
    std::optional<Instant> readings_from{}; ///< logged ones
};

LeftOut left_out(const Database& database, const Extent& extent, const Kept& kept = {});

/// Whether a table's rows stay in the store (what keeps PINs).
bool is_secret(const std::string& table) noexcept;

/// A foreign key of one column.
struct ForeignKey {
    std::string column;
    std::string table;
};
std::vector<ForeignKey> foreign_keys(const Database& database, const std::string& table);

/// Tables of records but for `reading`: those with a column `entry`, and entry, batch, conflict and
/// reject. By name.
std::vector<std::string> record_tables(const Database& database);

} // namespace holdwarden::store
