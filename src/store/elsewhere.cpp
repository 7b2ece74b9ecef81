#include "elsewhere.hpp"

#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/manifest.hpp>
#include <holdwarden/seal/packet_records.hpp>
#include <holdwarden/seal/signing.hpp>
#include <holdwarden/store/export.hpp>
#include <holdwarden/store/history.hpp>

#include <algorithm>

namespace holdwarden::store {
namespace {

/// The digest of records/history.jsonl, as a packet of these leaves has it.
seal::Sha256 digest_again(const records::Store& store, std::int64_t leaves) {
    seal::Sha256Stream stream;
    HistoryExport history{store, {}, static_cast<std::uint64_t>(leaves)};
    history.leaves(
        [&](const seal::HistoryLeaf& leaf) { stream.add(seal::to_json_line(leaf) + "\n"); });
    return stream.finish();
}

template <class Array>
bool take(Blob from, Array& into) {
    if (from.size() != into.size()) {
        return false;
    }
    std::copy(from.begin(), from.end(), into.begin());
    return true;
}

} // namespace

std::map<std::int64_t, std::string> kept_elsewhere(const Database& database) {
    Statement row{database, "select leaf, why from kept_elsewhere"};
    std::map<std::int64_t, std::string> leaves;
    for (bool more = row.run(); more; more = row.step()) {
        leaves.emplace(row.integer(0), row.text(1));
    }
    return leaves;
}

bool holds_part_only(const Database& database) {
    Statement row{database, "select 1 from kept_elsewhere where why <> ? limit 1"};
    return row.run(std::string_view{kSecret});
}

void check_elsewhere(const records::Store& store, const std::function<void(std::string)>& problem) {
    const Database& database = database_of(store);
    const auto elsewhere = kept_elsewhere(database);
    Statement row{database, "select leaves, manifest, signature, public_key from made_from_packet"};
    if (!row.run()) {
        if (!elsewhere.empty()) {
            problem("records are said to be kept elsewhere, and no packet says so: it was changed "
                    "behind the program's back");
        }
        return;
    }
    const std::int64_t leaves = row.integer(0);
    const std::string text{row.text(1)};
    seal::Signature signature;
    seal::PublicKey key;
    if (!take(row.blob(2), signature.bytes) || !take(row.blob(3), key.bytes) ||
        !seal::is_signed(text, signature, key)) {
        problem("the list of the packet that this store was made from was not signed with the key "
                "it names");
        return;
    }
    try {
        const seal::Manifest manifest = seal::parse_manifest(text);
        const auto file =
            std::find_if(manifest.files.begin(), manifest.files.end(),
                         [](const seal::ManifestFile& f) { return f.path == seal::kHistoryFile; });
        if (file == manifest.files.end() || file->digest.sha256 != digest_again(store, leaves) ||
            (!elsewhere.empty() && elsewhere.rbegin()->first > leaves)) {
            problem("what is here and what is kept elsewhere is not what the packet's maker "
                    "signed: it was changed behind the program's back");
        }
    } catch (const Error& error) {
        problem("the list of the packet that this store was made from " + error.text().what);
    }
}

} // namespace holdwarden::store
