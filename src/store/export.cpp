#include "elsewhere.hpp"
#include "export_choice.hpp"
#include "leaves.hpp"
#include "purged.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/merkle.hpp>
#include <holdwarden/store/export.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <regex>
#include <set>
#include <sstream>

namespace holdwarden::store {

struct HistoryExport::Choice {
    LeftOut out;
    std::set<std::int64_t> batches; ///< in: known when the leaves were read
};

namespace {

template <class... Values>
std::vector<std::string> rows_of(Statement& statement, const char* table, const Values&... values) {
    std::vector<std::string> rows;
    for (bool more = statement.run(values...); more; more = statement.step()) {
        rows.push_back(row_bytes(table, statement));
    }
    return rows;
}

/// What the schema's own words say beside a column: "name type ..., -- meaning".
std::string meaning_of(const std::string& sql, const std::string& column) {
    std::istringstream lines{sql};
    for (std::string line; std::getline(lines, line);) {
        static const std::regex kColumn{
            R"(^\s*([a-z0-9_]+)\s+(?:integer|text|blob|real)\b.*--\s*(.*)$)"};
        std::smatch found;
        if (std::regex_match(line, found, kColumn) && found[1] == column) {
            return found[2];
        }
    }
    return {};
}

} // namespace

HistoryExport::HistoryExport(const records::Store& store, const Extent& extent, std::uint64_t size)
    : store_{store}, size_{size}, choice_{std::make_unique<Choice>(
                                      Choice{left_out(database_of(store), extent), {}})} {}
HistoryExport::~HistoryExport() = default;

void HistoryExport::leaves(const std::function<void(const seal::HistoryLeaf&)>& each) {
    const Database& database = database_of(store_);
    Leaves leaves{database};
    const LeftOut& out = choice_->out;
    std::map<std::int64_t, ReadingsSeal> readings = readings_by_batch(database, 0);
    Statement conflicts{database, "select * from conflict where batch = ? order by probe, at, "
                                  "value, scale"};
    Statement rejects{database, "select * from reject where id > ? and id <= ? order by id"};
    Statement row{database, "select id, what, ref, leaf from history where id <= ? order by id"};
    std::map<std::int64_t, std::string> absent = kept_elsewhere(database);
    for (const std::int64_t leaf : purged_leaves(database)) {
        absent[leaf] = kPurged;
    }
    std::int64_t rejects_to = 0;
    for (bool more = row.run(static_cast<std::int64_t>(size_)); more; more = row.step()) {
        const auto number = static_cast<std::uint64_t>(row.integer(0));
        const std::string what{row.text(1)};
        const std::int64_t ref = row.integer(2);
        seal::HistoryLeaf leaf;
        std::optional<std::string> data;
        bool in = true;
        if (what == "entry") {
            in = !out.entries.contains(ref) && !out.secrets.contains(ref);
            data = leaves.of_entry(row.integer(0), ref);
            leaf = data ? seal::leaf_of_entry(number, ref, *data) : leaf;
        } else if (what == "batch") {
            in = !out.batches.contains(ref);
            const auto found = readings.find(ref);
            data = leaves.of_batch(row.integer(0), ref,
                                   found == readings.end() ? ReadingsDigest{}.finish()
                                                           : found->second);
            const auto rows = rows_of(conflicts, "conflict", ref);
            leaf = data ? seal::leaf_of_batch(number, ref, *data, rows) : leaf;
            if (in) {
                choice_->batches.insert(ref);
            }
        } else {
            data = leaves.of_rejects(row.integer(0), rejects_to, ref);
            in = false;
            for (bool next = rejects.run(rejects_to, ref); next; next = rejects.step()) {
                in = in || !out.imports.contains(rejects.integer(1));
            }
            leaf = seal::leaf_of_rejects(number, ref, rows_of(rejects, "reject", rejects_to, ref));
            rejects_to = ref;
        }
        const Blob stored = row.blob(3);
        const auto why = absent.find(row.integer(0));
        if (!data && why != absent.end()) {
            leaf = {.number = number,
                    .what = what,
                    .ref = ref,
                    .hash = {},
                    .left_out = why->second,
                    .own = {},
                    .rows = {},
                    .readings = 0,
                    .readings_sha256 = {}};
            std::copy_n(stored.begin(), std::min(stored.size(), leaf.hash.size()),
                        leaf.hash.begin());
            each(leaf);
            continue;
        }
        const seal::Sha256 hash = data ? seal::leaf_hash(*data) : seal::Sha256{};
        if (!data || !std::equal(stored.begin(), stored.end(), hash.begin(), hash.end()) ||
            seal::leaf_data(leaf) != *data) {
            throw Error{ErrorKind::store,
                        {.what = fmt::format("{} {} is not as it was written", what, ref),
                         .where = "store " + database.name(),
                         .fix = "see `holdwarden verify`, and keep this file aside as evidence"}};
        }
        leaf.hash = hash;
        if (!in) {
            leaf = {.number = number,
                    .what = what,
                    .ref = ref,
                    .hash = hash,
                    .left_out =
                        what == "entry" && out.secrets.contains(ref) ? kSecret : kOfAnotherTime,
                    .own = {},
                    .rows = {},
                    .readings = 0,
                    .readings_sha256 = {}};
        }
        each(leaf);
    }
}

void HistoryExport::readings(const std::function<void(const ExportedReading&)>& each) {
    constexpr std::int64_t kMask = (std::int64_t{1} << kInstantBits) - 1;
    Statement row{database_of(store_), "select key, value, batch from reading order by key"};
    for (bool more = row.run(); more; more = row.step()) {
        if (choice_->batches.contains(row.integer(2))) {
            each({.batch = row.integer(2),
                  .probe = row.integer(0) >> kInstantBits,
                  .at = Instant::from_unix_ms(row.integer(0) & kMask),
                  .steps = row.integer(1)});
        }
    }
}

std::vector<ExportedTable> HistoryExport::tables() const {
    const Database& database = database_of(store_);
    std::vector<ExportedTable> tables;
    Statement column{database, "select name, type from pragma_table_info(?) order by cid"};
    Statement schema{database, "select sql from sqlite_schema where type = 'table' and name = ?"};
    for (const std::string& name : record_tables(database)) {
        if (is_secret(name)) {
            continue;
        }
        ExportedTable& table = tables.emplace_back();
        table.name = name;
        const std::string sql{schema.run(std::string_view{name}) ? schema.text(0) : ""};
        const auto keys = foreign_keys(database, name);
        for (bool more = column.run(std::string_view{name}); more; more = column.step()) {
            ExportedColumn& c = table.columns.emplace_back();
            c.name = column.text(0);
            c.type = column.text(1);
            c.meaning = meaning_of(sql, c.name);
            const auto key = std::find_if(keys.begin(), keys.end(),
                                          [&](const ForeignKey& k) { return k.column == c.name; });
            c.refers_to = key == keys.end() ? "" : key->table;
        }
    }
    return tables;
}

} // namespace holdwarden::store
