#pragma once

// What stands for records in the history: docs/formats/history.md. Internal to the store.

#include "sqlite.hpp"

#include <holdwarden/seal/digest.hpp>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::store {

/// A batch's readings: how many, and the SHA-256 over 16 bytes each (key, then value, big-endian),
/// in the order of their keys.
struct ReadingsSeal {
    std::int64_t count = 0;
    seal::Sha256 sha256{};
};

class ReadingsDigest {
public:
    void add(std::int64_t key, std::int64_t value);
    /// Call once.
    ReadingsSeal finish();

private:
    seal::Sha256Stream stream_;
    std::int64_t count_ = 0;
};

/// Each batch's readings, of batches after `after`: one pass over all readings.
std::map<std::int64_t, ReadingsSeal> readings_by_batch(const Database& database,
                                                       std::int64_t after);

/// The bytes of a row: the table's name, then the columns that are not null.
std::string row_bytes(std::string_view table, const Statement& row);

/// Makes the bytes of leaves from the rows as they are in the database.
class Leaves {
public:
    /// The database must outlive it and not move.
    explicit Leaves(const Database& database);

    /// `id` is the leaf's place in the history, from 1. nullopt: the row is not there.
    std::optional<std::string> of_entry(std::int64_t id, std::int64_t entry);
    std::optional<std::string> of_batch(std::int64_t id, std::int64_t batch,
                                        const ReadingsSeal& readings);
    /// The rejects after the one with id `after`, up to and with `last`.
    std::optional<std::string> of_rejects(std::int64_t id, std::int64_t after, std::int64_t last);

    /// Rows of each table that went into leaves so far. Tables that no leaf covers are not named.
    const std::map<std::string, std::int64_t>& rows() const noexcept { return rows_; }

private:
    struct Table {
        std::string name;
        Statement of_entry;
    };
    Statement entry_;
    Statement batch_;
    Statement conflicts_;
    Statement rejects_;
    std::vector<Table> tables_; ///< those with a column `entry`, but for batch
    std::map<std::string, std::int64_t> rows_;
};

} // namespace holdwarden::store
