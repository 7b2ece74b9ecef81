#include "sqlite_house_rules.hpp"

#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

namespace holdwarden::store {

using namespace records;

namespace {

Error unusable(std::string what, std::string fix) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

/// A rule nobody answers for, or for which nobody can say why, is none.
void check_reason(const std::string& why, const Stamp& stamp) {
    if (trimmed(stamp.by).empty()) {
        throw unusable("nobody is named who decides this", "give --by, or set HOLDWARDEN_BY");
    }
    if (trimmed(why).empty()) {
        throw unusable("no reason is given", "give --why with a few words");
    }
    check_text("reason", why);
}

/// Columns `column` to `column + 2`: from, why, by.
std::optional<Withdrawal> withdrawal_at(const Statement& row, int column) {
    if (row.is_null(column)) {
        return std::nullopt;
    }
    return Withdrawal{.from = instant_at(row, column),
                      .why = std::string{row.text(column + 1)},
                      .by = std::string{row.text(column + 2)}};
}

void check_withdrawal(const Database& database, const std::string& table, std::int64_t id,
                      const Withdrawal& withdrawal, const Zone& zone) {
    Statement known{database, "select since from " + table + " where id = ?"};
    if (!known.run(id)) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format("there is no number {}", id),
                     .where = "",
                     .fix = "see the list for the numbers"}};
    }
    const Instant since = instant_at(known, 0);
    if (withdrawal.from < since) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("number {} holds only from {}", id,
                                         local_text_with_offset(since, zone)),
                     .where = "",
                     .fix = "withdraw it from then or later"}};
    }
    Statement before{database, "select from_at from " + table + "_end where " + table + " = ?"};
    if (before.run(id)) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("number {} is withdrawn already, from {}", id,
                                         local_text_with_offset(instant_at(before, 0), zone)),
                     .where = "",
                     .fix = "add it again if it is to hold again"}};
    }
}

constexpr std::string_view kEntryJoins =
    " join entry e on e.id = r.entry left join person p on p.id = e.by "
    "left join entry ee on ee.id = w.entry left join person wp on wp.id = ee.by order by r.id";

} // namespace

HouseLimitId SqliteHouseRules::add(const HouseLimit& limit, const Stamp& stamp) {
    check_reason(limit.why, stamp);
    check_text("the reference of the plan or variance", limit.variance);
    if (!limit.at && !limit.within) {
        throw unusable("a house limit without a figure",
                       "give a temperature, a length of time, or both");
    }
    if (limit.within && *limit.within <= Span{}) {
        throw unusable("a house limit of no time at all", "write a time like 15min or 4h");
    }
    if (limit.at) {
        check_plausible(*limit.at);
    }
    std::int64_t id = 0;
    store_.atomically([&] {
        store_.database().run(
            "insert into house_limit (entry, requirement, at, at_scale, within_ms, since, why, "
            "variance) values (?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("house_limit", stamp), limit.requirement, thousandths_of(limit.at),
            scale_of(limit.at), limit.within ? std::optional{limit.within->ms()} : std::nullopt,
            limit.since.unix_ms(), limit.why,
            limit.variance.empty() ? std::nullopt
                                   : std::optional<std::string_view>{limit.variance});
        id = store_.database().last_id();
    });
    return HouseLimitId::of(id);
}

TargetBandId SqliteHouseRules::add(const TargetBand& band, const Stamp& stamp) {
    check_reason(band.why, stamp);
    check_plausible(band.low);
    check_plausible(band.high);
    if (band.low.scale() != band.high.scale() ||
        band.low.thousandths() >= band.high.thousandths()) {
        throw unusable(fmt::format("{} to {} is no band", to_text(band.low), to_text(band.high)),
                       "give the lower figure first, both in one scale, such as 140F 150F");
    }
    std::optional<std::int64_t> lot;
    std::optional<std::int64_t> unit;
    if (const auto* of = std::get_if<LotId>(&band.of)) {
        lot = of->value();
    } else {
        unit = std::get<UnitId>(band.of).value();
    }
    std::int64_t id = 0;
    store_.atomically([&] {
        store_.database().run(
            "insert into target_band (entry, lot, unit, low, high, scale, since, why) "
            "values (?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("target_band", stamp), lot, unit,
            static_cast<std::int64_t>(band.low.thousandths()),
            static_cast<std::int64_t>(band.high.thousandths()), scale_text(band.low.scale()),
            band.since.unix_ms(), band.why);
        id = store_.database().last_id();
    });
    return TargetBandId::of(id);
}

void SqliteHouseRules::withdraw(HouseLimitId limit, const Withdrawal& withdrawal,
                                const Stamp& stamp) {
    check_reason(withdrawal.why, stamp);
    store_.atomically([&] {
        check_withdrawal(store_.database(), "house_limit", limit.value(), withdrawal,
                         Zone::named(store_.site().zone));
        store_.database().run(
            "insert into house_limit_end (entry, house_limit, from_at, why) values (?, ?, ?, ?)",
            store_.enter("house_limit_end", stamp), limit.value(), withdrawal.from.unix_ms(),
            withdrawal.why);
    });
}

void SqliteHouseRules::withdraw(TargetBandId band, const Withdrawal& withdrawal,
                                const Stamp& stamp) {
    check_reason(withdrawal.why, stamp);
    store_.atomically([&] {
        check_withdrawal(store_.database(), "target_band", band.value(), withdrawal,
                         Zone::named(store_.site().zone));
        store_.database().run(
            "insert into target_band_end (entry, target_band, from_at, why) values (?, ?, ?, ?)",
            store_.enter("target_band_end", stamp), band.value(), withdrawal.from.unix_ms(),
            withdrawal.why);
    });
}

std::vector<Dated<HouseLimitId, HouseLimit>> SqliteHouseRules::limits() const {
    Statement row{store_.database(),
                  std::string{"select r.id, r.requirement, r.at, r.at_scale, r.within_ms, r.since, "
                              "r.why, r.variance, e.id, e.entered_at, p.name, w.from_at, w.why, "
                              "wp.name from house_limit r "
                              "left join house_limit_end w on w.house_limit = r.id"} +
                      std::string{kEntryJoins}};
    std::vector<Dated<HouseLimitId, HouseLimit>> all;
    for (bool more = row.run(); more; more = row.step()) {
        HouseLimit limit{.requirement = std::string{row.text(1)},
                         .at = degrees_at<Temperature>(row, 2),
                         .within = {},
                         .since = instant_at(row, 5),
                         .why = std::string{row.text(6)},
                         // Blanks alone are no reference; earlier versions took them.
                         .variance = std::string{trimmed(row.text(7))}};
        if (!row.is_null(4)) {
            limit.within = Span::milliseconds(row.integer(4));
        }
        all.push_back({.set = recorded(row, 8, HouseLimitId::of(row.integer(0)), std::move(limit)),
                       .withdrawn = withdrawal_at(row, 11)});
    }
    return all;
}

std::vector<Dated<TargetBandId, TargetBand>> SqliteHouseRules::bands() const {
    Statement row{store_.database(),
                  std::string{"select r.id, r.lot, r.unit, r.low, r.high, r.scale, r.since, r.why, "
                              "e.id, e.entered_at, p.name, w.from_at, w.why, wp.name "
                              "from target_band r "
                              "left join target_band_end w on w.target_band = r.id"} +
                      std::string{kEntryJoins}};
    std::vector<Dated<TargetBandId, TargetBand>> all;
    for (bool more = row.run(); more; more = row.step()) {
        const Scale scale = scale_from(row.text(5));
        const auto degrees = [&](int column) {
            return Temperature::of_thousandths(static_cast<std::int32_t>(row.integer(column)),
                                               scale);
        };
        TargetBand band{.of = LotId::of(row.integer(1)),
                        .low = degrees(3),
                        .high = degrees(4),
                        .since = instant_at(row, 6),
                        .why = std::string{row.text(7)}};
        if (row.is_null(1)) {
            band.of = UnitId::of(row.integer(2));
        }
        all.push_back({.set = recorded(row, 8, TargetBandId::of(row.integer(0)), std::move(band)),
                       .withdrawn = withdrawal_at(row, 11)});
    }
    return all;
}

} // namespace holdwarden::store
