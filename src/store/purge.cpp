#include "elsewhere.hpp"
#include "export_choice.hpp"
#include "purged.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/store/export.hpp>
#include <holdwarden/store/history.hpp>
#include <holdwarden/store/purge.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <utility>
#include <vector>

namespace holdwarden::store {
namespace {

/// Leaves that go, by kind: the refs. A table's last batch and last rejects stay, since a new one
/// would take over their number.
struct Going {
    std::vector<std::int64_t> leaves;
    std::vector<std::int64_t> entries;
    std::vector<std::int64_t> batches;
    std::vector<std::pair<std::int64_t, std::int64_t>> rejects; ///< (after, to]
    std::map<std::int64_t, std::int64_t> last_entry;            ///< of each lot
};

Going going(const Database& database, Instant before, const PurgeExcept& except) {
    Kept kept{.lots = {}, .readings_from = except.readings_from};
    for (const records::LotId lot : except.lots) {
        kept.lots.insert(lot.value());
    }
    const LeftOut out = left_out(database, {.from = before, .to = {}}, kept);
    const std::set<std::int64_t> purged = purged_leaves(database);
    const std::int64_t last_batch = database.integer("select max(id) from batch");
    const std::int64_t last_reject = database.integer("select max(id) from reject");
    std::set<std::int64_t> kept_imports; // of what stays, a batch or rejects
    Statement import_of{database, "select import from batch where id = ?"};
    if (import_of.run(last_batch)) {
        kept_imports.insert(import_of.integer(0));
    }
    Statement of_rejects{database, "select distinct import from reject where id > ? and id <= ?"};
    Going all;
    all.last_entry = out.last_entry;
    Statement row{database, "select id, what, ref from history order by id"};
    std::int64_t rejects_to = 0;
    std::vector<std::pair<std::int64_t, std::int64_t>> entries;
    for (bool more = row.run(); more; more = row.step()) {
        const std::int64_t leaf = row.integer(0);
        const std::int64_t ref = row.integer(2);
        if (row.text(1) == "reject") {
            const std::int64_t after = std::exchange(rejects_to, ref);
            bool goes = ref < last_reject && !purged.contains(leaf);
            std::vector<std::int64_t> imports;
            for (bool next = of_rejects.run(after, ref); next; next = of_rejects.step()) {
                imports.push_back(of_rejects.integer(0));
                goes = goes && out.imports.contains(imports.back());
            }
            if (goes) {
                all.leaves.push_back(leaf);
                all.rejects.emplace_back(after, ref);
            } else {
                kept_imports.insert(imports.begin(), imports.end());
            }
        } else if (purged.contains(leaf)) {
            continue;
        } else if (row.text(1) == "batch" && out.batches.contains(ref) && ref != last_batch) {
            all.leaves.push_back(leaf);
            all.batches.push_back(ref);
        } else if (row.text(1) == "entry" && out.entries.contains(ref)) {
            entries.emplace_back(leaf, ref);
        }
    }
    Statement import_entry{database,
                           "select i.id from import i where i.entry = ?1 union all select f.import "
                           "from import_end f where f.entry = ?1"};
    for (const auto& [leaf, entry] : entries) {
        if (!import_entry.run(entry) || !kept_imports.contains(import_entry.integer(0))) {
            all.leaves.push_back(leaf);
            all.entries.push_back(entry);
        }
    }
    std::sort(all.leaves.begin(), all.leaves.end());
    return all;
}

/// The guards that forbid removing rows, taken off inside a transaction and put back word for word.
class Guards {
public:
    explicit Guards(const Database& database) : database_{database} {
        Statement row{database, "select name, sql from sqlite_schema where type = 'trigger' and "
                                "name like '%\\_no\\_delete' escape '\\'"};
        for (bool more = row.run(); more; more = row.step()) {
            guards_.emplace_back(row.text(0), row.text(1));
        }
        for (const auto& [name, sql] : guards_) {
            database.exec("drop trigger \"" + name + "\"");
        }
    }
    void put_back() const {
        for (const auto& [name, sql] : guards_) {
            database_.exec(sql);
        }
    }

private:
    const Database& database_;
    std::vector<std::pair<std::string, std::string>> guards_;
};

void remove_rows(const Database& database, const Going& all) {
    database.exec("pragma defer_foreign_keys = on");
    const Guards guards{database};
    Statement readings{database, "delete from reading where batch = ?"};
    Statement conflicts{database, "delete from conflict where batch = ?"};
    Statement batch{database, "delete from batch where id = ?"};
    for (const std::int64_t id : all.batches) {
        for (Statement* statement : {&readings, &conflicts, &batch}) {
            statement->run(id);
            statement->reset();
        }
    }
    Statement rejects{database, "delete from reject where id > ? and id <= ?"};
    for (const auto& [after, to] : all.rejects) {
        rejects.run(after, to);
        rejects.reset();
    }
    for (const std::string& table : record_tables(database)) {
        if (table == "entry" || table == "batch" || table == "conflict" || table == "reject") {
            continue;
        }
        Statement rows{database, "delete from \"" + table + "\" where entry = ?"};
        for (const std::int64_t entry : all.entries) {
            rows.run(entry);
            rows.reset();
        }
    }
    Statement entries{database, "delete from entry where id = ?"};
    for (const std::int64_t entry : all.entries) {
        entries.run(entry);
        entries.reset();
    }
    guards.put_back();
}

} // namespace

PurgePlan plan_purge(const records::Store& store, Instant before, const PurgeExcept& except) {
    const Database& database = database_of(store);
    const Going all = going(database, before, except);
    PurgePlan plan{.before = before,
                   .entries = all.entries.size(),
                   .readings = 0,
                   .rejects = 0,
                   .leaves = all.leaves.size(),
                   .lots = {}};
    Statement readings{database, "select count(*) from reading where batch = ?"};
    for (const std::int64_t batch : all.batches) {
        plan.readings += readings.run(batch) ? static_cast<std::uint64_t>(readings.integer(0)) : 0;
    }
    Statement rejects{database, "select count(*) from reject where id > ? and id <= ?"};
    for (const auto& [after, to] : all.rejects) {
        plan.rejects += rejects.run(after, to) ? static_cast<std::uint64_t>(rejects.integer(0)) : 0;
    }
    Statement lot{
        database,
        "select l.id, l.name, n.food, max(coalesce((select max(at) from lot_end where lot "
        "= l.id), 0), coalesce((select max(at) from lot_end_now where lot = l.id), 0), "
        "coalesce((select entered_at from entry where id = ?2), 0)) from lot l join "
        "lot_now n on n.id = l.id where l.entry = ?1"};
    Statement id{database, "select id from lot where entry = ?"};
    for (const std::int64_t entry : all.entries) {
        if (id.run(entry) && lot.run(entry, all.last_entry.at(id.integer(0)))) {
            plan.lots.push_back({.id = records::LotId::of(lot.integer(0)),
                                 .name = std::string{lot.text(1)},
                                 .food = food_named(lot.text(2)).value_or(FoodKind::other_tcs),
                                 .over = Instant::from_unix_ms(lot.integer(3))});
        }
    }
    return plan;
}

records::Purge purge(records::Store& store, Instant before, const std::string& rules,
                     const seal::SigningKey& key, const records::Stamp& stamp,
                     const PurgeExcept& except) {
    auto& sqlite = dynamic_cast<SqliteStore&>(store);
    const Database& database = sqlite.database();
    records::Purge made{.before = before, .rules = rules, .leaves = 0, .sha256 = {}};
    if (!kept_elsewhere(database).empty()) {
        throw Error{ErrorKind::conflict,
                    {.what = "this store was made from a packet that left records out, and can be "
                             "held against what was signed then only while the rest stays",
                     .where = "store " + database.name(),
                     .fix = "purge the store that holds all, or keep everything"}};
    }
    store.atomically([&] {
        // What is about to go is signed for as it stands.
        make_checkpoint(store, key, stamp);
        const Going all = going(database, before, except);
        if (all.leaves.empty()) {
            throw Error{ErrorKind::not_found,
                        {.what = fmt::format("nothing was over before {}", to_utc_text(before)),
                         .where = "store " + database.name(),
                         .fix = "see `holdwarden retention`"}};
        }
        remove_rows(database, all);
        const std::int64_t entry = sqlite.enter("purge", stamp);
        for (const std::int64_t leaf : all.leaves) {
            database.run("insert into purged_leaf (entry, leaf) values (?, ?)", entry, leaf);
        }
        const PurgedDigest digest = purged_digest(database, entry);
        made.leaves = static_cast<std::uint64_t>(digest.leaves);
        made.sha256 = digest.sha256;
        const seal::PublicKey public_key = key.public_key();
        const std::string text = to_text(PurgeStatement{.site = store.site().name,
                                                        .before = before,
                                                        .rules = rules,
                                                        .leaves = digest.leaves,
                                                        .sha256 = digest.sha256,
                                                        .at = stamp.entered_at,
                                                        .by = stamp.by,
                                                        .key = seal::fingerprint(public_key)});
        database.run("insert into purge (entry, before_at, rules, leaves, sha256, public_key, "
                     "signature) values (?, ?, ?, ?, ?, ?, ?)",
                     entry, before.unix_ms(), std::string_view{rules}, digest.leaves,
                     Blob{digest.sha256}, Blob{public_key.bytes}, Blob{key.sign(text).bytes});
    });
    return made;
}

} // namespace holdwarden::store
