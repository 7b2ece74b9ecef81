#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>

#include <nlohmann/json.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct AddOptions {
    StoreArguments store;
    std::string name;
    std::string accuracy;
    std::string step;
    std::string note;
};

struct ListOptions {
    StoreArguments store;
    std::string format;
};

std::optional<TemperatureDelta> delta(const std::string& text, const char* option, Scale scale) {
    if (text.empty()) {
        return std::nullopt;
    }
    try {
        return parse_delta(text, scale);
    } catch (const Error& error) {
        throw error.at(option);
    }
}

/// "1 °F", without the sign of a difference.
std::string size_text(const std::optional<TemperatureDelta>& size) {
    return size ? to_text(Temperature::of_thousandths(size->thousandths(), size->scale())) : "-";
}

int run_add(const AddOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const records::Thermometer probe{.name = o.name,
                                     .accuracy =
                                         delta(o.accuracy, "--accuracy", store.site().scale),
                                     .display_step = delta(o.step, "--step", store.site().scale),
                                     .note = o.note};
    store->add_probe(probe, store.stamp());
    context.out << "Probe " << probe.name;
    if (probe.accuracy) {
        context.out << ", stated accuracy plus or minus " << size_text(probe.accuracy);
    }
    if (probe.display_step) {
        context.out << ", shows steps of " << size_text(probe.display_step);
    }
    context.out << store.entered(store.now()) << ".\n";
    return kDone;
}

nlohmann::ordered_json json_of(const std::optional<TemperatureDelta>& size) {
    if (!size) {
        return nullptr;
    }
    return {{"value", size->thousandths() / 1000.0}, {"scale", std::string{letter(size->scale())}}};
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    std::vector<std::vector<std::string>> rows{{"probe", "accuracy", "step", "reads now", "note"}};
    for (const auto& probe : store->probes()) {
        const auto placement = store->open_placement(probe.id);
        const std::string reads = placement ? shown(*store, placement->facts.target) : "";
        const records::Thermometer& facts = probe.facts;
        if (json) {
            all.push_back({{"probe", facts.name},
                           {"accuracy", json_of(facts.accuracy)},
                           {"display_step", json_of(facts.display_step)},
                           {"reads", reads.empty() ? nlohmann::ordered_json{}
                                                   : nlohmann::ordered_json(reads)},
                           {"note", facts.note}});
        } else {
            rows.push_back({facts.name, size_text(facts.accuracy), size_text(facts.display_step),
                            reads.empty() ? "nothing" : reads, facts.note});
        }
    }
    if (json) {
        const nlohmann::ordered_json answer{{"format", "holdwarden-probes/1"}, {"probes", all}};
        context.out << answer.dump(2) << "\n";
    } else if (rows.size() == 1) {
        context.out << "No probes yet; add one with: holdwarden probe add NAME\n";
    } else {
        context.out << table(rows);
    }
    return kDone;
}

} // namespace

std::vector<Command> probe_commands() {
    const auto add = std::make_shared<AddOptions>();
    const auto list = std::make_shared<ListOptions>();
    return {
        {.name = "probe add",
         .help = "Take a thermometer or channel into use",
         .declare =
             [add](Arguments& arguments) {
                 arguments.need("name", add->name, "What it is called, as in the files it writes");
                 arguments.option("--accuracy", add->accuracy, "Stated, plus or minus: 1F, 0.5C");
                 arguments.option("--step", add->step, "What its last digit counts: 0.1F");
                 arguments.option("--note", add->note, "Maker's number, place, colour");
                 add->store.declare_writing(arguments);
                 arguments.example("holdwarden probe add p1 --accuracy 1F --step 0.1F");
             },
         .run = [add](Context& context) { return run_add(*add, context); }},
        {.name = "probe list",
         .help = "List the thermometers and what each reads now",
         .declare =
             [list](Arguments& arguments) {
                 list->store.declare_reading(arguments);
                 arguments.option("--format", list->format, "text or json");
                 arguments.example("holdwarden probe list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
    };
}

} // namespace holdwarden::cli
