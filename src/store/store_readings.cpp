// Typed readings, and what a judgement reads: a lot's history, a unit's air.
#include "books.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>

#include <algorithm>
#include <iterator>
#include <map>

namespace holdwarden::store {

using namespace records;

namespace {

/// A stretch of time, both ends included.
struct Stretch {
    Instant from;
    Instant to;
};

Stretch overlap(Stretch a, Stretch b) noexcept {
    return {std::max(a.from, b.from), std::min(a.to, b.to)};
}

/// A placement is over at its end: a reading of that instant is of what comes next.
Stretch stretch_of(const Placement& placement, Instant as_of) noexcept {
    const Instant last = placement.to ? *placement.to - Span::milliseconds(1) : as_of;
    return {placement.from, std::min(last, as_of)};
}

void sort_by_time(std::vector<Reading>& readings) {
    const auto earlier = [](const Reading& a, const Reading& b) { return a.at < b.at; };
    if (!std::is_sorted(readings.begin(), readings.end(), earlier)) {
        std::stable_sort(readings.begin(), readings.end(), earlier);
    }
}

} // namespace

/// Fills series of readings, and the list of probes that they index.
class Gatherer {
public:
    using Told = SqliteStore::Told;

    Gatherer(const Database& database, Told told, const KeeperMaker& keeper)
        : database_{database}, told_{told},
          typed_table_{SqliteStore::table("typed_reading", told)}, keeper_{keeper} {}

    void logged(ProbeId probe, Stretch during, std::vector<Reading>& into) {
        if (during.to < during.from) {
            return;
        }
        each_logged(probe, during, [&](const Reading& reading) { into.push_back(reading); });
        conflicting(probe, during, into);
    }

    /// Ascending.
    template <class Do>
    void each_logged(ProbeId probe, Stretch during, Do work) {
        Reading reading;
        reading.probe = index_of(probe);
        Statement row{database_, "select key, value, batch from reading where key between ? and ? "
                                 "order by key"};
        const std::int64_t base = reading_key(probe, Instant{});
        std::int64_t batch = -1;
        Counting counting;
        for (bool more = row.run(reading_key(probe, during.from), reading_key(probe, during.to));
             more; more = row.step()) {
            if (row.integer(2) != batch) {
                batch = row.integer(2);
                counting = counting_of(batch);
            }
            reading.at = Instant::from_unix_ms(row.integer(0) - base);
            reading.value = Temperature::of_thousandths(
                static_cast<std::int32_t>(row.integer(1) * counting.step), counting.scale);
            work(reading);
        }
    }

    /// The other values of instants that have two.
    void conflicting(ProbeId probe, Stretch during, std::vector<Reading>& into) {
        Reading reading;
        reading.probe = index_of(probe);
        Statement other{database_, "select at, value, scale from conflict where probe = ? and at "
                                   "between ? and ? order by at"};
        for (bool more = other.run(probe.value(), during.from.unix_ms(), during.to.unix_ms()); more;
             more = other.step()) {
            reading.at = instant_at(other, 0);
            reading.value = *degrees_at<Temperature>(other, 1);
            into.push_back(reading);
        }
    }

    void typed_in_lot(LotId lot, Instant as_of, std::map<std::string, std::vector<Reading>>& into) {
        Statement row{database_, "select at, value, scale, probe, watched_s, point from " +
                                     typed_table_ + " where lot = ? and at <= ? order by at, id"};
        for (bool more = row.run(lot.value(), as_of.unix_ms()); more; more = row.step()) {
            into[std::string{row.text(5)}].push_back(typed(row));
        }
    }

    void typed_in_air(UnitId unit, Stretch during, std::vector<Reading>& into) {
        Statement row{database_, "select at, value, scale, probe, watched_s from " + typed_table_ +
                                     " where unit = ? and at between ? and ? order by at, id"};
        for (bool more = row.run(unit.value(), during.from.unix_ms(), during.to.unix_ms()); more;
             more = row.step()) {
            into.push_back(typed(row));
        }
    }

    /// Probes of another kitchen; the place of the first of them in the list.
    std::uint32_t add_there(const std::vector<Probe>& probes) {
        const auto first = static_cast<std::uint32_t>(probes_.size());
        probes_.insert(probes_.end(), probes.begin(), probes.end());
        return first;
    }

    /// What a probe showed and what was typed (`readings`), in the order of time, through a keeper.
    void through_keeper(const std::vector<Recorded<PlacementId, Placement>>& placements,
                        const std::vector<StageEntry>& stages, Instant as_of,
                        std::vector<Reading>& readings);

    /// Probes are listed in the order in which they are met.
    void list(ProbeId probe) { index_of(probe); }
    Told told() const noexcept { return told_; }
    bool has_keeper() const noexcept { return static_cast<bool>(keeper_); }
    std::vector<Probe> take_probes() { return std::move(probes_); }
    /// Of the probes that have one, with their places in the list.
    const std::map<std::int64_t, std::size_t>& places() const noexcept { return indices_; }

private:
    struct Counting {
        Scale scale = Scale::celsius;
        std::int64_t step = 1;
    };

    Counting counting_of(std::int64_t batch) {
        if (const auto found = batches_.find(batch); found != batches_.end()) {
            return found->second;
        }
        Statement row{database_, "select scale, step from batch where id = ?"};
        if (!row.run(batch)) {
            throw Error{ErrorKind::store,
                        {.what = "is damaged: a reading belongs to no batch",
                         .where = "store " + database_.name(),
                         .fix = "go back to a backup copy, and keep this file aside"}};
        }
        return batches_[batch] = {scale_from(row.text(0)), row.integer(1)};
    }

    Reading typed(const Statement& row) {
        const auto probe = row.maybe_integer(3);
        return {.at = instant_at(row, 0),
                .value = *degrees_at<Temperature>(row, 1),
                .probe = probe ? index_of(ProbeId::of(*probe)) : index_of_unnamed(),
                .line = 0,
                .watched_s = static_cast<std::uint16_t>(row.integer(4)),
                .origin = Origin::typed,
                .suspect = false};
    }

    std::uint32_t index_of(ProbeId probe) {
        const auto [place, is_new] = indices_.try_emplace(probe.value(), probes_.size());
        if (is_new) {
            Statement row{database_, "select name, accuracy, accuracy_scale, display_step, "
                                     "display_step_scale from probe where id = ?"};
            row.run(probe.value());
            probes_.push_back({.name = std::string{row.text(0)},
                               .accuracy = degrees_at<TemperatureDelta>(row, 1),
                               .last_check = {},
                               .display_step = degrees_at<TemperatureDelta>(row, 3)});
        }
        return static_cast<std::uint32_t>(place->second);
    }

    std::uint32_t index_of_unnamed() {
        const auto [place, is_new] = indices_.try_emplace(0, probes_.size());
        if (is_new) {
            probes_.push_back({.name = kUnnamedProbe, .accuracy = {}, .last_check = {}});
        }
        return static_cast<std::uint32_t>(place->second);
    }

    const Database& database_;
    Told told_;
    std::string typed_table_; ///< or view
    const KeeperMaker& keeper_;
    std::map<std::int64_t, Counting> batches_; ///< those met so far
    std::map<std::int64_t, std::size_t> indices_;
    std::vector<Probe> probes_;
};

void Gatherer::through_keeper(const std::vector<Recorded<PlacementId, Placement>>& placements,
                              const std::vector<StageEntry>& stages, Instant as_of,
                              std::vector<Reading>& readings) {
    const auto keeper = keeper_();
    // Of one instant the logged reading comes first, as in a list sorted by time.
    std::vector<Reading> others;
    for (const auto& placement : placements) {
        const Stretch during = stretch_of(placement.facts, as_of);
        if (during.to >= during.from) {
            conflicting(placement.facts.probe, during, others);
        }
    }
    others.insert(others.end(), readings.begin(), readings.end());
    sort_by_time(others);
    auto stage = stages.begin();
    const auto add = [&](const Reading& reading) {
        for (; stage != stages.end() && stage->from <= reading.at; ++stage) {
            keeper->begin(stage->stage);
        }
        keeper->add(reading);
    };
    auto other = others.begin();
    for (const auto& placement : placements) {
        const Stretch during = stretch_of(placement.facts, as_of);
        if (during.to < during.from) {
            continue;
        }
        each_logged(placement.facts.probe, during, [&](const Reading& reading) {
            for (; other != others.end() && other->at < reading.at; ++other) {
                add(*other);
            }
            add(reading);
        });
    }
    std::for_each(other, others.end(), add);
    readings = std::move(keeper->kept());
}

namespace {

/// Whether each of the placements is over before the next begins.
bool one_after_another(const std::vector<Recorded<PlacementId, Placement>>& placements) {
    for (std::size_t i = 1; i < placements.size(); ++i) {
        const auto& before = placements[i - 1].facts.to;
        if (!before || *before > placements[i].facts.from) {
            return false;
        }
    }
    return true;
}

/// When the lot was in which unit, touching stretches joined.
std::map<std::string, std::vector<Stretch>> stays(const std::vector<StageEntry>& stages,
                                                  const std::optional<LotEnd>& end, Instant as_of) {
    std::map<std::string, std::vector<Stretch>> all;
    for (std::size_t i = 0; i < stages.size(); ++i) {
        if (stages[i].unit.empty()) {
            continue;
        }
        const Instant over = i + 1 < stages.size() ? stages[i + 1].from : (end ? end->at : as_of);
        auto& in_unit = all[stages[i].unit];
        if (!in_unit.empty() && in_unit.back().to == stages[i].from) {
            in_unit.back().to = over;
        } else {
            in_unit.push_back({stages[i].from, over});
        }
    }
    return all;
}

} // namespace

Added SqliteStore::log(const TypedReading& reading, const Stamp& stamp) {
    Added added = Added::yes;
    atomically([&] {
        check_plausible(reading.value);
        check_not_future("the reading", reading.at, stamp.entered_at, zone());
        if (const auto* spot = std::get_if<LotPoint>(&reading.target)) {
            check_name("point", spot->point);
            check_still_itself(spot->lot, reading.at);
        }
        const auto [lot, point, unit] = columns_of(reading.target);
        Statement row{database_,
                      "select value, scale from typed_reading_now where lot is ? and unit "
                      "is ? and point is ? and at = ?"};
        for (bool more = row.run(lot, unit, point, reading.at.unix_ms()); more; more = row.step()) {
            if (*degrees_at<Temperature>(row, 0) == reading.value) {
                added = Added::already_there;
                return;
            }
            added = Added::conflict;
        }
        database_.run("insert into typed_reading (entry, lot, point, unit, at, value, scale, "
                      "probe, watched_s) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                      enter("typed_reading", stamp), lot, point, unit, reading.at.unix_ms(),
                      std::int64_t{reading.value.thousandths()}, scale_text(reading.value.scale()),
                      reading.probe ? std::optional{reading.probe->value()} : std::nullopt,
                      std::int64_t{reading.watched_s});
    });
    return added;
}

Store::Air SqliteStore::unit_air(UnitId unit, Instant from, Instant to) const {
    const Snapshot snapshot{database_};
    const KeeperMaker whole;
    Gatherer gatherer{database_, Told::as_amended, whole};
    Air air;
    for (const auto& placement : placements_where("m.unit = ?", unit.value())) {
        const Stretch placed = stretch_of(placement.facts, to);
        gatherer.logged(placement.facts.probe, overlap(placed, {from, to}), air.readings);
    }
    gatherer.typed_in_air(unit, {from, to}, air.readings);
    sort_by_time(air.readings);
    air.probes = gatherer.take_probes();
    return air;
}

void SqliteStore::check_still_itself(LotId lot, Instant at) const {
    const auto over = end(lot);
    if (!over || ends_food(over->outcome) || at <= over->at) {
        return;
    }
    std::vector<std::string> names;
    if (const auto fate = parts().fate_of(lot)) {
        for (const Parting::Share& share : fate->facts.into) {
            names.push_back("'" + lot_name(share.lot) + "'");
        }
    }
    throw Error{ErrorKind::conflict,
                {.what = "the lot was " + std::string{to_name(over->outcome)} + " at " +
                         local_text_with_offset(over->at, zone()),
                 .where = "lot '" + lot_name(lot) + "'",
                 .fix = names.empty() ? "its record goes on elsewhere"
                                      : "name what it became: " + listed(names)}};
}

namespace {

/// The life of a lot before it was this one, in front of its own since `at`.
void prepend(LotHistory before, Instant at, Instant then, LotHistory& history) {
    const bool at_once = !history.stages.empty() && history.stages.front().from == at;
    std::erase_if(before.stages,
                  [&](const StageEntry& s) { return s.from > then || (at_once && s.from == at); });
    history.stages.insert(history.stages.begin(), std::make_move_iterator(before.stages.begin()),
                          std::make_move_iterator(before.stages.end()));
    for (PointSeries& earlier : before.points) {
        const auto same = std::ranges::find(history.points, earlier.point, &PointSeries::point);
        if (same == history.points.end()) {
            history.points.insert(earlier.point == kCore ? history.points.begin()
                                                         : history.points.end(),
                                  std::move(earlier));
        } else {
            same->readings.insert(same->readings.begin(), earlier.readings.begin(),
                                  earlier.readings.end());
            sort_by_time(same->readings);
        }
    }
    if (before.cut && (!history.cut || *before.cut < *history.cut)) {
        history.cut = before.cut;
    }
    history.told_from.insert(history.told_from.end(), before.told_from.begin(),
                             before.told_from.end());
    // The air of this kitchen's own units is gathered by the stays in them.
    for (AirSeries& air : before.air) {
        if (std::ranges::any_of(before.came_from, [&](const CameFrom& from) {
                return air.unit.ends_with(" @ " + from.kitchen);
            })) {
            history.air.push_back(std::move(air));
        }
    }
    history.came_from = std::move(before.came_from);
    history.sources = std::move(before.sources);
}

void shift_probes(LotHistory& history, std::uint32_t by) {
    for (PointSeries& point : history.points) {
        for (Reading& reading : point.readings) {
            reading.probe += by;
        }
    }
    for (AirSeries& air : history.air) {
        for (Reading& reading : air.readings) {
            reading.probe += by;
        }
    }
    for (LotHistory& source : history.sources) {
        shift_probes(source, by);
    }
}

} // namespace

void SqliteStore::add_origin(LotId lot, Instant until, LotHistory& history,
                             Gatherer& gatherer) const {
    const auto origin = parts().origin_of(lot);
    if (!origin) {
        return;
    }
    const Parting& parting = origin->facts;
    const Instant then = std::min(until, parting.at);
    if (parting.form != PartForm::whole && parting.at <= until) {
        history.cut = parting.at;
    }
    if (parting.kind == Parting::Kind::merge) {
        for (const Parting::Share& share : parting.from) {
            history.sources.push_back(life_of(share.lot, then, gatherer));
            history.sources.back().end.reset(); // its food lives on, here
        }
        return;
    }
    prepend(life_of(parting.from.front().lot, then, gatherer), parting.at, then, history);
}

void SqliteStore::add_taken_in(LotId lot, Instant until, LotHistory& history,
                               Gatherer& gatherer) const {
    const auto there = books_->parts.told_there(lot);
    if (!there) {
        return;
    }
    const bool first = gatherer.told() == Told::first && there->history.first_recorded != nullptr;
    LotHistory before = first ? *there->history.first_recorded : there->history;
    const Instant at = there->history.came_from.back().taken_in;
    if (until < there->at) {
        before = told_until(std::move(before), until);
    }
    shift_probes(before, gatherer.add_there(before.probes));
    before.came_from = there->history.came_from;
    prepend(std::move(before), at, std::min(until, at), history);
}

LotHistory SqliteStore::lot_history(LotId lot, Instant as_of) const {
    return lot_history(lot, as_of, {});
}

LotHistory SqliteStore::lot_history(LotId lot, Instant as_of, const KeeperMaker& keeper) const {
    // An import may end between two reads: a reading would belong to a batch not seen yet.
    const Snapshot snapshot{database_};
    LotHistory history = history_told(lot, as_of, Told::as_amended, keeper);
    books_->corrections.tell(lot, as_of, history);
    return history;
}

LotHistory SqliteStore::history_told(LotId lot, Instant as_of, Told told,
                                     const KeeperMaker& keeper) const {
    Gatherer gatherer{database_, told, keeper};
    LotHistory history = life_of(lot, as_of, gatherer);
    history.probes = gatherer.take_probes();
    for (const auto& [probe, place] : gatherer.places()) {
        if (probe != 0) { // else the one that was not named
            fill_checks(history.probes[place], ProbeId::of(probe), *this, as_of);
        }
    }
    return history;
}

void SqliteStore::gather_points(LotId lot, Instant as_of, const std::vector<StageEntry>& stages,
                                Gatherer& gatherer,
                                std::map<std::string, std::vector<Reading>>& points) const {
    std::map<std::string, std::vector<Recorded<PlacementId, Placement>>> placed;
    for (auto& placement : placements_where("m.lot = ?", lot.value(), gatherer.told())) {
        const Stretch during = stretch_of(placement.facts, as_of);
        if (during.to >= during.from) {
            gatherer.list(placement.facts.probe);
        }
        const std::string& point = std::get<LotPoint>(placement.facts.target).point;
        placed[point].push_back(std::move(placement));
    }
    // The food of a lot that was parted or merged has more readings than its own: it is told whole.
    const bool own = gatherer.has_keeper() && !parts().origin_of(lot);
    const auto kept = [&](const auto& placements) { return own && one_after_another(placements); };
    for (const auto& [point, placements] : placed) {
        for (const auto& placement : placements) {
            if (!kept(placements)) {
                gatherer.logged(placement.facts.probe, stretch_of(placement.facts, as_of),
                                points[point]);
            }
        }
    }
    gatherer.typed_in_lot(lot, as_of, points);
    for (const auto& [point, placements] : placed) {
        if (kept(placements)) {
            gatherer.through_keeper(placements, stages, as_of, points[point]);
        }
    }
}

LotHistory SqliteStore::life_of(LotId lot, Instant as_of, Gatherer& gatherer) const {
    const Told told = gatherer.told();
    Statement facts{database_,
                    "select name, description, food, mass_g, made_from_ambient, made_on from " +
                        table("lot", told) + " where id = ?"};
    LotHistory history;
    if (!facts.run(lot.value())) {
        throw Error{ErrorKind::not_found,
                    {.what = "no such lot", .where = "store " + database_.name(), .fix = ""}};
    }
    history.name = std::string{facts.text(0)};
    history.told_from = {lot};
    history.description = std::string{facts.text(1)};
    history.food = word_at(facts, 2, food_named);
    history.raw_mass_g = facts.maybe_integer(3);
    history.made_from_ambient = facts.integer(4) != 0;
    if (!facts.is_null(5)) {
        history.made_on = date_from_day_number(facts.integer(5));
    }
    for (StageEntry& stage : own_stages(lot, told)) {
        if (stage.from <= as_of) {
            history.stages.push_back(std::move(stage));
        }
    }
    if (const auto over = end_told(lot, told); over && over->at <= as_of) {
        history.end = over;
    }

    std::map<std::string, std::vector<Reading>> points;
    gather_points(lot, as_of, history.stages, gatherer, points);
    for (auto& [point, readings] : points) {
        sort_by_time(readings);
        const auto place = point == kCore ? history.points.begin() : history.points.end();
        history.points.insert(place, {.point = point, .readings = std::move(readings)});
    }

    add_origin(lot, as_of, history, gatherer);
    add_taken_in(lot, as_of, history, gatherer);

    for (const auto& [unit, stretches] : stays(history.stages, history.end, as_of)) {
        Statement known{database_, "select id from unit where name = ?"};
        if (!known.run(unit)) {
            continue; // of another kitchen, whose air its file told
        }
        const UnitId id = UnitId::of(known.integer(0));
        AirSeries air{.unit = unit, .readings = {}};
        for (const Stretch& stay : stretches) {
            for (const auto& placement : placements_where("m.unit = ?", id.value(), told)) {
                gatherer.logged(placement.facts.probe,
                                overlap(stretch_of(placement.facts, as_of), stay), air.readings);
            }
            gatherer.typed_in_air(id, stay, air.readings);
        }
        sort_by_time(air.readings);
        if (!air.readings.empty()) {
            history.air.push_back(std::move(air));
        }
    }
    return history;
}

} // namespace holdwarden::store
