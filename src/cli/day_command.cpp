// The day book of one day: deliveries, air, what went into the bin, systems seen working.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <ostream>
#include <set>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

/// A system is looked at twice a day (FDA Food Code 2022, 3-502.12(D)(2)(f); from memory).
constexpr int kLooksADay = 2;

struct DayOptions {
    StoreArguments store;
    std::string date;
    std::string format;
};

struct UnitDay {
    std::string unit;
    std::optional<bool> hot;
    std::vector<records::Reading> air;
    std::vector<records::StoredWorkingCheck> looks;
    bool watched = false; ///< a look at it was ever signed
};

/// The day book from `from` up to, not including, `to`.
struct Day {
    LocalDate date;
    Instant from;
    Instant to;
    std::vector<records::StoredReceipt> receipts;
    std::vector<records::StoredWaste> waste;
    std::vector<UnitDay> units;
    codes::Pack pack;
    codes::Receiving receiving;
};

/// Of those that stand, the ones of the day.
template <class Stored>
std::vector<Stored> of_day(const std::vector<Stored>& all, const Day& day) {
    std::vector<Stored> left;
    for (const Stored* one : records::standing(all)) {
        if (one->facts.at >= day.from && one->facts.at < day.to) {
            left.push_back(*one);
        }
    }
    return left;
}

LocalDate wanted_date(const std::string& text, const OpenStore& store) {
    if (text.empty()) {
        return date_of(store.zone().wall(store.now()));
    }
    const auto date = parse_date(text);
    if (!date) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no date", for_display(text, 60)),
                     .where = "",
                     .fix = "write it as 2026-10-31"}};
    }
    return *date;
}

Day gather(const DayOptions& o, const OpenStore& store, const Context& context) {
    const LocalDate date = wanted_date(o.date, store);
    Day day{.date = date,
            .from = start_of(date, store.zone()),
            .to = start_of(date_from_day_number(day_number(date) + 1), store.zone()),
            .receipts = {},
            .waste = {},
            .units = {},
            .pack = {},
            .receiving = {}};
    day.pack = pack_at(store, context, std::min(day.to, store.now()));
    day.receiving = receiving_at(store, context, std::min(day.to, store.now()));
    const records::DayBook& book = store->day_book();
    day.receipts = of_day(book.receipts(), day);
    day.waste = of_day(book.waste(), day);
    const auto looks = book.working_checks();
    for (const auto& unit : store->units()) {
        UnitDay one{.unit = unit.facts.name,
                    .hot = holds_hot(unit.facts.kind),
                    .air = store->unit_air(unit.id, day.from, day.to).readings,
                    .looks = {},
                    .watched = false};
        std::erase_if(one.air, [&](const records::Reading& r) { return r.at >= day.to; });
        for (const auto& look : looks) {
            if (look.facts.unit == unit.id) {
                one.watched = true;
                if (look.facts.at >= day.from && look.facts.at < day.to) {
                    one.looks.push_back(look);
                }
            }
        }
        day.units.push_back(std::move(one));
    }
    return day;
}

std::string lot_name(const OpenStore& store, records::LotId id) {
    for (const auto& lot : store->lots()) {
        if (lot.id == id) {
            return lot.facts.name;
        }
    }
    return "?";
}

std::string wasted(const records::Waste& waste, const OpenStore& store) {
    return waste.lot ? "lot " + lot_name(store, *waste.lot) : waste.product;
}

struct AirSummary {
    std::size_t readings = 0;
    std::size_t wrong = 0;
    std::optional<records::Reading> lowest;
    std::optional<records::Reading> highest;
};

AirSummary summary(const UnitDay& unit, const codes::Pack& pack) {
    AirSummary all;
    for (const records::Reading& reading : unit.air) {
        ++all.readings;
        if (!all.lowest || physical_order(reading.value, all.lowest->value) < 0) {
            all.lowest = reading;
        }
        if (!all.highest || physical_order(reading.value, all.highest->value) > 0) {
            all.highest = reading;
        }
        if (unit.hot &&
            judge::note_air(reading.value, *unit.hot, pack).side == codes::Side::wrong) {
            ++all.wrong;
        }
    }
    return all;
}

void print_receipts(const Day& day, const OpenStore& store, std::ostream& out) {
    out << "\nDeliveries\n";
    if (day.receipts.empty()) {
        out << "  none entered\n";
    }
    for (const auto& one : day.receipts) {
        const records::Receipt& r = one.facts;
        out << fmt::format("  {}  {}  {}{} from {}{}, {}{}: {}{}{}\n", one.id.value(),
                           clock_text(r.at, store.zone()), r.product,
                           r.amount ? ", " + to_text(*r.amount) : "", r.supplier,
                           r.supplier_lot.empty() ? "" : ", lot " + r.supplier_lot, to_name(r.as),
                           r.value ? ", " + to_text(*r.value) : "",
                           r.accepted ? "taken in" : "refused",
                           r.reason.empty() ? "" : ", " + r.reason,
                           one.stamp.by.empty() ? "" : " (" + one.stamp.by + ")")
            << folded(finding_line(judge::judge_receipt(r, day.receiving)), 6);
        if (r.instead_of) {
            out << fmt::format("      puts right receipt {}: {}\n", r.instead_of->value(), r.why);
        }
    }
}

void print_units(const Day& day, const OpenStore& store, std::ostream& out) {
    std::vector<std::vector<std::string>> rows{
        {"  unit", "readings", "lowest", "highest", "on the wrong side", "seen working"}};
    std::string missing;
    for (const UnitDay& unit : day.units) {
        if (unit.air.empty() && !unit.watched) {
            continue;
        }
        const AirSummary air = summary(unit, day.pack);
        const auto shown = [&](const std::optional<records::Reading>& r) {
            return r ? to_text(r->value) + " at " + clock_text(r->at, store.zone()) : "-";
        };
        std::string looks;
        for (const auto& look : unit.looks) {
            looks += (looks.empty() ? "" : ", ") + clock_text(look.facts.at, store.zone()) +
                     (look.facts.working ? "" : " NOT") + " (" + look.stamp.by + ")";
        }
        rows.push_back({"  " + unit.unit, std::to_string(air.readings), shown(air.lowest),
                        shown(air.highest), unit.hot ? std::to_string(air.wrong) : "-",
                        looks.empty() ? "-" : looks});
        if (unit.watched && unit.looks.size() < kLooksADay) {
            missing += fmt::format("  {}: seen working {} of {} times this day\n", unit.unit,
                                   unit.looks.size(), kLooksADay);
        }
    }
    out << "\nAir of units (no proof of what food is at)\n";
    if (rows.size() == 1) {
        out << "  nothing entered\n";
    } else {
        out << table(rows) << missing;
    }
}

void print_text(const Day& day, const OpenStore& store, std::ostream& out) {
    out << store.site().name << ", day book of " << to_text(day.date) << " (" << store.site().zone
        << "), by " << day.pack.id << "\n";
    print_receipts(day, store, out);
    print_units(day, store, out);
    out << "\nThrown away\n";
    if (day.waste.empty()) {
        out << "  nothing entered\n";
    }
    for (const auto& one : day.waste) {
        out << fmt::format("  {}  {}  {} of {}: {}{}\n", one.id.value(),
                           clock_text(one.facts.at, store.zone()), to_text(one.facts.amount),
                           wasted(one.facts, store), one.facts.reason,
                           one.stamp.by.empty() ? "" : " (" + one.stamp.by + ")");
        if (one.facts.instead_of) {
            out << fmt::format("      puts right entry {}: {}\n", one.facts.instead_of->value(),
                               one.facts.why);
        }
    }
}

Json or_null(const std::string& text) {
    return text.empty() ? Json{} : Json(text);
}

Json value_json(const std::optional<Temperature>& value) {
    return value ? Json{{"value", value->degrees()},
                        {"scale", value->scale() == Scale::fahrenheit ? "F" : "C"}}
                 : Json{};
}

Json receipt_json(const records::StoredReceipt& one, const codes::Receiving& pack) {
    const records::Receipt& r = one.facts;
    const judge::ReceiptFinding finding = judge::judge_receipt(r, pack);
    Json json{{"receipt", one.id.value()},
              {"at", to_utc_text(r.at)},
              {"product", r.product},
              {"supplier", r.supplier},
              {"supplier_lot", or_null(r.supplier_lot)},
              {"as", to_name(r.as)},
              {"temperature", value_json(r.value)},
              {"found", r.frozen_solid ? Json(*r.frozen_solid ? "frozen" : "thawed") : Json{}},
              {"amount", r.amount ? Json(to_text(*r.amount)) : Json{}},
              {"accepted", r.accepted},
              {"reason", or_null(r.reason)},
              {"note", or_null(r.note)},
              {"verdict", finding.verdict ? Json(to_name(*finding.verdict)) : Json{}},
              {"clause", finding.rule != nullptr ? Json(finding.rule->clause) : Json{}},
              {"why_so", finding.reason},
              {"puts_right", r.instead_of ? Json(r.instead_of->value()) : Json{}},
              {"change", or_null(r.why)},
              {"by", or_null(one.stamp.by)},
              {"entered_at", to_utc_text(one.stamp.entered_at)}};
    return json;
}

void print_json(const Day& day, const OpenStore& store, std::ostream& out) {
    Json receipts = Json::array();
    for (const auto& one : day.receipts) {
        receipts.push_back(receipt_json(one, day.receiving));
    }
    Json units = Json::array();
    for (const UnitDay& unit : day.units) {
        const AirSummary air = summary(unit, day.pack);
        Json looks = Json::array();
        for (const auto& look : unit.looks) {
            looks.push_back({{"at", to_utc_text(look.facts.at)},
                             {"working", look.facts.working},
                             {"shown", value_json(look.facts.shown)},
                             {"note", or_null(look.facts.note)},
                             {"signed_by", look.facts.signer},
                             {"entered_at", to_utc_text(look.stamp.entered_at)}});
        }
        const auto reading = [](const std::optional<records::Reading>& r) {
            return r ? Json{{"at", to_utc_text(r->at)}, {"temperature", value_json(r->value)}}
                     : Json{};
        };
        units.push_back({{"unit", unit.unit},
                         {"air_readings", air.readings},
                         {"lowest", reading(air.lowest)},
                         {"highest", reading(air.highest)},
                         {"on_wrong_side", unit.hot ? Json(air.wrong) : Json{}},
                         {"watched", unit.watched},
                         {"seen_working", looks}});
    }
    Json waste = Json::array();
    for (const auto& one : day.waste) {
        const records::Waste& w = one.facts;
        waste.push_back({{"entry", one.id.value()},
                         {"at", to_utc_text(w.at)},
                         {"lot", w.lot ? Json(lot_name(store, *w.lot)) : Json{}},
                         {"product", or_null(w.product)},
                         {"amount", to_text(w.amount)},
                         {"reason", w.reason},
                         {"puts_right", w.instead_of ? Json(w.instead_of->value()) : Json{}},
                         {"change", or_null(w.why)},
                         {"by", or_null(one.stamp.by)},
                         {"entered_at", to_utc_text(one.stamp.entered_at)}});
    }
    const Json answer{{"format", "holdwarden-day/1"},
                      {"site", store.site().name},
                      {"zone", store.site().zone},
                      {"date", to_text(day.date)},
                      {"code", day.pack.id},
                      {"receipts", receipts},
                      {"units", units},
                      {"waste", waste}};
    out << answer.dump(2) << "\n";
}

int run_day(const DayOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const Day day = gather(o, store, context);
    json ? print_json(day, store, context.out) : print_text(day, store, context.out);
    return kDone;
}

} // namespace

std::vector<Command> day_commands() {
    const auto o = std::make_shared<DayOptions>();
    return {{.name = "day",
             .help = "Print a day's deliveries, air of units, systems seen working, and the bin",
             .declare =
                 [o](Arguments& a) {
                     a.may("date", o->date, "2026-10-31, midnight to midnight (today)");
                     a.option("--format", o->format, "text or json");
                     o->store.declare_reading(a);
                     a.example("holdwarden day 2026-10-31");
                 },
             .run = [o](Context& context) { return run_day(*o, context); }}};
}

} // namespace holdwarden::cli
