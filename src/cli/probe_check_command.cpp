#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/check_words.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/look_back.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <charconv>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::CheckMethod;
using records::ProbeCheck;

struct CheckOptions {
    StoreArguments store;
    std::string probe;
    std::string method;
    std::string found;
    std::string left;
    std::string at;
    std::string pressure;
    std::string altitude;
    std::string expected;
    std::string against;
    std::string other;
    std::string certificate;
    std::string tolerance;
    std::string person;
    std::string note;
};

struct ScheduleOptions {
    StoreArguments store;
    std::string probe;
    std::string every;
    std::string from;
    std::string source;
};

struct MissedOptions {
    StoreArguments store;
};

template <class Parse>
auto parsed(const std::string& text, const char* option, Parse parse) {
    try {
        return parse(text);
    } catch (const Error& error) {
        throw error.at(option);
    }
}

CheckMethod method_of(const std::string& text) {
    const auto method = records::check_method_named(text);
    if (!method) {
        throw Error{ErrorKind::usage,
                    {.what = "'" + for_display(text, 60) + "' is no way to check a thermometer",
                     .where = "",
                     .fix = "give ice-point, boiling-point, reference or side-by-side"}};
    }
    return *method;
}

/// What decides where water boils: the pressure if it is given, else the altitude given, else the
/// site's.
void fill_place(ProbeCheck& check, const CheckOptions& o, const records::Site& site) {
    const std::optional<records::Altitude> altitude =
        o.altitude.empty() ? site.altitude
                           : parsed(o.altitude, "--altitude", records::parse_altitude);
    if (!o.pressure.empty()) {
        check.pressure = parsed(o.pressure, "--pressure", parse_pressure);
        records::expected_boiling(check.pressure, altitude, check.found.scale()); // believable here
    } else {
        check.altitude = altitude;
    }
}

Temperature expected_of(ProbeCheck& check, const CheckOptions& o, const OpenStore& store) {
    const Scale scale = check.found.scale();
    switch (check.method) {
    case CheckMethod::ice_point:
        return o.expected.empty() ? records::ice_point(scale)
                                  : store.temperature(o.expected, "--expected");
    case CheckMethod::boiling_point:
        fill_place(check, o, store.site());
        return o.expected.empty() ? records::expected_boiling(check.pressure, check.altitude, scale)
                                  : store.temperature(o.expected, "--expected");
    case CheckMethod::reference:
    case CheckMethod::side_by_side:
        break;
    }
    if (o.other.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "what the other instrument showed is not given",
                     .where = "",
                     .fix = "give it with --other-shows 140.2F"}};
    }
    return store.temperature(o.other, "--other-shows");
}

void refuse_stray(const CheckOptions& o, CheckMethod method) {
    const bool boiling = method == CheckMethod::boiling_point;
    const bool fixed = boiling || method == CheckMethod::ice_point;
    const auto stray = [&](const std::string& text, const char* option, bool belongs) {
        if (!text.empty() && !belongs) {
            throw Error{ErrorKind::usage,
                        {.what = fmt::format("{} does not go with {}", option, to_name(method)),
                         .where = "",
                         .fix = "leave it out"}};
        }
    };
    stray(o.pressure, "--pressure", boiling);
    stray(o.altitude, "--altitude", boiling);
    stray(o.expected, "--expected", fixed);
    stray(o.against, "--against", !fixed);
    stray(o.other, "--other-shows", !fixed);
    stray(o.certificate, "--certificate", method == CheckMethod::reference);
    stray(o.left, "--left", method != CheckMethod::side_by_side);
}

ProbeCheck check_of(const CheckOptions& o, const OpenStore& store, records::ProbeId probe,
                    CheckMethod method) {
    const Temperature found = store.temperature(o.found, "the value shown");
    ProbeCheck check{.probe = probe,
                     .at = store.time(o.at),
                     .method = method,
                     .found = found,
                     .reference = o.against,
                     .certificate = o.certificate,
                     .tolerance = o.tolerance.empty()
                                      ? records::usual_tolerance(found.scale())
                                      : parsed(o.tolerance, "--tolerance",
                                               [&](const std::string& text) {
                                                   return parse_delta(text, found.scale());
                                               }),
                     .person = o.person.empty() ? store.stamp().by : o.person,
                     .note = o.note};
    if (!o.left.empty()) {
        check.left = store.temperature(o.left, "--left");
    }
    check.expected = expected_of(check, o, store);
    return check;
}

/// How it is done, for who asks without a value; writes nothing.
int run_steps(const CheckOptions& o, const OpenStore& store, CheckMethod method, Context& context) {
    std::optional<Temperature> expected;
    if (method == CheckMethod::boiling_point) {
        ProbeCheck place{.probe = records::ProbeId::of(0),
                         .found = records::ice_point(store.site().scale)};
        fill_place(place, o, store.site());
        expected = records::expected_boiling(place.pressure, place.altitude, store.site().scale);
    } else if (method == CheckMethod::ice_point) {
        expected = records::ice_point(store.site().scale);
    }
    context.out << check_steps(method, expected);
    return kDone;
}

/// What was read since the last good check, and what becomes of the lots it was read of (21 CFR
/// 820.72(b), as it stood: evaluate whether past product was affected).
void print_look_back(const OpenStore& store, LookBack& look_back, Context& context) {
    const std::vector<AffectedLot> lots = look_back.lots();
    context.out << (look_back.since() ? "Its last good check was " + store.shown(*look_back.since())
                                      : "It had no good check before")
                << (lots.empty() ? "; it read no lot since.\n"
                                 : ". What it read since is in doubt:\n");
    if (lots.empty()) {
        return;
    }
    std::vector<std::vector<std::string>> rows{
        {"lot", "readings", "from", "to", "verdict before", "verdict now"}};
    for (const AffectedLot& lot : lots) {
        rows.push_back({for_display(lot.name), std::to_string(lot.readings), store.shown(lot.first),
                        store.shown(lot.last), std::string{to_words(lot.before)},
                        std::string{to_words(lot.after)}});
    }
    context.out << table(rows)
                << "For each whose verdict changed, `holdwarden check LOT` says what to do. Hold "
                   "what is left of it until\nthat is decided.\n";
}

int run_check(const CheckOptions& o, Context& context) {
    const CheckMethod method = method_of(o.method);
    refuse_stray(o, method);
    if (o.found.empty()) {
        const OpenStore store{o.store, context, store::Access::read};
        return run_steps(o, store, method, context);
    }
    const OpenStore store{o.store, context, store::Access::write};
    const auto probe = records::probe_named(*store, o.probe);
    const ProbeCheck check = check_of(o, store, probe.id, method);
    records::check_probe_check(check); // before anything is made of its values
    const bool failed = method != CheckMethod::side_by_side && !records::passed(check);
    std::optional<LookBack> look_back;
    if (failed) {
        look_back.emplace(store, context, probe.id, check);
    }
    std::size_t missed = 0;
    store->atomically([&] {
        // What was due before stays missed, however late a check follows.
        missed = records::note_missed_checks(*store, store.stamp(), probe.id);
        store->checks().add(check, store.stamp());
    });
    context.out << check_sentence(probe.facts.name, check) << store.entered(check.at) << ".\n";
    if (missed > 0) {
        context.out << fmt::format("{} check{} of it {} due before and not made; that stays on "
                                   "record.\n",
                                   missed, missed == 1 ? "" : "s", missed == 1 ? "was" : "were");
    }
    for (const std::string& advice : check_advice(probe.facts, check)) {
        context.out << advice << "\n";
    }
    if (look_back) {
        print_look_back(store, *look_back, context);
    }
    return failed ? kNotMet : kDone;
}

/// "7d", "1 month", "3months", "none".
void read_interval(const std::string& text, records::CheckSchedule& into) {
    const auto end = text.find_first_not_of("0123456789");
    unsigned n = 0;
    const std::size_t digits = end == std::string::npos ? text.size() : end;
    const auto [stop, error] = std::from_chars(text.data(), text.data() + digits, n);
    const std::string_view unit = trimmed(std::string_view{text}.substr(digits));
    const bool days = unit == "d" || unit == "day" || unit == "days";
    const bool months = unit == "month" || unit == "months";
    if (text == "none") {
        into.ended = true;
    } else if (digits > 0 && error == std::errc{} && stop == text.data() + digits && n >= 1 &&
               n <= 3650 && (days || months)) {
        (days ? into.days : into.months) = static_cast<std::uint16_t>(n);
    } else {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("--every '{}' cannot be read", for_display(text, 60)),
                     .where = "",
                     .fix = "give days, months or none: 7d, 1month, none"}};
    }
}

int run_schedule(const ScheduleOptions& o, Context& context) {
    records::CheckSchedule schedule{.source = o.source};
    if (!o.every.empty()) {
        read_interval(o.every, schedule);
        const OpenStore store{o.store, context, store::Access::write};
        schedule.from = store.time(o.from, "--from");
        if (!o.probe.empty()) {
            schedule.probe = records::probe_named(*store, o.probe).id;
        }
        store->checks().set(schedule, store.stamp());
        context.out << schedule_sentence(*store, schedule) << ", from "
                    << store.shown(schedule.from) << store.entered(store.now()) << ".\n";
        return kDone;
    }
    const OpenStore store{o.store, context, store::Access::read};
    const auto all = store->checks().schedules();
    if (all.empty()) {
        context.out << "No checks of thermometers are asked for yet; say how often with: "
                       "holdwarden probe schedule --every 7d --source 'house rule'\n";
    }
    for (const auto& one : all) {
        context.out << schedule_sentence(*store, one.facts) << ", from "
                    << store.shown(one.facts.from)
                    << (one.facts.source.empty() ? "" : " (" + one.facts.source + ")") << ".\n";
    }
    return kDone;
}

int run_missed(const MissedOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const std::size_t noted = records::note_missed_checks(*store, store.stamp());
    context.out << (noted == 0
                        ? "No check of a thermometer was missed since it was last looked at.\n"
                        : fmt::format("{} missed check{} of thermometers put on record.\n", noted,
                                      noted == 1 ? "" : "s"));
    return kDone;
}

void declare_check(Arguments& arguments, CheckOptions& o) {
    arguments.need("probe", o.probe, "The thermometer");
    arguments.need("method", o.method, "ice-point, boiling-point, reference or side-by-side");
    arguments.may("found", o.found,
                  "What it showed, before adjusting: 32.4F (left out: prints how it is done)");
    arguments.option("--left", o.left, "What it showed after it was adjusted");
    arguments.option("--at", o.at, "When (else now)");
    arguments.option("--pressure", o.pressure,
                     "Air pressure at the place, not reduced to sea level: 834hPa, 24.6inHg");
    arguments.option("--altitude", o.altitude, "Of the place (else the site's)");
    arguments.option("--expected", o.expected, "What is true, where it does not follow by itself");
    arguments.option("--against", o.against, "The other instrument, by its id");
    arguments.option("--other-shows", o.other, "What the other instrument showed");
    arguments.option("--certificate", o.certificate, "Of the reference: number, date");
    arguments.option("--tolerance", o.tolerance, "Plus or minus (else 2 °F or 1 °C)");
    arguments.option("--person", o.person, "Who made the check (else --by)");
    arguments.option("--note", o.note, "Anything else");
    o.store.declare_writing(arguments);
    arguments.example("holdwarden probe check p1 ice-point 32.4F");
    arguments.example("holdwarden probe check p1 boiling-point 202F --pressure 834hPa");
    arguments.example("holdwarden probe check p1 boiling-point");
}

} // namespace

std::vector<Command> probe_check_commands() {
    const auto check = std::make_shared<CheckOptions>();
    const auto schedule = std::make_shared<ScheduleOptions>();
    const auto missed = std::make_shared<MissedOptions>();
    return {
        {.name = "probe check",
         .help = "Hold a thermometer against ice, boiling water or a reference",
         .declare = [check](Arguments& arguments) { declare_check(arguments, *check); },
         .run = [check](Context& context) { return run_check(*check, context); }},
        {.name = "probe schedule",
         .help = "Say how often thermometers are checked, or list what was said",
         .declare =
             [schedule](Arguments& arguments) {
                 arguments.may("probe", schedule->probe, "One thermometer (else every one)");
                 arguments.option("--every", schedule->every, "7d, 1month, or none");
                 arguments.option("--from", schedule->from, "From when it holds (else now)");
                 arguments.option("--source", schedule->source, "Who asks for it");
                 schedule->store.declare_writing(arguments);
                 arguments.example("holdwarden probe schedule --every 7d --source 'house rule'");
             },
         .run = [schedule](Context& context) { return run_schedule(*schedule, context); }},
        {.name = "probe missed",
         .help = "Put checks that were due and not made on record as missed",
         .declare =
             [missed](Arguments& arguments) {
                 missed->store.declare_writing(arguments);
                 arguments.example("holdwarden probe missed");
             },
         .run = [missed](Context& context) { return run_missed(*missed, context); }},
    };
}

} // namespace holdwarden::cli
