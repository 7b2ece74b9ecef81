// Amendments and marks as they are written, and what they keep to.
#include "sqlite_corrections.hpp"

#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/lives.hpp>
#include <holdwarden/records/people.hpp>

#include <algorithm>
#include <cassert>

namespace holdwarden::store {

using namespace records;

namespace {

Error refused(ErrorKind kind, std::string what, std::string where, std::string fix) {
    return Error{kind, {.what = std::move(what), .where = std::move(where), .fix = std::move(fix)}};
}

Error nothing_new(std::string where) {
    return refused(ErrorKind::bad_input, "the amendment changes nothing", std::move(where),
                   "say what is to be different; `history` shows what is on record");
}

Error void_already(std::string what) {
    return refused(ErrorKind::conflict, std::move(what) + " is void already", "",
                   "amend it to bring it back");
}

bool same(const TypedReading& a, const TypedReading& b) {
    return a.target == b.target && a.at == b.at && a.value == b.value && a.probe == b.probe &&
           a.watched_s == b.watched_s;
}

bool same(const NewStage& a, const NewStage& b) {
    return a.stage == b.stage && a.from == b.from && a.unit == b.unit && a.setting == b.setting &&
           a.oven == b.oven && a.form == b.form;
}

bool same(const Lot& a, const Lot& b) {
    return a.food == b.food && a.description == b.description && a.mass == b.mass &&
           a.thickness == b.thickness && a.container == b.container &&
           a.made_from_ambient == b.made_from_ambient && a.made_on == b.made_on;
}

/// What a split or a merge ended is not amended by itself: the lots it became stand on it.
void refuse_parting(Outcome outcome, const std::string& lot) {
    if (!ends_food(outcome)) {
        throw refused(ErrorKind::conflict,
                      "the lot was " + std::string{to_name(outcome)} +
                          ", and what it became stands on that",
                      "lot '" + lot + "'", "amend what it became instead");
    }
}

std::string shown(Instant at, const Zone& zone) {
    return local_text_with_offset(Instant::from_unix_s(at.unix_ms() / 1000), zone);
}

/// Food is made by the day on which it is first cooked: a later day 1 would print a later last day.
void check_made_by_cook(const LotHistory& history, LocalDate made_on, const Zone& zone) {
    const auto cook = first_cook(history);
    if (!cook || made_on <= date_of(zone.wall(*cook))) {
        return;
    }
    throw refused(ErrorKind::conflict,
                  "made on " + to_text(made_on) +
                      " is after the food's first cook, which began at " + shown(*cook, zone),
                  "lot '" + history.name + "'",
                  "give " + to_text(date_of(zone.wall(*cook))) +
                      " or an earlier day, or amend the stage first");
}

} // namespace

void SqliteCorrections::write(const KeptReading& kept, const TypedReading& now, bool voided,
                              std::string_view why, const Stamp& stamp) {
    const auto [lot, point, unit] = columns_of(now.target);
    database().run(
        "insert into reading_amendment (entry, reading, why, void, lot, point, unit, at, "
        "value, scale, probe, watched_s) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        store_.enter("reading_amendment", stamp), kept.id.value(), why, std::int64_t{voided}, lot,
        point, unit, now.at.unix_ms(), std::int64_t{now.value.thousandths()},
        scale_text(now.value.scale()), maybe_id(now.probe), std::int64_t{now.watched_s});
}

void SqliteCorrections::amend(TypedReadingId id, const TypedReading& now, std::string_view why,
                              const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        check_plausible(now.value);
        check_not_future("the reading", now.at, stamp.entered_at, store_.zone());
        if (const auto* spot = std::get_if<LotPoint>(&now.target)) {
            check_name("point", spot->point);
        }
        const KeptReading kept = reading(id);
        const std::string where = store_.describe(now.target);
        if (same(kept.now().facts, now) && !kept.now().voided) {
            throw nothing_new(where);
        }
        const auto [lot, point, unit] = columns_of(now.target);
        Statement other{database(), "select value, scale from typed_reading_now where lot is ? and "
                                    "unit is ? and point is ? and at = ? and id <> ?"};
        const TypedReading& before = kept.now().facts;
        const bool moves = before.target != now.target || before.at != now.at || kept.now().voided;
        if (moves && other.run(lot, unit, point, now.at.unix_ms(), id.value())) {
            throw refused(ErrorKind::conflict,
                          "there is another reading at " + shown(now.at, store_.zone()) + ": " +
                              to_text(*degrees_at<Temperature>(other, 0)),
                          where, "amend or void that one first, or give another time");
        }
        write(kept, now, false, why, stamp);
    });
}

void SqliteCorrections::void_reading(TypedReadingId id, std::string_view why, const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        const KeptReading kept = reading(id);
        if (kept.now().voided) {
            throw void_already("the reading");
        }
        write(kept, kept.now().facts, true, why, stamp);
    });
}

void SqliteCorrections::write(const KeptStage& kept, const NewStage& now, bool voided,
                              std::string_view why, const Stamp& stamp) {
    database().run(
        "insert into stage_amendment (entry, stage_entry, why, void, lot, stage, from_at, "
        "unit, setting, setting_scale, oven, form) "
        "values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        store_.enter("stage_amendment", stamp), kept.id.value(), why, std::int64_t{voided},
        now.lot.value(), to_name(now.stage), now.from.unix_ms(), maybe_id(now.unit),
        thousandths_of(now.setting), scale_of(now.setting), maybe_name(now.oven),
        form_text(now.form));
}

void SqliteCorrections::amend(StageEntryId id, const NewStage& now, std::string_view why,
                              const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        check_not_future("the stage's beginning", now.from, stamp.entered_at, store_.zone());
        if (now.setting) {
            check_plausible(*now.setting);
        }
        const KeptStage kept = stage(id);
        assert(kept.now().facts.lot == now.lot);
        const std::string where = "lot '" + store_.lot_name(now.lot) + "'";
        if (same(kept.now().facts, now) && !kept.now().voided) {
            throw nothing_new(where);
        }
        const auto refuse_order = [&](Stage other, Instant from, const char* side) {
            throw refused(ErrorKind::conflict,
                          std::string{to_name(now.stage)} + " from " +
                              shown(now.from, store_.zone()) + " would not stay " + side + " " +
                              std::string{to_name(other)} + ", which began at " +
                              shown(from, store_.zone()),
                          where, "amend that entry first, or give another time");
        };
        const Instant stood = kept.now().facts.from;
        for (const StageEntry& other : store_.stages(now.lot)) {
            if (other.from == stood && !kept.now().voided) {
                continue; // itself
            }
            if (other.from == now.from || (other.from < stood && now.from < other.from)) {
                refuse_order(other.stage, other.from, "behind");
            }
            if (other.from > stood && now.from > other.from) {
                refuse_order(other.stage, other.from, "before");
            }
        }
        if (const auto over = store_.end(now.lot); over && now.from > over->at) {
            throw refused(ErrorKind::conflict,
                          "the lot was " + std::string{to_name(over->outcome)} + " at " +
                              shown(over->at, store_.zone()) + ", before the stage would begin",
                          where, "amend the end first, or give an earlier time");
        }
        write(kept, now, false, why, stamp);
    });
}

void SqliteCorrections::void_stage(StageEntryId id, std::string_view why, const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        const KeptStage kept = stage(id);
        if (kept.now().voided) {
            throw void_already("the stage entry");
        }
        write(kept, kept.now().facts, true, why, stamp);
    });
}

void SqliteCorrections::amend(LotId id, const Lot& now, std::string_view why, const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        check_text("description", now.description);
        check_text("container", now.container);
        const KeptLot kept = facts_of(id);
        if (same(kept.now().facts, now)) {
            throw nothing_new("lot '" + kept.now().facts.name + "'");
        }
        if (now.made_on && now.made_on != kept.now().facts.made_on) {
            check_made_by_cook(store_.lot_history(id, stamp.entered_at), *now.made_on,
                               store_.zone());
        }
        database().run(
            "insert into lot_amendment (entry, lot, why, food, description, mass_g, thickness_um, "
            "container, made_from_ambient, made_on) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("lot_amendment", stamp), id.value(), why, to_name(now.food),
            now.description, now.mass ? std::optional{now.mass->grams} : std::nullopt,
            now.thickness ? std::optional{now.thickness->micrometres} : std::nullopt, now.container,
            std::int64_t{now.made_from_ambient},
            now.made_on ? std::optional{day_number(*now.made_on)} : std::nullopt);
    });
}

void SqliteCorrections::write(const KeptEnd& kept, const EndFacts& now, bool voided,
                              std::string_view why, const Stamp& stamp) {
    database().run("insert into end_amendment (entry, lot_end, why, void, lot, outcome, at) "
                   "values (?, ?, ?, ?, ?, ?, ?)",
                   store_.enter("end_amendment", stamp), kept.id.value(), why, std::int64_t{voided},
                   now.lot.value(), to_name(now.outcome), now.at.unix_ms());
}

void SqliteCorrections::amend(LotEndId id, const EndFacts& now, std::string_view why,
                              const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        check_not_future("the end", now.at, stamp.entered_at, store_.zone());
        const KeptEnd kept = end(id);
        const EndFacts& before = kept.now().facts;
        assert(before.lot == now.lot);
        const std::string name = store_.lot_name(now.lot);
        refuse_parting(before.outcome, name);
        if (before.outcome == now.outcome && before.at == now.at && !kept.now().voided) {
            throw nothing_new("lot '" + name + "'");
        }
        check_end(name, store_.stages(now.lot), std::nullopt, now.at, store_.zone());
        write(kept, now, false, why, stamp);
        for (const KeptPlacement& placed : placements_in(now.lot)) {
            Placement follows = placed.now().facts;
            if (!placed.now().voided && !kept.now().voided && before.at != now.at &&
                follows.to == before.at) {
                follows.to = now.at;
                amend(placed.id, follows, why, stamp);
            }
        }
    });
}

void SqliteCorrections::void_end(LotEndId id, std::string_view why, const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        const KeptEnd kept = end(id);
        refuse_parting(kept.now().facts.outcome, store_.lot_name(kept.now().facts.lot));
        if (kept.now().voided) {
            throw void_already("the end");
        }
        write(kept, kept.now().facts, true, why, stamp);
    });
}

void SqliteCorrections::write(const KeptPlacement& kept, const Placement& now, bool voided,
                              std::string_view why, const Stamp& stamp) {
    database().run("insert into placement_amendment (entry, placement, why, void, from_at, to_at) "
                   "values (?, ?, ?, ?, ?, ?)",
                   store_.enter("placement_amendment", stamp), kept.id.value(), why,
                   std::int64_t{voided}, now.from.unix_ms(),
                   now.to ? std::optional{now.to->unix_ms()} : std::nullopt);
}

void SqliteCorrections::amend(PlacementId id, const Placement& now, std::string_view why,
                              const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        check_not_future("the placement", now.from, stamp.entered_at, store_.zone());
        const KeptPlacement kept = placement(id);
        const Placement& before = kept.now().facts;
        assert(before.probe == now.probe && before.target == now.target);
        Placement amended = now;
        amended.to = now.to ? now.to : before.to;
        if (amended.to) {
            check_not_future("the lift", *amended.to, stamp.entered_at, store_.zone());
        }
        const std::string probe = store_.probe_name(now.probe);
        if (before.from == amended.from && before.to == amended.to && !kept.now().voided) {
            throw nothing_new("probe '" + probe + "'");
        }
        std::vector<Placement> others;
        std::vector<std::string> described;
        for (const auto& other : store_.placements_where("m.probe = ?", now.probe.value())) {
            if (other.id != id) {
                others.push_back(other.facts);
                described.push_back(store_.describe(other.facts.target));
            }
        }
        check_placement(probe, others, described, amended, store_.zone());
        write(kept, amended, false, why, stamp);
    });
}

void SqliteCorrections::void_placement(PlacementId id, std::string_view why, const Stamp& stamp) {
    store_.atomically([&] {
        check_correction(stamp, why);
        const KeptPlacement kept = placement(id);
        if (kept.now().voided) {
            throw void_already("the placement");
        }
        write(kept, kept.now().facts, true, why, stamp);
    });
}

MarkId SqliteCorrections::mark(MarkKind kind, const MarkedReadings& readings, std::string_view why,
                               const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        check_correction(stamp, why);
        std::optional<std::int64_t> typed;
        std::optional<std::int64_t> probe;
        std::optional<std::int64_t> from;
        std::optional<std::int64_t> to;
        if (const auto* one = std::get_if<TypedReadingId>(&readings)) {
            if (reading(*one).now().voided) {
                throw refused(ErrorKind::conflict, "the reading is void", "",
                              "amend it first to bring it back");
            }
            typed = one->value();
        } else {
            const LoggedSpan& logged = std::get<LoggedSpan>(readings);
            const std::string where = "probe '" + store_.probe_name(logged.probe) + "'";
            if (logged.to < logged.from) {
                throw refused(
                    ErrorKind::bad_input,
                    "the stretch ends before it begins: " + shown(logged.from, store_.zone()) +
                        " to " + shown(logged.to, store_.zone()),
                    where, "give the earlier time first");
            }
            Statement any{database(), "select 1 from reading where key between ? and ?"};
            if (!any.run(reading_key(logged.probe, logged.from),
                         reading_key(logged.probe, logged.to))) {
                throw refused(ErrorKind::not_found,
                              "the probe logged nothing from " + shown(logged.from, store_.zone()) +
                                  " to " + shown(logged.to, store_.zone()),
                              where, "see its readings on the lot's sheet");
            }
            probe = logged.probe.value();
            from = logged.from.unix_ms();
            to = logged.to.unix_ms();
        }
        database().run(
            "insert into reading_mark (entry, mark, why, reading, probe, from_at, to_at) "
            "values (?, ?, ?, ?, ?, ?, ?)",
            store_.enter("reading_mark", stamp),
            kind == MarkKind::confirmed ? "confirmed" : "set-aside", why, typed, probe, from, to);
        id = database().last_id();
    });
    return MarkId::of(id);
}

void SqliteCorrections::verify(MarkId id, const Stamp& stamp) {
    store_.atomically([&] {
        const auto all = marks();
        const auto found =
            std::find_if(all.begin(), all.end(), [&](const auto& mark) { return mark.id == id; });
        const std::string name = "mark " + std::to_string(id.value());
        if (found == all.end()) {
            throw refused(ErrorKind::not_found, name + " is not in the store", "",
                          "`history LOT` gives the numbers of marks");
        }
        if (found->facts.kind != MarkKind::set_aside) {
            throw refused(ErrorKind::conflict, name + " sets nothing aside", "",
                          "only readings that were set aside wait for a second person");
        }
        if (found->facts.verified) {
            throw refused(ErrorKind::conflict,
                          name + " was verified already by " + found->facts.verified->by, "",
                          "nothing more is needed");
        }
        const MayVerify may =
            may_verify(found->stamp.by, stamp.by, one_person_at(store_.people(), stamp.entered_at));
        if (!may.allowed()) {
            throw refused(stamp.by.empty() ? ErrorKind::bad_input : ErrorKind::conflict,
                          name + ": " + may.words, "",
                          "let a second person look at the readings, and say who with --by");
        }
        database().run("insert into mark_verification (entry, mark) values (?, ?)",
                       store_.enter("mark_verification", stamp), id.value());
    });
}

} // namespace holdwarden::store
