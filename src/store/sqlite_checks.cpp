#include "sqlite_checks.hpp"

#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>

#include <cmath>

namespace holdwarden::store {

using namespace records;

namespace {

std::optional<Altitude> altitude_at(const Statement& row, int column) {
    if (row.is_null(column)) {
        return std::nullopt;
    }
    return Altitude{row.integer(column),
                    row.text(column + 1) == "ft" ? AltitudeUnit::feet : AltitudeUnit::metres};
}

Temperature degrees(const Statement& row, int column, Scale scale) {
    return Temperature::of_thousandths(static_cast<std::int32_t>(row.integer(column)), scale);
}

ProbeCheck check_at(const Statement& row) {
    const Scale scale = scale_from(row.text(4));
    ProbeCheck check{.probe = ProbeId::of(row.integer(1)),
                     .at = instant_at(row, 2),
                     .method = word_at(row, 3, check_method_named),
                     .found = degrees(row, 5, scale),
                     .expected = degrees(row, 6, scale),
                     .altitude = altitude_at(row, 8),
                     .reference = std::string{row.text(10)},
                     .certificate = std::string{row.text(11)},
                     .tolerance = *degrees_at<TemperatureDelta>(row, 13),
                     .person = std::string{row.text(15)},
                     .note = std::string{row.text(16)}};
    if (!row.is_null(7)) {
        check.pressure = Pressure{static_cast<double>(row.integer(7))};
    }
    if (!row.is_null(12)) {
        check.left = degrees(row, 12, scale);
    }
    return check;
}

} // namespace

CheckId SqliteChecks::add(const ProbeCheck& check, const Stamp& stamp) {
    const Database& database = store_.database();
    std::int64_t id = 0;
    store_.atomically([&] {
        check_probe_check(check);
        check_not_future("the check", check.at, stamp.entered_at, Zone::named(store_.site().zone));
        const auto& altitude = check.altitude;
        database.run(
            "insert into probe_check (entry, probe, at, method, scale, found, expected, "
            "pressure_pa, altitude_um, altitude_in, reference, certificate, as_left, tolerance, "
            "tolerance_scale, person, note) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, "
            "?, ?)",
            store_.enter("probe_check", stamp), check.probe.value(), check.at.unix_ms(),
            to_name(check.method), scale_text(check.found.scale()),
            std::int64_t{check.found.thousandths()}, std::int64_t{check.expected.thousandths()},
            check.pressure ? std::optional<std::int64_t>{std::llround(check.pressure->pascals)}
                           : std::nullopt,
            altitude ? std::optional{altitude->micrometres} : std::nullopt,
            altitude
                ? std::optional<std::string_view>{altitude->unit == AltitudeUnit::feet ? "ft" : "m"}
                : std::nullopt,
            check.reference, check.certificate, thousandths_of(check.left),
            std::int64_t{check.tolerance.thousandths()}, scale_text(check.tolerance.scale()),
            check.person, check.note);
        id = database.last_id();
    });
    return CheckId::of(id);
}

std::vector<Recorded<CheckId, ProbeCheck>>
SqliteChecks::checks(std::optional<ProbeId> probe) const {
    Statement row{store_.database(),
                  "select c.id, c.probe, c.at, c.method, c.scale, c.found, c.expected, "
                  "c.pressure_pa, c.altitude_um, c.altitude_in, c.reference, c.certificate, "
                  "c.as_left, c.tolerance, c.tolerance_scale, c.person, c.note, e.id, "
                  "e.entered_at, p.name from probe_check c join entry e on e.id = c.entry "
                  "left join person p on p.id = e.by where ?1 is null or c.probe = ?1 "
                  "order by c.at, c.id"};
    std::vector<Recorded<CheckId, ProbeCheck>> all;
    const auto id = probe ? std::optional{probe->value()} : std::nullopt;
    for (bool more = row.run(id); more; more = row.step()) {
        all.push_back(recorded(row, 17, CheckId::of(row.integer(0)), check_at(row)));
    }
    return all;
}

ScheduleId SqliteChecks::set(const CheckSchedule& schedule, const Stamp& stamp) {
    const Database& database = store_.database();
    std::int64_t id = 0;
    store_.atomically([&] {
        check_text("source", schedule.source);
        if ((schedule.days > 0) + (schedule.months > 0) + schedule.ended != 1) {
            throw Error{ErrorKind::bad_input,
                        {.what = "how often is not said, or twice",
                         .where = "",
                         .fix = "give days or months, or say that no checks are asked for"}};
        }
        database.run("insert into check_schedule (entry, from_at, probe, days, months, ended, "
                     "source) values (?, ?, ?, ?, ?, ?, ?)",
                     store_.enter("check_schedule", stamp), schedule.from.unix_ms(),
                     schedule.probe ? std::optional{schedule.probe->value()} : std::nullopt,
                     std::int64_t{schedule.days}, std::int64_t{schedule.months},
                     std::int64_t{schedule.ended}, schedule.source);
        id = database.last_id();
    });
    return ScheduleId::of(id);
}

std::vector<Recorded<ScheduleId, CheckSchedule>> SqliteChecks::schedules() const {
    Statement row{store_.database(),
                  "select s.id, s.from_at, s.probe, s.days, s.months, s.ended, s.source, e.id, "
                  "e.entered_at, p.name from check_schedule s join entry e on e.id = s.entry "
                  "left join person p on p.id = e.by order by s.id"};
    std::vector<Recorded<ScheduleId, CheckSchedule>> all;
    for (bool more = row.run(); more; more = row.step()) {
        CheckSchedule schedule{.from = instant_at(row, 1),
                               .probe = {},
                               .days = static_cast<std::uint16_t>(row.integer(3)),
                               .months = static_cast<std::uint16_t>(row.integer(4)),
                               .ended = row.integer(5) != 0,
                               .source = std::string{row.text(6)}};
        if (!row.is_null(2)) {
            schedule.probe = ProbeId::of(row.integer(2));
        }
        all.push_back(recorded(row, 7, ScheduleId::of(row.integer(0)), std::move(schedule)));
    }
    return all;
}

void SqliteChecks::note_missed(const MissedCheck& missed, const Stamp& stamp) {
    store_.atomically([&] {
        Statement known{store_.database(),
                        "select 1 from missed_check where probe = ? and due_at = ?"};
        if (known.run(missed.probe.value(), missed.due.unix_ms())) {
            return;
        }
        store_.database().run("insert into missed_check (entry, probe, due_at) values (?, ?, ?)",
                              store_.enter("missed_check", stamp), missed.probe.value(),
                              missed.due.unix_ms());
    });
}

std::vector<Recorded<MissedCheckId, MissedCheck>> SqliteChecks::missed() const {
    Statement row{store_.database(),
                  "select m.id, m.probe, m.due_at, e.id, e.entered_at, p.name from missed_check m "
                  "join entry e on e.id = m.entry left join person p on p.id = e.by order by "
                  "m.due_at, m.id"};
    std::vector<Recorded<MissedCheckId, MissedCheck>> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(
            recorded(row, 3, MissedCheckId::of(row.integer(0)),
                     MissedCheck{.probe = ProbeId::of(row.integer(1)), .due = instant_at(row, 2)}));
    }
    return all;
}

} // namespace holdwarden::store
