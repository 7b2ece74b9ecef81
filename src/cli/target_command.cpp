#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/dated_rules.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <nlohmann/json.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

struct AddOptions {
    StoreArguments store;
    std::string low;
    std::string high;
    std::string lot;
    std::string unit;
    std::string since;
    std::string why;
};

int run_add(const AddOptions& o, Context& context) {
    if (o.lot.empty() == o.unit.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "a target band belongs to one lot or one unit",
                     .where = "",
                     .fix = "give --lot NAME or --unit NAME"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    records::TargetBand band{.of = records::LotId::of(0),
                             .low = store.temperature(o.low, "low"),
                             .high = store.temperature(o.high, "high"),
                             .since = store.time(o.since, "--since"),
                             .why = o.why};
    if (o.unit.empty()) {
        band.of = records::lot_named(*store, o.lot).id;
    } else {
        band.of = records::unit_named(*store, o.unit).id;
    }
    const records::TargetBandId id = store->house_rules().add(band, store.stamp());
    context.out << "Target band " << id.value() << " for " << band_holder(*store, band) << ": "
                << to_text(band.low) << " to " << to_text(band.high) << ", from "
                << store.shown(band.since) << store.entered(store.now()) << ".\n"
                << "It is about eating quality: no verdict hangs on it.\n";
    return kDone;
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    Json all = Json::array();
    std::vector<std::vector<std::string>> rows{
        {"number", "of", "band", "holds from", "set by", "why"}};
    for (const auto& band : store->house_rules().bands()) {
        const records::TargetBand& facts = band.set.facts;
        const std::string holder = band_holder(*store, facts);
        const bool of_lot = std::holds_alternative<records::LotId>(facts.of);
        Json one{{"number", band.set.id.value()},
                 {"lot", of_lot ? Json(holder) : Json{}},
                 {"unit", of_lot ? Json{} : Json(holder)},
                 {"low", facts.low.degrees()},
                 {"high", facts.high.degrees()},
                 {"scale", std::string{letter(facts.low.scale())}},
                 {"since", to_rfc3339(facts.since, store.zone())},
                 {"by", band.set.stamp.by},
                 {"why", facts.why},
                 {"withdrawn", nullptr}};
        std::string why = facts.why;
        if (band.withdrawn) {
            one["withdrawn"] = {{"from", to_rfc3339(band.withdrawn->from, store.zone())},
                                {"by", band.withdrawn->by},
                                {"why", band.withdrawn->why}};
            why += "; withdrawn by " + band.withdrawn->by + ": " + band.withdrawn->why;
        }
        all.push_back(std::move(one));
        rows.push_back({std::to_string(band.set.id.value()), holder,
                        to_text(facts.low) + " to " + to_text(facts.high),
                        time_held(store, facts.since, band.withdrawn), band.set.stamp.by, why});
    }
    if (json) {
        context.out << Json{{"format", "holdwarden-targets/1"}, {"bands", std::move(all)}}.dump(2)
                    << "\n";
    } else if (rows.size() == 1) {
        context.out << "No target bands yet; add one with: holdwarden target add LOW HIGH\n";
    } else {
        context.out << table(rows);
    }
    return kDone;
}

} // namespace

std::vector<Command> target_commands() {
    const auto add = std::make_shared<AddOptions>();
    const auto list = std::make_shared<ListOptions>();
    return {
        {.name = "target add",
         .help = "Name the band in which held food is best to eat",
         .declare =
             [add](Arguments& arguments) {
                 arguments.need("low", add->low, "Its lower end, such as 140F");
                 arguments.need("high", add->high, "Its upper end, such as 150F");
                 arguments.option("--lot", add->lot, "For one lot, wherever it is held");
                 arguments.option("--unit", add->unit, "For whatever is held in a unit");
                 arguments.option("--since", add->since, "From when it holds (now)");
                 arguments.option("--why", add->why, "Why");
                 add->store.declare_writing(arguments);
                 arguments.example("holdwarden target add 140F 150F --unit cabinet-1 --why "
                                   "'juicy slices' --by RK");
             },
         .run = [add](Context& context) { return run_add(*add, context); }},
        withdraw_command<records::TargetBandId>(
            {.word = "target",
             .title = "Target band",
             .help = "Let a target band no longer hold",
             .example = "holdwarden target withdraw 1 --why 'too dry' --by RK"}),
        {.name = "target list",
         .help = "List the target bands",
         .declare =
             [list](Arguments& arguments) {
                 declare_list(*list, arguments, "holdwarden target list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
    };
}

} // namespace holdwarden::cli
