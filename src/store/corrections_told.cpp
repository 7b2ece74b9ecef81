// Records with all their versions, and what a lot's history tells of them.
#include "books.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/day_book.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>

#include <algorithm>
#include <cassert>
#include <functional>
#include <iterator>
#include <utility>

namespace holdwarden::store {

using namespace records;

namespace {

constexpr std::string_view kStampColumns = " e.id, e.entered_at, p.name, k.taken_by, k.why_late ";
constexpr std::string_view kStampJoins = " join entry e on e.id = x.entry "
                                         "left join person p on p.id = e.by "
                                         "left join entry_remark k on k.entry = e.id ";

/// "select COLUMNS, the entry and its stamp from TABLE x ... where CONDITION".
std::string select(std::string_view columns, std::string_view table, std::string_view condition) {
    return "select " + std::string{columns} + "," + std::string{kStampColumns} + "from " +
           std::string{table} + " x" + std::string{kStampJoins} + "where " +
           std::string{condition} + " order by x.id";
}

/// Columns from `column`: as kStampColumns.
template <class Facts>
Version<Facts> version(const Statement& row, int column, Facts facts, bool voided = false,
                       std::string why = {}) {
    return {.facts = std::move(facts),
            .voided = voided,
            .entry = EntryId::of(row.integer(column)),
            .stamp = {.entered_at = instant_at(row, column + 1),
                      .by = std::string{row.text(column + 2)},
                      .taken_by = std::string{row.text(column + 3)},
                      .why_late = std::string{row.text(column + 4)}},
            .why = std::move(why)};
}

// Each reads one table's own columns, which stand first in the row.

constexpr std::string_view kReadingColumns = "x.lot, x.point, x.unit, x.at, x.value, x.scale, "
                                             "x.probe, x.watched_s";
constexpr int kReadingWidth = 8;
TypedReading reading_facts(const Statement& row) {
    const auto probe = row.maybe_integer(6);
    return {.target = target_at(row, 0),
            .at = instant_at(row, 3),
            .value = *degrees_at<Temperature>(row, 4),
            .probe = probe ? std::optional{ProbeId::of(*probe)} : std::nullopt,
            .watched_s = static_cast<std::uint16_t>(row.integer(7))};
}

constexpr std::string_view kStageColumns = "x.lot, x.stage, x.from_at, x.unit, x.setting, "
                                           "x.setting_scale, x.oven, x.form";
constexpr int kStageWidth = 8;
NewStage stage_facts(const Statement& row) {
    const auto unit = row.maybe_integer(3);
    return {.lot = LotId::of(row.integer(0)),
            .stage = word_at(row, 1, stage_named),
            .from = instant_at(row, 2),
            .unit = unit ? std::optional{UnitId::of(*unit)} : std::nullopt,
            .setting = degrees_at<Temperature>(row, 4),
            .oven = maybe_word_at(row, 6, oven_named),
            .form = form_from(row.text(7))};
}

constexpr std::string_view kLotColumns = "x.food, x.description, x.mass_g, x.thickness_um, "
                                         "x.container, x.made_from_ambient, x.made_on";
constexpr int kLotWidth = 7;
void lot_facts(const Statement& row, Lot& lot) {
    lot.food = word_at(row, 0, food_named);
    lot.description = std::string{row.text(1)};
    lot.mass = row.is_null(2) ? std::nullopt : std::optional{Mass{row.integer(2)}};
    lot.thickness = row.is_null(3) ? std::nullopt : std::optional{Length{row.integer(3)}};
    lot.container = std::string{row.text(4)};
    lot.made_from_ambient = row.integer(5) != 0;
    lot.made_on =
        row.is_null(6) ? std::nullopt : std::optional{date_from_day_number(row.integer(6))};
}

constexpr std::string_view kEndColumns = "x.lot, x.outcome, x.at";
constexpr int kEndWidth = 3;
EndFacts end_facts(const Statement& row) {
    return {.lot = LotId::of(row.integer(0)),
            .outcome = word_at(row, 1, outcome_named),
            .at = instant_at(row, 2)};
}

/// The first version and its amendments, from two tables whose columns are alike. The amendments'
/// `why` and `void` stand behind the stamp.
template <class RecordId, class Read>
auto kept(const Database& database, RecordId id, std::string_view columns, int width,
          std::string_view table, std::string_view amendments, std::string_view of, Read read) {
    Statement first{database, select(columns, table, "x.id = ?")};
    [[maybe_unused]] const bool known = first.run(id.value());
    assert(known);
    Kept<RecordId, decltype(read(first))> all{id, {version(first, width, read(first))}};
    const std::string own =
        std::string{columns} + ", x.why, x.void"; // behind the columns, before the stamp
    Statement next{database, select(own, amendments, "x." + std::string{of} + " = ?")};
    for (bool more = next.run(id.value()); more; more = next.step()) {
        all.versions.push_back(version(next, width + 2, read(next), next.integer(width + 1) != 0,
                                       std::string{next.text(width)}));
    }
    return all;
}

template <class T, class Value>
void say(std::vector<FactChange>& changes, const char* field, const T& was, const T& now,
         Value text) {
    if (!(was == now)) {
        changes.push_back({.field = field, .was = text(was), .now = text(now)});
    }
}

void say_time(std::vector<FactChange>& changes, const char* field, std::optional<Instant> was,
              std::optional<Instant> now) {
    if (was != now) {
        changes.push_back({.field = field, .was = {}, .now = {}, .was_at = was, .now_at = now});
    }
}

template <class Facts>
Amendment amendment(Amendment::Of of, const Version<Facts>& version, bool last) {
    return {.of = of,
            .voided = version.voided,
            .stands = last,
            .made_at = version.stamp.entered_at,
            .by = version.stamp.by,
            .why = version.why};
}

/// An entry made late or for somebody else; nullopt: neither.
template <class Facts>
std::optional<EntryRemark> remark(const Version<Facts>& first, Instant happened_at) {
    const bool late = is_late(happened_at, first.stamp.entered_at);
    if (!late && first.stamp.taken_by.empty()) {
        return std::nullopt;
    }
    return EntryRemark{.happened_at = happened_at,
                       .entered_at = first.stamp.entered_at,
                       .late = late,
                       .by = first.stamp.by,
                       .taken_by = first.stamp.taken_by,
                       .why_late = first.stamp.why_late};
}

const auto kAsItIs = [](const std::string& text) { return text; };

} // namespace

const Database& SqliteCorrections::database() const {
    return store_.database();
}

KeptReading SqliteCorrections::reading(TypedReadingId id) const {
    return kept(database(), id, kReadingColumns, kReadingWidth, "typed_reading",
                "reading_amendment", "reading", reading_facts);
}

KeptStage SqliteCorrections::stage(StageEntryId id) const {
    return kept(database(), id, kStageColumns, kStageWidth, "stage_entry", "stage_amendment",
                "stage_entry", stage_facts);
}

KeptEnd SqliteCorrections::end(LotEndId id) const {
    return kept(database(), id, kEndColumns, kEndWidth, "lot_end", "end_amendment", "lot_end",
                end_facts);
}

KeptPlacement SqliteCorrections::placement(PlacementId id) const {
    constexpr std::string_view kFirst = "x.probe, x.lot, x.point, x.unit, x.from_at, x.to_at";
    Statement first{database(), select(kFirst, "placement_first", "x.id = ?")};
    [[maybe_unused]] const bool known = first.run(id.value());
    assert(known);
    Placement placed{.probe = ProbeId::of(first.integer(0)),
                     .target = target_at(first, 1),
                     .from = instant_at(first, 4),
                     .to = {}};
    if (!first.is_null(5)) {
        placed.to = instant_at(first, 5);
    }
    const std::optional<Instant> lifted = placed.to;
    KeptPlacement all{id, {version(first, 6, placed)}};
    Statement next{database(), select("x.why, x.void, x.from_at, x.to_at", "placement_amendment",
                                      "x.placement = ?")};
    for (bool more = next.run(id.value()); more; more = next.step()) {
        placed.from = instant_at(next, 2);
        placed.to = next.is_null(3) ? lifted : std::optional{instant_at(next, 3)};
        all.versions.push_back(
            version(next, 4, placed, next.integer(1) != 0, std::string{next.text(0)}));
    }
    return all;
}

std::vector<KeptReading> SqliteCorrections::readings_of(LotId lot) const {
    Statement row{database(), "select id from typed_reading where lot = ?1 union "
                              "select reading from reading_amendment where lot = ?1"};
    std::vector<KeptReading> all;
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        all.push_back(reading(TypedReadingId::of(row.integer(0))));
    }
    std::ranges::stable_sort(all, {}, [](const KeptReading& r) { return r.now().facts.at; });
    return all;
}

std::vector<KeptReading> SqliteCorrections::readings_of(UnitId unit) const {
    Statement row{database(), "select id from typed_reading where unit = ?1 union "
                              "select reading from reading_amendment where unit = ?1"};
    std::vector<KeptReading> all;
    for (bool more = row.run(unit.value()); more; more = row.step()) {
        all.push_back(reading(TypedReadingId::of(row.integer(0))));
    }
    std::ranges::stable_sort(all, {}, [](const KeptReading& r) { return r.now().facts.at; });
    return all;
}

std::vector<KeptStage> SqliteCorrections::stages_of(LotId lot) const {
    Statement row{database(), "select id from stage_entry where lot = ?"};
    std::vector<KeptStage> all;
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        all.push_back(stage(StageEntryId::of(row.integer(0))));
    }
    std::ranges::stable_sort(all, {}, [](const KeptStage& s) { return s.now().facts.from; });
    return all;
}

KeptLot SqliteCorrections::facts_of(LotId lot) const {
    Statement first{database(),
                    select(std::string{kLotColumns} + ", x.name, x.opened_at", "lot", "x.id = ?")};
    if (!first.run(lot.value())) {
        throw Error{ErrorKind::not_found,
                    {.what = "no such lot", .where = "store " + database().name(), .fix = ""}};
    }
    Lot facts{.name = std::string{first.text(kLotWidth)},
              .opened_at = instant_at(first, kLotWidth + 1)};
    lot_facts(first, facts);
    KeptLot all{lot, {version(first, kLotWidth + 2, facts)}};
    Statement next{database(),
                   select(std::string{kLotColumns} + ", x.why", "lot_amendment", "x.lot = ?")};
    for (bool more = next.run(lot.value()); more; more = next.step()) {
        lot_facts(next, facts);
        all.versions.push_back(
            version(next, kLotWidth + 1, facts, false, std::string{next.text(kLotWidth)}));
    }
    return all;
}

std::optional<KeptEnd> SqliteCorrections::end_of(LotId lot) const {
    Statement row{database(), "select id from lot_end where lot = ?"};
    return row.run(lot.value()) ? std::optional{end(LotEndId::of(row.integer(0)))} : std::nullopt;
}

std::vector<KeptPlacement> SqliteCorrections::placements_of(ProbeId probe) const {
    Statement row{database(), "select id from placement where probe = ? order by id"};
    std::vector<KeptPlacement> all;
    for (bool more = row.run(probe.value()); more; more = row.step()) {
        all.push_back(placement(PlacementId::of(row.integer(0))));
    }
    return all;
}

std::vector<KeptPlacement> SqliteCorrections::placements_in(LotId lot) const {
    Statement row{database(), "select id from placement where lot = ? order by id"};
    std::vector<KeptPlacement> all;
    for (bool more = row.run(lot.value()); more; more = row.step()) {
        all.push_back(placement(PlacementId::of(row.integer(0))));
    }
    return all;
}

std::vector<Recorded<MarkId, Mark>> SqliteCorrections::marks() const {
    Statement row{database(), select("x.id, x.mark, x.why, x.reading, x.probe, x.from_at, x.to_at",
                                     "reading_mark", "1")};
    Statement second{database(), select("x.id", "mark_verification", "x.mark = ?")};
    std::vector<Recorded<MarkId, Mark>> all;
    for (bool more = row.run(); more; more = row.step()) {
        Mark mark{.kind = row.text(1) == "confirmed" ? MarkKind::confirmed : MarkKind::set_aside,
                  .readings = TypedReadingId::of(row.integer(3)),
                  .why = std::string{row.text(2)}};
        if (row.is_null(3)) {
            mark.readings = LoggedSpan{.probe = ProbeId::of(row.integer(4)),
                                       .from = instant_at(row, 5),
                                       .to = instant_at(row, 6)};
        }
        if (second.run(row.integer(0))) {
            mark.verified =
                Stamp{.entered_at = instant_at(second, 2), .by = std::string{second.text(3)}};
        }
        all.push_back(recorded(row, 7, MarkId::of(row.integer(0)), std::move(mark)));
    }
    return all;
}

std::string SqliteCorrections::unit_name(const std::optional<UnitId>& unit) const {
    Statement row{database(), "select name from unit where id = ?"};
    return unit && row.run(unit->value()) ? std::string{row.text(0)} : std::string{};
}

std::string SqliteCorrections::probe_name(const std::optional<ProbeId>& probe) const {
    return probe ? store_.probe_name(*probe) : std::string{};
}

std::vector<Amendment> SqliteCorrections::amendments_of(LotId lot) const {
    std::vector<std::pair<EntryId, Amendment>> all;
    const auto degrees = [](const std::optional<Temperature>& t) {
        return t ? to_text(*t) : std::string{};
    };
    const auto spot = [&](const Target& target) {
        const auto* in = std::get_if<LotPoint>(&target);
        return in != nullptr && in->lot == lot ? in->point : store_.describe(target);
    };
    std::vector<KeptReading> readings = readings_of(lot);
    std::vector<UnitId> units; // the air around the food may bear on a verdict too
    for (const KeptStage& stage : stages_of(lot)) {
        const auto& unit = stage.now().facts.unit;
        if (unit && std::ranges::find(units, *unit) == units.end()) {
            units.push_back(*unit);
            for (KeptReading& reading : readings_of(*unit)) {
                readings.push_back(std::move(reading));
            }
        }
    }
    for (const KeptReading& reading : readings) {
        const TypedReading& stands = reading.now().facts;
        for (std::size_t i = 1; i < reading.versions.size(); ++i) {
            const TypedReading& was = reading.versions[i - 1].facts;
            const TypedReading& now = reading.versions[i].facts;
            Amendment a = amendment(Amendment::Of::reading, reading.versions[i],
                                    i + 1 == reading.versions.size());
            a.subject = spot(was.target) + " reading";
            a.point = spot(stands.target);
            a.at = stands.at;
            a.value = stands.value;
            if (a.voided) {
                a.changes.push_back({.field = "value", .was = to_text(was.value)});
            } else {
                say(a.changes, "value", was.value, now.value,
                    [](Temperature t) { return to_text(t); });
                say_time(a.changes, "time", was.at, now.at);
                say(a.changes, "place", was.target, now.target, spot);
                say(a.changes, "thermometer", was.probe, now.probe,
                    [&](const auto& probe) { return probe_name(probe); });
                say(a.changes, "watched", was.watched_s, now.watched_s, [](std::uint16_t s) {
                    return s == 0 ? std::string{} : to_text(Span::seconds(s));
                });
            }
            all.emplace_back(reading.versions[i].entry, std::move(a));
        }
    }
    for (const KeptStage& stage : stages_of(lot)) {
        for (std::size_t i = 1; i < stage.versions.size(); ++i) {
            const NewStage& was = stage.versions[i - 1].facts;
            const NewStage& now = stage.versions[i].facts;
            Amendment a =
                amendment(Amendment::Of::stage, stage.versions[i], i + 1 == stage.versions.size());
            a.subject = std::string{to_name(was.stage)};
            a.at = stage.now().facts.from;
            if (a.voided) {
                a.changes.push_back({.field = "stage", .was = a.subject});
            } else {
                say(a.changes, "stage", was.stage, now.stage,
                    [](Stage s) { return std::string{to_name(s)}; });
                say_time(a.changes, "from", was.from, now.from);
                say(a.changes, "unit", was.unit, now.unit,
                    [&](const auto& unit) { return unit_name(unit); });
                say(a.changes, "setting", was.setting, now.setting, degrees);
                say(a.changes, "heated as", was.oven, now.oven, [](const auto& oven) {
                    return oven ? std::string{to_name(*oven)} : std::string{};
                });
                say(a.changes, "form", was.form, now.form,
                    [](TimeControlForm form) { return std::string{form_text(form)}; });
            }
            all.emplace_back(stage.versions[i].entry, std::move(a));
        }
    }
    const KeptLot facts = facts_of(lot);
    for (std::size_t i = 1; i < facts.versions.size(); ++i) {
        const Lot& was = facts.versions[i - 1].facts;
        const Lot& now = facts.versions[i].facts;
        Amendment a =
            amendment(Amendment::Of::lot, facts.versions[i], i + 1 == facts.versions.size());
        a.subject = "lot";
        say(a.changes, "food", was.food, now.food,
            [](FoodKind food) { return std::string{to_name(food)}; });
        say(a.changes, "description", was.description, now.description, kAsItIs);
        say(a.changes, "mass", was.mass, now.mass,
            [](const auto& mass) { return mass ? to_text(*mass) : std::string{}; });
        say(a.changes, "thickness", was.thickness, now.thickness,
            [](const auto& length) { return length ? to_text(*length) : std::string{}; });
        say(a.changes, "container", was.container, now.container, kAsItIs);
        say(a.changes, "made from room-temperature ingredients", was.made_from_ambient,
            now.made_from_ambient, [](bool yes) { return std::string{yes ? "yes" : "no"}; });
        say(a.changes, "made on", was.made_on, now.made_on,
            [](const auto& date) { return date ? to_text(*date) : std::string{}; });
        all.emplace_back(facts.versions[i].entry, std::move(a));
    }
    if (const auto end = end_of(lot)) {
        for (std::size_t i = 1; i < end->versions.size(); ++i) {
            const EndFacts& was = end->versions[i - 1].facts;
            const EndFacts& now = end->versions[i].facts;
            Amendment a =
                amendment(Amendment::Of::end, end->versions[i], i + 1 == end->versions.size());
            a.subject = std::string{to_name(was.outcome)};
            a.at = end->now().facts.at;
            if (a.voided) {
                a.changes.push_back({.field = "end", .was = a.subject});
            } else {
                say(a.changes, "end", was.outcome, now.outcome,
                    [](Outcome outcome) { return std::string{to_name(outcome)}; });
                say_time(a.changes, "time", was.at, now.at);
                if (end->versions[i - 1].voided && a.changes.empty()) {
                    a.changes.push_back({.field = "end", .now = a.subject});
                }
            }
            all.emplace_back(end->versions[i].entry, std::move(a));
        }
    }
    for (const KeptPlacement& placed : placements_in(lot)) {
        for (std::size_t i = 1; i < placed.versions.size(); ++i) {
            const Placement& was = placed.versions[i - 1].facts;
            const Placement& now = placed.versions[i].facts;
            Amendment a = amendment(Amendment::Of::placement, placed.versions[i],
                                    i + 1 == placed.versions.size());
            a.subject = probe_name(now.probe) + " in " + spot(now.target);
            a.at = placed.now().facts.from;
            if (a.voided) {
                a.changes.push_back({.field = "placement", .was = a.subject});
            } else {
                say_time(a.changes, "from", was.from, now.from);
                say_time(a.changes, "to", was.to, now.to);
            }
            all.emplace_back(placed.versions[i].entry, std::move(a));
        }
    }
    std::ranges::stable_sort(all, {}, &std::pair<EntryId, Amendment>::first);
    std::vector<Amendment> in_order;
    for (auto& [entry, made] : all) {
        if (made.changes.empty()) { // back from the void, as it was
            made.changes.push_back({.field = "void", .was = "void", .now = made.subject});
        }
        in_order.push_back(std::move(made));
    }
    return in_order;
}

std::vector<EntryRemark> SqliteCorrections::remarks_of(LotId lot) const {
    std::vector<EntryRemark> all;
    const auto add = [&](std::optional<EntryRemark> said, std::string subject) -> EntryRemark* {
        if (!said) {
            return nullptr;
        }
        said->subject = std::move(subject);
        all.push_back(std::move(*said));
        return &all.back();
    };
    for (const KeptReading& reading : readings_of(lot)) {
        const TypedReading& first = reading.first().facts;
        const auto* spot = std::get_if<LotPoint>(&reading.now().facts.target);
        std::optional<EntryRemark> said_of = remark(reading.first(), first.at);
        if (const auto paper = store_.day_book().paper_of(reading.first().entry)) {
            if (!said_of) {
                said_of = EntryRemark{.happened_at = first.at,
                                      .entered_at = reading.first().stamp.entered_at,
                                      .by = reading.first().stamp.by};
            }
            said_of->taken_by = paper->written_by;
            said_of->paper = paper->kept_at;
        }
        if (auto* said =
                add(std::move(said_of), (spot == nullptr ? std::string{} : spot->point + " ") +
                                            "reading " + to_text(first.value))) {
            said->point = spot == nullptr ? "" : spot->point;
            said->value = first.value;
        }
    }
    for (const KeptStage& stage : stages_of(lot)) {
        add(remark(stage.first(), stage.first().facts.from),
            std::string{to_name(stage.first().facts.stage)});
    }
    if (const auto end = end_of(lot)) {
        add(remark(end->first(), end->first().facts.at),
            std::string{to_name(end->first().facts.outcome)});
    }
    for (const KeptPlacement& placed : placements_in(lot)) {
        add(remark(placed.first(), placed.first().facts.from),
            "probe " + probe_name(placed.first().facts.probe) + " placed");
    }
    std::ranges::stable_sort(all, {}, &EntryRemark::happened_at);
    return all;
}

namespace {

/// Whether the mark may be on one of the readings that a keeper left out before this one: whoever
/// judges must know of it, and have the record told whole.
bool may_be_left_out(const ReadingMark& mark, std::optional<Instant> since,
                     const Reading& reading) {
    return reading.left_out > 0 && mark.from < reading.at && (!since || mark.to > *since);
}

} // namespace

std::vector<Shown> SqliteCorrections::came_later(const LoggedSpan& logged, EntryId mark) const {
    // An import writes batch after batch under one entry; only the history has them and the mark in
    // the order in which they were written.
    Statement seen{database(),
                   "select ref from history where what = 'batch' and id < (select id from history "
                   "where what = 'entry' and ref = ?) order by id desc limit 1"};
    const std::int64_t last_seen = seen.run(mark.value()) ? seen.integer(0) : 0;
    const std::int64_t base = reading_key(logged.probe, Instant{});
    Statement row{database(),
                  "select r.key - ?1, r.value * b.step, b.scale from reading r join batch b "
                  "on b.id = r.batch where r.key between ?1 + ?3 and ?1 + ?4 and r.batch > ?5 "
                  "union all select at, value, scale from conflict "
                  "where probe = ?2 and at between ?3 and ?4 and batch > ?5 order by 1"};
    std::vector<Shown> later;
    for (bool more = row.run(base, logged.probe.value(), logged.from.unix_ms(), logged.to.unix_ms(),
                             last_seen);
         more; more = row.step()) {
        later.push_back({.at = instant_at(row, 0), .value = *degrees_at<Temperature>(row, 1)});
    }
    return later;
}

std::vector<ReadingMark> SqliteCorrections::marks_on(const LotHistory& history,
                                                     std::span<const LotId> lots) const {
    std::vector<ReadingMark> on;
    for (const auto& stored : marks()) {
        std::optional<LotId> typed_in;
        ReadingMark mark{.kind = stored.facts.kind,
                         .id = stored.id.value(),
                         .made_at = stored.stamp.entered_at,
                         .by = stored.stamp.by,
                         .why = stored.facts.why};
        if (stored.facts.verified) {
            mark.verified_by = stored.facts.verified->by;
            mark.verified_at = stored.facts.verified->entered_at;
        }
        if (const auto* id = std::get_if<TypedReadingId>(&stored.facts.readings)) {
            const KeptReading kept = reading(*id);
            // What was amended after it was looked at is another reading.
            if (kept.now().voided || kept.now().entry > stored.entry) {
                continue;
            }
            const TypedReading& now = kept.now().facts;
            const auto* spot = std::get_if<LotPoint>(&now.target);
            const auto* air = std::get_if<UnitAir>(&now.target);
            mark.origin = Origin::typed;
            typed_in = spot != nullptr ? std::optional{spot->lot} : std::nullopt;
            mark.lot = typed_in;
            mark.series = spot != nullptr ? spot->point : unit_name(air->unit);
            mark.from = now.at;
            mark.to = now.at;
            mark.value = now.value;
        } else {
            const LoggedSpan& logged = std::get<LoggedSpan>(stored.facts.readings);
            const std::string name = store_.probe_name(logged.probe);
            const auto found = std::ranges::find(history.probes, name, &Probe::name);
            if (found == history.probes.end()) {
                continue;
            }
            mark.probe = static_cast<std::uint32_t>(found - history.probes.begin());
            mark.from = logged.from;
            mark.to = logged.to;
        }
        const std::function<bool(const LotHistory&)> is_in = [&](const LotHistory& life) {
            const auto touches = [&](const std::string& series,
                                     const std::vector<Reading>& readings) {
                std::optional<Instant> before;
                return std::ranges::any_of(readings, [&](const Reading& reading) {
                    const auto since = std::exchange(before, reading.at);
                    return covers(mark, life, series, reading) ||
                           may_be_left_out(mark, since, reading);
                });
            };
            return std::ranges::any_of(
                       life.points, [&](const auto& p) { return touches(p.point, p.readings); }) ||
                   std::ranges::any_of(
                       life.air, [&](const auto& a) { return touches(a.unit, a.readings); }) ||
                   std::ranges::any_of(life.sources, is_in);
        };
        const bool foreign = typed_in && std::ranges::find(lots, *typed_in) == lots.end();
        if (foreign || !is_in(history)) {
            continue;
        }
        if (const auto* logged = std::get_if<LoggedSpan>(&stored.facts.readings)) {
            mark.came_later = came_later(*logged, stored.entry);
            if (!mark.came_later.empty() && !is_in(history)) {
                continue; // of this lot's readings none was there yet
            }
        }
        on.push_back(std::move(mark));
    }
    return on;
}

namespace {

/// Marks that another kitchen made, on its own probes: these are of `history` under their names.
void add_marks_there(const LotHistory& there, const LotHistory& history,
                     std::vector<ReadingMark>& marks) {
    for (ReadingMark mark : there.marks) {
        if (mark.origin == Origin::logged) {
            const auto found =
                std::ranges::find(history.probes, there.probes[mark.probe].name, &Probe::name);
            if (found == history.probes.end()) {
                continue; // nothing of it was read yet
            }
            mark.probe = static_cast<std::uint32_t>(found - history.probes.begin());
        }
        marks.push_back(std::move(mark));
    }
}

void add_told_there(const HandedLot& there, LotHistory& history) {
    add_marks_there(there.history, history, history.marks);
    std::ranges::copy(there.history.remarks, std::back_inserter(history.remarks));
    std::ranges::copy(there.history.amendments, std::back_inserter(history.amendments));
}

} // namespace

void SqliteCorrections::tell(LotId lot, Instant as_of, LotHistory& history) const {
    // A part's food is told from the lots that it came from, and so is how they were corrected.
    std::vector<LotId> lots{lot};
    for (std::size_t i = 0; i < lots.size(); ++i) {
        if (const auto origin = store_.parts().origin_of(lots[i])) {
            for (const Parting::Share& share : origin->facts.from) {
                if (std::ranges::find(lots, share.lot) == lots.end()) {
                    lots.push_back(share.lot);
                }
            }
        }
    }
    history.marks = marks_on(history, lots);
    std::vector<std::shared_ptr<const HandedLot>> elsewhere;
    for (const LotId one : lots) {
        if (auto there = store_.books_->parts.told_there(one)) {
            add_told_there(*there, history);
            elsewhere.push_back(std::move(there));
        }
        std::ranges::move(remarks_of(one), std::back_inserter(history.remarks));
        std::ranges::move(amendments_of(one), std::back_inserter(history.amendments));
    }
    std::ranges::stable_sort(history.remarks, {}, &EntryRemark::happened_at);
    std::ranges::stable_sort(history.amendments, {}, &Amendment::made_at);
    if (!history.amendments.empty()) {
        LotHistory first = store_.history_told(lot, as_of, SqliteStore::Told::first, {});
        first.marks = marks_on(first, lots);
        for (const auto& there : elsewhere) {
            add_marks_there(there->history.first_recorded ? *there->history.first_recorded
                                                          : there->history,
                            first, first.marks);
        }
        history.first_recorded = std::make_shared<const LotHistory>(std::move(first));
    }
}

} // namespace holdwarden::store
