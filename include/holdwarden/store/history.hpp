#pragma once

// The history chain of a store: every entry, batch of readings and block of rejects is a leaf of a
// hash tree. docs/formats/history.md. Stores given here must come from store::open or
// store::create (asserted).

#include <holdwarden/records/store.hpp>
#include <holdwarden/seal/checkpoint.hpp>
#include <holdwarden/seal/proof.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::store {

/// How long a history is and what it comes to. Whoever has noted an earlier one can tell whether
/// anything before it was changed since.
struct Head {
    std::uint64_t size = 0;
    seal::Sha256 root{};
    friend bool operator==(const Head&, const Head&) = default;
};

Head head(const records::Store& store);
/// What the history came to when it had `size` leaves; nullopt if it never had.
std::optional<Head> head_at(const records::Store& store, std::uint64_t size);

struct HistoryReport {
    Head head; ///< worked out anew from the records
    std::uint64_t entries = 0;
    std::uint64_t readings = 0; ///< logged ones
    std::uint64_t checkpoints = 0;
    std::uint64_t purged = 0; ///< leaves whose records a tombstone stands for
    /// Leaves whose records a packet left out, of which this store was made: known by their hashes.
    std::uint64_t elsewhere = 0;
    /// What does not fit, a sentence each; the first names the first record that does not. At most
    /// kMostProblems. Empty: every record is as it was when it was written.
    std::vector<std::string> problems;
};
inline constexpr std::size_t kMostProblems = 20;

/// Works out every leaf anew from the records and compares; looks for records that are in no leaf;
/// checks the checkpoints kept in the store. What was changed together with all that the history
/// says of it shows only against a head noted elsewhere (head_at).
HistoryReport verify(const records::Store& store);

/// Of a store that holds a part of the records only: how many leaves have theirs elsewhere. 0: it
/// holds all (but what keeps PINs, perhaps).
std::uint64_t leaves_elsewhere(const records::Store& store);

/// Signs what the history comes to now, and keeps that in the store. `time` is the stamp's.
struct SignedCheckpoint {
    seal::Checkpoint checkpoint;
    std::string text;
    seal::Signature signature;
};
SignedCheckpoint make_checkpoint(records::Store& store, const seal::SigningKey& key,
                                 const records::Stamp& stamp);

/// That an entry is in the history as it now is. Throws Error{not_found} if there is no such entry.
seal::InclusionProof prove_entry(const records::Store& store, records::EntryId entry);
/// The same for a batch of logged readings. Throws
/// Error{not_found} if there is no such batch.
seal::InclusionProof prove_batch(const records::Store& store, std::int64_t batch);
/// That the history as it was at `old_size` leaves is the beginning of what it now is. Throws
/// Error{not_found} if it never had that size.
seal::ConsistencyProof prove_growth(const records::Store& store, std::uint64_t old_size);

} // namespace holdwarden::store
