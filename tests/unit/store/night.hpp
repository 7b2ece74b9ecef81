#pragma once

// A small store with something in every table, for the tests of its history.

#include "fixture.hpp"

#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/day_book.hpp>
#include <holdwarden/records/parts.hpp>
#include <holdwarden/records/people.hpp>
#include <holdwarden/store/history.hpp>

#include <string>

namespace fixture {

inline seal::SigningKey some_key(std::uint8_t first = 1) {
    seal::SigningKey::Seed seed{};
    seed[0] = first;
    return seal::SigningKey::from_seed(seed);
}

/// Who signs, with what, and whether alone.
inline void write_people(records::Store& store) {
    const auto person = store.people().describe(
        {.name = "TM", .printed_name = "Tarn Mossop", .roles = {records::Role::reviewer}},
        by("RK"));
    store.people().set_pin(person, "a hash", by("RK"));
    store.people().set_pin(person, "another", by("TM"));
    store.people().note_attempt(person, {.at = kNight, .right = true, .purpose = "review"}, by(""));
    store.people().set_one_person({.alone = true, .why = "one cook"}, by("RK"));
}

/// A check, how often there should be one, and one that was not made.
inline void write_checks(records::Store& store, records::ProbeId probe) {
    store.checks().add({.probe = probe,
                        .at = kNight,
                        .found = f(33),
                        .expected = f(32),
                        .left = f(32),
                        .tolerance = records::usual_tolerance(Scale::fahrenheit),
                        .person = "TM"},
                       by("TM"));
    store.checks().set({.from = kNight, .probe = probe, .days = 30, .source = "house rule"},
                       by("TM"));
    store.checks().note_missed({.probe = probe, .due = kNight - Span::hours(24)}, by("TM"));
}

/// One of everything a day book holds.
inline void write_day_book(records::Store& store, records::LotId lot, records::UnitId unit) {
    records::DayBook& book = store.day_book();
    book.add(records::Receipt{.at = kNight, .supplier = "Yard Farms", .product = "flats"},
             by("RK"));
    book.add(records::Waste{.at = kNight,
                            .lot = lot,
                            .amount = {.thousandths = 2'000, .unit = "kg"},
                            .reason = "dried out"},
             by("RK"));
    book.add(records::WorkingCheck{.at = kNight, .unit = unit, .signer = "Rowan Kestrel"},
             by("RK"));
    book.keep({.name = store.day_book().papers().empty() ? "cooling" : "another",
               .title = "How we cool",
               .text = "In an ice bath.\n"},
              by("RK"));
    records::FilledForm sheet{.form = "holding", .written_by = "QM", .kept_at = "folder 3"};
    sheet.sha256[0] = static_cast<std::uint8_t>(book.filled_forms().size());
    book.transcribe(sheet,
                    {{.row = 1,
                      .record = records::TypedReading{.target = records::LotPoint{lot},
                                                      .at = kNight - Span::minutes(30),
                                                      .value = f(141)},
                      .words = "a row"}},
                    by("RK"));
}

/// What was done about a lot's flag, verified, and the lot reviewed.
inline void write_answers(records::Store& store, records::LotId lot) {
    const auto action = store.answers().add({.lot = lot,
                                             .flag = "hot-holding@2026-11-01T06:01:00Z/core",
                                             .at = kNight,
                                             .person = "RK",
                                             .done = "moved it to a hotter unit"},
                                            by("RK"));
    store.answers().verify({.action = action, .note = "seen"}, by("TM"));
    store.answers().sign({.lot = lot, .from = kNight, .to = kNight, .name = "TM"}, by("TM"));
    store.answers().set({.from = kNight, .source = "house rule"}, by("TM"));
}

/// A lot split, with trim, its parts merged again, and a usual lot.
inline void write_parts(records::Store& store) {
    using records::Mass;
    store.parts().save({.name = "brisket", .points = {{.name = "flat"}}, .plan = "rest, then hold"},
                       by("RK"));
    const auto butt = store.open_lot({.name = "butt-1", .opened_at = kNight}, by("RK"));
    const auto parts = store.parts().split({.lot = butt,
                                            .at = kNight,
                                            .of = Mass{2000},
                                            .parts = {{"a", Mass{900}}, {"b", Mass{900}}},
                                            .losses = {{"trim", Mass{200}}}},
                                           by("RK"));
    store.parts().merge({.lots = parts,
                         .at = kNight,
                         .into = {.name = "pan", .amount = Mass{1700}},
                         .stage = Stage::cooling,
                         .losses = {{"tasting", Mass{100}}}},
                        by("TM"));
}

/// A lot that went to another kitchen, and one that came from one.
inline void write_handing(records::Store& store) {
    const auto went = store.open_lot({.name = "ribs-1", .opened_at = kNight}, by("RK"));
    store.enter_stage({.lot = went, .stage = Stage::hot_holding, .from = kNight}, by("RK"));
    store.end_lot(went, Outcome::handed_on, kNight, by("RK"));
    store.parts().hand_on(went,
                          {.kitchen = "Larkspur Yard Hall",
                           .at = kNight,
                           .sha256 = std::string(64, 'a'),
                           .signer = std::string(64, 'b')},
                          by("RK"));
    const auto came = store.open_lot({.name = "beans-1", .opened_at = kNight}, by("TM"));
    store.parts().take_in({.lot = came,
                           .from = {.kitchen = "Larkspur Yard Barn",
                                    .zone = "America/Denver",
                                    .handed_on = kNight,
                                    .taken_in = kNight,
                                    .sha256 = std::string(64, 'c'),
                                    .signer = std::string(64, 'd')},
                           .file = "not read here"},
                          by("TM"));
}

/// Two lots, three probes, two imports with rejects and conflicts, two checkpoints.
inline void write_night(records::Store& store) {
    using records::LotPoint;
    const auto stamp = by("RK");
    const auto unit = store.add_unit({.name = "cabinet-1", .note = "left door"}, stamp);
    store.add_unit({.name = "walk-in"}, stamp);
    store.set({.from = kNight, .code = "us-fda-2022", .largest_interval = Span::hours(1)}, stamp);
    store.set({.from = kNight + Span::hours(1), .largest_interval = Span::hours(2)}, by("TM"));
    records::ProbeId probes[] = {store.add_probe({.name = "P1"}, stamp),
                                 store.add_probe({.name = "P2", .note = "long stem"}, by("TM")),
                                 store.add_probe({.name = "P3"}, stamp)};
    int n = 0;
    for (const char* name : {"brisket-1", "pork-1"}) {
        const auto lot = store.open_lot({.name = name, .opened_at = kNight}, stamp);
        store.enter_stage({.lot = lot, .stage = Stage::cooking, .from = kNight}, stamp);
        store.enter_stage({.lot = lot,
                           .stage = Stage::hot_holding,
                           .from = kNight + Span::minutes(1 + n),
                           .unit = unit},
                          stamp);
        store.place({.probe = probes[n],
                     .target = LotPoint{lot},
                     .from = kNight - Span::hours(1),
                     .to = {}},
                    stamp);
        for (int i = 0; i < 3; ++i) {
            store.log({.target = LotPoint{lot},
                       .at = kNight + Span::minutes(i),
                       .value = f(140 + i + n),
                       .probe = probes[n]},
                      stamp);
        }
        const auto import = store.begin_import(source(name), stamp);
        for (int i = 0; i < 40; ++i) {
            const int shift = i < 5 ? n : 0; // the second import's first five contradict the first
            import->add({.probe = probes[(i + shift) % 3],
                         .at = kNight - Span::minutes(i + n),
                         .value = Temperature::of_thousandths(60'000 + 100 * i + n + i / 30,
                                                              Scale::celsius)});
        }
        import->reject({.line = 7, .text = "x,y", .reason = "not a number"});
        import->reject({.line = 9, .text = std::string("\0\xff", 2), .reason = "not UTF-8"});
        import->finish(42, 0);
        write_people(store);
        write_checks(store, probes[n]);
        write_answers(store, lot);
        if (n == 0) {
            write_parts(store);
            write_handing(store);
        }
        write_day_book(store, lot, unit);
        store.end_lot(lot, Outcome::served, kNight + Span::minutes(2 + n), stamp);
        store::make_checkpoint(store, some_key(), stamp);
        ++n;
    }
}

/// What `verify` says first, or why the store was not even opened; empty: all fits.
inline std::string first_problem(const fs::path& file) {
    try {
        const auto report = store::verify(*reopen(file, store::Access::read));
        return report.problems.empty() ? "" : report.problems.front();
    } catch (const Error& error) {
        return error.text().what;
    }
}

/// Does `sql` with the triggers that guard the records out of the way, and puts them back, so that
/// the schema shows nothing.
inline std::string behind_its_back(const fs::path& file, const std::string& sql) {
    sqlite3* handle = nullptr;
    sqlite3_open(file.c_str(), &handle);
    std::string drop;
    std::string make;
    const auto append = [](void* into, int, char** values, char**) {
        *static_cast<std::string*>(into) += values[0];
        *static_cast<std::string*>(into) += ";\n";
        return 0;
    };
    sqlite3_exec(handle, "select 'drop trigger ' || name from sqlite_schema where type = 'trigger'",
                 append, &drop, nullptr);
    sqlite3_exec(handle, "select sql from sqlite_schema where type = 'trigger'", append, &make,
                 nullptr);
    sqlite3_close(handle);
    return raw_sql(file, "pragma foreign_keys = off; pragma ignore_check_constraints = on; begin;" +
                             drop + sql + ";" + make + "commit;");
}

} // namespace fixture
