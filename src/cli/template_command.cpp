// The lots a kitchen usually opens: saved once, opened with one command.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/house_rules.hpp>
#include <holdwarden/records/parts.hpp>

#include <algorithm>
#include <ostream>
#include <set>

namespace holdwarden::cli {
namespace {

using Template = records::LotTemplate;

struct SaveOptions {
    StoreArguments store;
    std::string name;
    std::string food;
    std::string description;
    std::string mass;
    std::string container;
    bool from_ambient = false;
    std::string stage;
    std::string unit;
    std::string setting;
    std::vector<std::string> points;
    std::string target;
    std::string plan;
    bool end = false;
};

struct ListOptions {
    StoreArguments store;
};

struct UseOptions {
    StoreArguments store;
    std::vector<std::string> wanted;
    std::string at;
};

/// The templates in use, the latest of each name.
std::vector<Template> templates_of(const OpenStore& store) {
    std::vector<Template> all;
    for (const auto& saved : store->parts().templates()) {
        std::erase_if(all, [&](const Template& t) { return t.name == saved.facts.name; });
        all.push_back(saved.facts);
    }
    std::erase_if(all, [](const Template& t) { return t.ended; });
    return all;
}

Template template_named(const OpenStore& store, const std::string& name) {
    const std::vector<Template> all = templates_of(store);
    std::vector<std::string> names;
    for (const Template& t : all) {
        names.push_back(t.name);
    }
    return all[records::find_by_prefix("template", names, name,
                                       "save one with `template save NAME`")];
}

std::string facts_of(const Template& t, const OpenStore& store) {
    std::string text{to_name(t.food)};
    text += t.mass ? ", " + records::to_text(*t.mass) : "";
    text += t.container.empty() ? "" : ", in " + t.container;
    text += t.made_from_ambient ? ", made from room-temperature ingredients" : "";
    if (t.stage) {
        text += ", " + std::string{to_name(*t.stage)};
    }
    for (const auto& unit : store->units()) {
        text += t.unit == unit.id ? " in " + unit.facts.name : "";
    }
    text += t.setting ? ", set to " + to_text(*t.setting) : "";
    for (std::size_t i = 0; i < t.points.size(); ++i) {
        text += (i == 0 ? "; read at " : ", ") + t.points[i].name;
        for (const auto& probe : store->probes()) {
            text += t.points[i].probe == probe.id ? " (" + probe.facts.name + ")" : "";
        }
    }
    if (t.target) {
        text += "; best at " + to_text(t.target->low) + " to " + to_text(t.target->high);
    }
    return t.plan.empty() ? text : text + "; plan: " + t.plan;
}

/// "core" or "core=p1": a point, and the thermometer that stays in it.
Template::Point point_of(const std::string& text, const OpenStore& store) {
    const auto equals = text.find('=');
    Template::Point point{.name = text.substr(0, equals), .probe = {}};
    if (equals != std::string::npos) {
        point.probe = records::probe_named(*store, text.substr(equals + 1)).id;
    }
    return point;
}

/// "140F..150F".
Template::Target target_of(const std::string& text, const OpenStore& store) {
    const auto dots = text.find("..");
    if (dots == std::string::npos) {
        throw Error{ErrorKind::usage,
                    {.what = "--target '" + for_display(text, 60) + "' is no band",
                     .where = "",
                     .fix = "write it like 140F..150F"}};
    }
    return {.low = store.temperature(text.substr(0, dots), "--target"),
            .high = store.temperature(text.substr(dots + 2), "--target")};
}

int run_save(const SaveOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    Template t{.name = o.name};
    if (o.end) {
        t = template_named(store, o.name);
        t.ended = true;
        store->parts().save(t, store.stamp());
        context.out << "Template " << t.name << ": no longer used.\n";
        return kDone;
    }
    t.food = o.food.empty() ? FoodKind::other_tcs : food_word(o.food, "--food");
    t.description = o.description;
    t.container = o.container;
    t.made_from_ambient = o.from_ambient;
    t.plan = o.plan;
    try {
        t.mass = o.mass.empty() ? std::nullopt : std::optional{records::parse_mass(o.mass)};
    } catch (const Error& error) {
        throw error.at("--mass");
    }
    if (!o.stage.empty()) {
        t.stage = stage_named(o.stage);
        if (!t.stage) {
            throw Error{ErrorKind::usage,
                        {.what = "--stage '" + for_display(o.stage, 60) + "' is no stage",
                         .where = "",
                         .fix = "give one that `holdwarden codes` lists"}};
        }
    } else if (!(o.unit + o.setting).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "--unit and --setting belong to a stage",
                     .where = "",
                     .fix = "add --stage, or leave them out"}};
    }
    if (!o.unit.empty()) {
        t.unit = records::unit_named(*store, o.unit).id;
    }
    if (!o.setting.empty()) {
        t.setting = store.temperature(o.setting, "--setting");
        records::check_plausible(*t.setting);
    }
    for (const std::string& point : o.points) {
        t.points.push_back(point_of(point, store));
    }
    if (!o.target.empty()) {
        t.target = target_of(o.target, store);
    }
    store->parts().save(t, store.stamp());
    context.out << "Template " << t.name << ": " << facts_of(t, store)
                << ". Open tonight's with: holdwarden tonight " << t.name << "=4\n";
    return kDone;
}

int run_list(const ListOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::read};
    const std::vector<Template> all = templates_of(store);
    if (all.empty()) {
        context.out << "No templates yet; save one with: holdwarden template save NAME\n";
        return kDone;
    }
    std::vector<std::vector<std::string>> rows{{"template", "what"}};
    for (const Template& t : all) {
        rows.push_back({t.name, facts_of(t, store)});
    }
    context.out << table(rows);
    return kDone;
}

/// "brisket=4": how many of which.
struct Wanted {
    std::string name;
    unsigned count = 1;
};

Wanted wanted_of(const std::string& text) {
    const auto equals = text.find('=');
    if (equals == std::string::npos) {
        return {text, 1};
    }
    const std::string count = text.substr(equals + 1);
    const bool digits = !count.empty() && count.size() <= 2 &&
                        count.find_first_not_of("0123456789") == std::string::npos;
    if (!digits || std::stoul(count) == 0) {
        throw Error{ErrorKind::usage,
                    {.what = "'" + for_display(text, 60) + "' does not say how many",
                     .where = "",
                     .fix = "write it like brisket=4, 1 to 99"}};
    }
    return {text.substr(0, equals), static_cast<unsigned>(std::stoul(count))};
}

/// Puts the thermometers that are free into the lot's points; what it did, for the answer.
std::string place_probes(const OpenStore& store, const Template& t, records::LotId lot,
                         Instant at) {
    std::string text;
    for (const Template::Point& point : t.points) {
        if (!point.probe) {
            continue;
        }
        std::string name;
        for (const auto& probe : store->probes()) {
            name = probe.id == *point.probe ? probe.facts.name : name;
        }
        if (const auto there = store->open_placement(*point.probe)) {
            text += "; " + name + " is in " + shown(*store, there->facts.target) +
                    ": place another in " + point.name;
            continue;
        }
        store->place({.probe = *point.probe,
                      .target = records::LotPoint{.lot = lot, .point = point.name},
                      .from = at},
                     store.stamp());
        text += "; " + name + " reads " + point.name;
    }
    return text;
}

int run_use(const UseOptions& o, Context& context) {
    if (o.wanted.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "no template is named",
                     .where = "",
                     .fix = "write: tonight brisket=4 beans; `template list` shows them"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    const Instant at = store.time(o.at);
    std::set<std::string> taken;
    for (const auto& lot : store->lots()) {
        taken.insert(lot.facts.name);
    }
    std::vector<std::string> lines;
    store->atomically([&] {
        for (const std::string& text : o.wanted) {
            const Wanted wanted = wanted_of(text);
            const Template t = template_named(store, wanted.name);
            std::string names;
            unsigned number = 1;
            for (unsigned i = 0; i < wanted.count; ++i) {
                while (!taken.insert(t.name + "-" + std::to_string(number)).second) {
                    ++number;
                }
                const std::string name = t.name + "-" + std::to_string(number);
                const records::LotId id = store->open_lot({.name = name,
                                                           .food = t.food,
                                                           .description = t.description,
                                                           .mass = t.mass,
                                                           .container = t.container,
                                                           .made_from_ambient = t.made_from_ambient,
                                                           .opened_at = at},
                                                          store.stamp());
                if (t.stage) {
                    store->enter_stage({.lot = id,
                                        .stage = *t.stage,
                                        .from = at,
                                        .unit = t.unit,
                                        .setting = t.setting},
                                       store.stamp());
                }
                if (t.target) {
                    store->house_rules().add(records::TargetBand{.of = id,
                                                                 .low = t.target->low,
                                                                 .high = t.target->high,
                                                                 .since = at,
                                                                 .why = "usual for " + t.name},
                                             store.stamp());
                }
                names += (i == 0 ? "" : ", ") + name + place_probes(store, t, id, at);
            }
            lines.push_back(names + ": " + facts_of(t, store));
        }
    });
    for (const std::string& line : lines) {
        context.out << line << "\n";
    }
    context.out << "Opened " << store.shown(at) << store.entered(at) << ".\n";
    return kDone;
}

} // namespace

std::vector<Command> template_commands() {
    const auto save = std::make_shared<SaveOptions>();
    const auto list = std::make_shared<ListOptions>();
    const auto use = std::make_shared<UseOptions>();
    return {
        {.name = "template save",
         .help = "Keep a usual lot, to be opened with `tonight`",
         .declare =
             [save](Arguments& arguments) {
                 arguments.need("name", save->name, "What such lots are called: brisket");
                 arguments.option("--food", save->food,
                                  "The food kind (other-tcs); holdwarden codes lists them");
                 arguments.option("--description", save->description, "What it is, in words");
                 arguments.option("--mass", save->mass, "Raw: 5.4kg, 12lb");
                 arguments.option("--container", save->container, "Paper, a 4-inch pan");
                 arguments.flag("--from-ambient", save->from_ambient,
                                "Made from room-temperature ingredients");
                 arguments.option("--stage", save->stage, "What it enters when it is opened");
                 arguments.option("--unit", save->unit, "The usual equipment for that stage");
                 arguments.option("--setting", save->setting, "What that is set to: 250F");
                 arguments.options("--point", save->points,
                                   "Where it is read, and by which thermometer if one stays in: "
                                   "core, surface=p1");
                 arguments.option("--target", save->target,
                                  "The band it is best to eat in: 140F..150F");
                 arguments.option("--plan", save->plan, "How it usually goes, in words");
                 arguments.flag("--end", save->end, "It is no longer used");
                 save->store.declare_writing(arguments);
                 arguments.example("holdwarden template save brisket --food intact-roast --stage "
                                   "cooking --point core --target 140F..150F");
             },
         .run = [save](Context& context) { return run_save(*save, context); }},
        {.name = "template list",
         .help = "List the usual lots",
         .declare =
             [list](Arguments& arguments) {
                 list->store.declare_reading(arguments);
                 arguments.example("holdwarden template list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
        {.name = "tonight",
         .help = "Open tonight's lots from their templates",
         .declare =
             [use](Arguments& arguments) {
                 arguments.rest("template", use->wanted, "NAME or NAME=HOW-MANY: brisket=4");
                 arguments.option("--at", use->at, "When (now)");
                 use->store.declare_writing(arguments);
                 arguments.example("holdwarden tonight brisket=4 beans");
             },
         .run = [use](Context& context) { return run_use(*use, context); }},
    };
}

} // namespace holdwarden::cli
