#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct PlaceOptions {
    StoreArguments store;
    std::string probe;
    std::string name;
    bool air = false;
    std::string point;
    std::string at;
    std::string until;
};

struct LiftOptions {
    StoreArguments store;
    std::string probe;
    std::string at;
};

int run_place(const PlaceOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const auto probe = records::probe_named(*store, o.probe);
    records::Placement placement{.probe = probe.id,
                                 .target = target_named(store, o.name, o.air, o.point),
                                 .from = store.time(o.at)};
    if (!o.until.empty()) {
        placement.to = store.time(o.until, "--until");
    }
    const records::Stamp stamp = store.stamp_for(placement.from, o.store, context);
    store->place(placement, stamp);
    context.out << probe.facts.name << " reads " << shown(*store, placement.target) << " from "
                << store.shown(placement.from)
                << (placement.to ? " to " + store.shown(*placement.to) : "")
                << store.entered(placement.from, stamp) << ".\n";
    return kDone;
}

int run_lift(const LiftOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const auto probe = records::probe_named(*store, o.probe);
    const auto placement = store->open_placement(probe.id);
    if (!placement) {
        throw Error{ErrorKind::conflict,
                    {.what = "it is nowhere",
                     .where = "probe '" + probe.facts.name + "'",
                     .fix = "say `place` to put it somewhere"}};
    }
    const Instant at = store.time(o.at);
    const records::Stamp stamp = store.stamp_for(at, o.store, context);
    store->lift(placement->id, at, stamp);
    context.out << probe.facts.name << " no longer reads " << shown(*store, placement->facts.target)
                << " from " << store.shown(at) << store.entered(at, stamp) << ".\n";
    return kDone;
}

} // namespace

std::vector<Command> place_commands() {
    const auto place = std::make_shared<PlaceOptions>();
    const auto lift = std::make_shared<LiftOptions>();
    return {
        {.name = "place",
         .help = "A probe goes into a lot, or into a unit's air",
         .declare =
             [place](Arguments& arguments) {
                 arguments.need("probe", place->probe, "The probe");
                 arguments.need("lot", place->name,
                                "The lot, or the beginning of its name (a unit with --air)");
                 arguments.flag("--air", place->air,
                                "The name is a unit's: the probe reads its air");
                 arguments.option("--point", place->point, "Where in the food (core)");
                 arguments.option("--at", place->at, "When (now)");
                 arguments.option("--until", place->until, "When it came out, if it did");
                 place->store.declare_event(arguments);
                 arguments.example("holdwarden place p1 brisket-1 --point flat");
             },
         .run = [place](Context& context) { return run_place(*place, context); }},
        {.name = "lift",
         .help = "A probe comes out of where it is",
         .declare =
             [lift](Arguments& arguments) {
                 arguments.need("probe", lift->probe, "The probe");
                 arguments.option("--at", lift->at, "When (now)");
                 lift->store.declare_event(arguments);
                 arguments.example("holdwarden lift p1");
             },
         .run = [lift](Context& context) { return run_lift(*lift, context); }},
    };
}

} // namespace holdwarden::cli
