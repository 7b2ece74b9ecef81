// The end of a shift: what remains before closing, and what the next one takes
// over.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/asking.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/kitchen_day.hpp>
#include <holdwarden/cli/sign.hpp>
#include <holdwarden/records/checks.hpp>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using StoredLot = records::Recorded<records::LotId, records::Lot>;

struct CloseOptions {
    StoreArguments store;
};

struct HandoverOptions {
    StoreArguments store;
    SignArguments sign;
    bool signed_by = false;
    std::string note;
};

/// Cold food is kept over night; anything else that is still going on is asked
/// about.
bool may_stay(const std::vector<records::StageEntry>& stages) {
    if (stages.empty()) {
        return false;
    }
    const Stage stage = stages.back().stage;
    return stage == Stage::cold_holding || stage == Stage::frozen || stage == Stage::cooling ||
           stage == Stage::thawing;
}

/// "hot-holding in cabinet-1 since 19:00, last 141 °F at 05:50".
std::string standing_of(const OpenStore& store, const StoredLot& lot) {
    const records::LotHistory history = store->lot_history(lot.id, store.now());
    if (history.stages.empty()) {
        return "no stage yet, opened " + clock_of(store, lot.facts.opened_at);
    }
    const records::StageEntry& stage = history.stages.back();
    std::string text = std::string{to_name(stage.stage)} +
                       (stage.unit.empty() ? "" : " in " + stage.unit) + " since " +
                       clock_of(store, stage.from);
    const records::Reading* last = nullptr;
    for (const records::PointSeries& series : history.points) {
        for (const records::Reading& r : series.readings) {
            last = last == nullptr || r.at >= last->at ? &r : last;
        }
    }
    return text + (last == nullptr
                       ? ", never read"
                       : ", last " + to_text(last->value) + " at " + clock_of(store, last->at));
}

/// Asks what became of a lot; whether it is settled.
bool settle_lot(const OpenStore& store, const StoredLot& lot, Asking& asking, std::ostream& out) {
    const std::string answer =
        asking.line(lot.facts.name + ": " + standing_of(store, lot) +
                        "\n  s served, d discarded, c cooling, f cold-holding, k "
                        "keep as it is",
                    "k");
    if (answer == "k") {
        return false;
    }
    const std::optional<Outcome> outcome = answer == "s"   ? std::optional{Outcome::served}
                                           : answer == "d" ? std::optional{Outcome::discarded}
                                                           : std::nullopt;
    const std::optional<Stage> stage = answer == "c"   ? std::optional{Stage::cooling}
                                       : answer == "f" ? std::optional{Stage::cold_holding}
                                                       : std::nullopt;
    if (!outcome && !stage) {
        throw Error{ErrorKind::bad_input,
                    {.what = "'" + for_display(answer, 60) + "' is none of s, d, c, f and k",
                     .where = "lot '" + lot.facts.name + "'",
                     .fix = "what was answered before is entered; begin again for the rest"}};
    }
    const std::string when = asking.line("  When", "now");
    const Instant at = store.time(when == "now" ? "" : when, "the time");
    if (outcome) {
        store->end_lot(lot.id, *outcome, at, store.stamp());
    } else {
        store->enter_stage({.lot = lot.id, .stage = *stage, .from = at}, store.stamp());
    }
    out << lot.facts.name << ": " << (outcome ? to_name(*outcome) : to_name(*stage))
        << (outcome ? " at " : " from ") << store.shown(at) << store.entered(at) << ".\n";
    return true;
}

/// Lots that were served or discarded in the last day with a miss that nobody answered.
void add_unanswered(const OpenStore& store, LotJudge& judge, std::vector<std::string>& remains) {
    for (const StoredLot& lot : store->lots(records::Store::Which::all)) {
        const auto end = store->end(lot.id);
        if (!end || !ends_food(end->outcome) || store.now() - end->at > Span::hours(24)) {
            continue;
        }
        const sheets::LotRecord record = judge.record(lot.id);
        for (const judge::Flag& flag : record.judged.flags) {
            const judge::Finding& f = record.judged.findings[flag.finding];
            if (f.source == "code" && !is_answered(store, lot.id, flag.id)) {
                remains.push_back(lot.facts.name + ": " + f.requirement + " " +
                                  std::string{to_words(f.verdict)} + ", waits for an answer (" +
                                  std::string{to_name(f.stage)} + " from " +
                                  clock_of(store, f.stage_from) + "): " + f.reason);
            }
        }
    }
}

int run_close(const CloseOptions& o, Context& context) {
    Asking asking{context};
    const OpenStore store{o.store, context,
                          asking.possible() ? store::Access::write : store::Access::read};
    std::vector<std::string> remains;
    for (const StoredLot& lot : store->lots(records::Store::Which::living)) {
        if (may_stay(store->stages(lot.id)) ||
            (asking.possible() && settle_lot(store, lot, asking, context.out))) {
            continue;
        }
        remains.push_back(lot.facts.name + ": " + standing_of(store, lot) +
                          "; end it with `stage " + lot.facts.name + " served`");
    }
    if (asking.possible()) {
        const std::size_t missed = records::note_missed_checks(*store, store.stamp());
        if (missed > 0) {
            context.out << missed << " missed check" << (missed == 1 ? "" : "s")
                        << " of thermometers put on record.\n";
        }
    }
    LotJudge judge{store, context, store.now()};
    for (const DueItem& item : due_in_kitchen(store, judge)) {
        const bool late = !item.by || *item.by < store.now();
        if (item.what == "action") {
            remains.push_back(item.name + ": " + item.requirement +
                              " waits for an answer: " + item.why);
        } else if (item.what == "check" && late) {
            remains.push_back(item.name + ": its check is " + item.why);
        } else if (item.what != "check" && late) {
            remains.push_back(item.name + ": " + item.why + ", due since " +
                              clock_of(store, item.by.value_or(store.now())));
        }
    }
    add_unanswered(store, judge, remains);
    if (remains.empty()) {
        context.out << "Nothing remains: the night may be closed.\n";
        return kDone;
    }
    context.out << "Remains:\n";
    for (const std::string& line : remains) {
        context.out << "  - " << line << "\n";
    }
    return kOpen;
}

int run_handover(const HandoverOptions& o, Context& context) {
    const OpenStore store{o.store, context,
                          o.signed_by ? store::Access::write : store::Access::read};
    std::string signer;
    if (o.signed_by) {
        signer = printed_name(sign(store, o.sign, "hand over the shift", {}, context).facts);
    }
    std::ostream& out = context.out;
    out << store.site().name << ", hand-over at " << store.shown(store.now()) << "\n\n";
    LotJudge judge{store, context, store.now()};
    const auto lots = store->lots(records::Store::Which::living);
    for (const StoredLot& lot : lots) {
        out << lot.facts.name << ": " << standing_of(store, lot) << "\n    "
            << next_step(store, judge, lot.id) << "\n";
    }
    out << (lots.empty() ? "No lot is open.\n" : "");
    bool heading = false;
    for (const DueItem& item : due_in_kitchen(store, judge)) {
        if (item.what != "air" && item.what != "check" && item.what != "use-by") {
            continue; // said with the lots
        }
        out << (heading ? "" : "\n");
        heading = true;
        out << item.name << ": "
            << (item.what == "air"     ? "read its air"
                : item.what == "check" ? "check it"
                                       : "use, freeze or discard it")
            << (item.by ? " by " + clock_of(store, *item.by) : "") << "; " << item.why << "\n";
    }
    if (!o.note.empty()) {
        out << "\nNote: " << for_display(o.note, 500) << "\n";
    }
    out << "\n"
        << (signer.empty() ? "Handed over by: ____________________"
                           : "Handed over by " + signer + ", signed with a PIN at " +
                                 store.shown(store.now()) + ".")
        << "\nTaken over by:  ____________________\n";
    return kDone;
}

} // namespace

std::vector<Command> close_commands() {
    const auto close = std::make_shared<CloseOptions>();
    const auto handover = std::make_shared<HandoverOptions>();
    return {
        {.name = "close-night",
         .help = "Go through what a night leaves open, and say what remains",
         .declare =
             [close](Arguments& arguments) {
                 close->store.declare_writing(arguments);
                 arguments.example("holdwarden close-night --by RK");
             },
         .run = [close](Context& context) { return run_close(*close, context); }},
        {.name = "handover",
         .help = "Print how the kitchen stands, for who takes over",
         .declare =
             [handover](Arguments& arguments) {
                 arguments.flag("--sign", handover->signed_by, "Sign it with the PIN of --by");
                 arguments.option("--note", handover->note, "What else the next shift must know");
                 handover->sign.declare(arguments);
                 handover->store.declare_writing(arguments);
                 arguments.example("holdwarden handover --note \"walk-in door sticks\"");
             },
         .run = [handover](Context& context) { return run_handover(*handover, context); }},
    };
}

} // namespace holdwarden::cli
