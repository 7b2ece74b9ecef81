// Requirements REC-1 to REC-7 of a food record: 21 CFR 11.10(e) (the earlier value stays visible;
// who, when and the time set by the program), 21 CFR 117.305(c), (d), (f) and 9 CFR 417.5(b)
// (entries made when the thing happens, by the person who did it). The numbers are the project's
// own.
#include "amended.hpp"

#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>
#include <holdwarden/store/history.hpp>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace fixture;
using records::Amendment;
using records::LotPoint;
using records::MarkKind;

namespace {

struct Kitchen {
    Folder folder;
    fs::path file = folder / "kitchen.db";
    std::unique_ptr<records::Store> store = make(file);
    records::Stamp rk = by("RK", kNight + Span::hours(8));
    records::LotId lot = store->open_lot({.name = "brisket-1", .opened_at = kNight}, rk);
    records::Corrections& book = store->corrections();

    Kitchen() {
        store->enter_stage({.lot = lot, .stage = Stage::resting, .from = kNight}, rk);
        store->enter_stage(
            {.lot = lot, .stage = Stage::hot_holding, .from = kNight + Span::hours(1)}, rk);
        log(f(193), Span::hours(1));
        log(f(140), Span::hours(2));
    }
    void log(Temperature value, Span after) {
        store->log({.target = LotPoint{lot}, .at = kNight + after, .value = value}, rk);
    }
    records::KeptReading reading(std::size_t i) const { return book.readings_of(lot)[i]; }
    records::TypedReading facts(std::size_t i) const { return reading(i).now().facts; }
    records::LotHistory history(Span after = Span::hours(8)) const {
        return store->lot_history(lot, kNight + after);
    }
    template <class Call>
    ErrorText refused(ErrorKind kind, Call call) {
        const std::string before = dump(file);
        ErrorKind got = ErrorKind::store;
        const ErrorText text = refusal(call, got);
        CHECK_FALSE(text.what.empty());
        CHECK_FALSE(text.fix.empty());
        CHECK(got == kind);
        CHECK(dump(file) == before);
        return text;
    }
};

const std::vector<records::Reading>& core(const records::LotHistory& history) {
    return history.points.at(0).readings;
}

} // namespace

TEST_CASE("REC-1: an amended reading counts as amended and keeps what it said, who, when and why") {
    Kitchen k;
    auto now = k.facts(0);
    now.value = f(139);
    k.book.amend(k.reading(0).id, now, "figures swapped", by("MM", kNight + Span::hours(9)));

    const auto history = k.history();
    CHECK(core(history)[0].value == f(139));
    REQUIRE(history.amendments.size() == 1);
    const Amendment& made = history.amendments[0];
    CHECK(made.of == Amendment::Of::reading);
    CHECK(made.point == "core");
    CHECK(made.at == kNight + Span::hours(1));
    CHECK(made.by == "MM");
    CHECK(made.made_at == kNight + Span::hours(9));
    CHECK(made.why == "figures swapped");
    REQUIRE(made.changes.size() == 1);
    CHECK(made.changes[0].field == "value");
    CHECK(made.changes[0].was == "193 °F");
    CHECK(made.changes[0].now == "139 °F");

    const auto kept = k.reading(0);
    REQUIRE(kept.versions.size() == 2);
    CHECK(kept.first().facts.value == f(193));
    CHECK(kept.first().stamp.by == "RK");
    CHECK(kept.now().why == "figures swapped");
    REQUIRE(history.first_recorded != nullptr);
    CHECK(core(*history.first_recorded)[0].value == f(193));
    CHECK(store::verify(*k.store).problems.empty());
}

TEST_CASE("REC-1: an amendment without a reason or without a person is refused") {
    Kitchen k;
    auto now = k.facts(0);
    now.value = f(139);
    for (const char* why : {"", "   ", "\t"}) {
        k.refused(ErrorKind::bad_input, [&] { k.book.amend(k.reading(0).id, now, why, k.rk); });
        k.refused(ErrorKind::bad_input, [&] { k.book.void_reading(k.reading(0).id, why, k.rk); });
        k.refused(ErrorKind::bad_input,
                  [&] { k.book.mark(MarkKind::set_aside, k.reading(0).id, why, k.rk); });
    }
    k.refused(ErrorKind::bad_input, [&] {
        k.book.amend(k.reading(0).id, now, "figures swapped", by("", kNight + Span::hours(9)));
    });
    k.refused(ErrorKind::bad_input,
              [&] { k.book.amend(k.reading(0).id, k.facts(0), "nothing is different", k.rk); });
}

TEST_CASE("REC-1: to retract an amendment is another amendment, and all three values stay") {
    Kitchen k;
    const auto first = k.facts(0);
    auto now = first;
    now.value = f(139);
    k.book.amend(k.reading(0).id, now, "figures swapped", k.rk);
    k.book.amend(k.reading(0).id, first, "they were right after all", k.rk);
    const auto history = k.history();
    CHECK(core(history)[0].value == f(193));
    REQUIRE(history.amendments.size() == 2);
    CHECK_FALSE(history.amendments[0].stands);
    CHECK(history.amendments[1].stands);
    CHECK(history.amendments[1].changes[0].was == "139 °F");
    CHECK(k.reading(0).versions.size() == 3);
}

TEST_CASE("REC-2: a voided reading counts for nothing and stays on record with its reason") {
    Kitchen k;
    k.book.void_reading(k.reading(0).id, "read in the wrong pan", k.rk);
    const auto history = k.history();
    REQUIRE(core(history).size() == 1);
    CHECK(core(history)[0].value == f(140));
    REQUIRE(history.amendments.size() == 1);
    CHECK(history.amendments[0].voided);
    CHECK(history.amendments[0].value == f(193));
    CHECK(history.amendments[0].at == kNight + Span::hours(1));
    CHECK(history.amendments[0].why == "read in the wrong pan");
    k.refused(ErrorKind::conflict, [&] { k.book.void_reading(k.reading(0).id, "again", k.rk); });

    // Void is no hole to hide behind: the same value may be entered anew, and the void one shows.
    k.log(f(193), Span::hours(1));
    CHECK(core(k.history()).size() == 2);
    // Brought back, it would meet the one entered since.
    k.refused(ErrorKind::conflict,
              [&] { k.book.amend(k.book.readings_of(k.lot)[0].id, k.facts(0), "back", k.rk); });
}

TEST_CASE("REC-2: a voided stage entry leaves the stage before it running") {
    Kitchen k;
    const auto stage = k.book.stages_of(k.lot)[1];
    k.book.void_stage(stage.id, "wrong lot", k.rk);
    const auto history = k.history();
    REQUIRE(history.stages.size() == 1);
    CHECK(history.stages[0].stage == Stage::resting);
    CHECK(history.first_recorded->stages.size() == 2);
    CHECK(history.amendments.at(0).voided);
    // The instant is taken for good: the refusal says how to go on.
    const auto text = k.refused(ErrorKind::conflict, [&] {
        k.store->enter_stage(
            {.lot = k.lot, .stage = Stage::cooling, .from = kNight + Span::hours(1)}, k.rk);
    });
    CHECK(text.fix.find("amend stage") != std::string::npos);
    auto back = stage.now().facts;
    back.stage = Stage::cooling;
    k.book.amend(stage.id, back, "it was cooled", k.rk);
    CHECK(k.history().stages.at(1).stage == Stage::cooling);
}

TEST_CASE("REC-3: the time of an amendment is the stamp's, and no field of it can be typed") {
    Kitchen k;
    auto now = k.facts(0);
    now.at = kNight + Span::minutes(70);
    k.book.amend(k.reading(0).id, now, "ten past", by("RK", kNight + Span::hours(9)));
    const auto kept = k.reading(0);
    CHECK(kept.now().stamp.entered_at == kNight + Span::hours(9));
    CHECK(kept.now().facts.at == kNight + Span::minutes(70));
    // Nor may the thing lie in the future of that clock.
    now.at = kNight + Span::hours(10);
    k.refused(ErrorKind::bad_input, [&] {
        k.book.amend(k.reading(0).id, now, "later", by("RK", kNight + Span::hours(9)));
    });
}

TEST_CASE(
    "REC-6: an entry made more than 15 minutes late is marked late with its reason, for good") {
    Kitchen k;
    records::Stamp late = by("RK", kNight + Span::hours(3));
    late.why_late = "the line was busy";
    const auto entered = [&](Span before) {
        k.store->log({.target = LotPoint{k.lot}, .at = late.entered_at - before, .value = f(141)},
                     late);
    };
    // The lag is common practice, no source: at it, in time; a millisecond more, late.
    CHECK(records::kLateAfter == Span::minutes(15));
    entered(Span::minutes(15));
    entered(Span::minutes(15) + Span::milliseconds(1));
    const auto marked = [&](Instant at) {
        const auto history = k.history();
        return std::ranges::count_if(history.remarks, [&](const records::EntryRemark& remark) {
            return remark.happened_at == at && remark.late &&
                   remark.why_late == "the line was busy" && remark.entered_at == late.entered_at;
        });
    };
    CHECK(marked(late.entered_at - Span::minutes(15)) == 0);
    const Instant at = late.entered_at - Span::minutes(15) - Span::milliseconds(1);
    CHECK(marked(at) == 1);
    // Amending the time does not wash the mark off.
    auto readings = k.book.readings_of(k.lot);
    const auto found =
        std::ranges::find_if(readings, [&](const auto& r) { return r.now().facts.at == at; });
    auto now = found->now().facts;
    now.at = late.entered_at;
    k.book.amend(found->id, now, "the clock was read wrong", k.rk);
    CHECK(marked(at) == 1);
}

TEST_CASE("REC-6: what an instrument logged is not late however late it is imported") {
    Kitchen k;
    const auto probe = k.store->add_probe({.name = "P1"}, k.rk);
    k.store->place({.probe = probe,
                    .target = LotPoint{k.lot},
                    .from = k.rk.entered_at - Span::minutes(5),
                    .to = {}},
                   k.rk);
    const auto import = k.store->begin_import(source(), by("RK", kNight + Span::hours(30)));
    import->add({.probe = probe, .at = k.rk.entered_at, .value = f(141)});
    import->finish(1, 0);
    const auto history = k.history(Span::hours(9));
    CHECK(core(history).size() == 3);
    for (const auto& remark : history.remarks) { // the kitchen's own entries were late
        CHECK(remark.happened_at != k.rk.entered_at);
    }
    CHECK(k.store->imports()[0].stamp.entered_at == kNight + Span::hours(30));
}

TEST_CASE("REC-7: a reading entered for somebody else records both people") {
    Kitchen k;
    records::Stamp stamp = k.rk;
    stamp.taken_by = "TM";
    k.store->log({.target = LotPoint{k.lot}, .at = stamp.entered_at, .value = f(141)}, stamp);
    const auto history = k.history();
    const auto found = std::ranges::find(history.remarks, "TM", &records::EntryRemark::taken_by);
    REQUIRE(found != history.remarks.end());
    CHECK(found->by == "RK");
    CHECK_FALSE(found->late);
    CHECK(k.book.readings_of(k.lot).back().first().stamp.taken_by == "TM");
    CHECK(store::verify(*k.store).problems.empty());
}

TEST_CASE("an amended state keeps the rules of first entries") {
    Kitchen k;
    auto reading = k.facts(0);
    reading.at = kNight + Span::hours(2); // another reading is there
    k.refused(ErrorKind::conflict, [&] { k.book.amend(k.reading(0).id, reading, "why", k.rk); });
    reading = k.facts(0);
    reading.value = f(1000);
    k.refused(ErrorKind::bad_input, [&] { k.book.amend(k.reading(0).id, reading, "why", k.rk); });
    reading = k.facts(0);
    reading.target = LotPoint{k.lot, "../core"};
    k.refused(ErrorKind::bad_input, [&] { k.book.amend(k.reading(0).id, reading, "why", k.rk); });

    const auto stages = k.book.stages_of(k.lot);
    auto stage = stages[1].now().facts;
    stage.from = kNight; // the rest began then
    k.refused(ErrorKind::conflict, [&] { k.book.amend(stages[1].id, stage, "why", k.rk); });
    stage.from = kNight - Span::hours(1); // before the rest
    k.refused(ErrorKind::conflict, [&] { k.book.amend(stages[1].id, stage, "why", k.rk); });
    stage = stages[0].now().facts;
    stage.from = kNight + Span::hours(2); // behind the hold
    k.refused(ErrorKind::conflict, [&] { k.book.amend(stages[0].id, stage, "why", k.rk); });

    k.store->end_lot(k.lot, Outcome::served, kNight + Span::hours(3), k.rk);
    stage = stages[1].now().facts;
    stage.from = kNight + Span::hours(4); // after the end
    k.refused(ErrorKind::conflict, [&] { k.book.amend(stages[1].id, stage, "why", k.rk); });
    auto end = k.book.end_of(k.lot)->now().facts;
    end.at = kNight + Span::minutes(30); // before the hold began
    k.refused(ErrorKind::conflict,
              [&] { k.book.amend(k.book.end_of(k.lot)->id, end, "why", k.rk); });
}

TEST_CASE("the lot's facts as amended are what is judged and listed") {
    Kitchen k;
    auto lot = k.book.facts_of(k.lot).now().facts;
    lot.food = FoodKind::whole_cut;
    lot.mass = records::Mass{5000};
    lot.made_on = LocalDate{2026, 10, 31};
    k.book.amend(k.lot, lot, "it is beef", k.rk);
    const auto history = k.history();
    CHECK(history.food == FoodKind::whole_cut);
    CHECK(history.raw_mass_g == 5000);
    CHECK(k.store->lots()[0].facts.food == FoodKind::whole_cut);
    CHECK(history.first_recorded->food == FoodKind::other_tcs);
    CHECK(history.amendments.at(0).changes.size() == 3);
}

TEST_CASE("a day of making later than the cook on record is refused") {
    // FDA Food Code 2022, 3-501.17(A) (from memory): the day of preparation is counted as day 1.
    Kitchen k;
    auto lot = k.book.facts_of(k.lot).now().facts;
    const auto made_on = [&](unsigned day) {
        lot.made_on = LocalDate{2026, 11, day};
        return lot;
    };
    k.book.amend(k.lot, made_on(5), "not cooked here", k.rk); // nothing says it was cooked
    auto stage = k.book.stages_of(k.lot)[0].now().facts;
    stage.stage = Stage::cooking;
    k.book.amend(k.book.stages_of(k.lot)[0].id, stage, "it was the cook", k.rk);
    const auto text =
        k.refused(ErrorKind::conflict, [&] { k.book.amend(k.lot, made_on(4), "why", k.rk); });
    CHECK_THAT(text.what, Catch::Matchers::Contains("first cook"));
    CHECK_THAT(text.fix, Catch::Matchers::Contains("2026-11-01"));
    // What is on record already does not stand in the way of other facts.
    lot = made_on(5);
    lot.mass = records::Mass{5000};
    k.book.amend(k.lot, lot, "weighed", k.rk);
    // The parts of a split carry their lot's cook.
    const auto parts = k.store->parts().split({.lot = k.lot,
                                               .at = kNight + Span::hours(3),
                                               .form = records::PartForm::sliced,
                                               .parts = {{"a"}, {"b"}}},
                                              k.rk);
    auto part = k.book.facts_of(parts[0]).now().facts;
    part.made_on = LocalDate{2026, 11, 3};
    k.refused(ErrorKind::conflict, [&] { k.book.amend(parts[0], part, "why", k.rk); });
    part.made_on = LocalDate{2026, 11, 1};
    k.book.amend(parts[0], part, "why", k.rk);
}

TEST_CASE(
    "an amended end takes the probes lifted with it along, and a voided one lets the lot live") {
    Kitchen k;
    const auto probe = k.store->add_probe({.name = "P1"}, k.rk);
    k.store->place({.probe = probe, .target = LotPoint{k.lot}, .from = kNight, .to = {}}, k.rk);
    k.store->end_lot(k.lot, Outcome::served, kNight + Span::hours(3), k.rk);
    const auto id = k.book.end_of(k.lot)->id;
    auto end = k.book.end_of(k.lot)->now().facts;
    end.at = kNight + Span::hours(4);
    k.book.amend(id, end, "it was four", k.rk);
    CHECK(k.store->end(k.lot)->at == kNight + Span::hours(4));
    CHECK(k.store->placements()[0].facts.to == kNight + Span::hours(4));

    k.book.void_end(id, "another pan was served", k.rk);
    CHECK_FALSE(k.store->end(k.lot));
    CHECK(k.store->lots(records::Store::Which::living).size() == 1);
    k.store->end_lot(k.lot, Outcome::discarded, kNight + Span::hours(6), k.rk);
    CHECK(k.store->end(k.lot)->outcome == Outcome::discarded);
    CHECK(k.store->lots(records::Store::Which::living).empty());
}

TEST_CASE("amended times of a placement decide which readings are the lot's") {
    Kitchen k;
    const auto probe = k.store->add_probe({.name = "P1"}, k.rk);
    const auto placed = k.store->place(
        {.probe = probe, .target = LotPoint{k.lot, "thick end"}, .from = kNight, .to = {}}, k.rk);
    const auto import = k.store->begin_import(source(), k.rk);
    for (int i = 0; i < 5; ++i) {
        import->add({.probe = probe, .at = kNight + Span::hours(i), .value = f(141)});
    }
    import->finish(5, 0);
    CHECK(k.history().points.at(1).readings.size() == 5);
    auto now = k.book.placements_of(probe)[0].now().facts;
    now.from = kNight + Span::hours(1);
    now.to = kNight + Span::hours(3);
    k.book.amend(placed, now, "it lay on the table till one", k.rk);
    CHECK(k.history().points.at(1).readings.size() == 2);
    CHECK_FALSE(k.store->open_placement(probe));
    k.book.void_placement(placed, "it was in the other lot", k.rk);
    CHECK(k.history().points.size() == 1);
    CHECK(k.history().first_recorded->points.size() == 2);
    // The probe is free for where it really was.
    k.store->place({.probe = probe, .target = LotPoint{k.lot}, .from = kNight, .to = {}}, k.rk);
}

TEST_CASE("marks reach the history of the lot whose readings they are on, and no other") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto lot = write_corrections(*store);
    const auto history = store->lot_history(lot, kNight + Span::hours(8));
    REQUIRE(history.marks.size() == 2);
    CHECK(history.marks[0].kind == MarkKind::confirmed);
    CHECK(history.marks[0].value == f(139));
    CHECK(history.marks[1].kind == MarkKind::set_aside);
    CHECK(history.marks[1].verified_by == "MM");
    const auto& logged = core(history);
    CHECK(std::ranges::count_if(logged, [&](const records::Reading& reading) {
              return covers(history.marks[1], history, "core", reading);
          }) == 2);
    const auto other = store->open_lot({.name = "pork-1", .opened_at = kNight}, by("RK"));
    CHECK(store->lot_history(other, kNight + Span::hours(8)).marks.empty());
}

namespace {

/// brisket-1 with a probe that logged 141 °F at two hours and 145 °F at four.
struct LoggedKitchen : Kitchen {
    records::ProbeId probe = store->add_probe({.name = "P1"}, rk);
    LoggedKitchen() {
        store->place({.probe = probe, .target = LotPoint{lot}, .from = kNight, .to = {}}, rk);
        import_one("first.csv", f(141), Span::hours(2));
        import_one("second.csv", f(145), Span::hours(4));
    }
    void import_one(const char* name, Temperature value, Span after) {
        const auto import = store->begin_import(source(name), rk);
        import->add({.probe = probe, .at = kNight + after, .value = value});
        import->finish(1, 0);
    }
    records::MarkId mark(MarkKind kind) {
        return book.mark(kind,
                         records::LoggedSpan{.probe = probe,
                                             .from = kNight + Span::hours(2),
                                             .to = kNight + Span::hours(4)},
                         "seen", rk);
    }
    /// The values that the only mark is on.
    std::vector<Temperature> marked(const records::LotHistory& of) const {
        REQUIRE(of.marks.size() == 1);
        std::vector<Temperature> values;
        for (const records::Reading& reading : core(of)) {
            if (covers(of.marks[0], of, "core", reading)) {
                values.push_back(reading.value);
            }
        }
        return values;
    }
};

} // namespace

// 21 CFR 11.70 (from memory): a signature is linked to the record that was signed, and cannot be
// carried over to another. That it goes by the order of entries is the project's own.
TEST_CASE("a mark is not on readings that were imported after it was made") {
    LoggedKitchen k;
    const auto aside = k.mark(MarkKind::set_aside);
    const std::vector both{f(141), f(145)};
    CHECK(k.marked(k.history()) == both);
    CHECK(k.history().marks[0].came_later.empty());
    k.import_one("third.csv", f(170), Span::hours(3));
    k.import_one("fourth.csv", f(171), Span::hours(2)); // a second value for the instant
    CHECK(core(k.history()).size() == 6);
    CHECK(k.marked(k.history()) == both);
    const std::vector<records::Shown> later{{kNight + Span::hours(2), f(171)},
                                            {kNight + Span::hours(3), f(170)}};
    CHECK(k.history().marks[0].came_later == later);
    // Who verifies says that the readings which were marked are rightly set aside: no others.
    k.book.verify(aside, by("MM", k.rk.entered_at));
    CHECK(k.marked(k.history()) == both);
    // The same readings imported again stay those that were there.
    k.import_one("again.csv", f(145), Span::hours(4));
    CHECK(k.marked(k.history()) == both);
}

TEST_CASE("a mark made while an import runs is on what the import had written by then") {
    LoggedKitchen k;
    const auto import = k.store->begin_import(source("long.csv"), k.rk);
    k.mark(MarkKind::confirmed);
    import->add({.probe = k.probe, .at = kNight + Span::hours(3), .value = f(170)});
    import->finish(1, 0);
    CHECK(k.marked(k.history()) == std::vector{f(141), f(145)});
}

TEST_CASE("a mark made after the last import is on all of its stretch") {
    LoggedKitchen k;
    k.import_one("third.csv", f(170), Span::hours(3));
    k.mark(MarkKind::confirmed);
    CHECK(k.marked(k.history()) == std::vector{f(141), f(170), f(145)});
}

TEST_CASE("a mark of whose readings this lot has only later ones is none of this lot's") {
    LoggedKitchen k;
    const auto other = k.store->open_lot({.name = "pork-1", .opened_at = kNight}, k.rk);
    const auto placed = k.book.placements_of(k.probe)[0];
    auto until = placed.now().facts;
    until.to = kNight + Span::minutes(150);
    k.book.amend(placed.id, until, "it was moved", k.rk);
    k.store->place({.probe = k.probe,
                    .target = LotPoint{other},
                    .from = kNight + Span::minutes(150),
                    .to = kNight + Span::minutes(200)},
                   k.rk);
    k.mark(MarkKind::confirmed);
    k.import_one("third.csv", f(170), Span::hours(3));
    CHECK(k.history().marks.size() == 1);
    CHECK(k.store->lot_history(other, kNight + Span::hours(8)).marks.empty());
}

TEST_CASE("a mark on one pan's reading is not on another pan's of the same time and value") {
    Kitchen k; // brisket-1 reads 140 °F at two hours; so does the other pan it is merged with
    const auto other = k.store->open_lot({.name = "brisket-2", .opened_at = kNight}, k.rk);
    k.store->enter_stage({.lot = other, .stage = Stage::hot_holding, .from = kNight}, k.rk);
    k.store->log({.target = LotPoint{other}, .at = kNight + Span::hours(2), .value = f(140)}, k.rk);
    k.book.mark(MarkKind::set_aside, k.reading(1).id, "not this pan", k.rk);
    const auto both = k.store->parts().merge({.lots = {k.lot, other},
                                              .at = kNight + Span::hours(3),
                                              .into = {.name = "both"},
                                              .stage = Stage::hot_holding},
                                             k.rk);
    const auto history = k.store->lot_history(both, kNight + Span::hours(8));
    REQUIRE(history.sources.size() == 2);
    REQUIRE(history.marks.size() == 1);
    const auto marked = [&](const records::LotHistory& life) {
        return std::ranges::count_if(life.points.at(0).readings,
                                     [&](const records::Reading& reading) {
                                         return covers(history.marks[0], life, "core", reading);
                                     });
    };
    CHECK(marked(history.sources[0]) == 1);
    CHECK(marked(history.sources[1]) == 0);
}

TEST_CASE("a mark on a reading that was amended since is on another reading: it lapses") {
    Kitchen k;
    k.book.mark(MarkKind::confirmed, k.reading(0).id, "read twice", k.rk);
    CHECK(k.history().marks.size() == 1);
    auto now = k.facts(0);
    now.value = f(139);
    k.book.amend(k.reading(0).id, now, "figures swapped", k.rk);
    CHECK(k.history().marks.empty());
}

TEST_CASE("only a second person verifies that readings are set aside, and only once") {
    Kitchen k;
    const auto mark = k.book.mark(MarkKind::set_aside, k.reading(0).id, "not this pan", k.rk);
    k.refused(ErrorKind::conflict, [&] { k.book.verify(mark, k.rk); });
    k.refused(ErrorKind::bad_input, [&] { k.book.verify(mark, by("", k.rk.entered_at)); });
    k.book.verify(mark, by("MM", k.rk.entered_at));
    k.refused(ErrorKind::conflict, [&] { k.book.verify(mark, by("TM", k.rk.entered_at)); });
    const auto confirmed = k.book.mark(MarkKind::confirmed, k.reading(1).id, "seen", k.rk);
    k.refused(ErrorKind::conflict, [&] { k.book.verify(confirmed, by("MM", k.rk.entered_at)); });
    k.refused(ErrorKind::not_found,
              [&] { k.book.verify(records::MarkId::of(99), by("MM", k.rk.entered_at)); });
}

TEST_CASE("a stretch in which the probe logged nothing cannot be marked") {
    Kitchen k;
    const auto probe = k.store->add_probe({.name = "P1"}, k.rk);
    k.refused(ErrorKind::not_found, [&] {
        k.book.mark(MarkKind::set_aside,
                    records::LoggedSpan{.probe = probe, .from = kNight, .to = kNight}, "why", k.rk);
    });
    k.refused(ErrorKind::bad_input, [&] {
        k.book.mark(
            MarkKind::set_aside,
            records::LoggedSpan{.probe = probe, .from = kNight, .to = kNight - Span::hours(1)},
            "why", k.rk);
    });
}
