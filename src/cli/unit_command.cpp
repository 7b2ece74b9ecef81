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
    std::string kind;
    std::string oven;
    std::string note;
};

struct ListOptions {
    StoreArguments store;
    std::string format;
};

int run_add(const AddOptions& o, Context& context) {
    if (o.kind.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "--kind is missing",
                     .where = "",
                     .fix = "say what it is, such as --kind cabinet"}};
    }
    records::Unit unit{.name = o.name, .kind = unit_kind_word(o.kind, "--kind"), .note = o.note};
    if (!o.oven.empty()) {
        unit.oven = oven_word(o.oven, "--oven");
    }
    const OpenStore store{o.store, context, store::Access::write};
    store->add_unit(unit, store.stamp());
    context.out << "Unit " << unit.name << ", " << to_name(unit.kind);
    if (unit.oven) {
        context.out << ", heats as " << to_name(*unit.oven);
    }
    context.out << store.entered(store.now()) << ".\n";
    return kDone;
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    std::vector<std::vector<std::string>> rows{{"unit", "kind", "heats as", "note"}};
    for (const auto& unit : store->units()) {
        const records::Unit& facts = unit.facts;
        const std::string oven = facts.oven ? std::string{to_name(*facts.oven)} : "";
        if (json) {
            all.push_back(
                {{"unit", facts.name},
                 {"kind", to_name(facts.kind)},
                 {"oven", oven.empty() ? nlohmann::ordered_json{} : nlohmann::ordered_json(oven)},
                 {"note", facts.note}});
        } else {
            rows.push_back({facts.name, std::string{to_name(facts.kind)}, oven.empty() ? "-" : oven,
                            facts.note});
        }
    }
    if (json) {
        const nlohmann::ordered_json answer{{"format", "holdwarden-units/1"}, {"units", all}};
        context.out << answer.dump(2) << "\n";
    } else if (rows.size() == 1) {
        context.out << "No units yet; add one with: holdwarden unit add NAME --kind KIND\n";
    } else {
        context.out << table(rows);
    }
    return kDone;
}

} // namespace

std::vector<Command> unit_commands() {
    const auto add = std::make_shared<AddOptions>();
    const auto list = std::make_shared<ListOptions>();
    return {
        {.name = "unit add",
         .help = "Take a smoker, cabinet, chest or cooler into use",
         .declare =
             [add](Arguments& arguments) {
                 arguments.need("name", add->name, "What it is called");
                 arguments.option("--kind", add->kind,
                                  "smoker, oven, cabinet, insulated-chest, walk-in or "
                                  "blast-chiller");
                 arguments.option("--oven", add->oven,
                                  "How it heats: still-dry, convection or high-humidity");
                 arguments.option("--note", add->note, "Maker's number, place");
                 add->store.declare_writing(arguments);
                 arguments.example("holdwarden unit add cabinet-1 --kind cabinet");
             },
         .run = [add](Context& context) { return run_add(*add, context); }},
        {.name = "unit list",
         .help = "List the equipment",
         .declare =
             [list](Arguments& arguments) {
                 list->store.declare_reading(arguments);
                 arguments.option("--format", list->format, "text or json");
                 arguments.example("holdwarden unit list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
    };
}

} // namespace holdwarden::cli
