// What a person says of readings: that they are true, or that they are not of the food.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/correction.hpp>
#include <holdwarden/cli/sign.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::MarkKind;
using records::Reading;

struct MarkOptions {
    CorrectionArguments correction;
    std::string name;
    std::string from;
    std::string to;
    std::string point;
    std::string probe;
    bool air = false;
};

struct VerifyOptions {
    StoreArguments store;
    SignArguments sign;
    std::string mark;
};

/// What a command found to mark: typed readings one by one, logged ones by probe and stretch.
struct Found {
    std::vector<records::MarkedReadings> readings;
    std::size_t count = 0;
    bool doubted = false; ///< one of them is suspect or set aside
};

struct Wanted {
    records::Target target;
    Instant from;
    Instant to;
    std::string probe; ///< empty: whichever
};

Found found_in(const OpenStore& store, const Wanted& wanted) {
    records::LotHistory history;
    std::string series;
    if (const auto* spot = std::get_if<records::LotPoint>(&wanted.target)) {
        history = store->lot_history(spot->lot, store.now());
        series = spot->point;
        judge::mark_suspects(history);
    } else {
        const records::UnitId unit = std::get<records::UnitAir>(wanted.target).unit;
        auto air = store->unit_air(unit, wanted.from, wanted.to);
        history.probes = std::move(air.probes);
        history.points.push_back({.point = "air", .readings = std::move(air.readings)});
        series = "air";
    }
    const auto point = std::ranges::find(history.points, series, &records::PointSeries::point);
    Found found;
    std::map<std::uint32_t, std::pair<Instant, Instant>> logged;
    std::vector<const Reading*> typed;
    std::vector<std::string> near;
    if (point != history.points.end()) {
        for (const Reading& reading : point->readings) {
            const std::string& probe = history.probes[reading.probe].name;
            if (!wanted.probe.empty() && probe != wanted.probe) {
                continue;
            }
            if (reading.at < wanted.from || reading.at > wanted.to) {
                const Span away =
                    reading.at < wanted.from ? wanted.from - reading.at : reading.at - wanted.to;
                if (away <= Span::minutes(15) && near.size() < 4) {
                    near.push_back(to_text(reading.value) + " at " +
                                   local_text_with_offset(reading.at, store.zone()));
                }
                continue;
            }
            ++found.count;
            const records::ReadingMark* mark = judge::mark_on(history, series, reading);
            found.doubted = found.doubted || reading.suspect ||
                            (mark != nullptr && mark->kind == MarkKind::set_aside);
            if (reading.origin == records::Origin::typed) {
                typed.push_back(&reading);
            } else {
                auto [stretch, is_new] = logged.try_emplace(reading.probe, reading.at, reading.at);
                stretch->second.second = reading.at;
            }
        }
    }
    if (found.count == 0) {
        throw Error{ErrorKind::not_found,
                    {.what = wanted.from == wanted.to
                                 ? "no reading at " + store.shown(wanted.from)
                                 : "no reading from " + store.shown(wanted.from) + " to " +
                                       store.shown(wanted.to),
                     .where = shown(*store, wanted.target),
                     .fix = near.empty() ? "see the lot's sheet for its readings"
                                         : "there are " + listed(near)}};
    }
    for (const auto& [probe, stretch] : logged) {
        found.readings.emplace_back(records::LoggedSpan{
            .probe = records::probe_named(*store, history.probes[probe].name).id,
            .from = stretch.first,
            .to = stretch.second});
    }
    const auto* spot = std::get_if<records::LotPoint>(&wanted.target);
    const auto kept =
        spot != nullptr
            ? store->corrections().readings_of(spot->lot)
            : store->corrections().readings_of(std::get<records::UnitAir>(wanted.target).unit);
    for (const Reading* reading : typed) {
        for (const auto& one : kept) {
            const auto& now = one.now();
            if (!now.voided && now.facts.target == wanted.target && now.facts.at == reading->at &&
                now.facts.value == reading->value) {
                found.readings.emplace_back(one.id);
            }
        }
    }
    return found;
}

int run_mark(const MarkOptions& o, MarkKind kind, Context& context) {
    if (o.name.empty() || o.from.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "which readings is not said",
                     .where = "",
                     .fix = "give the lot and the time, or the first and the last time"}};
    }
    const OpenStore store{o.correction.store, context, store::Access::write};
    Wanted wanted{.target = target_named(store, o.name, o.air, o.point),
                  .from = store.time(o.from, "the time"),
                  .to = {},
                  .probe = o.probe};
    wanted.to = o.to.empty() ? wanted.from : store.time(o.to, "the last time");
    if (wanted.to < wanted.from) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the stretch ends before it begins",
                     .where = "",
                     .fix = "give the earlier time first"}};
    }
    if (!o.probe.empty()) {
        records::probe_named(*store, o.probe);
    }
    const Found found = found_in(store, wanted);
    if (kind == MarkKind::confirmed && !found.doubted) {
        throw Error{ErrorKind::conflict,
                    {.what = "nothing there is suspect or set aside",
                     .where = shown(*store, wanted.target),
                     .fix = "it counts already: nothing needs to be confirmed"}};
    }
    std::vector<std::string> marks;
    store->atomically([&] {
        for (const records::MarkedReadings& readings : found.readings) {
            const records::MarkId id =
                store->corrections().mark(kind, readings, o.correction.why, store.stamp());
            marks.push_back(std::to_string(id.value()));
        }
    });
    const std::string count = fmt::format("{} reading{}", found.count, found.count == 1 ? "" : "s");
    context.out << shown(*store, wanted.target) << ": " << count << " at "
                << store.shown(wanted.from)
                << (o.to.empty() ? std::string{} : " to " + store.shown(wanted.to)) << " "
                << (kind == MarkKind::confirmed ? "confirmed" : "set aside") << " by "
                << store.stamp().by << ": " << o.correction.why << " (mark " << listed(marks)
                << ").\n";
    if (kind == MarkKind::set_aside) {
        context.out << "They leave a gap and stay on the sheet. A second person verifies this with "
                       "`set-aside verify "
                    << marks.front() << "`.\n";
    }
    if (const auto* spot = std::get_if<records::LotPoint>(&wanted.target)) {
        context.out << verdict_lines(store, context, spot->lot);
    }
    return kDone;
}

int run_verify(const VerifyOptions& o, Context& context) {
    std::int64_t number = 0;
    const char* end = o.mark.data() + o.mark.size();
    const auto read = std::from_chars(o.mark.data(), end, number);
    if (read.ec != std::errc{} || read.ptr != end || number < 1) {
        throw Error{ErrorKind::usage,
                    {.what = "'" + for_display(o.mark, 60) + "' is no mark's number",
                     .where = "",
                     .fix = "give the number that `set-aside` printed"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    const records::MarkId id = records::MarkId::of(number);
    const auto all = store->corrections().marks();
    const auto found = std::ranges::find(all, id, [](const auto& mark) { return mark.id; });
    std::string beside;
    if (found != all.end()) {
        const std::string what = "mark " + o.mark;
        constexpr std::array kRoles{records::Role::person_in_charge, records::Role::reviewer};
        beside = check_may_verify(store, found->stamp.by, store.stamp().by, what);
        sign(store, o.sign, "verify " + what, kRoles, context);
    }
    store->corrections().verify(id, store.stamp());
    context.out << "Mark " << o.mark << ", set aside by " << found->stamp.by << " ("
                << found->facts.why << "), verified by " << store.stamp().by
                << (beside.empty() ? "" : "; " + beside) << ".\n";
    return kDone;
}

Command mark_command(MarkKind kind) {
    const auto o = std::make_shared<MarkOptions>();
    const bool confirms = kind == MarkKind::confirmed;
    const std::string name = confirms ? "confirm" : "set-aside";
    return {.name = name,
            .help = confirms ? "Vouch for suspect readings: they count fully"
                             : "Set readings aside that are not of the food: they leave a gap",
            .declare =
                [o, name](Arguments& arguments) {
                    arguments.may("lot", o->name,
                                  "The lot, or the beginning of its name (a unit with --air)");
                    arguments.may("time", o->from, "When the reading was taken, or the first one");
                    arguments.may("to", o->to, "When the last one was taken");
                    arguments.option("--point", o->point, "Where in the food (core)");
                    arguments.option("--probe", o->probe, "Only what this thermometer read");
                    arguments.flag("--air", o->air, "The name is a unit's: its air was read");
                    o->correction.declare(arguments);
                    arguments.example("holdwarden " + name +
                                      " brisket-1 \"2026-11-01 03:10\" \"2026-11-01 03:14\" "
                                      "--why \"the probe was moved\" --by RK");
                },
            .run = [o, kind](Context& context) { return run_mark(*o, kind, context); }};
}

Command verify_command() {
    const auto o = std::make_shared<VerifyOptions>();
    return {.name = "set-aside verify",
            .help = "As a second person, agree that readings were rightly set aside",
            .declare =
                [o](Arguments& arguments) {
                    arguments.need("mark", o->mark, "The number that `set-aside` printed");
                    o->sign.declare(arguments);
                    o->store.declare_writing(arguments);
                    arguments.example("holdwarden set-aside verify 3 --by MM");
                },
            .run = [o](Context& context) { return run_verify(*o, context); }};
}

} // namespace

std::vector<Command> mark_commands() {
    return {mark_command(MarkKind::confirmed), mark_command(MarkKind::set_aside), verify_command()};
}

} // namespace holdwarden::cli
