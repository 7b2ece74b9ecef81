#include "history.hpp"

#include <holdwarden/base/error.hpp>

#include <algorithm>
#include <bit>
#include <cassert>

namespace holdwarden::store {
namespace {

std::int64_t last_ref(const Database& database, std::string_view what) {
    Statement row{database, "select ref from history where what = ? order by id desc limit 1"};
    return row.run(what) ? row.integer(0) : 0;
}

std::vector<std::int64_t> ids(Statement& statement, std::int64_t after) {
    std::vector<std::int64_t> all;
    for (bool more = statement.run(after); more; more = statement.step()) {
        all.push_back(statement.integer(0));
    }
    return all;
}

} // namespace

seal::TreeFrontier tree_at(const Database& database, std::int64_t size) {
    // The largest perfect subtree that ends with leaf n has as many leaves as n's lowest binary one
    // says; so the peaks of a tree end where the ones of its size, added up from the highest, do.
    Statement row{database, "select coalesce(node, leaf) from history where id = ?"};
    std::vector<seal::Sha256> peaks;
    const auto n = static_cast<std::uint64_t>(size);
    std::uint64_t end = 0;
    for (std::uint64_t bit = std::bit_floor(n); bit > 0; bit >>= 1U) {
        if ((n & bit) == 0) {
            continue;
        }
        end += bit;
        seal::Sha256 peak{};
        if (!row.run(static_cast<std::int64_t>(end)) || row.blob(0).size() != peak.size()) {
            throw Error{ErrorKind::store,
                        {.what = "its history was changed behind the program's back: leaf " +
                                 std::to_string(end) + " is missing",
                         .where = "store " + database.name(),
                         .fix = "see `holdwarden verify`, and keep this file aside as evidence"}};
        }
        std::copy_n(row.blob(0).begin(), peak.size(), peak.begin());
        peaks.push_back(peak);
    }
    return {n, std::move(peaks)};
}

History::State::State(const Database& database)
    : leaves{database}, size{database, "select coalesce(max(id), 0) from history"},
      entries{database, "select id from entry where id > ? order by id"},
      batches{database, "select id from batch where id > ? order by id"},
      last_reject{database, "select coalesce(max(id), 0) from reject"},
      insert{database, "insert into history (id, what, ref, leaf, node) values (?, ?, ?, ?, ?)"},
      tree{tree_at(database, database.integer("select coalesce(max(id), 0) from history"))},
      last_entry{last_ref(database, "entry")}, last_batch{last_ref(database, "batch")},
      rejects_to{last_ref(database, "reject")} {}

void History::load() {
    if (state_) {
        state_->size.run();
        const auto size = static_cast<std::uint64_t>(state_->size.integer(0));
        state_->size.reset();
        if (size == state_->tree.size()) {
            return;
        }
    }
    state_ = std::make_unique<State>(database_); // another process wrote in between
}

void History::record_new() {
    load();
    for (const std::int64_t entry : ids(state_->entries, state_->last_entry)) {
        append("entry", entry,
               state_->leaves.of_entry(static_cast<std::int64_t>(state_->tree.size()) + 1, entry));
        state_->last_entry = entry;
    }
    record_batches();
    state_->last_reject.run();
    const std::int64_t rejects_to = state_->last_reject.integer(0);
    state_->last_reject.reset();
    if (rejects_to > state_->rejects_to) {
        append("reject", rejects_to,
               state_->leaves.of_rejects(static_cast<std::int64_t>(state_->tree.size()) + 1,
                                         state_->rejects_to, rejects_to));
        state_->rejects_to = rejects_to;
    }
}

void History::record_batches() {
    const std::vector<std::int64_t> batches = ids(state_->batches, state_->last_batch);
    const bool all_noted = std::all_of(batches.begin(), batches.end(),
                                       [&](std::int64_t batch) { return noted_.contains(batch); });
    const auto readings =
        all_noted ? std::move(noted_) : readings_by_batch(database_, state_->last_batch);
    noted_.clear();
    for (const std::int64_t batch : batches) {
        const auto found = readings.find(batch);
        append("batch", batch,
               state_->leaves.of_batch(static_cast<std::int64_t>(state_->tree.size()) + 1, batch,
                                       found == readings.end() ? ReadingsDigest{}.finish()
                                                               : found->second));
        state_->last_batch = batch;
    }
}

void History::append(std::string_view what, std::int64_t ref,
                     const std::optional<std::string>& bytes) {
    assert(bytes.has_value()); // the row was there a moment ago, in this same transaction
    const seal::Sha256 leaf = seal::leaf_hash(*bytes);
    state_->tree.add(leaf);
    const seal::Sha256& node = state_->tree.peaks().back();
    state_->insert.run(static_cast<std::int64_t>(state_->tree.size()), what, ref, Blob{leaf},
                       node == leaf ? std::optional<Blob>{} : std::optional{Blob{node}});
    state_->insert.reset();
}

void History::forget() noexcept {
    state_.reset();
    noted_.clear();
}

} // namespace holdwarden::store
