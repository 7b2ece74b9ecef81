// The site, its equipment, and the entries that everything belongs to.
#include "elsewhere.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>

#include <cassert>

namespace holdwarden::store {

using namespace records;

void SqliteStore::atomically(const std::function<void()>& work) {
    if (depth_ > 0) {
        work();
        return;
    }
    Transaction transaction{database_};
    struct Depth {
        int& depth;
        explicit Depth(int& d) : depth{d} { ++depth; }
        ~Depth() { --depth; }
    } const inside{depth_};
    try {
        work();
        history_.record_new();
        transaction.commit();
    } catch (...) {
        history_.forget();
        throw;
    }
}

namespace {

/// A number that no leaf of the history stands for, even if its record is elsewhere.
const std::string kNextEntry =
    "(select max(coalesce((select max(id) from entry), 0), coalesce((select ref from history where "
    "what = 'entry' order by id desc limit 1), 0)) + 1)";

/// A name is never given to a second person, so that nobody may go on under a retired one.
void check_not_retired(const Database& database, std::string_view name, std::int64_t person) {
    Statement last{database,
                   "select active from person_fact where person = ? order by id desc limit 1"};
    if (last.run(person) && last.integer(0) == 0) {
        throw Error{ErrorKind::conflict,
                    {.what = "'" + for_display(name) + "' is retired and makes no entries",
                     .where = "--by",
                     .fix = "name who makes the entry"}};
    }
}

} // namespace

std::int64_t SqliteStore::enter(std::string_view kind, const Stamp& stamp) {
    if (kind != "checkpoint" && holds_part_only(database_)) {
        throw Error{ErrorKind::conflict,
                    {.what = "this store was made from a packet and holds a part of the records "
                             "only, so nothing is entered in it",
                     .where = "store " + database_.name(),
                     .fix = "make the entry in the store that holds them all"}};
    }
    std::optional<std::int64_t> person;
    if (!stamp.by.empty()) {
        check_name("person", stamp.by);
        Statement known{database_, "select id from person where name = ?"};
        if (known.run(stamp.by)) {
            person = known.integer(0);
            check_not_retired(database_, stamp.by, *person);
        } else {
            database_.run("insert into entry (id, kind, entered_at) values (" + kNextEntry +
                              ", 'person', ?)",
                          stamp.entered_at.unix_ms());
            database_.run("insert into person (entry, name) values (?, ?)", database_.last_id(),
                          stamp.by);
            person = database_.last_id();
        }
    }
    database_.run("insert into entry (id, kind, entered_at, by) values (" + kNextEntry +
                      ", ?, ?, ?)",
                  kind, stamp.entered_at.unix_ms(), person);
    const std::int64_t entry = database_.last_id();
    if (!stamp.taken_by.empty() || !stamp.why_late.empty()) {
        const auto said = [](const std::string& text) {
            return text.empty() ? std::nullopt : std::optional<std::string_view>{text};
        };
        if (!stamp.taken_by.empty()) {
            check_name("person", stamp.taken_by);
        }
        check_text("reason", stamp.why_late);
        database_.run("insert into entry_remark (entry, taken_by, why_late) values (?, ?, ?)",
                      entry, said(stamp.taken_by), said(stamp.why_late));
    }
    return entry;
}

void SqliteStore::add_checkpoint(std::string_view text, Blob signature, Blob public_key,
                                 const Stamp& stamp) {
    atomically([&] {
        database_.run("insert into checkpoint (entry, text, signature, public_key) "
                      "values (?, ?, ?, ?)",
                      enter("checkpoint", stamp), text, signature, public_key);
    });
}

const Database& database_of(const records::Store& store) noexcept {
    const auto* sqlite = dynamic_cast<const SqliteStore*>(&store);
    assert(sqlite != nullptr);
    return sqlite->database();
}

void SqliteStore::found(const Site& site, const SiteSetting& adopted, const Stamp& stamp) {
    check_name("site", site.name);
    atomically([&] {
        const auto& altitude = site.altitude;
        database_.run(
            "insert into site (id, entry, name, zone, altitude_um, altitude_in, scale) "
            "values (1, ?, ?, ?, ?, ?, ?)",
            enter("site", stamp), site.name, site.zone,
            altitude ? std::optional{altitude->micrometres} : std::nullopt,
            altitude
                ? std::optional<std::string_view>{altitude->unit == AltitudeUnit::feet ? "ft" : "m"}
                : std::nullopt,
            scale_text(site.scale));
        set(adopted, stamp);
    });
}

Site SqliteStore::site() const {
    Statement row{database_, "select name, zone, altitude_um, altitude_in, scale from site"};
    if (!row.run()) {
        throw Error{ErrorKind::store,
                    {.what = "says nothing of its site: its making was broken off",
                     .where = "store " + database_.name(),
                     .fix = "remove it and make a new one with `holdwarden init`"}};
    }
    Site site{.name = std::string{row.text(0)},
              .zone = std::string{row.text(1)},
              .altitude = {},
              .scale = scale_from(row.text(4))};
    if (!row.is_null(2)) {
        site.altitude = Altitude{row.integer(2),
                                 row.text(3) == "ft" ? AltitudeUnit::feet : AltitudeUnit::metres};
    }
    return site;
}

void SqliteStore::set(const SiteSetting& setting, const Stamp& stamp) {
    check_text("reason", setting.why);
    atomically([&] {
        database_.run(
            "insert into site_setting (entry, from_at, code, largest_interval_ms, why) "
            "values (?, ?, ?, ?, ?)",
            enter("site_setting", stamp), setting.from.unix_ms(),
            setting.code ? std::optional<std::string_view>{*setting.code} : std::nullopt,
            setting.largest_interval ? std::optional{setting.largest_interval->ms()} : std::nullopt,
            setting.why.empty() ? std::nullopt : std::optional<std::string_view>{setting.why});
    });
}

std::vector<SiteSetting> SqliteStore::settings() const {
    Statement row{database_, "select s.from_at, s.code, s.largest_interval_ms, s.why, p.name "
                             "from site_setting s join entry e on e.id = s.entry "
                             "left join person p on p.id = e.by order by s.id"};
    std::vector<SiteSetting> all;
    for (bool more = row.run(); more; more = row.step()) {
        SiteSetting setting{.from = instant_at(row, 0),
                            .code = {},
                            .largest_interval = {},
                            .why = std::string{row.text(3)},
                            .by = std::string{row.text(4)}};
        if (!row.is_null(1)) {
            setting.code = std::string{row.text(1)};
        }
        if (!row.is_null(2)) {
            setting.largest_interval = Span::milliseconds(row.integer(2));
        }
        all.push_back(std::move(setting));
    }
    return all;
}

namespace {

void check_new_name(const Database& database, std::string_view what, std::string_view sql,
                    std::string_view name) {
    check_name(what, name);
    Statement known{database, sql};
    if (known.run(name)) {
        throw Error{
            ErrorKind::conflict,
            {.what = std::string{what} + " '" + std::string{name} + "' is in the store already",
             .where = "",
             .fix = "choose another name"}};
    }
}

} // namespace

UnitId SqliteStore::add_unit(const Unit& unit, const Stamp& stamp) {
    std::int64_t id = 0;
    atomically([&] {
        check_new_name(database_, "unit", "select 1 from unit where name = ?", unit.name);
        check_text("note", unit.note);
        database_.run("insert into unit (entry, name, kind, oven, note) values (?, ?, ?, ?, ?)",
                      enter("unit", stamp), unit.name, to_name(unit.kind), maybe_name(unit.oven),
                      unit.note);
        id = database_.last_id();
    });
    return UnitId::of(id);
}

std::vector<Recorded<UnitId, Unit>> SqliteStore::units() const {
    Statement row{database_,
                  "select u.id, u.name, u.kind, u.oven, u.note, e.id, e.entered_at, p.name from "
                  "unit u join entry e on e.id = u.entry left join person p on p.id = e.by "
                  "order by u.id"};
    std::vector<Recorded<UnitId, Unit>> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(recorded(row, 5, UnitId::of(row.integer(0)),
                               Unit{.name = std::string{row.text(1)},
                                    .kind = word_at(row, 2, unit_kind_named),
                                    .oven = maybe_word_at(row, 3, oven_named),
                                    .note = std::string{row.text(4)}}));
    }
    return all;
}

ProbeId SqliteStore::add_probe(const Thermometer& probe, const Stamp& stamp) {
    std::int64_t id = 0;
    atomically([&] {
        check_new_name(database_, "probe", "select 1 from probe where name = ?", probe.name);
        check_text("note", probe.note);
        database_.run("insert into probe (entry, name, accuracy, accuracy_scale, display_step, "
                      "display_step_scale, note) values (?, ?, ?, ?, ?, ?, ?)",
                      enter("probe", stamp), probe.name, thousandths_of(probe.accuracy),
                      scale_of(probe.accuracy), thousandths_of(probe.display_step),
                      scale_of(probe.display_step), probe.note);
        id = database_.last_id();
    });
    return ProbeId::of(id);
}

std::vector<Recorded<ProbeId, Thermometer>> SqliteStore::probes() const {
    Statement row{database_,
                  "select b.id, b.name, b.accuracy, b.accuracy_scale, b.display_step, "
                  "b.display_step_scale, b.note, e.id, e.entered_at, p.name from probe b "
                  "join entry e on e.id = b.entry left join person p on p.id = e.by order by b.id"};
    std::vector<Recorded<ProbeId, Thermometer>> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(recorded(row, 7, ProbeId::of(row.integer(0)),
                               Thermometer{.name = std::string{row.text(1)},
                                           .accuracy = degrees_at<TemperatureDelta>(row, 2),
                                           .display_step = degrees_at<TemperatureDelta>(row, 4),
                                           .note = std::string{row.text(6)}}));
    }
    return all;
}

std::string SqliteStore::probe_name(ProbeId probe) const {
    Statement row{database_, "select name from probe where id = ?"};
    return row.run(probe.value()) ? std::string{row.text(0)} : std::string{};
}

} // namespace holdwarden::store
