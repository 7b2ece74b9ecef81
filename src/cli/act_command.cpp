#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/answered_lots.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>

#include <array>
#include <istream>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::Action;
using records::Disposition;

struct ActOptions {
    StoreArguments store;
    std::string flag;
    std::string of_lot;
    std::string deviation;
    std::string done;
    std::string amount;
    std::string disposition;
    std::string shown_from;
    std::string cause;
    std::string control;
    std::string prevention;
    std::string held_apart;
    std::string acceptability;
    std::string reassessment;
    std::string at;
    std::string done_by;
    std::string why;
    bool another = false;
};

std::string disposition_list() {
    std::vector<std::string> names;
    for (const Disposition d : records::all_dispositions()) {
        names.emplace_back(records::to_name(d));
    }
    return listed(names);
}

std::optional<Disposition> disposition_word(const std::string& text) {
    if (text.empty()) {
        return std::nullopt;
    }
    const auto named = records::disposition_named(text);
    if (!named) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no disposition", for_display(text, 60)),
                     .where = "--disposition",
                     .fix = "give one of " + disposition_list()}};
    }
    return named;
}

/// A question put on a terminal; "" when the answer is left for later.
struct Question {
    const char* asks;
    std::string ActOptions::*into;
    bool unforeseen_only = false;
};
constexpr std::array<Question, 9> kQuestions{{
    {"What was done with the food and the unit?", &ActOptions::done},
    {"How much of it is concerned (5.4 kg, 2 pans)?", &ActOptions::amount},
    {"What became of it (reheated, cooled-again, served, discarded, held)?",
     &ActOptions::disposition},
    {"What was the cause?", &ActOptions::cause},
    {"How is it known that things are under control again?", &ActOptions::control},
    {"What is done so that it does not come back?", &ActOptions::prevention},
    {"How is the food held apart?", &ActOptions::held_apart, true},
    {"What did the review say: may it be served?", &ActOptions::acceptability, true},
    {"What did the reassessment of the plan say?", &ActOptions::reassessment, true},
}};

/// What earlier actions said already, so that it is not asked again.
ActOptions said_by(const Action& action) {
    ActOptions said;
    said.done = action.done;
    said.amount = action.amount ? "said" : "";
    said.disposition = action.disposition && action.disposition != Disposition::held ? "said" : "";
    said.cause = action.cause;
    said.control = action.control;
    said.prevention = action.prevention;
    said.held_apart = action.held_apart;
    said.acceptability = action.acceptability;
    said.reassessment = action.reassessment;
    return said;
}

void ask(ActOptions& o, const records::StoredAction* earlier, bool planned, Context& context) {
    const ActOptions said = earlier != nullptr ? said_by(earlier->facts) : ActOptions{};
    for (const Question& q : kQuestions) {
        if (!(o.*q.into).empty() || !(said.*q.into).empty() || (q.unforeseen_only && planned)) {
            continue;
        }
        context.err << q.asks << " (empty: later)\n> " << std::flush;
        std::string line;
        if (!std::getline(context.in, line)) {
            break;
        }
        o.*q.into = std::string{trimmed(line)};
    }
    context.err << std::flush;
}

Action action_of(const ActOptions& o, const OpenStore& store, records::LotId lot,
                 const std::string& flag) {
    Action action{.lot = lot,
                  .flag = flag,
                  .deviation = o.deviation,
                  .at = o.at.empty() ? Instant{} : store.time(o.at),
                  .person = o.done_by,
                  .done = o.done,
                  .disposition = disposition_word(o.disposition),
                  .cause = o.cause,
                  .control = o.control,
                  .prevention = o.prevention,
                  .held_apart = o.held_apart,
                  .acceptability = o.acceptability,
                  .reassessment = o.reassessment,
                  .why = o.why};
    if (!o.amount.empty()) {
        try {
            action.amount = records::parse_amount(o.amount);
        } catch (const Error& error) {
            throw error.at("--amount");
        }
    }
    if (!o.shown_from.empty()) {
        action.shown_from = store.time(o.shown_from, "--shown-from");
    }
    return action;
}

/// Which flag an action answers, and the action of it that is added to, if any.
struct Meant {
    records::LotId lot = records::LotId::of(0);
    std::string flag;
    bool planned = true;
    std::optional<records::StoredAction> earlier;
};

Meant meant(const ActOptions& o, const OpenStore& store, const Context& context) {
    if (!o.deviation.empty() && o.of_lot.empty()) {
        const auto lot = records::lot_named(*store, o.flag);
        const Instant at = store.time(o.at);
        return {.lot = lot.id,
                .flag = judge::unforeseen_id(at),
                .planned = false,
                .earlier = std::nullopt};
    }
    std::vector<records::LotId> candidates = all_lots(store);
    for (const auto& lot : store->lots()) {
        if (lot.facts.name == o.flag) {
            candidates = {lot.id};
        }
    }
    const auto lots = answered_lots(store, context, candidates);
    const FlagOf f = flag_named(lots, o.flag, o.of_lot);
    Meant m{.lot = f.lot->id, .flag = f.flag->id, .planned = f.flag->planned, .earlier = {}};
    if (!o.another && !f.flag->actions.empty()) {
        m.earlier = f.flag->actions.back();
    }
    return m;
}

/// How the flag stands now that the action is in the store.
void tell(const Meant& m, records::ActionId id, const OpenStore& store, Context& context) {
    const auto lots = answered_lots(store, context, {m.lot});
    for (const FlagOf& f : flags_in_order(lots)) {
        if (f.flag->id != m.flag) {
            continue;
        }
        context.out << "Action " << id.value() << " answers " << f.handle() << ", "
                    << for_display(flag_words(f), 700) << ": " << state_words(*f.flag) << ".\n";
        if (!f.flag->missing.empty()) {
            context.out << "It still lacks " << missing_words(*f.flag, store) << ".\n";
        } else if (f.flag->state == judge::AnswerState::answered) {
            context.out << "A second person verifies it: holdwarden verify-action " << id.value()
                        << "\n";
        }
    }
}

int run_act(const ActOptions& given, Context& context) {
    disposition_word(given.disposition); // a wrong word is said before anything is asked
    const OpenStore store{given.store, context, store::Access::write};
    if (trimmed(store.stamp().by).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "nobody is named who enters this",
                     .where = "",
                     .fix = "give --by with your name or initials"}};
    }
    const Meant m = meant(given, store, context);
    ActOptions o = given;
    if (context.in_is_terminal) {
        ask(o, m.earlier ? &*m.earlier : nullptr, m.planned, context);
    }
    Action action = action_of(o, store, m.lot, m.flag);
    if (m.earlier) {
        action = records::continued(*m.earlier, action);
    } else {
        action.at = o.at.empty() ? store.now() : action.at;
        action.person = action.person.empty() ? store.stamp().by : action.person;
    }
    const records::ActionId id = store->answers().add(action, store.stamp());
    tell(m, id, store, context);
    return kDone;
}

void declare_act(ActOptions& o, Arguments& arguments) {
    arguments.need("flag", o.flag, "A flag's handle as `flags` shows it, or a lot");
    arguments.may("of-lot", o.of_lot, "Which flag of the lot: cooling-first-window");
    arguments.option("--done", o.done, "What was done with the food and the unit");
    arguments.option("--amount", o.amount, "How much of the food is concerned: 5.4kg, 2 pans");
    arguments.option("--disposition", o.disposition,
                     "What became of it: reheated, cooled-again, served, discarded or held (for "
                     "decision)");
    arguments.option("--shown-from", o.shown_from,
                     "When the stage began whose readings show it (else the one at that time)");
    arguments.option("--cause", o.cause, "Why it went wrong");
    arguments.option("--control", o.control, "How it is known that things are right again");
    arguments.option("--prevention", o.prevention, "What is done against its coming back");
    arguments.option("--deviation", o.deviation,
                     "What went wrong that no limit tells: begins a flag of its own");
    arguments.option("--held-apart", o.held_apart, "Of the unforeseen: how the food is held apart");
    arguments.option("--acceptability", o.acceptability,
                     "Of the unforeseen: the review whether it may be served");
    arguments.option("--reassessment", o.reassessment,
                     "Of the unforeseen: the reassessment of the plan");
    arguments.option("--at", o.at, "When it was done (now)");
    arguments.option("--done-by", o.done_by, "Who did it, if not the one who enters it");
    arguments.option("--why", o.why, "Why something said earlier is said otherwise now");
    arguments.flag("--another", o.another,
                   "An action of its own, for another part of the food or another time");
    o.store.declare_writing(arguments);
    arguments.example("holdwarden act brisket-1 hot-holding --done \"reheated to 165 °F\" "
                      "--amount \"2 pans\" --disposition reheated --by RK");
}

} // namespace

std::vector<Command> act_commands() {
    const auto options = std::make_shared<ActOptions>();
    return {{.name = "act",
             .help = "Answer a flag: enter the corrective action",
             .declare = [options](Arguments& arguments) { declare_act(*options, arguments); },
             .run = [options](Context& context) { return run_act(*options, context); }}};
}

} // namespace holdwarden::cli
