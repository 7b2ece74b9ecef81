// The history compared with the records.
#include "elsewhere.hpp"
#include "history.hpp"
#include "pin_reset.hpp"
#include "purged.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <set>

namespace holdwarden::store {
namespace {

/// Tables that are no records by themselves.
const std::set<std::string> kInNoLeaf{"history", "reading", "kept_elsewhere", "made_from_packet"};

const std::string kBackIsTurned = ": it was changed behind the program's back";

class Check {
public:
    explicit Check(const Database& database)
        : database_{database}, leaves_{database}, readings_{readings_by_batch(database, 0)},
          purged_{purged_leaves(database)}, elsewhere_{kept_elsewhere(database)} {}

    HistoryReport run() {
        const std::vector<std::string> damage = damaged();
        walk();
        uncovered();
        strays();
        check_tombstones(database_, [this](std::string text) { problem(std::move(text)); });
        check_pin_resets(database_, [this](std::string text) { problem(std::move(text)); });
        checkpoints();
        std::copy(damage.begin(), damage.end(), std::back_inserter(report_.problems));
        if (report_.problems.size() > kMostProblems) {
            report_.problems.resize(kMostProblems);
        }
        report_.head = {.size = tree_.size(), .root = tree_.root()};
        for (const auto& [batch, readings] : readings_) {
            report_.readings += static_cast<std::uint64_t>(readings.count);
        }
        report_.entries = static_cast<std::uint64_t>(leaves_.rows().at("entry"));
        return std::move(report_);
    }

private:
    void problem(std::string text) {
        if (report_.problems.size() < kMostProblems) {
            report_.problems.push_back(std::move(text));
        }
    }

    std::vector<std::string> damaged() const {
        std::vector<std::string> lines;
        for (const std::string& fault :
             faults_found(database_, fmt::format("pragma integrity_check({})", kMostProblems))) {
            lines.push_back("the file itself does not hold together: " + for_display(fault));
        }
        return lines;
    }

    void walk() {
        Statement row{database_, "select id, what, ref, leaf, node from history order by id"};
        std::int64_t expected = 0;
        for (bool more = row.run(); more; more = row.step()) {
            ++expected;
            if (row.integer(0) != expected) {
                problem(fmt::format("leaf {} of the history is missing", expected) + kBackIsTurned);
                expected = row.integer(0);
            }
            check_leaf(row);
        }
    }

    /// Columns: id, what, ref, leaf, node.
    void check_leaf(const Statement& row) {
        const std::int64_t id = row.integer(0);
        const std::string what{row.text(1)};
        const std::int64_t ref = row.integer(2);
        std::int64_t& last = last_[what];
        const std::int64_t after = last;
        if (ref <= after) {
            problem(fmt::format("leaf {} of the history stands for {} {} out of its order", id,
                                for_display(what), ref) +
                    kBackIsTurned);
        }
        last = std::max(last, ref);
        const std::optional<std::string> bytes = bytes_of(id, what, ref, after);
        const bool purged = purged_.contains(id);
        const bool elsewhere = elsewhere_.contains(id);
        const bool absent = purged || elsewhere;
        const seal::Sha256 leaf = bytes    ? seal::leaf_hash(*bytes)
                                  : absent ? stored_hash(row.blob(3))
                                           : seal::Sha256{};
        tree_.add(leaf);
        if (absent && bytes) {
            problem(described(what, ref) + " is said to be " +
                    (purged ? "purged" : "kept elsewhere") + ", and is there" + kBackIsTurned);
        } else if (absent) {
            ++(purged ? report_.purged : report_.elsewhere);
            if (!node_fits(row, leaf)) {
                problem(fmt::format("leaf {} of the history does not fit those before it", id) +
                        kBackIsTurned);
            }
        } else if (!bytes) {
            problem(described(what, ref) + " is gone" + kBackIsTurned);
        } else if (!same(row.blob(3), leaf)) {
            problem(described(what, ref) + " is not as it was written" + kBackIsTurned);
        } else if (!node_fits(row, leaf)) {
            problem(fmt::format("leaf {} of the history does not fit those before it", id) +
                    kBackIsTurned);
        }
    }

    static seal::Sha256 stored_hash(Blob blob) noexcept {
        seal::Sha256 hash{};
        std::copy_n(blob.begin(), std::min(blob.size(), hash.size()), hash.begin());
        return hash;
    }

    bool node_fits(const Statement& row, const seal::Sha256& leaf) const {
        const seal::Sha256& node = tree_.peaks().back();
        return node == leaf ? row.is_null(4) : same(row.blob(4), node);
    }

    std::optional<std::string> bytes_of(std::int64_t id, const std::string& what, std::int64_t ref,
                                        std::int64_t after) {
        if (what == "entry") {
            return leaves_.of_entry(id, ref);
        }
        if (what == "batch") {
            const auto found = readings_.find(ref);
            return leaves_.of_batch(
                id, ref, found == readings_.end() ? ReadingsDigest{}.finish() : found->second);
        }
        return what == "reject" ? leaves_.of_rejects(id, after, ref) : std::nullopt;
    }

    std::string described(const std::string& what, std::int64_t ref) const {
        if (what == "reject") {
            return fmt::format("the block of rejected rows up to {}", ref);
        }
        Statement row{
            database_,
            what == "batch"
                ? "select 'of readings' || coalesce(', from ' || i.name, '') from batch b "
                  "left join import i on i.id = b.import where b.id = ?"
                : "select kind || ' entered ' || entered_at from entry where id = ?"};
        const std::string detail = row.run(ref) ? for_display(row.text(0)) : "";
        return for_display(what) + " " + std::to_string(ref) +
               (detail.empty() ? "" : " (" + detail + ")");
    }

    /// Records that no leaf stands for, in the tables that leaves are made of.
    void uncovered() {
        Statement entry{database_, "select id from entry where id not in "
                                   "(select ref from history where what = 'entry') order by id"};
        for (bool more = entry.run(); more; more = entry.step()) {
            problem(described("entry", entry.integer(0)) + " is in no leaf" + kBackIsTurned);
        }
        for (const auto& [table, rows] : leaves_.rows()) {
            const std::int64_t there =
                database_.integer(fmt::format("select count(*) from \"{}\"", table));
            if (there != rows) {
                problem(fmt::format("table {} has {} rows, of which the history knows {}",
                                    for_display(table), there, rows) +
                        kBackIsTurned);
            }
        }
        Statement row{database_, "select name from sqlite_schema where type = 'table' and name not "
                                 "like 'sqlite_%' order by name"};
        for (bool more = row.run(); more; more = row.step()) {
            const std::string name{row.text(0)};
            if (!kInNoLeaf.contains(name) && !leaves_.rows().contains(name)) {
                problem("table " + for_display(name) + " is no part of the history");
            }
        }
    }

    /// Readings of a batch that is not there.
    void strays() {
        Statement row{database_, "select key from reading where batch = ? limit 1"};
        Statement known{database_, "select 1 from batch where id = ?"};
        for (const auto& [batch, readings] : readings_) {
            if (!known.run(batch) && row.run(batch)) {
                const std::int64_t key = row.integer(0);
                problem(fmt::format("a reading of probe {} at {} belongs to no batch{}",
                                    key >> kInstantBits,
                                    to_utc_text(Instant::from_unix_ms(
                                        key & ((std::int64_t{1} << kInstantBits) - 1))),
                                    kBackIsTurned));
            }
        }
    }

    void checkpoints() {
        Statement row{database_,
                      "select id, text, signature, public_key from checkpoint order by id"};
        for (bool more = row.run(); more; more = row.step()) {
            ++report_.checkpoints;
            try {
                check_checkpoint(row);
            } catch (const Error& error) {
                problem(fmt::format("checkpoint {} {}", row.integer(0), error.text().what));
            }
        }
    }

    /// Columns: id, text, signature, public key.
    void check_checkpoint(const Statement& row) {
        const std::string text{row.text(1)};
        const seal::Checkpoint checkpoint = seal::parse_checkpoint(text);
        const Blob signature = row.blob(2);
        const Blob key_bytes = row.blob(3);
        seal::PublicKey key;
        if (key_bytes.size() != key.bytes.size()) {
            return problem(fmt::format("checkpoint {} has no key", row.integer(0)));
        }
        std::copy(key_bytes.begin(), key_bytes.end(), key.bytes.begin());
        if (checkpoint.key != seal::fingerprint(key) ||
            !seal::is_signed(
                text, seal::signature_from_bytes(std::string{signature.begin(), signature.end()}),
                key)) {
            return problem(
                fmt::format("checkpoint {} was not signed with the key it names", row.integer(0)));
        }
        // The rows were compared with the records above: the tree taken up from them is the true
        // one, or there is a problem already.
        if (checkpoint.size > tree_.size() ||
            tree_at(database_, static_cast<std::int64_t>(checkpoint.size)).root() !=
                checkpoint.root) {
            problem(fmt::format("checkpoint {}, signed {}, was of another history", row.integer(0),
                                to_utc_text(checkpoint.time)) +
                    kBackIsTurned);
        }
    }

    static bool same(Blob blob, const seal::Sha256& hash) noexcept {
        return std::equal(blob.begin(), blob.end(), hash.begin(), hash.end());
    }

    const Database& database_;
    Leaves leaves_;
    std::map<std::int64_t, ReadingsSeal> readings_;
    std::set<std::int64_t> purged_;
    std::map<std::int64_t, std::string> elsewhere_;
    std::map<std::string, std::int64_t> last_; ///< ref of the last leaf of each kind
    seal::TreeFrontier tree_;
    HistoryReport report_;
};

} // namespace

HistoryReport verify(const records::Store& store) {
    const Database& database = database_of(store);
    const Snapshot snapshot{database};
    HistoryReport report = Check{database}.run();
    if (report.problems.empty()) {
        check_elsewhere(store,
                        [&](std::string text) { report.problems.push_back(std::move(text)); });
    }
    return report;
}

std::uint64_t leaves_elsewhere(const records::Store& store) {
    const Database& database = database_of(store);
    return holds_part_only(database)
               ? static_cast<std::uint64_t>(database.integer("select count(*) from kept_elsewhere"))
               : 0;
}

} // namespace holdwarden::store
