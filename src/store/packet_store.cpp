#include "elsewhere.hpp"
#include "export_choice.hpp"
#include "migrations.hpp"
#include "sqlite_store.hpp"
#include "store_file.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/merkle.hpp>
#include <holdwarden/seal/packet.hpp>
#include <holdwarden/seal/packet_records.hpp>
#include <holdwarden/store/packet_store.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <variant>

namespace holdwarden::store {
namespace {

namespace fs = std::filesystem;

Error bad_packet(std::string what) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what),
                  .where = "",
                  .fix = "see `holdwarden verify PACKET`, or ask for the packet again"}};
}

/// Puts rows into tables whose names and columns the packet says: only those that the migrations
/// made are taken.
class Rows {
public:
    explicit Rows(const Database& database) : database_{database} {
        Statement column{database, "select name from pragma_table_info(?)"};
        for (const std::string& table : record_tables(database)) {
            for (bool more = column.run(std::string_view{table}); more; more = column.step()) {
                columns_[table].emplace(column.text(0));
            }
        }
    }

    void add(const seal::HistoryRow& row) {
        const std::string table = seal::table_of(row);
        const auto known = columns_.find(table);
        if (known == columns_.end()) {
            throw bad_packet("has records of a kind that this program does not know: it may be of "
                             "a newer one");
        }
        std::string names;
        std::string places;
        for (std::size_t i = 1; i < row.size(); ++i) {
            if (!known->second.contains(row[i].name)) {
                throw bad_packet("has a column that this program does not know: it may be of a "
                                 "newer one");
            }
            names += (i == 1 ? "" : ", ") + row[i].name;
            places += i == 1 ? "?" : ", ?";
        }
        const std::string sql =
            fmt::format("insert into \"{}\" ({}) values ({})", table, names, places);
        auto& statement = statements_.try_emplace(sql, database_, sql).first->second;
        statement.reset();
        for (std::size_t i = 1; i < row.size(); ++i) {
            std::visit([&](const auto& value) { bind(statement, static_cast<int>(i), value); },
                       row[i].value);
        }
        statement.step();
        statement.reset();
    }

private:
    static void bind(Statement& statement, int index, const seal::LeafBytes& value) {
        statement.bind(index, Blob{reinterpret_cast<const std::uint8_t*>(value.bytes.data()),
                                   value.bytes.size()});
    }
    static void bind(Statement& statement, int index, const std::string& value) {
        statement.bind(index, std::string_view{value});
    }
    static void bind(Statement& statement, int index, const auto& value) {
        statement.bind(index, value);
    }

    const Database& database_;
    std::map<std::string, std::set<std::string>> columns_;
    std::map<std::string, Statement> statements_;
};

void fill(const Database& database, const fs::path& folder) {
    database.exec("pragma defer_foreign_keys = on"); // a first entry names the person it brings
    Rows rows{database};
    Statement leaf_row{database,
                       "insert into history (id, what, ref, leaf, node) values (?, ?, ?, ?, ?)"};
    Statement elsewhere{database, "insert into kept_elsewhere (leaf, why) values (?, ?)"};
    seal::TreeFrontier tree;
    seal::ReadingLines lines;
    seal::read_history(folder / seal::kHistoryFile, [&](const seal::HistoryLeaf& leaf) {
        if (!leaf.left_out.empty() && leaf.left_out != kPurged) { // a tombstone stands for these
            if (leaf.left_out != kOfAnotherTime && leaf.left_out != kSecret) {
                throw bad_packet("leaves a record out for a reason that this program does not "
                                 "know: it may be of a newer one");
            }
            elsewhere.run(static_cast<std::int64_t>(leaf.number), std::string_view{leaf.left_out});
            elsewhere.reset();
        }
        if (!leaf.own.empty()) {
            rows.add(leaf.own);
        }
        for (const seal::HistoryRow& row : leaf.rows) {
            rows.add(row);
        }
        lines.add(leaf);
        tree.add(leaf.hash);
        const seal::Sha256& node = tree.peaks().back();
        leaf_row.run(static_cast<std::int64_t>(leaf.number), std::string_view{leaf.what}, leaf.ref,
                     Blob{leaf.hash},
                     node == leaf.hash ? std::optional<Blob>{} : std::optional{Blob{node}});
        leaf_row.reset();
    });
    Statement reading{database, "insert into reading (key, value, batch) values (?, ?, ?)"};
    seal::read_readings(folder / seal::kReadingsFile, lines, [&](const seal::PacketReading& r) {
        reading.run(reading_key(records::ProbeId::of(r.probe), r.at), r.steps, r.batch);
        reading.reset();
    });
}

/// What the packet's maker signed of what is here and what is not.
void keep_list(const Database& database, const fs::path& folder, std::uint64_t leaves) {
    constexpr std::uint64_t kMostBytes = 64U << 20U;
    const auto read = [&](const char* name) {
        return seal::read_small_file(folder / name, kMostBytes);
    };
    const std::string manifest = read(seal::kManifestFile);
    const seal::Signature signature = seal::signature_from_bytes(read(seal::kManifestSignature));
    const seal::PublicKey key = seal::public_key_from_pem(read(seal::kPublicKeyFile));
    database.run("insert into made_from_packet (id, leaves, manifest, signature, public_key) "
                 "values (1, ?, ?, ?, ?)",
                 static_cast<std::int64_t>(leaves), std::string_view{manifest},
                 Blob{signature.bytes}, Blob{key.bytes});
}

} // namespace

Head store_from_packet(const OpenOptions& options, const fs::path& folder,
                       const seal::Checkpoint& checkpoint) {
    const Migrations migrations{options.migrations};
    make_file(options.file);
    try {
        {
            const Database database = connect(options, Access::write);
            Transaction transaction{database};
            database.exec(fmt::format("pragma application_id = {}", kApplicationId));
            migrations.apply(database);
            try {
                fill(database, folder);
                if (!kept_elsewhere(database).empty()) {
                    keep_list(database, folder, checkpoint.size);
                }
                transaction.commit();
            } catch (const Error& error) {
                const bool place = error.text().where.starts_with("line ");
                throw Error{ErrorKind::bad_input,
                            {.what = error.text().what,
                             .where = "packet " + for_display(folder.string()) +
                                      (place ? ", " + error.text().where : ""),
                             .fix = error.text().fix}};
            }
        }
        OpenOptions reading = options;
        reading.access = Access::read;
        const Opened opened = open(reading);
        const HistoryReport report = verify(*opened.store);
        if (!report.problems.empty() || report.head.root != checkpoint.root ||
            report.head.size != checkpoint.size) {
            throw bad_packet(report.problems.empty()
                                 ? "does not come to the root that was signed"
                                 : "does not fit its own history: " + report.problems.front());
        }
        return report.head;
    } catch (...) {
        remove_with_companions(options.file);
        throw;
    }
}

} // namespace holdwarden::store
