#include "export_choice.hpp"

#include "sqlite_store.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <utility>

namespace holdwarden::store {
namespace {

using Ids = std::set<std::int64_t>;

/// What belongs to the whole kitchen, so that it ties nothing to a lot.
const std::set<std::string> kHubs{"entry", "person", "site", "unit", "probe"};

bool meet(const Ids& a, const Ids& b) {
    return std::any_of(a.begin(), a.end(), [&](std::int64_t id) { return b.contains(id); });
}

class Chooser {
public:
    Chooser(const Database& database, const Extent& extent, const Kept& kept)
        : database_{database}, kept_{kept}, from_{extent.from
                                                      ? extent.from->unix_ms()
                                                      : std::numeric_limits<std::int64_t>::min()},
          to_{extent.to ? extent.to->unix_ms() : std::numeric_limits<std::int64_t>::max()} {
        for (std::string& table : record_tables(database)) {
            if (table != "conflict" && table != "reject" && table != "batch") {
                keys_[table] = foreign_keys(database, table);
            }
        }
    }

    LeftOut run() {
        living();
        relatives();
        tie_rows();
        LeftOut out;
        for (const auto& [entry, lots] : of_entry_) {
            if (!lots.empty() && !meet(lots, lots_)) {
                out.entries.insert(entry);
            }
            for (const std::int64_t lot : lots) {
                out.last_entry[lot] = entry; // ascending
            }
        }
        const std::pair extent{from_, to_};
        widen();
        batches(out);
        imports(out, extent);
        return out;
    }

private:
    /// Lots whose life touches the extent: in its widest form, as first recorded or as amended.
    void living() {
        Statement row{database_,
                      "select l.id, min(l.opened_at, "
                      "coalesce((select min(from_at) from stage_entry where lot = l.id), "
                      "l.opened_at), "
                      "coalesce((select min(from_at) from stage_entry_now where lot = l.id), "
                      "l.opened_at), "
                      "coalesce((select min(from_at) from placement_first where lot = l.id), "
                      "l.opened_at), "
                      "coalesce((select min(from_at) from placement_now where lot = l.id), "
                      "l.opened_at)), "
                      "max((select at from lot_end where lot = l.id), "
                      "(select at from lot_end_now where lot = l.id)) from lot l"};
        for (bool more = row.run(); more; more = row.step()) {
            const std::int64_t end =
                row.maybe_integer(2).value_or(std::numeric_limits<std::int64_t>::max());
            lives_[row.integer(0)] = {row.integer(1), end};
            if ((row.integer(1) < to_ && end >= from_) || kept_.lots.contains(row.integer(0))) {
                lots_.insert(row.integer(0));
            }
        }
    }

    /// Lots that one entry names in one table (a whole and its parts) stay together.
    void relatives() {
        std::map<std::pair<std::string, std::int64_t>, Ids> by_entry;
        for (const auto& [table, keys] : keys_) {
            std::string columns = "entry";
            for (const ForeignKey& key : keys) {
                columns += key.table == "lot" ? ", " + key.column : "";
            }
            if (columns == "entry") {
                continue;
            }
            Statement row{database_, "select " + columns + " from \"" + table + "\""};
            for (bool more = row.run(); more; more = row.step()) {
                Ids& tie = by_entry[{table, row.integer(0)}];
                for (int i = 1; i < row.columns(); ++i) {
                    if (!row.is_null(i)) {
                        tie.insert(row.integer(i));
                    }
                }
            }
        }
        std::vector<Ids> ties;
        for (auto& [place, tie] : by_entry) {
            if (tie.size() > 1) {
                ties.push_back(std::move(tie));
            }
        }
        for (bool grew = true; std::exchange(grew, false);) {
            for (const Ids& tie : ties) {
                const auto before = lots_.size();
                if (meet(tie, lots_)) {
                    lots_.insert(tie.begin(), tie.end());
                }
                grew = grew || lots_.size() != before;
            }
        }
    }

    /// Which lots each row, and so each entry, is about: by its own keys and those of what it
    /// names.
    void tie_rows() {
        for (bool grew = true; std::exchange(grew, false);) {
            for (const auto& [table, keys] : keys_) {
                grew = tie_table(table, keys) || grew;
            }
        }
    }

    bool tie_table(const std::string& table, const std::vector<ForeignKey>& keys) {
        if (kHubs.contains(table)) {
            return false;
        }
        std::string columns = "id, entry";
        for (const ForeignKey& key : keys) {
            columns += ", " + key.column;
        }
        bool grew = false;
        Statement row{database_, "select " + columns + " from \"" + table + "\""};
        for (bool more = row.run(); more; more = row.step()) {
            Ids& lots = of_row_[{table, row.integer(0)}];
            const auto before = lots.size();
            if (table == "lot") {
                lots.insert(row.integer(0));
            }
            for (std::size_t i = 0; i < keys.size(); ++i) {
                const int column = static_cast<int>(i) + 2;
                if (row.is_null(column) || kHubs.contains(keys[i].table)) {
                    continue;
                }
                if (keys[i].table == "lot") {
                    lots.insert(row.integer(column));
                } else if (const auto other = of_row_.find({keys[i].table, row.integer(column)});
                           other != of_row_.end() && other->second != lots) {
                    const Ids more_lots = other->second;
                    lots.insert(more_lots.begin(), more_lots.end());
                }
            }
            grew = grew || lots.size() != before;
            of_entry_[row.integer(1)].insert(lots.begin(), lots.end());
        }
        return grew;
    }

    /// A lot is in whole or not at all: logged readings of any part of the life of one that is in
    /// may be its own, or of the air around it.
    void widen() {
        constexpr std::int64_t kAround = 24 * 60 * 60 * std::int64_t{1000};
        from_ = kept_.readings_from ? std::min(from_, kept_.readings_from->unix_ms()) : from_;
        for (const std::int64_t lot : lots_) {
            const auto [begin, end] = lives_.at(lot);
            from_ = std::min(from_, begin - kAround);
            to_ = end < std::numeric_limits<std::int64_t>::max() - kAround
                      ? std::max(to_, end + kAround)
                      : std::numeric_limits<std::int64_t>::max();
        }
    }

    void batches(LeftOut& out) {
        Statement all{database_, "select id from batch"};
        for (bool more = all.run(); more; more = all.step()) {
            out.batches.insert(all.integer(0));
        }
        const std::int64_t mask = (std::int64_t{1} << kInstantBits) - 1;
        for (const char* sql : {"select distinct batch from reading where key & ?1 >= ?2 and key & "
                                "?1 < ?3",
                                "select distinct batch from conflict where at & ?1 >= ?2 and at & "
                                "?1 < ?3"}) {
            Statement inside{database_, sql};
            for (bool more = inside.run(mask, from_, to_); more; more = inside.step()) {
                out.batches.erase(inside.integer(0));
            }
        }
    }

    /// One whose batches are all left out, and that was not made in the extent.
    void imports(LeftOut& out, const std::pair<std::int64_t, std::int64_t>& extent) {
        std::map<std::int64_t, bool> wanted;
        Statement row{database_, "select b.id, b.import from batch b where b.import is not null"};
        for (bool more = row.run(); more; more = row.step()) {
            wanted[row.integer(1)] |= !out.batches.contains(row.integer(0));
        }
        Statement import{database_,
                         "select i.id, i.entry, e.entered_at, (select f.entry from import_end f "
                         "where f.import = i.id) from import i join entry e on e.id = i.entry"};
        for (bool more = import.run(); more; more = import.step()) {
            const auto found = wanted.find(import.integer(0));
            const bool made_now =
                import.integer(2) >= extent.first && import.integer(2) < extent.second;
            if (found != wanted.end() && !found->second && !made_now) {
                out.imports.insert(import.integer(0));
                out.entries.insert(import.integer(1));
                if (!import.is_null(3)) {
                    out.entries.insert(import.integer(3));
                }
            }
        }
    }

    const Database& database_;
    const Kept& kept_;
    std::int64_t from_;
    std::int64_t to_;
    std::map<std::string, std::vector<ForeignKey>> keys_;
    Ids lots_;                                                            ///< kept
    std::map<std::int64_t, std::pair<std::int64_t, std::int64_t>> lives_; ///< of every lot
    std::map<std::pair<std::string, std::int64_t>, Ids> of_row_;
    std::map<std::int64_t, Ids> of_entry_;
};

} // namespace

std::vector<ForeignKey> foreign_keys(const Database& database, const std::string& table) {
    Statement row{database,
                  "select \"from\", \"table\" from pragma_foreign_key_list(?) order by 1"};
    std::vector<ForeignKey> keys;
    for (bool more = row.run(std::string_view{table}); more; more = row.step()) {
        keys.push_back({std::string{row.text(0)}, std::string{row.text(1)}});
    }
    return keys;
}

std::vector<std::string> record_tables(const Database& database) {
    Statement row{database,
                  "select distinct m.name from sqlite_schema m join pragma_table_info(m.name) c "
                  "where m.type = 'table' and (c.name = 'entry' or m.name in ('entry', 'conflict', "
                  "'reject')) order by 1"};
    std::vector<std::string> names;
    for (bool more = row.run(); more; more = row.step()) {
        names.emplace_back(row.text(0));
    }
    return names;
}

bool is_secret(const std::string& table) noexcept {
    return table == "person_pin";
}

LeftOut left_out(const Database& database, const Extent& extent, const Kept& kept) {
    LeftOut out = extent.whole() ? LeftOut{} : Chooser{database, extent, kept}.run();
    for (const std::string& table : record_tables(database)) {
        if (is_secret(table)) {
            Statement row{database, "select entry from \"" + table + "\""};
            for (bool more = row.run(); more; more = row.step()) {
                out.secrets.insert(row.integer(0));
            }
        }
    }
    return out;
}

} // namespace holdwarden::store
