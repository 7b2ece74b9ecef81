#pragma once

// Writes the history of a store: a leaf for whatever is new, in the transaction that brought it.
// Internal to the store.

#include "leaves.hpp"
#include "sqlite.hpp"

#include <holdwarden/seal/merkle.hpp>

#include <cstdint>
#include <map>
#include <memory>
#include <optional>

namespace holdwarden::store {

class History {
public:
    /// The database must outlive it and not move.
    explicit History(const Database& database) : database_{database} {}

    /// What the readings of a batch just written come to, so that they need not be read again.
    void note(std::int64_t batch, const ReadingsSeal& readings) { noted_[batch] = readings; }

    /// Call inside the transaction, last before it is committed.
    void record_new();

    /// Call when a transaction came to nothing.
    void forget() noexcept;

private:
    struct State {
        explicit State(const Database& database);
        Leaves leaves;
        Statement size;
        Statement entries;
        Statement batches;
        Statement last_reject;
        Statement insert;
        seal::TreeFrontier tree;
        std::int64_t last_entry = 0;
        std::int64_t last_batch = 0;
        std::int64_t rejects_to = 0;
    };
    /// Takes up the history where it stands now.
    void load();
    void append(std::string_view what, std::int64_t ref, const std::optional<std::string>& bytes);
    void record_batches();

    const Database& database_;
    std::map<std::int64_t, ReadingsSeal> noted_;
    std::unique_ptr<State> state_;
};

/// The tree over the first `size` leaves, taken up from the rows. Throws Error{store} if a row it
/// needs is not there.
seal::TreeFrontier tree_at(const Database& database, std::int64_t size);

} // namespace holdwarden::store
