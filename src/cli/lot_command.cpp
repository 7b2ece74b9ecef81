#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/day_book.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

struct OpenOptions {
    StoreArguments store;
    std::string name;
    std::string food;
    std::string description;
    std::string mass;
    std::string thickness;
    std::string container;
    bool from_ambient = false;
    std::string made_on;
    std::string at;
};

struct ListOptions {
    StoreArguments store;
    bool all = false;
    std::string format;
};

struct ShowOptions {
    StoreArguments store;
    std::string lot;
    std::string format;
};

template <class Parse>
auto maybe(const std::string& text, const char* option, const Parse& parse)
    -> std::optional<decltype(parse(text))> {
    if (text.empty()) {
        return std::nullopt;
    }
    try {
        return parse(text);
    } catch (const Error& error) {
        throw error.at(option);
    }
}

LocalDate date_argument(const std::string& text) {
    const auto date = parse_date(text);
    if (!date) {
        throw Error{ErrorKind::bad_input,
                    {.what = "date '" + for_display(text, 60) + "' cannot be read",
                     .where = "",
                     .fix = "write it like 2026-10-31"}};
    }
    return *date;
}

/// "intact-roast, 5.2 kg, 63.5 mm thick, in paper". A mass that was typed in pounds or ounces is
/// echoed as typed too.
std::string facts_text(const records::Lot& lot, const std::string& mass_as_typed = "") {
    std::string text{to_name(lot.food)};
    if (lot.mass) {
        text += ", " + records::to_text(*lot.mass);
        if (!mass_as_typed.empty() && !mass_as_typed.ends_with('g')) {
            text += " (" + std::string{trimmed(mass_as_typed)} + ")";
        }
    }
    if (lot.thickness) {
        text += ", " + records::to_text(*lot.thickness) + " thick";
    }
    if (!lot.container.empty()) {
        text += ", in " + lot.container;
    }
    if (lot.made_from_ambient) {
        text += ", made from room-temperature ingredients";
    }
    if (lot.made_on) {
        text += ", made on " + to_text(*lot.made_on);
    }
    return text;
}

int run_open(const OpenOptions& o, Context& context) {
    records::Lot lot{.name = o.name,
                     .food = o.food.empty() ? FoodKind::other_tcs : food_word(o.food, "--food"),
                     .description = o.description,
                     .mass = maybe(o.mass, "--mass", records::parse_mass),
                     .thickness = maybe(o.thickness, "--thickness", records::parse_length),
                     .container = o.container,
                     .made_from_ambient = o.from_ambient,
                     .made_on = maybe(o.made_on, "--made-on", date_argument)};
    const OpenStore store{o.store, context, store::Access::write};
    lot.opened_at = store.time(o.at);
    store->open_lot(lot, store.stamp());
    context.out << "Lot " << lot.name << ": " << facts_text(lot, o.mass) << "; opened "
                << store.shown(lot.opened_at) << store.entered(lot.opened_at) << ".\n";
    return kDone;
}

Json time_json(Instant at, const Zone& zone) {
    return to_rfc3339(at, zone);
}

Json temperature_json(const std::optional<Temperature>& value) {
    return value ? Json{{"value", value->degrees()}, {"scale", std::string{letter(value->scale())}}}
                 : Json{};
}

/// What a lot is doing: its end, its last stage, or nothing yet.
struct Standing {
    std::string what;
    std::optional<Instant> since;
    std::string unit;
};

Standing standing_of(const records::Store& store, records::LotId lot) {
    if (const auto end = store.end(lot)) {
        return {std::string{to_name(end->outcome)}, end->at, ""};
    }
    const auto stages = store.stages(lot);
    if (stages.empty()) {
        return {"no stage yet", std::nullopt, ""};
    }
    return {std::string{to_name(stages.back().stage)}, stages.back().from, stages.back().unit};
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const auto lots =
        store->lots(o.all ? records::Store::Which::all : records::Store::Which::living);
    Json all = Json::array();
    std::vector<std::vector<std::string>> rows{{"lot", "food", "now", "since", "unit", ""}};
    for (const auto& lot : lots) {
        const Standing now = standing_of(*store, lot.id);
        if (json) {
            all.push_back({{"lot", lot.facts.name},
                           {"food", to_name(lot.facts.food)},
                           {"description", lot.facts.description},
                           {"opened", time_json(lot.facts.opened_at, store.zone())},
                           {"now", now.what},
                           {"since", now.since ? time_json(*now.since, store.zone()) : Json{}},
                           {"unit", now.unit}});
        } else {
            rows.push_back({lot.facts.name, std::string{to_name(lot.facts.food)}, now.what,
                            now.since ? store.shown(*now.since) : "-", now.unit,
                            lot.facts.description});
        }
    }
    if (json) {
        context.out << Json{{"format", "holdwarden-lots/1"}, {"lots", all}}.dump(2) << "\n";
    } else if (lots.empty()) {
        context.out << (o.all ? "No lots yet; open one with: holdwarden lot open NAME\n"
                              : "No lot is open; see those that ended with: holdwarden lot list "
                                "--all\n");
    } else {
        context.out << table(rows);
    }
    return kDone;
}

/// First, last, lowest and highest of a series, and how many.
struct SeriesInShort {
    std::size_t count = 0;
    Instant first;
    Instant last;
    Temperature lowest = Temperature::of_thousandths(0, Scale::celsius);
    Temperature highest = Temperature::of_thousandths(0, Scale::celsius);
};

SeriesInShort in_short(const std::vector<records::Reading>& readings) {
    SeriesInShort all;
    all.count = readings.size();
    if (readings.empty()) {
        return all;
    }
    all.first = readings.front().at;
    all.last = readings.back().at;
    const auto [low, high] =
        std::minmax_element(readings.begin(), readings.end(), [](const auto& a, const auto& b) {
            return physical_order(a.value, b.value) < 0;
        });
    all.lowest = low->value;
    all.highest = high->value;
    return all;
}

std::string stage_text(const records::StageEntry& stage, const OpenStore& store) {
    std::string text = store.shown(stage.from) + "  " + std::string{to_name(stage.stage)};
    if (!stage.unit.empty()) {
        text += " in " + stage.unit;
    }
    if (stage.setting) {
        text += ", set to " + to_text(*stage.setting);
    }
    if (stage.oven) {
        text += ", " + std::string{to_name(*stage.oven)};
    }
    if (stage.form == records::TimeControlForm::six_hours) {
        text += ", six-hour form";
    }
    return stage.by.empty() ? text : text + " (" + stage.by + ")";
}

std::string name_of(const records::Store& store, records::LotId id) {
    for (const auto& lot : store.lots()) {
        if (lot.id == id) {
            return lot.facts.name;
        }
    }
    return "?";
}

/// One line for how a lot came to be or what became of it: "split 18:00, sliced: from brisket-1".
std::string parting_text(const records::Parting& parting,
                         const std::vector<records::Parting::Share>& others, const char* word,
                         const OpenStore& store) {
    std::string text = store.shown(parting.at) + "  " +
                       (parting.kind == records::Parting::Kind::split ? "split" : "merged") + ", " +
                       std::string{to_name(parting.form)} + ", " + word + " ";
    for (std::size_t i = 0; i < others.size(); ++i) {
        text += (i == 0 ? "" : "; ") + name_of(*store, others[i].lot) +
                (others[i].amount ? " (" + records::to_text(*others[i].amount) + ")" : "");
    }
    for (const records::Loss& loss : parting.losses) {
        text += "; " + loss.name + " " + records::to_text(loss.amount);
    }
    return text;
}

void show_family(records::LotId lot, const OpenStore& store, std::ostream& out) {
    const auto origin = store->parts().origin_of(lot);
    const auto fate = store->parts().fate_of(lot);
    const auto from = store->parts().taken_in(lot);
    const auto to = store->parts().handed_on(lot);
    if (!origin && !fate && !from && !to) {
        return;
    }
    out << "\nfamily\n";
    if (from) {
        const records::CameFrom& f = from->from;
        out << "  " << store.shown(f.taken_in) << "  taken in from " << f.kitchen
            << ", handed on there at " << store.shown(f.handed_on) << "; file SHA-256 " << f.sha256
            << ", signed with key " << f.signer << "\n";
    }
    if (origin) {
        out << "  " << parting_text(origin->facts, origin->facts.from, "from", store) << "\n";
    }
    if (fate) {
        out << "  " << parting_text(fate->facts, fate->facts.into, "into", store) << "\n";
    }
    if (to) {
        out << "  " << store.shown(to->at) << "  handed on to " << to->kitchen << "; file SHA-256 "
            << to->sha256 << ", signed with key " << to->signer << "\n";
    }
}

Json parting_json(const std::optional<records::Recorded<records::PartingId, records::Parting>>& p,
                  const OpenStore& store) {
    if (!p) {
        return {};
    }
    const auto shares = [&](const std::vector<records::Parting::Share>& list) {
        Json all = Json::array();
        for (const auto& share : list) {
            all.push_back({{"lot", name_of(*store, share.lot)},
                           {"mass_g", share.amount ? Json(share.amount->grams) : Json{}}});
        }
        return all;
    };
    Json losses = Json::array();
    for (const records::Loss& loss : p->facts.losses) {
        losses.push_back({{"name", loss.name}, {"mass_g", loss.amount.grams}});
    }
    return {{"kind", p->facts.kind == records::Parting::Kind::split ? "split" : "merge"},
            {"at", time_json(p->facts.at, store.zone())},
            {"form", to_name(p->facts.form)},
            {"from", shares(p->facts.from)},
            {"into", shares(p->facts.into)},
            {"losses", losses},
            {"by", p->stamp.by}};
}

void show_text(const records::Recorded<records::LotId, records::Lot>& lot,
               const records::LotHistory& history, const OpenStore& store, std::ostream& out) {
    const std::string name = for_display(lot.facts.name);
    out << name << ": " << facts_text(lot.facts) << "\n";
    if (!lot.facts.description.empty()) {
        out << for_display(lot.facts.description, 2000) << "\n";
    }
    out << "opened " << store.shown(lot.facts.opened_at)
        << (lot.stamp.by.empty() ? "" : " (" + lot.stamp.by + ")") << "\n\nstages\n";
    for (const auto& stage : history.stages) {
        out << "  " << stage_text(stage, store) << "\n";
    }
    if (history.end) {
        out << "  " << store.shown(history.end->at) << "  " << to_name(history.end->outcome)
            << (history.end->by.empty() ? "" : " (" + history.end->by + ")") << "\n";
    }
    if (history.stages.empty()) {
        out << "  none yet; say: holdwarden stage " << name << " cooking\n";
    }
    std::vector<std::vector<std::string>> rows{
        {"", "readings", "first", "last", "lowest", "highest"}};
    const auto add = [&](const std::string& series, const std::vector<records::Reading>& readings) {
        const SeriesInShort s = in_short(readings);
        rows.push_back({"  " + series, std::to_string(s.count),
                        s.count ? store.shown(s.first) : "-", s.count ? store.shown(s.last) : "-",
                        s.count ? to_text(s.lowest) : "-", s.count ? to_text(s.highest) : "-"});
    };
    for (const auto& point : history.points) {
        add(point.point, point.readings);
    }
    for (const auto& air : history.air) {
        add(air.unit + ", air", air.readings);
    }
    out << "\n" << (rows.size() > 1 ? table(rows) : "no readings yet\n");
    if (const std::size_t count = store->day_book().transcribed_readings(lot.id); count > 0) {
        out << count
            << " of its readings were entered from a form filled in by pen; the paper is the "
               "original (holdwarden filled-form list)\n";
    }
    out << "\nprobes\n";
    bool any = false;
    for (const auto& placement : store->placements()) {
        const auto* spot = std::get_if<records::LotPoint>(&placement.facts.target);
        if (spot == nullptr || spot->lot != lot.id) {
            continue;
        }
        any = true;
        for (const auto& probe : store->probes()) {
            if (probe.id == placement.facts.probe) {
                out << "  " << for_display(probe.facts.name) << " in " << for_display(spot->point)
                    << " from " << store.shown(placement.facts.from)
                    << (placement.facts.to ? " to " + store.shown(*placement.facts.to) : "")
                    << "\n";
            }
        }
    }
    out << (any ? "" : "  none placed\n");
    show_family(lot.id, store, out);
    const std::size_t late = static_cast<std::size_t>(
        std::ranges::count_if(history.remarks, &records::EntryRemark::late));
    std::vector<std::string> corrected;
    const auto count = [&](std::size_t n, const char* what) {
        if (n > 0) {
            corrected.push_back(std::string{what} + " " + std::to_string(n));
        }
    };
    count(history.amendments.size(), "amendments");
    count(history.marks.size(), "marks on readings");
    count(late, "entries made late");
    if (!corrected.empty()) {
        out << "\n" << listed(corrected) << ": see `holdwarden history " << name << "`\n";
    }
}

Json series_json(const char* key, const std::string& name,
                 const std::vector<records::Reading>& readings, const Zone& zone) {
    const SeriesInShort s = in_short(readings);
    const bool any = s.count > 0;
    return {{key, name},
            {"readings", s.count},
            {"first", any ? time_json(s.first, zone) : Json{}},
            {"last", any ? time_json(s.last, zone) : Json{}},
            {"lowest", any ? temperature_json(s.lowest) : Json{}},
            {"highest", any ? temperature_json(s.highest) : Json{}}};
}

void show_json(const records::Recorded<records::LotId, records::Lot>& lot,
               const records::LotHistory& history, const OpenStore& store, std::ostream& out) {
    const records::Lot& facts = lot.facts;
    const Zone& zone = store.zone();
    Json answer{{"format", "holdwarden-lot/1"},
                {"lot", facts.name},
                {"food", to_name(facts.food)},
                {"description", facts.description},
                {"mass_g", facts.mass ? Json(facts.mass->grams) : Json{}},
                {"thickness_um", facts.thickness ? Json(facts.thickness->micrometres) : Json{}},
                {"container", facts.container},
                {"made_from_ambient", facts.made_from_ambient},
                {"made_on", facts.made_on ? Json(to_text(*facts.made_on)) : Json{}},
                {"opened", time_json(facts.opened_at, zone)},
                {"entered", time_json(lot.stamp.entered_at, zone)},
                {"by", lot.stamp.by}};
    answer["stages"] = Json::array();
    for (const auto& stage : history.stages) {
        answer["stages"].push_back(
            {{"stage", to_name(stage.stage)},
             {"from", time_json(stage.from, zone)},
             {"unit", stage.unit},
             {"setting", temperature_json(stage.setting)},
             {"oven", stage.oven ? Json(to_name(*stage.oven)) : Json{}},
             {"form", stage.form == records::TimeControlForm::six_hours ? "6h" : "4h"},
             {"by", stage.by}});
    }
    answer["end"] = history.end ? Json{{"outcome", to_name(history.end->outcome)},
                                       {"at", time_json(history.end->at, zone)},
                                       {"by", history.end->by}}
                                : Json{};
    answer["points"] = Json::array();
    for (const auto& point : history.points) {
        answer["points"].push_back(series_json("point", point.point, point.readings, zone));
    }
    answer["air"] = Json::array();
    for (const auto& air : history.air) {
        answer["air"].push_back(series_json("unit", air.unit, air.readings, zone));
    }
    answer["origin"] = parting_json(store->parts().origin_of(lot.id), store);
    answer["fate"] = parting_json(store->parts().fate_of(lot.id), store);
    answer["taken_in"] = Json{};
    if (const auto from = store->parts().taken_in(lot.id)) {
        answer["taken_in"] = {{"kitchen", from->from.kitchen},
                              {"zone", from->from.zone},
                              {"handed_on", time_json(from->from.handed_on, zone)},
                              {"at", time_json(from->from.taken_in, zone)},
                              {"sha256", from->from.sha256},
                              {"signer", from->from.signer}};
    }
    answer["handed_on"] = Json{};
    if (const auto to = store->parts().handed_on(lot.id)) {
        answer["handed_on"] = {{"kitchen", to->kitchen},
                               {"at", time_json(to->at, zone)},
                               {"sha256", to->sha256},
                               {"signer", to->signer}};
    }
    out << answer.dump(2) << "\n";
}

int run_show(const ShowOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const auto lot = records::lot_named(*store, o.lot);
    const records::LotHistory history =
        store->lot_history(lot.id, store.now() + records::kClockTolerance);
    (json ? show_json : show_text)(lot, history, store, context.out);
    return kDone;
}

} // namespace

std::vector<Command> lot_commands() {
    const auto open = std::make_shared<OpenOptions>();
    const auto list = std::make_shared<ListOptions>();
    const auto show = std::make_shared<ShowOptions>();
    return {
        {.name = "lot open",
         .help = "Begin to follow a piece, a pan or a vessel of food",
         .declare =
             [open](Arguments& arguments) {
                 arguments.need("name", open->name, "What it is called: brisket-1");
                 arguments.option("--food", open->food,
                                  "The food kind (other-tcs); holdwarden codes lists them");
                 arguments.option("--description", open->description, "What it is, in words");
                 arguments.option("--mass", open->mass, "Raw: 5.4kg, 12lb");
                 arguments.option("--thickness", open->thickness, "60mm, 2.5in");
                 arguments.option("--container", open->container, "Paper, a 4-inch pan");
                 arguments.flag("--from-ambient", open->from_ambient,
                                "Made from room-temperature ingredients");
                 arguments.option("--made-on", open->made_on,
                                  "Day 1 of date marking (else told by its stages)");
                 arguments.option("--at", open->at, "When (now)");
                 open->store.declare_writing(arguments);
                 arguments.example("holdwarden lot open brisket-1 --food intact-roast --mass 12lb");
             },
         .run = [open](Context& context) { return run_open(*open, context); }},
        {.name = "lot list",
         .help = "List the lots and what each is doing",
         .declare =
             [list](Arguments& arguments) {
                 arguments.flag("--all", list->all, "Also those that were served or discarded");
                 list->store.declare_reading(arguments);
                 arguments.option("--format", list->format, "text or json");
                 arguments.example("holdwarden lot list --all");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
        {.name = "lot show",
         .help = "Show one lot: stages, probes, readings in short",
         .declare =
             [show](Arguments& arguments) {
                 arguments.need("lot", show->lot, "The lot, or the beginning of its name");
                 show->store.declare_reading(arguments);
                 arguments.option("--format", show->format, "text or json");
                 arguments.example("holdwarden lot show brisket-1");
             },
         .run = [show](Context& context) { return run_show(*show, context); }},
    };
}

} // namespace holdwarden::cli
