#pragma once

// A lot with one correction of every kind.

#include "fixture.hpp"

#include <holdwarden/records/corrections.hpp>

namespace fixture {

/// The lot `rib-1` with its probe `P9`: everything that can be corrected was, by RK and MM.
inline records::LotId write_corrections(records::Store& store) {
    using records::LotPoint;
    const auto stamp = by("RK", kNight + Span::hours(8));
    const auto probe = store.add_probe({.name = "P9"}, stamp);
    const auto lot = store.open_lot({.name = "rib-1", .opened_at = kNight}, stamp);
    store.enter_stage({.lot = lot, .stage = Stage::resting, .from = kNight}, stamp);
    store.enter_stage({.lot = lot, .stage = Stage::hot_holding, .from = kNight + Span::hours(1)},
                      stamp);
    const auto placed =
        store.place({.probe = probe, .target = LotPoint{lot}, .from = kNight, .to = {}}, stamp);
    const auto import = store.begin_import(source("rib.csv"), stamp);
    for (int i = 0; i < 6; ++i) {
        import->add({.probe = probe, .at = kNight + Span::hours(i), .value = f(141 + i)});
    }
    import->finish(6, 0);
    records::Stamp for_another = stamp;
    for_another.taken_by = "TM";
    for_another.why_late = "the line was busy";
    store.log({.target = LotPoint{lot}, .at = kNight + Span::minutes(30), .value = f(193)},
              for_another);
    store.log({.target = LotPoint{lot}, .at = kNight + Span::minutes(40), .value = f(150)}, stamp);
    store.end_lot(lot, Outcome::served, kNight + Span::hours(6), stamp);

    auto& book = store.corrections();
    const auto later = by("RK", kNight + Span::hours(9));
    const auto readings = book.readings_of(lot);
    auto reading = readings[0].now().facts;
    reading.value = f(139);
    book.amend(readings[0].id, reading, "figures swapped", later);
    book.void_reading(readings[1].id, "read in the wrong pan", later);
    auto stage = book.stages_of(lot)[1].now().facts;
    stage.from = kNight + Span::minutes(50);
    book.amend(book.stages_of(lot)[1].id, stage, "the clock was read wrong", later);
    auto facts = book.facts_of(lot).now().facts;
    facts.food = FoodKind::whole_cut;
    book.amend(lot, facts, "it is beef", later);
    auto end = book.end_of(lot)->now().facts;
    end.at = kNight + Span::hours(7);
    book.amend(book.end_of(lot)->id, end, "served later", later);
    auto placement = book.placements_of(probe)[0].now().facts;
    placement.from = kNight + Span::minutes(5);
    book.amend(placed, placement, "it went in later", later);
    book.mark(records::MarkKind::confirmed, readings[0].id, "read twice", later);
    const auto aside = book.mark(records::MarkKind::set_aside,
                                 records::LoggedSpan{.probe = probe,
                                                     .from = kNight + Span::hours(2),
                                                     .to = kNight + Span::hours(3)},
                                 "pulled to move the pan", later);
    book.verify(aside, by("MM", kNight + Span::hours(9)));
    return lot;
}

} // namespace fixture
