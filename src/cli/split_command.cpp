// Lots that become others: split into parts, merged into one.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/asking.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::Mass;
using StoredLot = records::Recorded<records::LotId, records::Lot>;

struct SplitOptions {
    StoreArguments store;
    std::string lot;
    std::vector<std::string> parts;
    std::string of;
    std::string form;
    std::vector<std::string> losses;
    bool named = false;
    std::string at;
};

struct MergeOptions {
    StoreArguments store;
    std::vector<std::string> lots;
    std::string into;
    std::string food;
    std::string form;
    std::string unit;
    std::vector<std::string> losses;
    std::string at;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

Mass mass_of(const std::string& text, const std::string& where) {
    try {
        return records::parse_mass(text);
    } catch (const Error& error) {
        throw error.at(where);
    }
}

/// "pan=4lb:cooling": a name, how much, what is done with it. The last two may be missing.
struct Share {
    std::string name;
    std::string typed; ///< the amount, as it was
    std::optional<Mass> amount;
    std::optional<Stage> stage;
    std::optional<Outcome> outcome;
};

Share share_of(const std::string& text) {
    Share share;
    std::string rest = text;
    if (const auto colon = rest.find(':'); colon != std::string::npos) {
        const std::string word = rest.substr(colon + 1);
        share.stage = stage_named(word);
        share.outcome = outcome_named(word);
        if (!share.stage && !(share.outcome && ends_food(*share.outcome))) {
            throw wrong_usage("'" + for_display(word, 60) + "' is no stage and no end",
                              "write a part like slices=4lb:served or pan:cooling");
        }
        rest.erase(colon);
    }
    if (const auto equals = rest.find('='); equals != std::string::npos) {
        share.typed = std::string{trimmed(rest.substr(equals + 1))};
        share.amount = mass_of(share.typed, "'" + for_display(text, 60) + "'");
        rest.erase(equals);
    }
    share.name = rest;
    return share;
}

std::optional<records::PartForm> form_of(const std::string& text) {
    if (text.empty()) {
        return std::nullopt;
    }
    const auto form = records::part_form_named(text);
    if (!form) {
        throw wrong_usage("--form '" + for_display(text, 60) + "' is not known",
                          "give whole, sliced, pulled or portioned");
    }
    return form;
}

/// A roast in one piece may be held lower than one that is cut: nobody is taken to have kept it
/// whole who did not say so.
records::PartForm form_for(const std::string& text, bool roast, Context& context) {
    if (const auto form = form_of(text)) {
        return *form;
    }
    if (!roast) {
        return records::PartForm::portioned;
    }
    Asking asking{context};
    if (!asking.possible()) {
        throw Error{ErrorKind::usage,
                    {.what = "it is not said whether the roast stays in one piece",
                     .where = "",
                     .fix = "give --form whole, sliced, pulled or portioned: cutting it ends the "
                            "lower limit for roasts"}};
    }
    const std::string answer =
        asking.line("Is it w(hole), s(liced), p(ulled) or c(ut into portions)?", "s");
    return answer == "w"   ? records::PartForm::whole
           : answer == "s" ? records::PartForm::sliced
           : answer == "p" ? records::PartForm::pulled
           : answer == "c" ? records::PartForm::portioned
                           : *form_of(answer.empty() ? "?" : answer);
}

/// "trim=1lb", or "trim" for all that is left over.
std::vector<records::Loss> losses_of(const std::vector<std::string>& texts,
                                     const std::optional<Mass>& of,
                                     const std::vector<std::optional<Mass>>& parts) {
    std::vector<records::Loss> losses;
    std::vector<std::string> open;
    for (const std::string& text : texts) {
        const auto equals = text.find('=');
        if (equals == std::string::npos) {
            open.push_back(text);
        } else {
            losses.push_back({text.substr(0, equals), mass_of(text.substr(equals + 1), "--loss")});
        }
    }
    if (open.size() > 1) {
        throw wrong_usage("two losses have no amount", "give all of them but one, like trim=200g");
    }
    if (!open.empty()) {
        const auto rest = records::left_over(of, parts, losses);
        const bool all_weighed =
            std::ranges::all_of(parts, [](const auto& p) { return p.has_value(); });
        if (!rest || !all_weighed) {
            throw wrong_usage("how much the loss '" + for_display(open.front(), 60) +
                                  "' came to cannot be told",
                              "give its amount, like trim=200g, or weigh the whole (--of) and "
                              "every part");
        }
        if (rest->grams > 0) {
            losses.push_back({open.front(), *rest});
        }
    }
    return losses;
}

/// What is left over without a name is asked for on a terminal; the store refuses it otherwise.
void ask_for_loss(std::vector<records::Loss>& losses, const std::optional<Mass>& of,
                  const std::vector<std::optional<Mass>>& parts, Context& context) {
    Asking asking{context};
    const bool all_weighed =
        !parts.empty() && std::ranges::all_of(parts, [](const auto& p) { return p.has_value(); });
    if (!asking.possible() || !all_weighed) {
        return;
    }
    const auto rest = records::left_over(of, parts, losses);
    if (rest && rest->grams > 0) {
        losses.push_back({asking.line(records::to_text(*rest) + " of " + records::to_text(*of) +
                                          " is not accounted for: what was it?",
                                      "trim"),
                          *rest});
    }
}

/// " (2.722 kg)", or, as it was typed in other units, " (6lb, 2.722 kg)".
std::string amount_text(const std::optional<Mass>& amount, const std::string& typed = "") {
    if (!amount) {
        return "";
    }
    const bool other = !typed.empty() && !typed.ends_with('g');
    return " (" + (other ? typed + ", " : "") + records::to_text(*amount) + ")";
}

std::string losses_text(const std::vector<records::Loss>& losses) {
    std::string text;
    for (const records::Loss& loss : losses) {
        text += "; " + loss.name + " " + records::to_text(loss.amount);
    }
    return text;
}

bool is_roast(const OpenStore& store, const StoredLot& lot) {
    return lot.facts.food == FoodKind::intact_roast &&
           !store->lot_history(lot.id, store.now()).cut.has_value();
}

/// Probes that were in the lot have nothing to read now.
void say_lifted(const OpenStore& store, records::LotId lot, Instant at, std::ostream& out) {
    for (const auto& placement : store->placements()) {
        const auto* spot = std::get_if<records::LotPoint>(&placement.facts.target);
        if (spot == nullptr || spot->lot != lot || placement.facts.to != at) {
            continue;
        }
        for (const auto& probe : store->probes()) {
            if (probe.id == placement.facts.probe) {
                out << "Probe " << probe.facts.name << " was in it: say where it is now with "
                    << "`place " << probe.facts.name << " LOT`.\n";
            }
        }
    }
}

/// The stage a part enters. One that is running already goes on as it is: in the same equipment,
/// and held by time in the same form.
records::NewStage stage_of_part(const OpenStore& store, const StoredLot& lot, records::LotId part,
                                Stage stage, Instant at) {
    records::NewStage entered{.lot = part, .stage = stage, .from = at};
    const auto stages = store->stages(lot.id);
    if (stages.empty() || stages.back().stage != stage) {
        return entered;
    }
    const records::StageEntry& running = stages.back();
    if (!running.unit.empty()) {
        entered.unit = records::unit_named(*store, running.unit).id;
    }
    entered.setting = running.setting;
    entered.oven = running.oven;
    entered.form = running.form;
    return entered;
}

/// ", 6h form"
std::string form_text(records::TimeControlForm form) {
    return form == records::TimeControlForm::six_hours ? ", 6h form" : "";
}

int run_split(const SplitOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const StoredLot lot = records::lot_named(*store, o.lot);
    records::NewSplit split{.lot = lot.id, .at = store.time(o.at), .parts = {}};
    std::vector<Share> shares;
    std::vector<std::optional<Mass>> amounts;
    for (const std::string& text : o.parts) {
        shares.push_back(share_of(text));
        Share& share = shares.back();
        share.name = o.named ? share.name : lot.facts.name + "-" + share.name;
        split.parts.push_back({.name = share.name, .amount = share.amount});
        amounts.push_back(share.amount);
    }
    if (!o.of.empty()) {
        split.of = mass_of(o.of, "--of");
    }
    const auto of = split.of ? split.of : lot.facts.mass;
    split.form = form_for(o.form, is_roast(store, lot), context);
    split.losses = losses_of(o.losses, of, amounts);
    ask_for_loss(split.losses, of, amounts, context);
    std::vector<records::LotId> made;
    std::vector<std::string> forms(shares.size());
    store->atomically([&] {
        made = store->parts().split(split, store.stamp());
        for (std::size_t i = 0; i < made.size(); ++i) {
            if (shares[i].outcome) {
                store->end_lot(made[i], *shares[i].outcome, split.at, store.stamp());
            } else if (shares[i].stage) {
                const auto stage = stage_of_part(store, lot, made[i], *shares[i].stage, split.at);
                store->enter_stage(stage, store.stamp());
                forms[i] = form_text(stage.form);
            }
        }
    });
    const auto fate = store->parts().fate_of(lot.id);
    std::vector<std::string> names;
    for (std::size_t i = 0; i < made.size(); ++i) {
        const std::string doing =
            shares[i].stage     ? ", " + std::string{to_name(*shares[i].stage)} + forms[i]
            : shares[i].outcome ? ", " + std::string{to_name(*shares[i].outcome)}
                                : "";
        names.push_back(shares[i].name + amount_text(fate->facts.into[i].amount, shares[i].typed) +
                        doing);
    }
    context.out << lot.facts.name << ": split, " << to_name(split.form) << ", at "
                << store.shown(split.at) << " into ";
    for (std::size_t i = 0; i < names.size(); ++i) {
        context.out << (i == 0 ? "" : "; ") << names[i];
    }
    context.out << losses_text(split.losses) << store.entered(split.at) << ".\n";
    if (lot.facts.food == FoodKind::intact_roast && split.form != records::PartForm::whole) {
        context.out << "From now on the parts keep the limit of other food: the one for roasts in "
                       "one piece has ended.\n";
    }
    say_lifted(store, lot.id, split.at, context.out);
    return kDone;
}

/// What all the lots are doing, where and how; empty where they differ.
struct Common {
    std::optional<Stage> stage;
    std::string unit;
    std::optional<Temperature> setting;
    std::optional<OvenKind> oven;
    records::TimeControlForm form = records::TimeControlForm::four_hours; ///< six: all of them
};

Common common_of(const OpenStore& store, const std::vector<StoredLot>& lots) {
    Common common;
    for (std::size_t i = 0; i < lots.size(); ++i) {
        const auto stages = store->stages(lots[i].id);
        if (stages.empty()) {
            return {};
        }
        const records::StageEntry& last = stages.back();
        if (i == 0) {
            common = {last.stage, last.unit, last.setting, last.oven, last.form};
            continue;
        }
        if (common.stage != last.stage) {
            return {};
        }
        const bool one_unit = common.unit == last.unit;
        if (!one_unit) {
            common.unit.clear();
        }
        if (!one_unit || common.setting != last.setting) {
            common.setting.reset();
        }
        if (!one_unit || common.oven != last.oven) {
            common.oven.reset();
        }
        if (common.form != last.form) {
            common.form = records::TimeControlForm::four_hours;
        }
    }
    return common;
}

int run_merge(const MergeOptions& o, Context& context) {
    if (o.into.empty()) {
        throw wrong_usage("it is not said what the lots become", "give --into NAME");
    }
    const OpenStore store{o.store, context, store::Access::write};
    std::vector<StoredLot> lots;
    records::NewMerge merge{.lots = {}, .at = store.time(o.at), .into = {}};
    bool roast = !o.lots.empty();
    for (const std::string& name : o.lots) {
        const StoredLot lot = records::lot_named(*store, name);
        if (std::ranges::find(merge.lots, lot.id) != merge.lots.end()) {
            throw wrong_usage("lot '" + lot.facts.name + "' is named twice", "name it once");
        }
        merge.lots.push_back(lot.id);
        roast = roast && is_roast(store, lot);
        lots.push_back(lot);
    }
    const Share into = share_of(o.into);
    if (into.outcome) {
        throw wrong_usage("lots do not become " + std::string{to_name(*into.outcome)} + " food",
                          "merge them, then end the lot with `stage`");
    }
    merge.into = {.name = into.name, .amount = into.amount};
    const Common common = common_of(store, lots);
    const auto stage = into.stage ? into.stage : common.stage;
    if (!stage) {
        throw wrong_usage("the lots are not all in one stage",
                          "say what is done from now on, like --into " +
                              for_display(into.name, 60) + ":hot-holding");
    }
    merge.stage = *stage;
    const bool goes_on = stage == common.stage;
    const std::string unit = !o.unit.empty() ? o.unit : (goes_on ? common.unit : "");
    if (!unit.empty()) {
        merge.unit = records::unit_named(*store, unit).id;
    }
    if (goes_on) {
        merge.time_form = common.form;
    }
    if (goes_on && unit == common.unit) {
        merge.setting = common.setting;
        merge.oven = common.oven;
    }
    if (!o.food.empty()) {
        merge.food = food_word(o.food, "--food");
    }
    merge.form = form_for(o.form, roast, context);
    std::optional<Mass> all = Mass{0};
    for (const StoredLot& lot : lots) {
        all = all && lot.facts.mass ? std::optional{Mass{all->grams + lot.facts.mass->grams}}
                                    : std::nullopt;
    }
    const std::vector<std::optional<Mass>> amounts{into.amount};
    merge.losses = losses_of(o.losses, all, amounts);
    ask_for_loss(merge.losses, all, amounts, context);
    const records::LotId made = store->parts().merge(merge, store.stamp());
    std::vector<std::string> names;
    for (const StoredLot& lot : lots) {
        names.push_back(lot.facts.name);
    }
    const auto food = store->lot_history(made, store.now() + records::kClockTolerance).food;
    context.out << into.name << ": merged from " << listed(names) << " at " << store.shown(merge.at)
                << "; " << to_name(food) << amount_text(into.amount) << ", " << to_name(merge.stage)
                << form_text(merge.time_form) << (unit.empty() ? "" : " in " + unit)
                << losses_text(merge.losses) << store.entered(merge.at)
                << ". It takes the worst clock, the earliest day 1 and the most reheats of them.\n";
    for (const StoredLot& lot : lots) {
        say_lifted(store, lot.id, merge.at, context.out);
    }
    return kDone;
}

} // namespace

std::vector<Command> split_commands() {
    const auto split = std::make_shared<SplitOptions>();
    const auto merge = std::make_shared<MergeOptions>();
    return {
        {.name = "split",
         .help = "Divide a lot into parts, which carry its history on",
         .declare =
             [split](Arguments& arguments) {
                 arguments.need("lot", split->lot, "The lot, or the beginning of its name");
                 arguments.rest("part", split->parts,
                                "NAME[=AMOUNT][:STAGE], two or more: slices=4lb:served "
                                "pan=6lb:cooling; a part is called LOT-NAME");
                 arguments.option("--form", split->form,
                                  "What the parts are: whole, sliced, pulled or portioned (must "
                                  "be said of a roast in one piece)");
                 arguments.option("--of", split->of, "What was divided, weighed now: 9lb");
                 arguments.options("--loss", split->losses,
                                   "What did not come through, and how much: trim=1lb; without "
                                   "an amount, all that is left over");
                 arguments.flag("--named", split->named, "The parts' names are whole as given");
                 arguments.option("--at", split->at, "When (now)");
                 split->store.declare_writing(arguments);
                 arguments.example("holdwarden split brisket-1 slices=4lb:served pan=5lb:cooling "
                                   "--of 9.5lb --loss trim --form sliced");
             },
         .run = [split](Context& context) { return run_split(*split, context); }},
        {.name = "merge",
         .help = "Put several lots together as one, which takes the worst of them",
         .declare =
             [merge](Arguments& arguments) {
                 arguments.rest("lot", merge->lots, "The lots, two or more");
                 arguments.option("--into", merge->into,
                                  "NAME[=AMOUNT][:STAGE] of what they become (the stage they "
                                  "are all in)");
                 arguments.option("--food", merge->food,
                                  "Its food kind, if not the lots' own: other-tcs");
                 arguments.option("--form", merge->form,
                                  "whole, sliced, pulled or portioned (must be said of roasts in "
                                  "one piece)");
                 arguments.option("--unit", merge->unit, "The equipment it is in");
                 arguments.options("--loss", merge->losses,
                                   "What did not come through, and how much: tasting=200g");
                 arguments.option("--at", merge->at, "When (now)");
                 merge->store.declare_writing(arguments);
                 arguments.example("holdwarden merge beans-1 beans-2 --into beans");
             },
         .run = [merge](Context& context) { return run_merge(*merge, context); }},
    };
}

} // namespace holdwarden::cli
