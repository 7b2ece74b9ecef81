// A lot that goes to another kitchen as a signed file, and one that comes from there.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/asking.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/kitchen_day.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/write_file.hpp>
#include <holdwarden/judge/words.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>
#include <holdwarden/seal/file_digest.hpp>
#include <holdwarden/seal/signed_text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <ostream>

namespace holdwarden::cli {
namespace {

using StoredLot = records::Recorded<records::LotId, records::Lot>;

/// A lot of a day with every probe logged each second stays below it.
constexpr std::uint64_t kMostBytes = 32U << 20U;

struct HandOnOptions {
    StoreArguments store;
    std::string lot;
    std::string to;
    std::string out;
    std::string key;
    std::string at;
};

struct TakeInOptions {
    StoreArguments store;
    std::string file;
    std::string trust;
    std::string as;
    std::string stage;
    std::string unit;
    std::string at;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

/// What the site followed from the lot's first stage to its handing on.
std::vector<records::RulesThere> rules_since(const OpenStore& store, const Context& context,
                                             Instant first, Instant last) {
    std::vector<records::RulesThere> all;
    const auto rules = adopted_rules(*store);
    for (const AdoptedRules* one = &rules_at(rules, first);
         one != rules.data() + rules.size() && (all.empty() || one->from <= last); ++one) {
        const codes::Pack pack = load_named_pack(context, one->code);
        records::RulesThere there{.from = std::max(one->from, first),
                                  .code = pack.id,
                                  .title = pack.title,
                                  .sha256 = pack_digest(context, one->code),
                                  .largest_interval = one->largest_interval};
        for (const codes::HouseLimit& limit : one->house) {
            there.house.push_back({.requirement = limit.requirement,
                                   .at = limit.at,
                                   .within = limit.within,
                                   .since = limit.since,
                                   .who = limit.who,
                                   .why = limit.why,
                                   .variance = limit.variance});
        }
        all.push_back(std::move(there));
    }
    return all;
}

/// The lot and every lot that it came from.
std::vector<records::LotId> family_of(const OpenStore& store, records::LotId lot) {
    std::vector<records::LotId> all{lot};
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (const auto origin = store->parts().origin_of(all[i])) {
            for (const records::Parting::Share& share : origin->facts.from) {
                if (std::ranges::find(all, share.lot) == all.end()) {
                    all.push_back(share.lot);
                }
            }
        }
    }
    return all;
}

std::vector<records::PlacedThere> placements_of(const OpenStore& store, records::LotId lot) {
    const auto family = family_of(store, lot);
    std::vector<records::PlacedThere> all;
    for (const auto& placement : store->placements()) {
        const auto* spot = std::get_if<records::LotPoint>(&placement.facts.target);
        if (spot == nullptr || std::ranges::find(family, spot->lot) == family.end()) {
            continue;
        }
        for (const auto& probe : store->probes()) {
            if (probe.id == placement.facts.probe) {
                all.push_back({.probe = probe.facts.name,
                               .point = spot->point,
                               .from = placement.facts.from,
                               .to = placement.facts.to});
            }
        }
    }
    return all;
}

void add_answers(const OpenStore& store, records::LotId lot, records::HandedLot& handed) {
    std::map<std::int64_t, std::int64_t> numbers; // those of a third kitchen are below zero
    for (const records::StoredAction& action : store->answers().actions(lot)) {
        const auto number = static_cast<std::int64_t>(numbers.size()) + 1;
        numbers[action.id.value()] = number;
        records::ActionThere there{
            .id = number, .supersedes = {}, .facts = action.facts, .stamp = action.stamp};
        if (const auto& earlier = action.facts.supersedes) {
            const auto known = numbers.find(earlier->value());
            there.supersedes = known == numbers.end() ? std::nullopt : std::optional{known->second};
        }
        handed.actions.push_back(std::move(there));
    }
    for (const records::StoredVerification& v : store->answers().verifications(lot)) {
        handed.verifications.push_back({.action = numbers[v.facts.action.value()],
                                        .accepted = v.facts.accepted,
                                        .note = v.facts.note,
                                        .alone = v.facts.alone,
                                        .stamp = v.stamp});
    }
}

/// What the records say of the lot, which has ended as handed on at `at`.
records::HandedLot told(const OpenStore& store, const Context& context, const StoredLot& lot,
                        const std::string& to, Instant at) {
    records::HandedLot handed{
        .from = store.site().name, .zone = store.site().zone, .to = to, .at = at};
    handed.by = store.stamp().by;
    handed.history = store->lot_history(lot.id, at);
    handed.history.end.reset();
    const auto first = records::first_stage(handed.history);
    handed.rules = rules_since(store, context, first.value_or(at), at);
    handed.thickness_um =
        lot.facts.thickness ? std::optional{lot.facts.thickness->micrometres} : std::nullopt;
    handed.container = lot.facts.container;
    handed.placements = placements_of(store, lot.id);
    add_answers(store, lot.id, handed);
    return handed;
}

int run_hand_on(const HandOnOptions& o, Context& context) {
    const bool nobody = trimmed(o.to).empty();
    if (nobody || o.out.empty()) {
        throw wrong_usage(nobody ? "it is not said who gets the lot"
                                 : "it is not said where the file goes",
                          "write: hand-on LOT --kitchen NAME --output FILE");
    }
    records::check_text("kitchen", o.to);
    const seal::SigningKey key = seal::SigningKey::load(signing_key_file(o.key, context));
    const OpenStore store{o.store, context, store::Access::write};
    const StoredLot lot = records::lot_named(*store, o.lot);
    if (store->stages(lot.id).empty()) {
        throw Error{ErrorKind::conflict,
                    {.what = "nothing is on record of what was done to it",
                     .where = "lot '" + lot.facts.name + "'",
                     .fix = "enter its stage first, with --at where that was earlier"}};
    }
    const Instant at = store.time(o.at);
    const std::string signer = seal::hex(seal::fingerprint(key.public_key()));
    std::string file;
    std::string sha256;
    LotJudge judge{store, context, at};
    const std::string standing = next_step(store, judge, lot.id);
    bool written = false;
    const auto hand_on = [&] {
        store->end_lot(lot.id, Outcome::handed_on, at, store.stamp());
        file = seal::with_seal(records::to_text(told(store, context, lot, o.to, at)), key);
        if (file.size() > kMostBytes) {
            throw Error{ErrorKind::conflict,
                        {.what = fmt::format("its record is too long for a file that travels: {} "
                                             "bytes of {}",
                                             file.size(), kMostBytes),
                         .where = "lot '" + lot.facts.name + "'",
                         .fix = "give the other kitchen a packet instead (`packet`)"}};
        }
        // What the other kitchen could not read is not handed on.
        records::handed_lot_from_text(seal::open_seal(file).body);
        sha256 = seal::hex(seal::sha256(file));
        store->parts().hand_on(
            lot.id, {.kitchen = o.to, .at = at, .sha256 = sha256, .signer = signer}, store.stamp());
        write_file(o.out, file, IfThere::refuse);
        written = true;
    };
    try {
        store->atomically(hand_on);
    } catch (...) {
        std::error_code code; // the store has no such lot handed on, so that there is no such file
        if (written) {
            std::filesystem::remove(o.out, code);
        }
        throw;
    }
    context.out << lot.facts.name << ": handed on to " << for_display(o.to) << " at "
                << store.shown(at) << store.entered(at) << ". " << standing << "\nIts record is in "
                << for_display(o.out) << ": " << file.size() << " bytes, SHA-256 " << sha256
                << "\nSigned with key " << grouped(seal::fingerprint(key.public_key()))
                << "\nGive them the file, and the key's digits by another way (`take-in FILE "
                   "--trust DIGITS`).\n";
    return kDone;
}

/// Who signed is shown; whether that is the kitchen is for a person to say.
void settle_trust(const TakeInOptions& o, const seal::Sha256& signer, const std::string& kitchen,
                  const std::string& what, Context& context) {
    if (const auto trusted = trusted_key(o.trust, "--trust")) {
        if (*trusted != signer) {
            throw Error{ErrorKind::conflict,
                        {.what = "is signed by another key: " + grouped(signer),
                         .where = for_display(o.file),
                         .fix =
                             "ask the kitchen for its key's digits (`key show`), and do not take "
                             "the file in until they agree"}};
        }
        return;
    }
    Asking asking{context};
    if (!asking.possible()) {
        throw wrong_usage("it is not said that the key " + grouped(signer) + " is that of " +
                              for_display(kitchen),
                          "compare the digits with what that kitchen told you, then give them with "
                          "--trust");
    }
    context.err << what;
    const std::string answer = asking.line("Are these the digits that " + for_display(kitchen) +
                                           " told you? y takes it in");
    if (answer != "y" && answer != "Y") {
        throw Error{ErrorKind::conflict,
                    {.what = "was not taken in", .where = for_display(o.file), .fix = ""}};
    }
}

/// Day 1 is counted in the kitchen's own days. Where the other kitchen's was earlier, it stays.
std::optional<LocalDate> day_one_there(const records::HandedLot& handed, const OpenStore& store) {
    const auto first = records::first_stage(handed.history);
    if (handed.history.made_on || !first) {
        return handed.history.made_on;
    }
    const LocalDate there = date_of(Zone::named(handed.zone).wall(*first));
    return there < date_of(store.zone().wall(*first)) ? std::optional{there} : std::nullopt;
}

records::Lot lot_of(const records::HandedLot& handed, const OpenStore& store,
                    const std::string& name, Instant at) {
    const records::LotHistory& h = handed.history;
    return {.name = name,
            .food = h.food,
            .description = h.description,
            .mass = h.raw_mass_g ? std::optional{records::Mass{*h.raw_mass_g}} : std::nullopt,
            .thickness = handed.thickness_um ? std::optional{records::Length{*handed.thickness_um}}
                                             : std::nullopt,
            .container = handed.container,
            .made_from_ambient = h.made_from_ambient,
            .made_on = day_one_there(handed, store),
            .opened_at = at};
}

records::NewStage stage_of(const TakeInOptions& o, const records::HandedLot& handed,
                           const OpenStore& store, records::LotId lot, Instant at) {
    records::NewStage next{.lot = lot, .from = at};
    const auto& before = handed.history.stages;
    if (!o.stage.empty()) {
        const auto stage = stage_named(o.stage);
        if (!stage) {
            throw wrong_usage("--stage '" + for_display(o.stage, 60) + "' is not known",
                              "give one that `holdwarden codes` lists, such as hot-holding");
        }
        next.stage = *stage;
    } else if (before.empty()) {
        throw wrong_usage("the file does not say what is done with the food", "give --stage");
    } else {
        next.stage = before.back().stage;
    }
    if (!before.empty() && before.back().stage == next.stage) {
        next.form = before.back().form;
    }
    if (!o.unit.empty()) {
        next.unit = records::unit_named(*store, o.unit).id;
    }
    return next;
}

std::string count_words(std::size_t readings) {
    return fmt::format("{} reading{}", readings, readings == 1 ? "" : "s");
}

std::size_t readings_in(const records::LotHistory& history) {
    std::size_t count = 0;
    for (const records::PointSeries& point : history.points) {
        count += point.readings.size();
    }
    for (const records::LotHistory& source : history.sources) {
        count += readings_in(source);
    }
    return count;
}

/// Which of the packs that were followed there are not here.
void say_packs(const records::HandedLot& handed, const Context& context, std::ostream& out) {
    for (const records::RulesThere& rules : handed.rules) {
        const bool path = rules.code.find('/') != std::string::npos;
        if (path || pack_digest(context, rules.code) != rules.sha256) {
            out << "The code pack " << for_display(rules.code, 60)
                << " that was followed there is not here in those very bytes (SHA-256 "
                << rules.sha256 << "): what happened under it is not shown.\n";
        }
    }
}

int run_take_in(const TakeInOptions& o, Context& context) {
    const std::string file = seal::read_small_file(o.file, kMostBytes);
    const std::string where = for_display(o.file);
    const seal::SealedText sealed = [&] {
        try {
            return seal::open_seal(file);
        } catch (const Error& error) {
            throw error.at(where);
        }
    }();
    const records::HandedLot handed = [&] {
        try {
            return records::handed_lot_from_text(sealed.body);
        } catch (const Error& error) {
            throw error.at(where);
        }
    }();
    const seal::Sha256 signer = seal::fingerprint(sealed.key);
    const std::string sha256 = seal::hex(seal::sha256(file));
    const OpenStore store{o.store, context, store::Access::write};
    if (const auto known = store->parts().brought_by(sha256)) {
        const auto taken = store->parts().taken_in(*known);
        context.out << "That file was taken in already at " << store.shown(taken->from.taken_in)
                    << " as " << store->lot_history(*known, store.now()).name
                    << ": nothing was added.\n";
        return kDone;
    }
    records::check_not_future("the handing on", handed.at, store.now(), store.zone());
    const Instant at = o.at.empty() ? std::max(store.now(), handed.at) : store.time(o.at);
    const std::string name = o.as.empty() ? handed.history.name : o.as;
    const bool taken_name = std::ranges::any_of(
        store->lots(), [&](const StoredLot& lot) { return lot.facts.name == name; });
    if (taken_name) {
        throw Error{ErrorKind::conflict,
                    {.what = "lot '" + name + "' is in the store already",
                     .where = where,
                     .fix = "take it in under another name with --as"}};
    }
    const std::string what = fmt::format(
        "Lot {}, {}, {}, handed on by {}{} to {} at {}\nSigned with key {}\n", handed.history.name,
        to_name(handed.history.food), count_words(readings_in(handed.history)),
        for_display(handed.from), handed.by.empty() ? "" : " (" + handed.by + ")",
        for_display(handed.to), store.shown(handed.at), grouped(signer));
    settle_trust(o, signer, handed.from, what, context);
    records::LotId lot = records::LotId::of(0);
    records::NewStage stage{.lot = lot, .from = at};
    store->atomically([&] {
        lot = store->open_lot(lot_of(handed, store, name, at), store.stamp());
        store->parts().take_in({.lot = lot,
                                .from = {.kitchen = handed.from,
                                         .zone = handed.zone,
                                         .handed_on = handed.at,
                                         .taken_in = at,
                                         .sha256 = sha256,
                                         .signer = seal::hex(signer)},
                                .file = file},
                               store.stamp());
        stage = stage_of(o, handed, store, lot, at);
        store->enter_stage(stage, store.stamp());
    });
    context.out << (o.trust.empty() ? "" : what); // on a terminal it stood there before the answer
    say_packs(handed, context, context.out);
    LotJudge judge{store, context, std::max(store.now(), at)};
    context.out << name << ": taken in at " << store.shown(at) << ", " << to_name(stage.stage)
                << (o.unit.empty() ? "" : " in " + records::unit_named(*store, o.unit).facts.name)
                << store.entered(at) << ". " << next_step(store, judge, lot) << "\n";
    return kDone;
}

} // namespace

std::vector<Command> handing_commands() {
    const auto on = std::make_shared<HandOnOptions>();
    const auto in = std::make_shared<TakeInOptions>();
    return {
        {.name = "hand-on",
         .help = "Hand a lot to another kitchen, with its record as a signed file",
         .declare =
             [on](Arguments& arguments) {
                 arguments.need("lot", on->lot, "The lot, or the beginning of its name");
                 arguments.option("--kitchen", on->to, "The kitchen that gets it");
                 arguments.option("-o,--output", on->out, "The file to write; it must not exist");
                 arguments.option("--at", on->at, "When (now)");
                 declare_signing_key(arguments, on->key);
                 on->store.declare_writing(arguments);
                 arguments.example(
                     "holdwarden hand-on brisket-1 --kitchen 'Fairground tent' -o brisket-1.lot");
             },
         .run = [on](Context& context) { return run_hand_on(*on, context); }},
        {.name = "take-in",
         .help = "Take in a lot that another kitchen handed on; its clocks run on",
         .declare =
             [in](Arguments& arguments) {
                 arguments.need("file", in->file, "The file that came with it");
                 arguments.option(
                     "--trust", in->trust,
                     "The digits of the other kitchen's key, or its public key's file; "
                     "asked for on a terminal");
                 arguments.option("--as", in->as, "What it is called here (as there)");
                 arguments.option("--stage", in->stage,
                                  "What is done with it from now on (as before)");
                 arguments.option("--unit", in->unit, "In which unit");
                 arguments.option("--at", in->at, "When (now)");
                 in->store.declare_writing(arguments);
                 arguments.example("holdwarden take-in brisket-1.lot --unit cabinet-1");
             },
         .run = [in](Context& context) { return run_take_in(*in, context); }}};
}

} // namespace holdwarden::cli
