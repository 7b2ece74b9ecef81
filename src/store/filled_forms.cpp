// Forms that were filled in by pen and entered afterwards: the part of the day book that writes
// readings.
#include "rows.hpp"
#include "sqlite_day_book.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>

namespace holdwarden::store {

using namespace records;

namespace {

void check_filled_form(const FilledForm& filled_form, const std::vector<TranscribedRow>& rows) {
    const auto need = [](bool there, const char* what, const char* fix) {
        if (!there) {
            throw Error{ErrorKind::bad_input, {.what = what, .where = "", .fix = fix}};
        }
    };
    need(!trimmed(filled_form.written_by).empty(), "who filled the form in is not said",
         "give --written-by");
    need(!trimmed(filled_form.kept_at).empty(),
         "where the sheet of paper is kept is not said: it stays the original",
         "give --kept, such as \"folder 3, page 12\"");
    check_text("writer", filled_form.written_by);
    check_text("place of the paper", filled_form.kept_at);
    need(!rows.empty(), "the form has no rows", "give one row at least");
}

/// The entry of the typed reading that says this.
std::int64_t entry_of(const Database& database, const TypedReading& reading) {
    const auto* spot = std::get_if<LotPoint>(&reading.target);
    const auto* air = std::get_if<UnitAir>(&reading.target);
    Statement row{database, "select entry from typed_reading where lot is ? and unit is ? and "
                            "point is ? and at = ? and value = ? and scale = ? order by id desc"};
    const bool found =
        row.run(spot != nullptr ? std::optional{spot->lot.value()} : std::nullopt,
                air != nullptr ? std::optional{air->unit.value()} : std::nullopt,
                spot != nullptr ? std::optional<std::string_view>{spot->point} : std::nullopt,
                reading.at.unix_ms(), std::int64_t{reading.value.thousandths()},
                scale_text(reading.value.scale()));
    if (found) {
        return row.integer(0);
    }
    // The same degree was on record in the other scale.
    Statement other{database, "select entry from typed_reading where lot is ? and unit is ? and "
                              "point is ? and at = ? order by id desc"};
    other.run(spot != nullptr ? std::optional{spot->lot.value()} : std::nullopt,
              air != nullptr ? std::optional{air->unit.value()} : std::nullopt,
              spot != nullptr ? std::optional<std::string_view>{spot->point} : std::nullopt,
              reading.at.unix_ms());
    return other.integer(0);
}

/// A check of the same thermometer and instant that says the same; nullopt: none.
std::optional<std::int64_t> same_check(const Checks& checks, const ProbeCheck& check) {
    for (const auto& made : checks.checks(check.probe)) {
        if (made.facts.at == check.at && made.facts.method == check.method &&
            made.facts.found == check.found) {
            return made.entry.value();
        }
    }
    return std::nullopt;
}

} // namespace

std::int64_t SqliteDayBook::enter_row(const TranscribedRow& row, const Stamp& stamp,
                                      FilledFormCounts& counts) {
    if (const auto* check = std::get_if<ProbeCheck>(&row.record)) {
        if (const auto known = same_check(store_.checks(), *check)) {
            ++counts.already_there;
            return *known;
        }
        store_.checks().add(*check, stamp);
        ++counts.added;
        return *same_check(store_.checks(), *check);
    }
    const TypedReading& reading = std::get<TypedReading>(row.record);
    switch (store_.log(reading, stamp)) {
    case Added::yes:
        ++counts.added;
        break;
    case Added::already_there:
        ++counts.already_there;
        break;
    case Added::conflict:
        ++counts.conflicts;
        break;
    }
    return entry_of(store_.database(), reading);
}

FilledFormCounts SqliteDayBook::transcribe(const FilledForm& filled_form,
                                           const std::vector<TranscribedRow>& rows,
                                           const Stamp& stamp) {
    FilledFormCounts counts;
    store_.atomically([&] {
        check_filled_form(filled_form, rows);
        Statement before{store_.database(), "select id from filled_form where sha256 = ?"};
        if (before.run(Blob{filled_form.sha256})) {
            throw Error{ErrorKind::conflict,
                        {.what = "these rows were entered before, as filled form " +
                                 std::to_string(before.integer(0)),
                         .where = "",
                         .fix = "see `holdwarden filled-form list`"}};
        }
        before.reset();
        const std::int64_t entry = store_.enter("filled_form", stamp);
        store_.database().run("insert into filled_form (entry, form, written_by, kept_at, sha256) "
                              "values (?, ?, ?, ?, ?)",
                              entry, filled_form.form, filled_form.written_by, filled_form.kept_at,
                              Blob{filled_form.sha256});
        const std::int64_t id = store_.database().last_id();
        for (const TranscribedRow& row : rows) {
            check_text("writer", row.written_by);
            const std::int64_t record = enter_row(row, stamp, counts);
            store_.database().run("insert into transcribed (entry, filled_form, row, record, "
                                  "written_by, words) values (?, ?, ?, ?, ?, ?)",
                                  entry, id, std::int64_t{row.row}, record, row.written_by,
                                  row.words);
        }
    });
    return counts;
}

std::vector<StoredFilledForm> SqliteDayBook::filled_forms() const {
    Statement row{store_.database(),
                  "select t.id, t.form, t.written_by, t.kept_at, t.sha256, e.id, e.entered_at, "
                  "p.name from filled_form t join entry e on e.id = t.entry "
                  "left join person p on p.id = e.by order by t.id"};
    std::vector<StoredFilledForm> all;
    for (bool more = row.run(); more; more = row.step()) {
        FilledForm filled_form{.form = std::string{row.text(1)},
                               .written_by = std::string{row.text(2)},
                               .kept_at = std::string{row.text(3)}};
        const Blob digest = row.blob(4);
        std::copy_n(digest.begin(), std::min(digest.size(), filled_form.sha256.size()),
                    filled_form.sha256.begin());
        all.push_back(recorded(row, 5, FilledFormId::of(row.integer(0)), std::move(filled_form)));
    }
    return all;
}

std::vector<TranscribedReading> SqliteDayBook::rows_of(FilledFormId id) const {
    Statement row{store_.database(), "select row, record, written_by, words from transcribed "
                                     "where filled_form = ? order by row"};
    std::vector<TranscribedReading> all;
    for (bool more = row.run(id.value()); more; more = row.step()) {
        all.push_back({.row = static_cast<int>(row.integer(0)),
                       .record = EntryId::of(row.integer(1)),
                       .written_by = std::string{row.text(2)},
                       .words = std::string{row.text(3)}});
    }
    return all;
}

std::size_t SqliteDayBook::transcribed_readings(LotId lot) const {
    Statement row{store_.database(), "select count(distinct t.record) from transcribed t "
                                     "join typed_reading r on r.entry = t.record where r.lot = ?"};
    row.run(lot.value());
    return static_cast<std::size_t>(row.integer(0));
}

std::optional<FromPaper> SqliteDayBook::paper_of(EntryId record) const {
    Statement row{store_.database(),
                  "select case t.written_by when '' then f.written_by else t.written_by end, "
                  "f.kept_at from transcribed t join filled_form f on f.id = t.filled_form "
                  "where t.record = ? order by t.id"};
    if (!row.run(record.value())) {
        return std::nullopt;
    }
    return FromPaper{.written_by = std::string{row.text(0)}, .kept_at = std::string{row.text(1)}};
}

} // namespace holdwarden::store
