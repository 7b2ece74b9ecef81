#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/cli/sign.hpp>
#include <holdwarden/cli/typed_entry.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct AirOptions {
    StoreArguments store;
    std::string unit;
    std::string value;
    std::string probe;
    std::string at;
};

int run_air(const AirOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const auto unit = records::unit_named(*store, o.unit);
    const TypedArguments typed{.point = "", .probe = o.probe, .watched = ""};
    const records::TypedReading reading =
        typed_reading(typed, store, records::UnitAir{unit.id}, store.time(o.at), o.value);
    const records::Added added = store->log(reading, store.stamp());
    context.out << unit.facts.name << ", air: " << shown(reading, store, o.probe)
                << store.entered(reading.at) << "." << remark(added) << "\n";
    if (const auto hot = holds_hot(unit.facts.kind)) {
        context.out
            << judge::note_air(reading.value, *hot, pack_at(store, context, reading.at)).words
            << "\n";
    }
    return kDone;
}

struct SeenOptions {
    StoreArguments store;
    SignArguments sign;
    std::string unit;
    std::string value;
    std::string note;
    std::string at;
    bool broken = false;
};

int run_seen(const SeenOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const auto unit = records::unit_named(*store, o.unit);
    records::WorkingCheck check{
        .at = store.time(o.at), .unit = unit.id, .working = !o.broken, .note = o.note};
    if (!o.value.empty()) {
        check.shown = store.temperature(o.value, "the temperature");
    }
    const auto signer = sign(store, o.sign, "seen working: " + unit.facts.name, {}, context);
    check.signer = printed_name(signer.facts);
    store->day_book().add(check, store.stamp());
    context.out << fmt::format("{}: seen {} at {}", unit.facts.name,
                               check.working ? "working" : "not working", store.shown(check.at));
    if (check.shown) {
        context.out << ", showing " << to_text(*check.shown);
    }
    context.out << (check.note.empty() ? "" : "; " + check.note) << ", signed by " << check.signer
                << store.entered(check.at) << ".\n";
    return kDone;
}

} // namespace

std::vector<Command> air_commands() {
    const auto air = std::make_shared<AirOptions>();
    const auto seen = std::make_shared<SeenOptions>();
    return {
        {.name = "air",
         .help = "Enter what a unit's own thermometer shows: the air, which proves no food",
         .declare =
             [air](Arguments& a) {
                 a.need("unit", air->unit, "Walk-in, cabinet, chest");
                 a.need("temperature", air->value, "38F, 3C; a bare number is in the site's scale");
                 a.option("--probe", air->probe, "Which thermometer");
                 a.option("--at", air->at, "When (now)");
                 air->store.declare_writing(a);
                 a.example("holdwarden air walk-in 38 --by RK");
             },
         .run = [air](Context& context) { return run_air(*air, context); }},
        {.name = "seen",
         .help = "Sign that a unit which records by itself was seen working",
         .declare =
             [seen](Arguments& a) {
                 a.need("unit", seen->unit, "The unit that the system watches");
                 a.may("temperature", seen->value, "What its display showed");
                 a.flag("--broken", seen->broken, "It was not working; --note says what was done");
                 a.option("--note", seen->note, "What was seen or done");
                 a.option("--at", seen->at, "When (now)");
                 seen->store.declare_writing(a);
                 seen->sign.declare(a);
                 a.example("holdwarden seen walk-in 38F --by RK");
             },
         .run = [seen](Context& context) { return run_seen(*seen, context); }}};
}

} // namespace holdwarden::cli
