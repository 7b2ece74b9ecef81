#include "amended.hpp"
#include "night.hpp"

#include <holdwarden/records/house_rules.hpp>
#include <holdwarden/records/keeping.hpp>
#include <holdwarden/records/people.hpp>
#include <holdwarden/store/history.hpp>
#include <holdwarden/store/pin_reset.hpp>
#include <holdwarden/store/purge.hpp>

#include <catch2/catch.hpp>

using namespace fixture;

namespace {

/// A choice, and a tombstone for a lot of long ago.
void write_keeping(records::Store& store) {
    const records::Stamp stamp = by("RK");
    store.keeping().choose({.rules = {"fda-117"}}, stamp);
    const Instant then = kNight - Span::hours(24 * 2000);
    const auto lot = store.open_lot({.name = "long-ago", .opened_at = then}, stamp);
    store.end_lot(lot, Outcome::served, then, stamp);
    store::purge(store, kNight - Span::hours(24 * 1500), "fda-117, 24 months",
                 seal::SigningKey::from_seed({}), stamp);
}

/// One row at least in every table.
void fill(records::Store& store) {
    const auto stamp = by("RK");
    const auto unit = store.add_unit({.name = "cabinet-1"}, stamp);
    const auto probe = store.add_probe({.name = "P1"}, stamp);
    const auto lot = store.open_lot({.name = "brisket-1", .opened_at = kNight}, stamp);
    store.set({.from = kNight, .code = "us-fda-2022", .largest_interval = Span::hours(1)}, stamp);
    auto& house = store.house_rules();
    house.withdraw(
        house.add({.requirement = "hot-holding", .at = f(140), .since = kNight, .why = "w"}, stamp),
        {.from = kNight, .why = "w"}, stamp);
    house.withdraw(
        house.add({.of = lot, .low = f(140), .high = f(150), .since = kNight, .why = "w"}, stamp),
        {.from = kNight, .why = "w"}, stamp);
    store.enter_stage({.lot = lot, .stage = Stage::hot_holding, .from = kNight, .unit = unit},
                      stamp);
    store.place({.probe = probe,
                 .target = records::LotPoint{lot},
                 .from = kNight - Span::hours(1),
                 .to = {}},
                stamp);
    store.log({.target = records::LotPoint{lot}, .at = kNight, .value = f(140), .probe = probe},
              stamp);
    const auto import = store.begin_import(source(), stamp);
    import->add({.probe = probe, .at = kNight, .value = f(141)});
    import->add({.probe = probe, .at = kNight, .value = f(142)});
    import->reject({.line = 4, .text = "x,y", .reason = "not a number"});
    import->finish(3, 0);
    write_keeping(store);
    write_people(store);
    write_checks(store, probe);
    write_answers(store, lot);
    write_day_book(store, lot, unit);
    store.end_lot(lot, Outcome::served, kNight, stamp);
    write_parts(store);
    write_handing(store);
    const auto key = seal::SigningKey::from_seed({});
    store::make_checkpoint(store, key, stamp);
    store::reset_pin(store, store.people().list().front().id, "a new hash", "lost", key, stamp);
}

std::vector<std::string> tables(const fs::path& file) {
    std::vector<std::string> names;
    sqlite3* handle = nullptr;
    sqlite3_open(file.c_str(), &handle);
    sqlite3_exec(
        handle, "select name from sqlite_schema where type = 'table'",
        [](void* into, int, char** values, char**) {
            static_cast<std::vector<std::string>*>(into)->emplace_back(values[0]);
            return 0;
        },
        &names, nullptr);
    sqlite3_close(handle);
    return names;
}

} // namespace

TEST_CASE("no table lets another program change, remove or replace a record") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    {
        const auto store = make(file);
        fill(*store);
        write_corrections(*store);
    }
    // As a store made from a packet has them.
    raw_sql(file, "insert into kept_elsewhere values (1, 'of another time'); insert into "
                  "made_from_packet values (1, 1, 'x', zeroblob(64), zeroblob(32))");
    const std::string before = dump(file);
    for (const std::string& table : tables(file)) {
        INFO(table); // a trigger speaks for a row: an empty table would let the statements pass
        const std::string column = table == "conflict"         ? "probe"
                                   : table == "reading"        ? "key"
                                   : table == "kept_elsewhere" ? "leaf"
                                                               : "id";
        CHECK(raw_sql(file, "update " + table + " set " + column + " = " + column) ==
              "records are never changed");
        CHECK(raw_sql(file, "delete from " + table) == "records are never removed");
        if (table != "reading") { // see 0002-append-only.sql
            raw_sql(file, "insert or replace into " + table + " select * from " + table);
        }
        CHECK(dump(file) == before);
    }
}

TEST_CASE("what an entry needs is there for every kind: who, and when by the program's clock") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    const auto store = make(file);
    fill(*store);
    CHECK(store->probes()[0].stamp.by == "RK");
    CHECK(store->lots()[0].stamp.entered_at == kNight);
    CHECK(store->stages(store->lots()[0].id)[0].by == "RK");
    CHECK(store->end(store->lots()[0].id)->by == "RK");
    CHECK(store->imports()[0].stamp.by == "RK");
    // 21 CFR 117.305(f): who did it and when; an event entered later keeps both times.
    store->open_lot({.name = "pork-1", .opened_at = kNight - Span::hours(3)},
                    by("", kNight + Span::hours(1)));
    const auto late = store->lots().back();
    CHECK(late.facts.opened_at == kNight - Span::hours(3));
    CHECK(late.stamp.entered_at == kNight + Span::hours(1));
    CHECK(late.stamp.by.empty());
}
