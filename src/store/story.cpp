// The entries that touch something, told from the tables themselves: whatever table a later
// migration adds is told too, as long as its columns are named as the others are.
#include "rows.hpp"
#include "sqlite_corrections.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/measures.hpp>

#include <algorithm>
#include <map>
#include <set>

namespace holdwarden::store {

using namespace records;

namespace {

using RowKey = std::pair<std::string, std::int64_t>; ///< table and id

/// A table of records: its columns, and which of them name rows of others.
struct RecordTable {
    std::string name;
    std::vector<std::string> columns;
    std::map<std::string, std::string> refers; ///< column to table
};

std::vector<RecordTable> record_tables(const Database& database) {
    std::vector<RecordTable> tables;
    Statement column{database, "select m.name, c.name from sqlite_schema m "
                               "join pragma_table_info(m.name) c where m.type = 'table' and exists "
                               "(select 1 from pragma_table_info(m.name) where name = 'entry') "
                               "and m.name not in ('batch', 'history') order by m.name, c.cid"};
    for (bool more = column.run(); more; more = column.step()) {
        if (tables.empty() || tables.back().name != column.text(0)) {
            tables.push_back({.name = std::string{column.text(0)}, .columns = {}, .refers = {}});
        }
        tables.back().columns.emplace_back(column.text(1));
    }
    Statement key{database, "select \"from\", \"table\" from pragma_foreign_key_list(?)"};
    for (RecordTable& table : tables) {
        for (bool more = key.run(table.name); more; more = key.step()) {
            if (key.text(0) != "entry") {
                table.refers[std::string{key.text(0)}] = std::string{key.text(1)};
            }
        }
    }
    return tables;
}

bool is_name_table(std::string_view table) noexcept {
    return table == "lot" || table == "probe" || table == "unit" || table == "person" ||
           table == "import";
}

/// What no story shows: secrets, bytes, and what other fields already say.
bool is_untold(const std::string& table, const std::string& column) {
    return column == "id" || column == "entry" || column == "why" || column == "void" ||
           column == "scale" || column.ends_with("_scale") || column.ends_with("_unit") ||
           column == "altitude_in" || table == "person_pin" ||
           column.find("hash") != std::string::npos || (table == "checkpoint" && column == "text");
}

class Teller {
public:
    explicit Teller(const Database& database)
        : database_{database}, tables_{record_tables(database)} {}

    const RecordTable* table(std::string_view name) const {
        const auto found = std::ranges::find(tables_, name, &RecordTable::name);
        return found == tables_.end() ? nullptr : &*found;
    }

    /// Every row that a row names, directly or through others: its lot, its probe, ...
    const std::set<RowKey>& touches(const RowKey& row) {
        const auto [place, is_new] = touched_.try_emplace(row);
        if (is_new) {
            std::set<RowKey> all{row};
            const RecordTable* of = table(row.first);
            if (of != nullptr) {
                for (const auto& [column, to] : of->refers) {
                    Statement id{database_, "select \"" + column + "\" from \"" + of->name +
                                                "\" where id = ?"};
                    if (id.run(row.second) && !id.is_null(0)) {
                        const std::set<RowKey> further = touches({to, id.integer(0)});
                        all.insert(further.begin(), further.end());
                    }
                }
            }
            touched_[row] = std::move(all);
        }
        return touched_.at(row);
    }

    std::string name_of(const std::string& name_table, std::int64_t id) const {
        Statement row{database_, "select name from \"" + name_table + "\" where id = ?"};
        return row.run(id) ? std::string{row.text(0)} : std::string{};
    }

    std::optional<EntryId> entry_of(const RowKey& row) const {
        if (table(row.first) == nullptr) {
            return std::nullopt;
        }
        Statement entry{database_, "select entry from \"" + row.first + "\" where id = ?"};
        return entry.run(row.second) ? std::optional{EntryId::of(entry.integer(0))} : std::nullopt;
    }

    /// The facts of a row, in the order of the table's columns.
    std::vector<StoryFact> facts(const RecordTable& of, std::int64_t id) const {
        Statement row{database_, "select * from \"" + of.name + "\" where id = ?"};
        std::vector<StoryFact> all;
        if (!row.run(id)) {
            return all;
        }
        for (int i = 0; i < row.columns(); ++i) {
            const std::string column = row.name(i);
            if (row.is_null(i) || row.type(i) == SQLITE_BLOB || is_untold(of.name, column)) {
                continue;
            }
            if (StoryFact told = fact(of, row, i, column); !told.text.empty() || told.at) {
                all.push_back(std::move(told));
            }
        }
        return all;
    }

private:
    static int index_of(const Statement& row, const std::string& column) {
        for (int i = 0; i < row.columns(); ++i) {
            if (column == row.name(i)) {
                return i;
            }
        }
        return -1;
    }

    StoryFact fact(const RecordTable& of, const Statement& row, int i,
                   const std::string& column) const {
        StoryFact told{.name = column};
        std::ranges::replace(told.name, '_', ' ');
        if (const auto refers = of.refers.find(column); refers != of.refers.end()) {
            told.text = is_name_table(refers->second) ? name_of(refers->second, row.integer(i))
                                                      : std::string{}; // StoryEntry::of says which
            return told;
        }
        if (row.type(i) == SQLITE_TEXT) {
            told.text = std::string{row.text(i)};
            return told;
        }
        if (column == "at" || column.ends_with("_at") || column == "shown_from") {
            told.name = column == "at"        ? "time"
                        : column == "from_at" ? "from"
                        : column == "to_at"   ? "to"
                                              : told.name;
            told.at = instant_at(row, i);
            return told;
        }
        const int own_scale = index_of(row, column + "_scale");
        const bool plain =
            column == "value" || column == "found" || column == "expected" || column == "as_left";
        const int scale = own_scale >= 0 ? own_scale : plain ? index_of(row, "scale") : -1;
        const std::int64_t number = row.integer(i);
        if (scale >= 0) {
            const Scale of_value = scale_from(row.text(scale));
            const auto thousandths = static_cast<std::int32_t>(number);
            told.text = plain || column == "setting"
                            ? to_text(Temperature::of_thousandths(thousandths, of_value))
                            : to_text(TemperatureDelta::of_thousandths(thousandths, of_value));
            return told;
        }
        told.text = counted(column, number, told.name);
        return told;
    }

    static std::string counted(const std::string& column, std::int64_t number, std::string& name) {
        if (column == "watched_s") {
            name = "watched";
            return number == 0 ? "" : to_text(Span::seconds(number));
        }
        if (column == "mass_g") {
            name = "mass";
            return to_text(Mass{number});
        }
        if (column == "thickness_um") {
            name = "thickness";
            return to_text(Length{number});
        }
        if (column == "made_on") {
            return to_text(date_from_day_number(number));
        }
        if (column == "made_from_ambient") {
            name = "made from room-temperature ingredients";
            return number == 0 ? "no" : "yes";
        }
        if (column.ends_with("_ms")) {
            name.resize(name.size() - 3);
            return to_text(Span::milliseconds(number));
        }
        return std::to_string(number);
    }

    const Database& database_;
    std::vector<RecordTable> tables_;
    std::map<RowKey, std::set<RowKey>> touched_;
};

/// Which imports brought readings of a probe in a stretch.
void add_imports(const Database& database, ProbeId probe, Instant from, Instant to,
                 std::set<RowKey>& wanted) {
    Statement row{database,
                  "select distinct b.import from reading r join batch b on b.id = r.batch "
                  "where r.key between ? and ? and b.import is not null"};
    for (bool more = row.run(reading_key(probe, from), reading_key(probe, to)); more;
         more = row.step()) {
        wanted.insert({"import", row.integer(0)});
    }
}

/// The record that an amendment, a lift, a mark or a verification is about.
std::optional<RowKey> object_of(const Database& database, const RecordTable& of, std::int64_t id) {
    for (const auto& [column, to] : of.refers) {
        const bool amends_lot = to == "lot" && of.name == "lot_amendment";
        if (is_name_table(to) && !amends_lot && !(to == "import" && of.name == "import_end")) {
            continue;
        }
        Statement row{database, "select \"" + column + "\" from \"" + of.name + "\" where id = ?"};
        if (row.run(id) && !row.is_null(0)) {
            return RowKey{to, row.integer(0)};
        }
    }
    return std::nullopt;
}

std::vector<StoryChange> changes_between(const std::vector<StoryFact>& was,
                                         const std::vector<StoryFact>& now) {
    std::vector<StoryChange> all;
    const auto named = [](const std::vector<StoryFact>& facts, const std::string& name) {
        const auto found = std::ranges::find(facts, name, &StoryFact::name);
        return found == facts.end() ? StoryFact{.name = name} : *found;
    };
    for (const StoryFact& fact : now) {
        const StoryFact before = named(was, fact.name);
        if (!(before == fact)) {
            all.push_back({before, fact});
        }
    }
    for (const StoryFact& fact : was) {
        const bool gone = named(now, fact.name).text.empty() && !named(now, fact.name).at;
        if (gone && (!fact.text.empty() || fact.at) && fact.name != "name" &&
            fact.name != "opened at" && fact.name != "probe" && fact.name != "lot" &&
            fact.name != "point" && fact.name != "unit") {
            all.push_back({fact, StoryFact{.name = fact.name}});
        }
    }
    return all;
}

} // namespace

std::vector<StoryEntry> SqliteCorrections::story(const StoryWanted& wanted) const {
    const Database& db = database();
    Teller teller{db};
    std::set<RowKey> subjects;
    const Instant always = Instant::from_unix_ms((std::int64_t{1} << kInstantBits) - 1);
    if (wanted.lot) {
        subjects.insert({"lot", wanted.lot->value()});
        for (const KeptPlacement& placed : placements_in(*wanted.lot)) {
            for (const auto& version : placed.versions) {
                const Instant to = version.facts.to.value_or(always);
                add_imports(db, version.facts.probe, version.facts.from, to, subjects);
                Statement marked{db, "select id from reading_mark where probe = ? and from_at <= ? "
                                     "and to_at >= ?"};
                for (bool more = marked.run(version.facts.probe.value(), to.unix_ms(),
                                            version.facts.from.unix_ms());
                     more; more = marked.step()) {
                    subjects.insert({"reading_mark", marked.integer(0)});
                }
            }
        }
    }
    if (wanted.probe) {
        subjects.insert({"probe", wanted.probe->value()});
        add_imports(db, *wanted.probe, Instant{}, always, subjects);
    }
    if (wanted.unit) {
        subjects.insert({"unit", wanted.unit->value()});
        for (const auto& placed : store_.placements_where("m.unit = ?", wanted.unit->value())) {
            add_imports(db, placed.facts.probe, placed.facts.from, placed.facts.to.value_or(always),
                        subjects);
        }
    }
    std::vector<StoryEntry> story;
    Statement entry{db, "select e.kind, e.id, e.entered_at, p.name, k.taken_by, k.why_late "
                        "from entry e left join person p on p.id = e.by "
                        "left join entry_remark k on k.entry = e.id order by e.id"};
    for (bool more = entry.run(); more; more = entry.step()) {
        const RecordTable* of = teller.table(entry.text(0));
        if (of == nullptr || of->name == "person_pin") {
            continue;
        }
        Statement row{db, "select id from \"" + of->name + "\" where entry = ?"};
        if (!row.run(entry.integer(1))) {
            continue;
        }
        const std::int64_t id = row.integer(0);
        StoryEntry told{.entry = EntryId::of(entry.integer(1)),
                        .stamp = {.entered_at = instant_at(entry, 2),
                                  .by = std::string{entry.text(3)},
                                  .taken_by = std::string{entry.text(4)},
                                  .why_late = std::string{entry.text(5)}},
                        .kind = of->name};
        if (!wanted.person.empty() && told.stamp.by != wanted.person &&
            told.stamp.taken_by != wanted.person) {
            continue;
        }
        if (!subjects.empty()) {
            const std::set<RowKey>& touched = teller.touches({of->name, id});
            if (std::ranges::none_of(touched,
                                     [&](const RowKey& t) { return subjects.contains(t); })) {
                continue;
            }
        }
        told.facts = teller.facts(*of, id);
        const auto time = std::ranges::find_if(told.facts, [](const StoryFact& fact) {
            return fact.at &&
                   (fact.name == "time" || fact.name == "from" || fact.name == "opened at");
        });
        const bool amends = of->name.ends_with("_amendment");
        if (time != told.facts.end()) {
            told.happened_at = time->at;
            // Of a mark and an amendment the time is that of what it is on.
            told.late = !amends && of->name != "reading_mark" && of->name != "site_setting" &&
                        is_late(*time->at, told.stamp.entered_at);
        }
        const auto when = [&](Instant at) {
            return (!wanted.from || at >= *wanted.from) && (!wanted.to || at < *wanted.to);
        };
        if (!when(told.stamp.entered_at) && !(told.happened_at && when(*told.happened_at))) {
            continue;
        }
        if (std::ranges::find(of->columns, "why") != of->columns.end()) {
            Statement why{db, "select why from \"" + of->name + "\" where id = ?"};
            told.why = why.run(id) ? std::string{why.text(0)} : std::string{};
        }
        if (const auto object = object_of(db, *of, id)) {
            told.of = teller.entry_of(*object);
            if (amends) {
                // What it said before: the amendment before this one, else the record itself.
                std::string column;
                for (const auto& [name, to] : of->refers) {
                    column = to == object->first ? name : column;
                }
                Statement before{db, "select max(id) from \"" + of->name + "\" where \"" + column +
                                         "\" = ? and id < ?"};
                before.run(object->second, id);
                told.changes = changes_between(
                    before.is_null(0) ? teller.facts(*teller.table(object->first), object->second)
                                      : teller.facts(*of, before.integer(0)),
                    told.facts);
                if (std::ranges::find(of->columns, "void") != of->columns.end()) {
                    Statement voids{db, "select void from \"" + of->name + "\" where id = ?"};
                    told.voids = voids.run(id) && voids.integer(0) != 0;
                }
            }
        }
        story.push_back(std::move(told));
    }
    return story;
}

} // namespace holdwarden::store
