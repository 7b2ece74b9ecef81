// Imports: many logged readings at once, in blocks that are durable each.
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>
#include <cassert>
#include <map>

namespace holdwarden::store {

using namespace records;

namespace {

/// Rows in one transaction. A larger one makes the write-ahead log grow, a smaller one waits for
/// the disk more often.
constexpr std::size_t kBlockRows = 50'000;
constexpr std::size_t kBlockRejects = 5'000;

/// Most thermometers show tenths: such a value is counted in tenths, any other in thousandths.
constexpr std::int32_t kTenth = 100;

struct PendingRow {
    std::int64_t key;
    std::int32_t thousandths;
    Scale scale;
};

} // namespace

class SqliteImport final : public Importing {
public:
    SqliteImport(SqliteStore& store, std::int64_t id, std::int64_t entry, const Stamp& stamp)
        : store_{store}, id_{id}, entry_{entry}, stamp_{stamp}, latest_{stamp.entered_at +
                                                                        kClockTolerance},
          insert_{
              store.database_,
              "insert into reading (key, value, batch) values (?, ?, ?) on conflict do nothing"},
          known_{store.database_, "select r.value * b.step, b.scale from reading r join batch b on "
                                  "b.id = r.batch where r.key = ?"},
          insert_conflict_{store.database_, "insert into conflict (probe, at, value, scale, batch) "
                                            "values (?, ?, ?, ?, ?) on conflict do nothing"} {
        rows_.reserve(kBlockRows);
    }

    void add(const ImportRow& row) override {
        assert(!finished_);
        if (row.at > latest_ || row.at < Instant{}) {
            check_not_future("the reading", row.at, stamp_.entered_at, store_.zone());
        }
        rows_.push_back(
            {reading_key(row.probe, row.at), row.value.thousandths(), row.value.scale()});
        if (rows_.size() == kBlockRows) {
            write_block({});
        }
    }

    void reject(const Reject& reject) override {
        assert(!finished_);
        rejects_.push_back(reject);
        if (rejects_.size() == kBlockRejects) {
            write_block({});
        }
    }

    ImportCounts finish(std::uint64_t rows, std::uint64_t out_of_order) override {
        assert(!finished_);
        counts_.rows = rows;
        counts_.out_of_order = out_of_order;
        write_block([&] {
            const auto n = [](std::uint64_t count) { return static_cast<std::int64_t>(count); };
            store_.database_.run(
                "insert into import_end (entry, import, source_rows, added, duplicates, conflicts, "
                "rejected, out_of_order) values (?, ?, ?, ?, ?, ?, ?, ?)",
                store_.enter("import_end", stamp_), id_, n(counts_.rows), n(counts_.added),
                n(counts_.duplicates), n(counts_.conflicts), n(counts_.rejected),
                n(counts_.out_of_order));
        });
        finished_ = true;
        return counts_;
    }

private:
    void write_block(const std::function<void()>& also) {
        // In the order of the table, so that its pages fill one after the other. Stable: of two
        // values for one instant the one that stood first in the source is the reading.
        std::stable_sort(rows_.begin(), rows_.end(),
                         [](const PendingRow& a, const PendingRow& b) { return a.key < b.key; });
        store_.atomically([&] {
            for (const PendingRow& row : rows_) {
                write(row);
            }
            for (const Reject& reject : rejects_) {
                const auto* bytes = reinterpret_cast<const std::uint8_t*>(reject.text.data());
                store_.database_.run(
                    "insert into reject (import, line, text, reason) values (?, ?, ?, ?)", id_,
                    static_cast<std::int64_t>(reject.line), Blob{bytes, reject.text.size()},
                    reject.reason);
            }
            counts_.rejected += rejects_.size();
            if (also) {
                also();
            }
            for (auto& [kind, batch] : batches_) {
                store_.history_.note(batch.id, batch.readings.finish());
            }
        });
        batches_.clear(); // what is committed is closed: the history has its digest
        rows_.clear();
        rejects_.clear();
    }

    void write(const PendingRow& row) {
        const std::int32_t step = row.thousandths % kTenth == 0 ? kTenth : 1;
        Batch& batch = batch_of(row.scale, step);
        const std::int64_t value = row.thousandths / step;
        insert_.run(row.key, value, batch.id);
        if (store_.database_.changed()) {
            batch.readings.add(row.key, value); // in the order of keys, as the rows come
            ++counts_.added;
            return;
        }
        known_.run(row.key);
        const bool same =
            known_.integer(0) == row.thousandths && scale_from(known_.text(1)) == row.scale;
        known_.reset();
        if (same) {
            ++counts_.duplicates;
            return;
        }
        const std::int64_t probe = row.key >> kInstantBits;
        insert_conflict_.run(probe, row.key & ((std::int64_t{1} << kInstantBits) - 1),
                             std::int64_t{row.thousandths}, scale_text(row.scale), batch.id);
        ++(store_.database_.changed() ? counts_.conflicts : counts_.duplicates);
    }

    struct Batch {
        std::int64_t id = 0;
        ReadingsDigest readings;
    };

    Batch& batch_of(Scale scale, std::int32_t step) {
        Batch& batch = batches_[{scale, step}];
        if (batch.id == 0) {
            store_.database_.run("insert into batch (entry, import, scale, step) "
                                 "values (?, ?, ?, ?)",
                                 entry_, id_, scale_text(scale), std::int64_t{step});
            batch.id = store_.database_.last_id();
        }
        return batch;
    }

    SqliteStore& store_;
    std::int64_t id_;
    std::int64_t entry_;
    Stamp stamp_;
    Instant latest_;
    Statement insert_;
    Statement known_;
    Statement insert_conflict_;
    std::vector<PendingRow> rows_;
    std::vector<Reject> rejects_;
    std::map<std::pair<Scale, std::int32_t>, Batch> batches_; ///< of the block being written
    ImportCounts counts_;
    bool finished_ = false;
};

std::unique_ptr<Importing> SqliteStore::begin_import(const ImportSource& source,
                                                     const Stamp& stamp) {
    std::int64_t id = 0;
    std::int64_t entry = 0;
    atomically([&] {
        entry = enter("import", stamp);
        database_.run("insert into import (entry, name, sha256, bytes, mapping) "
                      "values (?, ?, ?, ?, ?)",
                      entry, source.name, Blob{source.sha256},
                      static_cast<std::int64_t>(source.bytes), source.mapping);
        id = database_.last_id();
    });
    return std::make_unique<SqliteImport>(*this, id, entry, stamp);
}

namespace {

/// Columns from `column`: rows, added, duplicates, conflicts, rejected, out of order.
ImportCounts counts_at(const Statement& row, int column) {
    const auto n = [&](int i) { return static_cast<std::uint64_t>(row.integer(column + i)); };
    return {.rows = n(0),
            .added = n(1),
            .duplicates = n(2),
            .conflicts = n(3),
            .rejected = n(4),
            .out_of_order = n(5)};
}

} // namespace

std::optional<ImportCounts> SqliteStore::finished_import(const ImportSource& source) const {
    Statement row{database_, "select x.source_rows, x.added, x.duplicates, x.conflicts, "
                             "x.rejected, x.out_of_order from import i join import_end x "
                             "on x.import = i.id where i.sha256 = ? and i.mapping = ? limit 1"};
    if (!row.run(Blob{source.sha256}, source.mapping)) {
        return std::nullopt;
    }
    return counts_at(row, 0);
}

std::vector<Recorded<ImportId, ImportSummary>> SqliteStore::imports() const {
    Statement row{database_, "select i.id, i.name, i.sha256, i.bytes, i.mapping, x.id, "
                             "x.source_rows, x.added, x.duplicates, x.conflicts, x.rejected, "
                             "x.out_of_order, e.id, e.entered_at, p.name from import i "
                             "left join import_end x on x.import = i.id join entry e "
                             "on e.id = i.entry left join person p on p.id = e.by order by i.id"};
    std::vector<Recorded<ImportId, ImportSummary>> all;
    for (bool more = row.run(); more; more = row.step()) {
        ImportSummary summary{.source = {.name = std::string{row.text(1)},
                                         .sha256 = {},
                                         .bytes = static_cast<std::uint64_t>(row.integer(3)),
                                         .mapping = std::string{row.text(4)}},
                              .finished = !row.is_null(5),
                              .counts = counts_at(row, 6)};
        const Blob digest = row.blob(2);
        std::copy_n(digest.begin(), std::min(digest.size(), summary.source.sha256.size()),
                    summary.source.sha256.begin());
        all.push_back(recorded(row, 12, ImportId::of(row.integer(0)), std::move(summary)));
    }
    return all;
}

std::vector<Reject> SqliteStore::rejects(ImportId import) const {
    Statement row{database_,
                  "select line, text, reason from reject where import = ? order by line, id"};
    std::vector<Reject> all;
    for (bool more = row.run(import.value()); more; more = row.step()) {
        all.push_back({.line = static_cast<std::uint64_t>(row.integer(0)),
                       .text = std::string{row.text(1)},
                       .reason = std::string{row.text(2)}});
    }
    return all;
}

std::vector<ReadingConflict> SqliteStore::conflicts(ProbeId probe, Instant from, Instant to) const {
    Statement row{database_, "select c.at, r.value * b.step, b.scale, c.value, c.scale "
                             "from conflict c join reading r on r.key = c.probe * ? + c.at "
                             "join batch b on b.id = r.batch "
                             "where c.probe = ? and c.at >= ? and c.at < ? order by c.at"};
    std::vector<ReadingConflict> all;
    for (bool more =
             row.run(std::int64_t{1} << kInstantBits, probe.value(), from.unix_ms(), to.unix_ms());
         more; more = row.step()) {
        all.push_back({.probe = probe,
                       .at = instant_at(row, 0),
                       .first = *degrees_at<Temperature>(row, 1),
                       .other = *degrees_at<Temperature>(row, 3)});
    }
    return all;
}

} // namespace holdwarden::store
