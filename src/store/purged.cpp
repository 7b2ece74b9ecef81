#include "purged.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/seal/signing.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::store {

std::string to_text(const PurgeStatement& s) {
    return fmt::format("holdwarden-purge/1\nsite {}\nbefore {}\nrules {}\nleaves {}\nsha256 {}\n"
                       "at {}\nby {}\nkey {}\n",
                       for_display(s.site), s.before.unix_ms(), for_display(s.rules), s.leaves,
                       seal::hex(s.sha256), s.at.unix_ms(), for_display(s.by), seal::hex(s.key));
}

std::set<std::int64_t> purged_leaves(const Database& database) {
    Statement row{database, "select leaf from purged_leaf"};
    std::set<std::int64_t> leaves;
    for (bool more = row.run(); more; more = row.step()) {
        leaves.insert(row.integer(0));
    }
    return leaves;
}

PurgedDigest purged_digest(const Database& database, std::int64_t entry) {
    Statement row{database,
                  "select h.leaf from purged_leaf p join history h on h.id = p.leaf where "
                  "p.entry = ? order by h.id"};
    seal::Sha256Stream stream;
    PurgedDigest digest;
    for (bool more = row.run(entry); more; more = row.step()) {
        const Blob leaf = row.blob(0);
        stream.add({reinterpret_cast<const char*>(leaf.data()), leaf.size()});
        ++digest.leaves;
    }
    digest.sha256 = stream.finish();
    return digest;
}

void check_tombstones(const Database& database, const std::function<void(std::string)>& problem) {
    Statement row{database,
                  "select g.id, g.entry, g.before_at, g.rules, g.leaves, g.sha256, g.public_key, "
                  "g.signature, e.entered_at, coalesce(p.name, ''), (select name from site) from "
                  "purge g join entry e on e.id = g.entry left join person p on p.id = e.by order "
                  "by g.id"};
    Statement known{database, "select 1 from checkpoint where public_key = ? and entry < ?"};
    for (bool more = row.run(); more; more = row.step()) {
        const std::string name = fmt::format("tombstone {}", row.integer(0));
        const PurgedDigest digest = purged_digest(database, row.integer(1));
        const Blob stored = row.blob(5);
        if (digest.leaves != row.integer(4) ||
            !std::equal(stored.begin(), stored.end(), digest.sha256.begin(), digest.sha256.end())) {
            problem(name + " does not stand for the leaves that are said to be purged");
            continue;
        }
        seal::PublicKey key;
        seal::Signature signature;
        const Blob key_bytes = row.blob(6);
        const Blob signature_bytes = row.blob(7);
        std::copy_n(key_bytes.begin(), std::min(key_bytes.size(), key.bytes.size()),
                    key.bytes.begin());
        std::copy_n(signature_bytes.begin(),
                    std::min(signature_bytes.size(), signature.bytes.size()),
                    signature.bytes.begin());
        const std::string text =
            to_text(PurgeStatement{.site = std::string{row.text(10)},
                                   .before = Instant::from_unix_ms(row.integer(2)),
                                   .rules = std::string{row.text(3)},
                                   .leaves = digest.leaves,
                                   .sha256 = digest.sha256,
                                   .at = Instant::from_unix_ms(row.integer(8)),
                                   .by = std::string{row.text(9)},
                                   .key = seal::fingerprint(key)});
        if (!seal::is_signed(text, signature, key)) {
            problem(name + " was not signed with the key that it names");
        } else if (!known.run(key_bytes, row.integer(1))) {
            problem(name + " was signed with a key that no checkpoint before it was signed with");
        }
    }
    Statement loose{database, "select count(*) from purged_leaf where entry not in (select entry "
                              "from purge)"};
    if (loose.run() && loose.integer(0) > 0) {
        problem(
            fmt::format("{} leaves are said to be purged without a tombstone", loose.integer(0)));
    }
}

} // namespace holdwarden::store
