#include "leaves.hpp"

#include <holdwarden/seal/leaf.hpp>

#include <algorithm>
#include <array>
#include <memory>

namespace holdwarden::store {
namespace {

void put_big_endian(std::uint64_t value, std::uint8_t* into) noexcept {
    for (int i = 7; i >= 0; --i) {
        into[i] = static_cast<std::uint8_t>(value & 0xFFU);
        value >>= 8U;
    }
}

/// The table's name, then the columns that are not null, in the table's order.
void add_row(seal::LeafWriter& leaf, std::string_view table, const Statement& row) {
    leaf.add("table", table);
    for (int i = 0; i < row.columns(); ++i) {
        switch (row.type(i)) {
        case SQLITE_INTEGER:
            leaf.add(row.name(i), row.integer(i));
            break;
        case SQLITE_FLOAT:
            leaf.add(row.name(i), row.real(i));
            break;
        case SQLITE_TEXT:
            leaf.add(row.name(i), row.text(i));
            break;
        case SQLITE_BLOB:
            leaf.add_bytes(row.name(i), row.blob(i));
            break;
        default:
            break;
        }
    }
}

/// The digest over many rows, each with its length in front (8 bytes, big-endian).
struct RowsDigest {
    seal::Sha256Stream stream;
    std::int64_t count = 0;
    void add(const std::string& bytes) {
        std::array<std::uint8_t, 8> length{};
        put_big_endian(bytes.size(), length.data());
        stream.add({reinterpret_cast<const char*>(length.data()), length.size()});
        stream.add(bytes);
        ++count;
    }
};

std::vector<std::string> tables_with_entry(const Database& database) {
    Statement row{database,
                  "select m.name from sqlite_schema m join pragma_table_info(m.name) c "
                  "where m.type = 'table' and c.name = 'entry' and m.name <> 'batch' order by 1"};
    std::vector<std::string> names;
    for (bool more = row.run(); more; more = row.step()) {
        names.emplace_back(row.text(0));
    }
    return names;
}

std::string quoted(const std::string& name) {
    std::string text = "\"";
    for (const char c : name) {
        text += c == '"' ? "\"\"" : std::string{c};
    }
    return text + "\"";
}

} // namespace

std::string row_bytes(std::string_view table, const Statement& row) {
    seal::LeafWriter leaf;
    add_row(leaf, table, row);
    return leaf.bytes();
}

void ReadingsDigest::add(std::int64_t key, std::int64_t value) {
    std::array<std::uint8_t, 16> bytes{};
    put_big_endian(static_cast<std::uint64_t>(key), bytes.data());
    put_big_endian(static_cast<std::uint64_t>(value), bytes.data() + 8);
    stream_.add({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
    ++count_;
}

ReadingsSeal ReadingsDigest::finish() {
    return {.count = count_, .sha256 = stream_.finish()};
}

std::map<std::int64_t, ReadingsSeal> readings_by_batch(const Database& database,
                                                       std::int64_t after) {
    std::map<std::int64_t, ReadingsDigest> digests;
    Statement row{database, "select key, value, batch from reading where batch > ? order by key"};
    for (bool more = row.run(after); more; more = row.step()) {
        digests[row.integer(2)].add(row.integer(0), row.integer(1));
    }
    std::map<std::int64_t, ReadingsSeal> seals;
    for (auto& [batch, digest] : digests) {
        seals.emplace(batch, digest.finish());
    }
    return seals;
}

Leaves::Leaves(const Database& database)
    : entry_{database, "select * from entry where id = ?"},
      batch_{database, "select * from batch where id = ?"},
      conflicts_{database, "select * from conflict where batch = ? order by probe, at, value, "
                           "scale"},
      rejects_{database, "select * from reject where id > ? and id <= ? order by id"} {
    for (const std::string& name : tables_with_entry(database)) {
        tables_.push_back(
            {name, Statement{database, "select * from " + quoted(name) + " where entry = ?"}});
        rows_[name] = 0;
    }
    for (const char* name : {"entry", "batch", "conflict", "reject"}) {
        rows_[name] = 0;
    }
}

std::optional<std::string> Leaves::of_entry(std::int64_t id, std::int64_t entry) {
    if (!entry_.run(entry)) {
        return std::nullopt;
    }
    seal::LeafWriter leaf;
    leaf.add("leaf", id);
    add_row(leaf, "entry", entry_);
    entry_.reset();
    ++rows_["entry"];
    for (Table& table : tables_) {
        std::vector<std::string> rows;
        for (bool more = table.of_entry.run(entry); more; more = table.of_entry.step()) {
            rows.push_back(row_bytes(table.name, table.of_entry));
            ++rows_[table.name];
        }
        std::sort(rows.begin(), rows.end());
        for (const std::string& row : rows) {
            leaf.add_bytes("row", {reinterpret_cast<const std::uint8_t*>(row.data()), row.size()});
        }
    }
    return leaf.bytes();
}

std::optional<std::string> Leaves::of_batch(std::int64_t id, std::int64_t batch,
                                            const ReadingsSeal& readings) {
    if (!batch_.run(batch)) {
        return std::nullopt;
    }
    seal::LeafWriter leaf;
    leaf.add("leaf", id);
    add_row(leaf, "batch", batch_);
    batch_.reset();
    ++rows_["batch"];
    leaf.add("readings", readings.count);
    leaf.add_bytes("readings-sha256", readings.sha256);
    RowsDigest conflicts;
    for (bool more = conflicts_.run(batch); more; more = conflicts_.step()) {
        conflicts.add(row_bytes("conflict", conflicts_));
    }
    rows_["conflict"] += conflicts.count;
    leaf.add("conflicts", conflicts.count);
    leaf.add_bytes("conflicts-sha256", conflicts.stream.finish());
    return leaf.bytes();
}

std::optional<std::string> Leaves::of_rejects(std::int64_t id, std::int64_t after,
                                              std::int64_t last) {
    RowsDigest rejects;
    for (bool more = rejects_.run(after, last); more; more = rejects_.step()) {
        rejects.add(row_bytes("reject", rejects_));
    }
    if (rejects.count == 0) {
        return std::nullopt;
    }
    rows_["reject"] += rejects.count;
    seal::LeafWriter leaf;
    leaf.add("leaf", id);
    leaf.add("rejects", rejects.count);
    leaf.add_bytes("rejects-sha256", rejects.stream.finish());
    return leaf.bytes();
}

} // namespace holdwarden::store
