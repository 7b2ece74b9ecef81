// One command for each kind of record that can be amended. What it said before stays on record.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/correction.hpp>
#include <holdwarden/cli/typed_entry.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::Kept;

constexpr const char* kNone = "none"; ///< on the command line: nothing is said of this any more

struct ReadingOptions {
    CorrectionArguments correction;
    std::string name;
    std::string at;
    std::string point;
    std::string was;
    bool air = false;
    std::string value;
    std::string to;
    std::string to_lot;
    std::string to_point;
    std::string probe;
    std::string watched;
    bool voided = false;
};

struct StageOptions {
    CorrectionArguments correction;
    std::string lot;
    std::string which;
    std::string stage;
    std::string from;
    std::string unit;
    std::string setting;
    std::string oven;
    std::string form;
    bool voided = false;
};

struct LotOptions {
    CorrectionArguments correction;
    std::string lot;
    std::string food;
    std::string description;
    std::string mass;
    std::string thickness;
    std::string container;
    std::string from_ambient;
    std::string made_on;
};

struct EndOptions {
    CorrectionArguments correction;
    std::string lot;
    std::string outcome;
    std::string at;
    bool voided = false;
};

struct PlacementOptions {
    CorrectionArguments correction;
    std::string probe;
    std::string at;
    std::string from;
    std::string to;
    bool voided = false;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

Error not_there(std::string what, std::string where, std::string fix) {
    return Error{ErrorKind::not_found,
                 {.what = std::move(what), .where = std::move(where), .fix = std::move(fix)}};
}

void void_goes_alone(bool voided, const std::string& others) {
    if (voided && !others.empty()) {
        throw wrong_usage("--void goes with no other change",
                          "void the record, or amend it, not both");
    }
}

/// `value` as the option changes it: empty leaves it, "none" takes it away, else as `parse` reads.
template <class T, class Parse>
void change(std::optional<T>& value, const std::string& text, const char* option, Parse parse) {
    if (text.empty()) {
        return;
    }
    if (text == kNone) {
        value.reset();
        return;
    }
    try {
        value = parse(text);
    } catch (const Error& error) {
        throw error.at(option);
    }
}

void change(std::string& value, const std::string& text) {
    if (!text.empty()) {
        value = text == kNone ? "" : text;
    }
}

std::size_t amendments_of(const OpenStore& store, records::LotId lot) {
    return store->lot_history(lot, store.now()).amendments.size();
}

/// What was amended after the first `before` amendments of the lot, in words.
std::string said(const OpenStore& store, records::LotId lot, std::size_t before) {
    const auto history = store->lot_history(lot, store.now());
    std::string text;
    for (std::size_t i = before; i < history.amendments.size(); ++i) {
        const records::Amendment& made = history.amendments[i];
        text += history.name + ", " + made.subject + ": ";
        if (made.voided) {
            text += fmt::format("void from now on; was {}",
                                made.value ? to_text(*made.value) : made.subject);
        } else {
            std::vector<std::string> parts;
            for (const records::FactChange& one : made.changes) {
                parts.push_back(shown(store, one));
            }
            text += fmt::format("{}", fmt::join(parts, "; "));
        }
        text += fmt::format(". Amended by {}: {}.\n", made.by, made.why);
    }
    return text;
}

/// The reading at an instant of a target: the one that counts, else the void one.
const records::KeptReading& reading_at(const OpenStore& store,
                                       const std::vector<records::KeptReading>& readings,
                                       const records::Target& target, Instant at,
                                       const std::optional<Temperature>& was) {
    std::vector<const records::KeptReading*> found;
    std::vector<std::string> near;
    for (const bool voided : {false, true}) {
        for (const records::KeptReading& reading : readings) {
            const auto& now = reading.now();
            if (now.voided != voided || now.facts.target != target) {
                continue;
            }
            const std::string text = to_text(now.facts.value) + " at " + store.shown(now.facts.at);
            if (now.facts.at == at && (!was || now.facts.value == *was)) {
                found.push_back(&reading);
            } else if (near.size() < 6) {
                near.push_back(text);
            }
        }
        if (found.size() == 1) {
            return *found.front();
        }
        if (found.size() > 1) {
            throw Error{
                ErrorKind::conflict,
                {.what = fmt::format("there are {} readings at {}", found.size(), store.shown(at)),
                 .where = shown(*store, target),
                 .fix = "say which one with --was, such as --was " +
                        to_text(found.front()->now().facts.value)}};
        }
    }
    throw not_there("no typed reading at " + store.shown(at), shown(*store, target),
                    (near.empty() ? std::string{} : "there are " + listed(near) + "; ") +
                        "readings from a file are not amended: set them aside");
}

int run_reading(const ReadingOptions& o, Context& context) {
    void_goes_alone(o.voided, o.value + o.to + o.to_lot + o.to_point + o.probe + o.watched);
    const OpenStore store{o.correction.store, context, store::Access::write};
    const records::Target target = target_named(store, o.name, o.air, o.point);
    records::Corrections& book = store->corrections();
    const auto* spot = std::get_if<records::LotPoint>(&target);
    const auto readings = spot != nullptr
                              ? book.readings_of(spot->lot)
                              : book.readings_of(std::get<records::UnitAir>(target).unit);
    std::optional<Temperature> was;
    if (!o.was.empty()) {
        was = store.temperature(o.was, "--was");
    }
    const auto& kept = reading_at(store, readings, target, store.time(o.at, "the time"), was);
    records::TypedReading now = kept.now().facts;
    if (!o.value.empty()) {
        now.value = store.temperature(o.value, "--value");
    }
    if (!o.to.empty()) {
        now.at = store.time(o.to, "--to");
    }
    if (!o.to_lot.empty() || !o.to_point.empty()) {
        if (spot == nullptr) {
            throw wrong_usage("--to-lot and --to-point are of a reading in food",
                              "void the reading of the air, and log it where it belongs");
        }
        records::LotPoint moved = *spot;
        if (!o.to_lot.empty()) {
            moved.lot = records::lot_named(*store, o.to_lot).id;
        }
        if (!o.to_point.empty()) {
            moved.point = o.to_point;
        }
        now.target = moved;
    }
    change(now.probe, o.probe, "--probe",
           [&](const std::string& name) { return records::probe_named(*store, name).id; });
    if (!o.watched.empty()) {
        const TypedArguments typed{.point = {}, .probe = {}, .watched = o.watched};
        now.watched_s = typed_reading(typed, store, target, now.at, to_text(now.value)).watched_s;
    }
    const std::size_t before = spot == nullptr ? 0 : amendments_of(store, spot->lot);
    if (o.voided) {
        book.void_reading(kept.id, o.correction.why, store.stamp());
    } else {
        book.amend(kept.id, now, o.correction.why, store.stamp());
    }
    if (spot != nullptr) {
        context.out << said(store, spot->lot, before) << verdict_lines(store, context, spot->lot);
    } else {
        context.out << shown(*store, target) << ": "
                    << (o.voided ? "the reading is void from now on"
                                 : to_text(now.value) + " at " + store.shown(now.at))
                    << ", was " << to_text(kept.now().facts.value) << " at "
                    << store.shown(kept.now().facts.at) << ". Amended by " << store.stamp().by
                    << ": " << o.correction.why << ".\n";
    }
    return kDone;
}

const records::KeptStage& stage_at(const OpenStore& store,
                                   const std::vector<records::KeptStage>& stages,
                                   const std::string& lot, const std::string& which) {
    const auto kind = stage_named(which);
    const Instant at = kind ? Instant{} : store.time(which, "the stage");
    std::vector<const records::KeptStage*> found;
    std::vector<std::string> all;
    for (const records::KeptStage& stage : stages) {
        const auto& now = stage.now().facts;
        all.push_back(std::string{to_name(now.stage)} + " from " + store.shown(now.from) +
                      (stage.now().voided ? " (void)" : ""));
        if (kind ? now.stage == *kind : now.from == at) {
            found.push_back(&stage);
        }
    }
    if (found.size() == 1) {
        return *found.front();
    }
    const std::string where = "lot '" + lot + "'";
    if (found.empty()) {
        throw not_there("no stage '" + for_display(which, 60) + "'", where,
                        all.empty() ? "it has no stages" : "there are " + listed(all));
    }
    throw Error{ErrorKind::conflict,
                {.what = fmt::format("there are {} such stages", found.size()),
                 .where = where,
                 .fix = "say when it began: " + listed(all)}};
}

int run_stage(const StageOptions& o, Context& context) {
    void_goes_alone(o.voided, o.stage + o.from + o.unit + o.setting + o.oven + o.form);
    const OpenStore store{o.correction.store, context, store::Access::write};
    const auto lot = records::lot_named(*store, o.lot);
    records::Corrections& book = store->corrections();
    const auto stages = book.stages_of(lot.id);
    const records::KeptStage& kept = stage_at(store, stages, lot.facts.name, o.which);
    records::NewStage now = kept.now().facts;
    if (!o.stage.empty()) {
        const auto kind = stage_named(o.stage);
        if (!kind) {
            std::vector<std::string> names;
            for (const Stage stage : all_stages()) {
                names.emplace_back(to_name(stage));
            }
            throw wrong_usage("'" + for_display(o.stage, 60) + "' is no stage",
                              "give one of " + listed(names));
        }
        now.stage = *kind;
    }
    if (!o.from.empty()) {
        now.from = store.time(o.from, "--from");
    }
    change(now.unit, o.unit, "--unit",
           [&](const std::string& name) { return records::unit_named(*store, name).id; });
    change(now.setting, o.setting, "--setting",
           [&](const std::string& text) { return store.temperature(text, "--setting"); });
    change(now.oven, o.oven, "--oven",
           [](const std::string& text) { return oven_word(text, "--oven"); });
    if (!o.form.empty()) {
        if (o.form != "4h" && o.form != "6h") {
            throw wrong_usage("--form '" + for_display(o.form, 60) + "' is not known",
                              "give 4h or 6h");
        }
        now.form = o.form == "6h" ? records::TimeControlForm::six_hours
                                  : records::TimeControlForm::four_hours;
    }
    const std::size_t before = amendments_of(store, lot.id);
    if (o.voided) {
        book.void_stage(kept.id, o.correction.why, store.stamp());
    } else {
        book.amend(kept.id, now, o.correction.why, store.stamp());
    }
    context.out << said(store, lot.id, before) << verdict_lines(store, context, lot.id);
    return kDone;
}

int run_lot(const LotOptions& o, Context& context) {
    const OpenStore store{o.correction.store, context, store::Access::write};
    const records::LotId id = records::lot_named(*store, o.lot).id;
    records::Lot now = store->corrections().facts_of(id).now().facts;
    if (!o.food.empty()) {
        now.food = food_word(o.food, "--food");
    }
    change(now.description, o.description);
    change(now.container, o.container);
    change(now.mass, o.mass, "--mass", records::parse_mass);
    change(now.thickness, o.thickness, "--thickness", records::parse_length);
    change(now.made_on, o.made_on, "--made-on", [](const std::string& text) {
        const auto date = parse_date(text);
        if (!date) {
            throw Error{ErrorKind::bad_input,
                        {.what = "date '" + for_display(text, 60) + "' cannot be read",
                         .where = "",
                         .fix = "write it like 2026-10-31"}};
        }
        return *date;
    });
    if (!o.from_ambient.empty()) {
        if (o.from_ambient != "yes" && o.from_ambient != "no") {
            throw wrong_usage("--from-ambient '" + for_display(o.from_ambient, 60) +
                                  "' is not known",
                              "give yes or no");
        }
        now.made_from_ambient = o.from_ambient == "yes";
    }
    const std::size_t before = amendments_of(store, id);
    store->corrections().amend(id, now, o.correction.why, store.stamp());
    context.out << said(store, id, before) << verdict_lines(store, context, id);
    return kDone;
}

int run_end(const EndOptions& o, Context& context) {
    void_goes_alone(o.voided, o.outcome + o.at);
    const OpenStore store{o.correction.store, context, store::Access::write};
    const auto lot = records::lot_named(*store, o.lot);
    records::Corrections& book = store->corrections();
    const auto kept = book.end_of(lot.id);
    if (!kept) {
        throw not_there("the lot has not ended", "lot '" + lot.facts.name + "'",
                        "say `stage " + lot.facts.name + " served` when it does");
    }
    records::EndFacts now = kept->now().facts;
    if (!o.outcome.empty()) {
        const auto outcome = outcome_named(o.outcome);
        if (!outcome || !ends_food(*outcome)) {
            throw wrong_usage("--outcome '" + for_display(o.outcome, 60) + "' is not known",
                              "give served or discarded");
        }
        now.outcome = *outcome;
    }
    if (!o.at.empty()) {
        now.at = store.time(o.at, "--at");
    }
    const std::size_t before = amendments_of(store, lot.id);
    if (o.voided) {
        book.void_end(kept->id, o.correction.why, store.stamp());
    } else {
        book.amend(kept->id, now, o.correction.why, store.stamp());
    }
    context.out << said(store, lot.id, before) << verdict_lines(store, context, lot.id);
    return kDone;
}

int run_placement(const PlacementOptions& o, Context& context) {
    void_goes_alone(o.voided, o.from + o.to);
    const OpenStore store{o.correction.store, context, store::Access::write};
    records::Corrections& book = store->corrections();
    const auto placements = book.placements_of(records::probe_named(*store, o.probe).id);
    const Instant at = store.time(o.at, "the time");
    const auto kept = std::ranges::find_if(
        placements, [&](const auto& placed) { return placed.now().facts.from == at; });
    if (kept == placements.end()) {
        std::vector<std::string> all;
        for (const auto& placed : placements) {
            all.push_back(shown(*store, placed.now().facts.target) + " from " +
                          store.shown(placed.now().facts.from));
        }
        throw not_there("it was not placed at " + store.shown(at), "probe '" + o.probe + "'",
                        all.empty() ? "it was never placed" : "it was in " + listed(all));
    }
    records::Placement now = kept->now().facts;
    if (!o.from.empty()) {
        now.from = store.time(o.from, "--from");
    }
    if (!o.to.empty()) {
        now.to = store.time(o.to, "--to");
    }
    if (o.voided) {
        book.void_placement(kept->id, o.correction.why, store.stamp());
    } else {
        book.amend(kept->id, now, o.correction.why, store.stamp());
    }
    const auto times = [&](const records::Placement& placed) {
        return store.shown(placed.from) + " to " +
               (placed.to ? store.shown(*placed.to) : std::string{"now"});
    };
    context.out << o.probe << " in " << shown(*store, now.target) << ": "
                << (o.voided ? "void from now on" : times(now)) << ", was "
                << times(kept->now().facts) << ". Amended by " << store.stamp().by << ": "
                << o.correction.why << ".\n";
    if (const auto* spot = std::get_if<records::LotPoint>(&now.target)) {
        context.out << verdict_lines(store, context, spot->lot);
    }
    return kDone;
}

Command reading_command() {
    const auto o = std::make_shared<ReadingOptions>();
    return {.name = "amend reading",
            .help = "Correct or void a reading that a person typed",
            .declare =
                [o](Arguments& arguments) {
                    arguments.need("lot", o->name,
                                   "The lot, or the beginning of its name (a unit with --air)");
                    arguments.need("time", o->at, "When the record says that it was read");
                    arguments.option("--point", o->point, "Where in the food (core)");
                    arguments.option("--was", o->was,
                                     "Which of several of that time: the value on record");
                    arguments.flag("--air", o->air, "The name is a unit's: its air was read");
                    arguments.option("--value", o->value, "What it read: 139F");
                    arguments.option("--to", o->to, "When it was read");
                    arguments.option("--to-lot", o->to_lot, "Which lot it was read in");
                    arguments.option("--to-point", o->to_point, "Where in the food it was read");
                    arguments.option("--probe", o->probe, "Which thermometer (none: not said)");
                    arguments.option("--watched", o->watched,
                                     "For how long it was seen to stay there: 30s");
                    arguments.flag("--void", o->voided, "It counts for nothing, and still shows");
                    o->correction.declare(arguments);
                    arguments.example("holdwarden amend reading brisket-1 \"2026-10-31 22:10\" "
                                      "--value 139F --why \"figures swapped\" --by RK");
                },
            .run = [o](Context& context) { return run_reading(*o, context); }};
}

Command stage_command() {
    const auto o = std::make_shared<StageOptions>();
    return {.name = "amend stage",
            .help = "Correct or void a lot's entry into a stage",
            .declare =
                [o](Arguments& arguments) {
                    arguments.need("lot", o->lot, "The lot, or the beginning of its name");
                    arguments.need("stage", o->which,
                                   "The stage on record, or when it began if there are several");
                    arguments.option("--stage", o->stage, "Which stage it was");
                    arguments.option("--from", o->from, "When it began");
                    arguments.option("--unit", o->unit, "The equipment it is in (none: not said)");
                    arguments.option("--setting", o->setting,
                                     "What that is set to: 250F (none: not said)");
                    arguments.option("--oven", o->oven,
                                     "How it heats: still-dry, convection or high-humidity (none)");
                    arguments.option("--form", o->form, "Of time-control: 4h or 6h");
                    arguments.flag("--void", o->voided, "It never began, and still shows");
                    o->correction.declare(arguments);
                    arguments.example("holdwarden amend stage brisket-1 cooling --from "
                                      "\"2026-11-01 01:10\" --why \"the clock was read wrong\"");
                },
            .run = [o](Context& context) { return run_stage(*o, context); }};
}

Command lot_command() {
    const auto o = std::make_shared<LotOptions>();
    return {.name = "amend lot",
            .help = "Correct what is on record of a lot's food",
            .declare =
                [o](Arguments& arguments) {
                    arguments.need("lot", o->lot, "The lot, or the beginning of its name");
                    arguments.option("--food", o->food, "Its kind: intact-roast, ground, ...");
                    arguments.option("--description", o->description, "In words (none)");
                    arguments.option("--mass", o->mass, "Raw: 5.4kg, 12lb (none: not said)");
                    arguments.option("--thickness", o->thickness,
                                     "Of its thickest part: 6cm, 2.5in (none: not said)");
                    arguments.option("--container", o->container, "What it is in (none)");
                    arguments.option("--from-ambient", o->from_ambient,
                                     "Made from room-temperature ingredients: yes or no");
                    arguments.option("--made-on", o->made_on,
                                     "Day 1 of date marking: 2026-10-31 (none: by its stages)");
                    o->correction.declare(arguments);
                    arguments.example("holdwarden amend lot brisket-1 --food whole-cut --why "
                                      "\"it had been tenderized\" --by RK");
                },
            .run = [o](Context& context) { return run_lot(*o, context); }};
}

Command end_command() {
    const auto o = std::make_shared<EndOptions>();
    return {.name = "amend end",
            .help = "Correct or void a lot's end",
            .declare =
                [o](Arguments& arguments) {
                    arguments.need("lot", o->lot, "The lot, or the beginning of its name");
                    arguments.option("--outcome", o->outcome, "served or discarded");
                    arguments.option("--at", o->at, "When");
                    arguments.flag("--void", o->voided, "It has not ended");
                    o->correction.declare(arguments);
                    arguments.example("holdwarden amend end brisket-1 --at \"2026-11-01 09:40\" "
                                      "--why \"entered for the wrong pan\" --by RK");
                },
            .run = [o](Context& context) { return run_end(*o, context); }};
}

Command placement_command() {
    const auto o = std::make_shared<PlacementOptions>();
    return {.name = "amend placement",
            .help = "Correct or void from when to when a probe was in its place",
            .declare =
                [o](Arguments& arguments) {
                    arguments.need("probe", o->probe, "The probe");
                    arguments.need("time", o->at, "When the record says that it was placed");
                    arguments.option("--from", o->from, "When it was placed");
                    arguments.option("--to", o->to, "When it was lifted");
                    arguments.flag("--void", o->voided, "It was never there, and still shows");
                    o->correction.declare(arguments);
                    arguments.example("holdwarden amend placement p1 \"2026-10-31 18:00\" --from "
                                      "\"2026-10-31 18:20\" --why \"it lay on the table\"");
                },
            .run = [o](Context& context) { return run_placement(*o, context); }};
}

} // namespace

std::vector<Command> amend_commands() {
    return {reading_command(), stage_command(), lot_command(), end_command(), placement_command()};
}

} // namespace holdwarden::cli
