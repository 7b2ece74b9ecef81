#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/typed_entry.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct StageOptions {
    StoreArguments store;
    TypedArguments typed;
    std::string lot;
    std::string stage;
    std::string value;
    std::string at;
    std::string unit;
    std::string setting;
    std::string oven;
    std::string form;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

/// The stage or end that begins so, when only one does; else the text as it is.
std::string whole_word(const std::string& text) {
    std::vector<std::string> names{"served", "discarded"};
    for (const Stage stage : all_stages()) {
        names.emplace_back(to_name(stage));
    }
    std::erase_if(names, [&](const std::string& name) { return !name.starts_with(text); });
    if (text.empty() || names.empty() || std::ranges::find(names, text) != names.end()) {
        return text;
    }
    if (names.size() > 1) {
        throw wrong_usage("'" + for_display(text, 60) + "' could be " + listed(names),
                          "write more of the word");
    }
    return names.front();
}

void check_stage_word(const std::string& text) {
    const auto outcome = outcome_named(text);
    if (stage_named(text) || (outcome && ends_food(*outcome))) {
        return;
    }
    if (outcome) {
        throw wrong_usage("a lot is " + text + " by a command of its own",
                          "see `holdwarden --help`: split, merge, hand-on");
    }
    std::vector<std::string> names;
    for (const Stage stage : all_stages()) {
        names.emplace_back(to_name(stage));
    }
    names.insert(names.end(), {"served", "discarded"});
    throw wrong_usage("'" + for_display(text, 60) + "' is no stage and no end",
                      "give one of " + listed(names));
}

records::TimeControlForm form_of(const StageOptions& o) {
    if (o.form.empty()) {
        return records::TimeControlForm::four_hours;
    }
    if (o.form != "4h" && o.form != "6h") {
        throw wrong_usage("--form '" + for_display(o.form, 60) + "' is not known", "give 4h or 6h");
    }
    if (o.stage != to_name(Stage::time_control)) {
        throw wrong_usage("--form goes with time-control only", "leave it out");
    }
    return o.form == "6h" ? records::TimeControlForm::six_hours
                          : records::TimeControlForm::four_hours;
}

/// The stage as entered; the words said about it go to `said`.
records::NewStage new_stage(const StageOptions& o, const OpenStore& store, records::LotId lot,
                            Instant at, std::string& said) {
    records::NewStage stage{.lot = lot, .stage = *stage_named(o.stage), .from = at};
    stage.form = form_of(o);
    if (!o.unit.empty()) {
        const auto unit = records::unit_named(*store, o.unit);
        stage.unit = unit.id;
        said += " in " + unit.facts.name;
    }
    if (!o.setting.empty()) {
        stage.setting = store.temperature(o.setting, "--setting");
        records::check_plausible(*stage.setting);
        said += ", set to " + to_text(*stage.setting);
    }
    if (!o.oven.empty()) {
        stage.oven = oven_word(o.oven, "--oven");
        said += ", heated as " + o.oven;
    }
    if (!o.form.empty()) {
        said += ", " + o.form + " form";
    }
    return stage;
}

int run_stage(StageOptions o, Context& context) {
    o.stage = whole_word(o.stage);
    check_stage_word(o.stage);
    const auto outcome = outcome_named(o.stage);
    if (outcome && !(o.unit + o.setting + o.oven + o.form).empty()) {
        throw wrong_usage("--unit, --setting, --oven and --form do not go with " + o.stage,
                          "leave them out");
    }
    if (o.value.empty() && !(o.typed.point + o.typed.probe + o.typed.watched).empty()) {
        throw wrong_usage("--point, --probe and --watched need a temperature",
                          "give it behind the stage, such as " + o.stage + " 141F");
    }
    const OpenStore store{o.store, context, store::Access::write};
    const auto lot = records::lot_named(*store, o.lot);
    const Instant at = store.time(o.at);
    if (!o.value.empty() && o.typed.probe.empty() && o.at.empty()) {
        o.typed.probe = usual_probe(store, context);
    }
    const records::Stamp stamp = store.stamp_for(at, o.store, context);
    std::string said = lot.facts.name + ": " + o.stage;
    std::string reading_said;
    store->atomically([&] {
        if (outcome) {
            store->end_lot(lot.id, *outcome, at, stamp);
        } else {
            store->enter_stage(new_stage(o, store, lot.id, at, said), stamp);
        }
        if (!o.value.empty()) {
            const records::Target spot = target_named(store, lot.facts.name, false, o.typed.point);
            const records::TypedReading reading = typed_reading(o.typed, store, spot, at, o.value);
            const records::Added added = store->log(reading, stamp);
            reading_said = "; " + std::get<records::LotPoint>(spot).point + " " +
                           shown(reading, store, o.typed.probe) + store.entered(at, stamp) + "." +
                           remark(added);
        }
    });
    context.out << said
                << (outcome ? " at " : " from ") + store.shown(at) +
                       (reading_said.empty() ? store.entered(at, stamp) + "." : reading_said)
                << "\n";
    return kDone;
}

} // namespace

std::vector<Command> stage_commands() {
    const auto options = std::make_shared<StageOptions>();
    return {{.name = "stage",
             .help = "A lot enters a stage, or is served or discarded",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.need("lot", options->lot, "The lot, or the beginning of its name");
                     arguments.need(
                         "stage", options->stage,
                         "cooking, resting, hot-holding, cooling, ... or the beginning (holdwarden "
                         "codes lists them), served or discarded");
                     arguments.may("temperature", options->value,
                                   "What the food read at that time: 141F");
                     arguments.option("--at", options->at, "When (now)");
                     arguments.option("--unit", options->unit, "The equipment it is in");
                     arguments.option("--setting", options->setting, "What that is set to: 250F");
                     arguments.option("--oven", options->oven,
                                      "How it heats: still-dry, convection or high-humidity");
                     arguments.option("--form", options->form, "Of time-control: 4h or 6h (4h)");
                     options->typed.declare(arguments);
                     options->store.declare_event(arguments);
                     arguments.example("holdwarden stage brisket-1 hot-holding 141F");
                 },
             .run = [options](Context& context) { return run_stage(*options, context); }}};
}

} // namespace holdwarden::cli
