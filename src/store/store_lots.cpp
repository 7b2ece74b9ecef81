// Lots, their stages and ends, and which probe reads what.
#include "books.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>

#include <iterator>

namespace holdwarden::store {

using namespace records;

LotId SqliteStore::open_lot(const Lot& lot, const Stamp& stamp) {
    std::int64_t id = 0;
    atomically([&] {
        check_name("lot", lot.name);
        check_text("description", lot.description);
        check_text("container", lot.container);
        check_not_future("the opening", lot.opened_at, stamp.entered_at, zone());
        Statement known{database_, "select l.opened_at from lot l where l.name = ?"};
        if (known.run(lot.name)) {
            throw Error{ErrorKind::conflict,
                        {.what = "lot '" + lot.name + "' is in the store already",
                         .where = "",
                         .fix = "choose another name, such as one with the day in it"}};
        }
        database_.run(
            "insert into lot (entry, name, food, description, mass_g, thickness_um, container, "
            "made_from_ambient, made_on, opened_at) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            enter("lot", stamp), lot.name, to_name(lot.food), lot.description,
            lot.mass ? std::optional{lot.mass->grams} : std::nullopt,
            lot.thickness ? std::optional{lot.thickness->micrometres} : std::nullopt, lot.container,
            std::int64_t{lot.made_from_ambient},
            lot.made_on ? std::optional{day_number(*lot.made_on)} : std::nullopt,
            lot.opened_at.unix_ms());
        id = database_.last_id();
    });
    return LotId::of(id);
}

std::vector<Recorded<LotId, Lot>> SqliteStore::lots(Which which) const {
    Statement row{database_,
                  "select l.id, l.name, l.food, l.description, l.mass_g, l.thickness_um, "
                  "l.container, l.made_from_ambient, l.made_on, l.opened_at, "
                  "e.id, e.entered_at, p.name from lot_now l "
                  "join entry e on e.id = l.entry left join person p on p.id = e.by "
                  "where ? or not exists (select 1 from lot_end_now where lot = l.id) "
                  "order by l.id"};
    std::vector<Recorded<LotId, Lot>> all;
    for (bool more = row.run(std::int64_t{which == Which::all}); more; more = row.step()) {
        Lot lot{.name = std::string{row.text(1)},
                .food = word_at(row, 2, food_named),
                .description = std::string{row.text(3)},
                .mass = {},
                .thickness = {},
                .container = std::string{row.text(6)},
                .made_from_ambient = row.integer(7) != 0,
                .made_on = {},
                .opened_at = instant_at(row, 9)};
        if (!row.is_null(4)) {
            lot.mass = Mass{row.integer(4)};
        }
        if (!row.is_null(5)) {
            lot.thickness = Length{row.integer(5)};
        }
        if (!row.is_null(8)) {
            lot.made_on = date_from_day_number(row.integer(8));
        }
        all.push_back(recorded(row, 10, LotId::of(row.integer(0)), std::move(lot)));
    }
    return all;
}

std::string SqliteStore::lot_name(LotId lot) const {
    Statement row{database_, "select name from lot where id = ?"};
    return row.run(lot.value()) ? std::string{row.text(0)} : std::string{};
}

void SqliteStore::enter_stage(const NewStage& stage, const Stamp& stamp) {
    atomically([&] {
        check_not_future("the stage's beginning", stage.from, stamp.entered_at, zone());
        std::vector<StageEntry> before = stages(stage.lot);
        const auto origin = parts().origin_of(stage.lot);
        const auto taken = parts().taken_in(stage.lot);
        const std::optional<Instant> began = origin  ? std::optional{origin->facts.at}
                                             : taken ? std::optional{taken->from.taken_in}
                                                     : std::nullopt;
        if (began == stage.from && own_stages(stage.lot).empty()) {
            std::erase_if(before, [&](const StageEntry& s) { return s.from == stage.from; });
        } else if (began && stage.from < *began) {
            throw Error{ErrorKind::conflict,
                        {.what = "the lot came into being here at " +
                                 local_text_with_offset(*began, zone()),
                         .where = "lot '" + lot_name(stage.lot) + "'",
                         .fix = taken ? "give a later time with --at; what was before is the other "
                                        "kitchen's to record"
                                      : "give a later time with --at, or name the lot it came "
                                        "from"}};
        }
        check_stage_order(lot_name(stage.lot), before, end(stage.lot), stage.stage, stage.from,
                          zone());
        refuse_taken_instant(stage);
        database_.run("insert into stage_entry (entry, lot, stage, from_at, unit, setting, "
                      "setting_scale, oven, form) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                      enter("stage_entry", stamp), stage.lot.value(), to_name(stage.stage),
                      stage.from.unix_ms(), maybe_id(stage.unit), thousandths_of(stage.setting),
                      scale_of(stage.setting), maybe_name(stage.oven), form_text(stage.form));
    });
}

/// The table keeps one entry for an instant, as first given, for good.
void SqliteStore::refuse_taken_instant(const NewStage& stage) const {
    Statement taken{database_, "select 1 from stage_entry where lot = ? and from_at = ?"};
    if (taken.run(stage.lot.value(), stage.from.unix_ms())) {
        throw Error{ErrorKind::conflict,
                    {.what = "a stage entry that was amended since was first given for that very "
                             "instant",
                     .where = "lot '" + lot_name(stage.lot) + "'",
                     .fix = "amend that entry back with `amend stage`, or give another second with "
                            "--at"}};
    }
}

/// A part goes on in its lot's stages, a lot taken in in those of its kitchen. One that the lot
/// entered at the very instant of the split is not the part's when the part enters one of its own
/// then.
std::vector<StageEntry> SqliteStore::stages(LotId lot) const {
    std::vector<StageEntry> own = own_stages(lot);
    const auto origin = parts().origin_of(lot);
    const bool is_part = origin && origin->facts.kind == Parting::Kind::split;
    const auto there = is_part ? nullptr : books_->parts.told_there(lot);
    if (!is_part && !there) {
        return own;
    }
    const Instant at = is_part ? origin->facts.at : there->history.came_from.back().taken_in;
    const bool at_once = !own.empty() && own.front().from == at;
    std::vector<StageEntry> all =
        is_part ? stages(origin->facts.from.front().lot) : there->history.stages;
    std::erase_if(all,
                  [&](const StageEntry& s) { return s.from > at || (at_once && s.from == at); });
    all.insert(all.end(), std::make_move_iterator(own.begin()), std::make_move_iterator(own.end()));
    return all;
}

std::vector<StageEntry> SqliteStore::own_stages(LotId lot, Told told) const {
    Statement row{database_,
                  std::string{"select s.stage, s.from_at, u.name, s.setting, s.setting_scale, "
                              "coalesce(s.oven, u.oven), s.form, p.name from "} +
                      table("stage_entry", told) +
                      " s join entry e on e.id = s.entry left join person p on p.id = e.by "
                      "left join unit u on u.id = s.unit where s.lot = ? order by s.from_at"};
    std::vector<StageEntry> all;
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        all.push_back({.stage = word_at(row, 0, stage_named),
                       .from = instant_at(row, 1),
                       .unit = std::string{row.text(2)},
                       .setting = degrees_at<Temperature>(row, 3),
                       .oven = maybe_word_at(row, 5, oven_named),
                       .form = form_from(row.text(6)),
                       .by = std::string{row.text(7)}});
    }
    return all;
}

void SqliteStore::end_lot(LotId lot, Outcome outcome, Instant at, const Stamp& stamp) {
    atomically([&] {
        check_not_future("the end", at, stamp.entered_at, zone());
        check_end(lot_name(lot), stages(lot), end(lot), at, zone());
        const auto still = placements_where("m.to_at is null and m.lot = ?", lot.value());
        for (const auto& placement : still) {
            lift(placement.id, at, stamp);
        }
        // A lot has one record of its end: where that was voided, the end is amended back to life.
        if (Statement voided{database_, "select id from lot_end where lot = ?"};
            voided.run(lot.value())) {
            database_.run("insert into end_amendment (entry, lot_end, why, void, lot, outcome, at) "
                          "values (?, ?, 'the lot has ended now', 0, ?, ?, ?)",
                          enter("end_amendment", stamp), voided.integer(0), lot.value(),
                          to_name(outcome), at.unix_ms());
            return;
        }
        database_.run("insert into lot_end (entry, lot, outcome, at) values (?, ?, ?, ?)",
                      enter("lot_end", stamp), lot.value(), to_name(outcome), at.unix_ms());
    });
}

std::optional<LotEnd> SqliteStore::end(LotId lot) const {
    return end_told(lot, Told::as_amended);
}

std::optional<LotEnd> SqliteStore::end_told(LotId lot, Told told) const {
    Statement row{database_,
                  "select x.outcome, x.at, p.name from " + table("lot_end", told) +
                      " x join entry e on e.id = x.entry left join person p on p.id = e.by "
                      "where x.lot = ?"};
    if (!row.run(lot.value())) {
        return std::nullopt;
    }
    return LotEnd{.outcome = word_at(row, 0, outcome_named),
                  .at = instant_at(row, 1),
                  .by = std::string{row.text(2)}};
}

std::string SqliteStore::describe(const Target& target) const {
    if (const auto* spot = std::get_if<LotPoint>(&target)) {
        return "lot '" + lot_name(spot->lot) + "', " + spot->point;
    }
    Statement row{database_, "select name from unit where id = ?"};
    const bool known = row.run(std::get<UnitAir>(target).unit.value());
    return "the air of '" + std::string{known ? row.text(0) : ""} + "'";
}

std::vector<Recorded<PlacementId, Placement>>
SqliteStore::placements_where(std::string_view condition, std::optional<std::int64_t> value,
                              Told told) const {
    Statement row{database_, std::string{"select m.id, m.probe, m.lot, m.point, m.unit, m.from_at, "
                                         "m.to_at, e.id, e.entered_at, p.name from "} +
                                 (told == Told::first ? "placement_first" : "placement_now") +
                                 " m join entry e on e.id = m.entry "
                                 "left join person p on p.id = e.by where " +
                                 std::string{condition} + " order by m.id"};
    std::vector<Recorded<PlacementId, Placement>> all;
    for (bool more = value ? row.run(*value) : row.run(); more; more = row.step()) {
        Target target = UnitAir{UnitId::of(row.integer(4))};
        if (!row.is_null(2)) {
            target = LotPoint{LotId::of(row.integer(2)), std::string{row.text(3)}};
        }
        Placement placement{.probe = ProbeId::of(row.integer(1)),
                            .target = std::move(target),
                            .from = instant_at(row, 5),
                            .to = {}};
        if (!row.is_null(6)) {
            placement.to = instant_at(row, 6);
        }
        all.push_back(recorded(row, 7, PlacementId::of(row.integer(0)), std::move(placement)));
    }
    return all;
}

PlacementId SqliteStore::place(const Placement& placement, const Stamp& stamp) {
    std::int64_t id = 0;
    atomically([&] {
        check_not_future("the placement", placement.from, stamp.entered_at, zone());
        std::vector<Placement> existing;
        std::vector<std::string> described;
        for (const auto& other : placements_where("m.probe = ?", placement.probe.value())) {
            existing.push_back(other.facts);
            described.push_back(describe(other.facts.target));
        }
        check_placement(probe_name(placement.probe), existing, described, placement, zone());
        const auto* spot = std::get_if<LotPoint>(&placement.target);
        const auto* air = std::get_if<UnitAir>(&placement.target);
        if (spot != nullptr) {
            check_name("point", spot->point);
            if (const auto over = end(spot->lot); over && placement.from >= over->at) {
                throw Error{ErrorKind::conflict,
                            {.what = "the lot was " + std::string{to_name(over->outcome)} +
                                     " before the probe was placed",
                             .where = "lot '" + lot_name(spot->lot) + "'",
                             .fix = "give an earlier time with --at, or name another lot"}};
            }
        }
        database_.run("insert into placement (entry, probe, lot, point, unit, from_at) "
                      "values (?, ?, ?, ?, ?, ?)",
                      enter("placement", stamp), placement.probe.value(),
                      spot != nullptr ? std::optional{spot->lot.value()} : std::nullopt,
                      spot != nullptr ? std::optional<std::string_view>{spot->point} : std::nullopt,
                      air != nullptr ? std::optional{air->unit.value()} : std::nullopt,
                      placement.from.unix_ms());
        id = database_.last_id();
        if (placement.to) {
            lift(PlacementId::of(id), *placement.to, stamp);
        }
    });
    return PlacementId::of(id);
}

std::optional<Recorded<PlacementId, Placement>> SqliteStore::open_placement(ProbeId probe) const {
    const auto open = placements_where("m.to_at is null and m.probe = ?", probe.value());
    return open.empty() ? std::nullopt : std::optional{open.back()};
}

std::vector<Recorded<PlacementId, Placement>> SqliteStore::placements() const {
    return placements_where("1", std::nullopt);
}

void SqliteStore::lift(PlacementId placement, Instant at, const Stamp& stamp) {
    atomically([&] {
        check_not_future("the lift", at, stamp.entered_at, zone());
        const auto found = placements_where("m.id = ?", placement.value());
        if (found.empty() || found.front().facts.to) {
            throw Error{ErrorKind::conflict,
                        {.what = "the probe was lifted already",
                         .where = "",
                         .fix = "place it again first"}};
        }
        check_lift(probe_name(found.front().facts.probe), found.front().facts, at, zone());
        database_.run("insert into lift (entry, placement, at) values (?, ?, ?)",
                      enter("lift", stamp), placement.value(), at.unix_ms());
    });
}

} // namespace holdwarden::store
