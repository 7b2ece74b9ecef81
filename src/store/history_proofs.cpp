// Heads, checkpoints and proofs of a store's history.
#include "history.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>

namespace holdwarden::store {
namespace {

std::int64_t size_of(const Database& database) {
    return database.integer("select coalesce(max(id), 0) from history");
}

Head as_head(const seal::TreeFrontier& tree) {
    return {.size = tree.size(), .root = tree.root()};
}

std::vector<seal::Sha256> leaf_hashes(const Database& database) {
    Statement row{database, "select leaf from history order by id"};
    std::vector<seal::Sha256> hashes;
    for (bool more = row.run(); more; more = row.step()) {
        seal::Sha256 hash{};
        std::copy_n(row.blob(0).begin(), std::min(row.blob(0).size(), hash.size()), hash.begin());
        hashes.push_back(hash);
    }
    return hashes;
}

Error none(std::string what, std::string fix) {
    return Error{ErrorKind::not_found,
                 {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

seal::InclusionProof prove(const Database& database, std::string_view what, std::int64_t ref,
                           const std::function<std::optional<std::string>(std::int64_t)>& leaf_of) {
    Statement row{database, "select id from history where what = ? and ref = ?"};
    const std::int64_t id = row.run(what, ref) ? row.integer(0) : 0;
    const auto leaf = id > 0 ? leaf_of(id) : std::nullopt;
    if (!leaf) {
        throw none(fmt::format("there is no {} {}", what, ref), "see `holdwarden history`");
    }
    const std::vector<seal::Sha256> hashes = leaf_hashes(database);
    const auto index = static_cast<std::uint64_t>(id) - 1;
    seal::InclusionProof proof{.size = hashes.size(),
                               .root = seal::tree_root(hashes),
                               .index = index,
                               .leaf = *leaf,
                               .path = seal::inclusion_path(hashes, index)};
    if (!seal::holds(proof)) {
        throw Error{ErrorKind::store,
                    {.what = fmt::format("{} {} is not as it was written", what, ref),
                     .where = "store " + database.name(),
                     .fix = "see `holdwarden verify`, and keep this file aside as evidence"}};
    }
    return proof;
}

} // namespace

Head head(const records::Store& store) {
    const Database& database = database_of(store);
    return as_head(tree_at(database, size_of(database)));
}

std::optional<Head> head_at(const records::Store& store, std::uint64_t size) {
    const Database& database = database_of(store);
    if (size > static_cast<std::uint64_t>(size_of(database))) {
        return std::nullopt;
    }
    return as_head(tree_at(database, static_cast<std::int64_t>(size)));
}

SignedCheckpoint make_checkpoint(records::Store& store, const seal::SigningKey& key,
                                 const records::Stamp& stamp) {
    SignedCheckpoint made;
    store.atomically([&] {
        const Head now = head(store);
        made.checkpoint = {.origin = store.site().name,
                           .size = now.size,
                           .root = now.root,
                           .time = stamp.entered_at,
                           .key = seal::fingerprint(key.public_key())};
        made.text = seal::to_text(made.checkpoint);
        made.signature = key.sign(made.text);
        dynamic_cast<SqliteStore&>(store).add_checkpoint(made.text, made.signature.bytes,
                                                         key.public_key().bytes, stamp);
    });
    return made;
}

seal::InclusionProof prove_entry(const records::Store& store, records::EntryId entry) {
    const Database& database = database_of(store);
    Leaves leaves{database};
    return prove(database, "entry", entry.value(),
                 [&](std::int64_t id) { return leaves.of_entry(id, entry.value()); });
}

seal::InclusionProof prove_batch(const records::Store& store, std::int64_t batch) {
    const Database& database = database_of(store);
    Leaves leaves{database};
    return prove(database, "batch", batch, [&](std::int64_t id) {
        ReadingsDigest digest;
        Statement row{database, "select key, value from reading where batch = ? order by key"};
        for (bool more = row.run(batch); more; more = row.step()) {
            digest.add(row.integer(0), row.integer(1));
        }
        return leaves.of_batch(id, batch, digest.finish());
    });
}

seal::ConsistencyProof prove_growth(const records::Store& store, std::uint64_t old_size) {
    const Database& database = database_of(store);
    const std::vector<seal::Sha256> hashes = leaf_hashes(database);
    if (old_size == 0 || old_size > hashes.size()) {
        throw none(
            fmt::format("the history never had {} leaves: it has {}", old_size, hashes.size()),
            "give a size from a checkpoint of this store");
    }
    const auto whole = std::span{hashes};
    return {.old_size = old_size,
            .old_root = seal::tree_root(whole.first(old_size)),
            .new_size = hashes.size(),
            .new_root = seal::tree_root(whole),
            .path = seal::consistency_path(whole, old_size)};
}

} // namespace holdwarden::store
