#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/answered_lots.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/sign.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <ostream>

namespace holdwarden::cli {
namespace {

using records::Role;

constexpr std::array<Role, 2> kMayVerify{Role::person_in_charge, Role::reviewer};

struct VerifyOptions {
    StoreArguments store;
    SignArguments sign;
    std::string action;
    bool wanting = false;
    std::string note;
};

records::ActionId action_number(const std::string& text) {
    std::int64_t number = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (code != std::errc{} || end != text.data() + text.size() || number <= 0) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no number of an action", for_display(text, 60)),
                     .where = "",
                     .fix = "`holdwarden flags` shows it, such as 3"}};
    }
    return records::ActionId::of(number);
}

records::StoredAction stored_action(const OpenStore& store, records::ActionId id) {
    for (const auto& lot : store->lots()) {
        for (const records::StoredAction& action : store->answers().actions(lot.id)) {
            if (action.id == id) {
                return action;
            }
        }
    }
    throw Error{ErrorKind::not_found,
                {.what = fmt::format("there is no action {}", id.value()),
                 .where = "",
                 .fix = "`holdwarden flags` shows the numbers"}};
}

/// The answer that the action belongs to. Throws when it was superseded.
FlagOf answer_with(const std::vector<AnsweredLot>& lots, const records::StoredAction& action) {
    for (const FlagOf& f : flags_in_order(lots)) {
        if (std::ranges::find(f.flag->actions, action.id, &records::StoredAction::id) !=
            f.flag->actions.end()) {
            return f;
        }
    }
    throw Error{ErrorKind::conflict,
                {.what = fmt::format("action {} was superseded by a later one", action.id.value()),
                 .where = "",
                 .fix = "`holdwarden flags` shows the one that stands"}};
}

/// Nobody accepts what is not complete: 9 CFR 417.3.
void check_complete(const FlagOf& f, const OpenStore& store) {
    judge::AnsweredFlag rest = *f.flag;
    std::erase_if(rest.missing, [](const judge::Missing& m) { return m.field == "verification"; });
    if (!rest.missing.empty()) {
        throw Error{ErrorKind::conflict,
                    {.what = "the answer is not complete: it lacks " + missing_words(rest, store),
                     .where = "flag " + f.handle(),
                     .fix = fmt::format("complete it with `holdwarden act {}`, or say what is "
                                        "wrong with --wanting --note",
                                        f.handle())}};
    }
}

/// What a sheet prints beside a verification by one who made the action; "" for two people.
std::string alone_words(const OpenStore& store, const records::StoredAction& action) {
    const std::string what = fmt::format("action {}", action.id.value());
    const std::string& by = store.stamp().by;
    std::string words = check_may_verify(store, action.facts.person, by, what);
    const std::string entered = check_may_verify(store, action.stamp.by, by, what);
    return words.empty() ? entered : words;
}

int run_verify(const VerifyOptions& o, Context& context) {
    const records::ActionId id = action_number(o.action);
    if (o.wanting && trimmed(o.note).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "an action found wanting needs a reason",
                     .where = "",
                     .fix = "say what is wrong with --note"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    const records::StoredAction action = stored_action(store, id);
    const auto lots = answered_lots(store, context, {action.facts.lot});
    const FlagOf f = answer_with(lots, action);
    const std::string alone = alone_words(store, action);
    if (!o.wanting) {
        check_complete(f, store);
    }
    if (context.in_is_terminal) { // what is signed is read before the PIN is given
        context.err << for_display(flag_words(f), 700) << "\n"
                    << for_display(action_words(action, store), 1200) << "\n";
    }
    sign(store, o.sign, fmt::format("verify action {}", id.value()), kMayVerify, context);
    store->answers().verify({.action = id, .accepted = !o.wanting, .note = o.note, .alone = alone},
                            store.stamp());
    const auto now = answered_lots(store, context, {action.facts.lot});
    const FlagOf after = answer_with(now, action);
    context.out << "Action " << id.value() << (o.wanting ? " found wanting by " : " verified by ")
                << store.stamp().by << (alone.empty() ? "" : " (" + alone + ")") << ". Flag "
                << after.handle() << " is " << state_words(*after.flag) << ".\n";
    return kDone;
}

} // namespace

std::vector<Command> verify_action_commands() {
    const auto options = std::make_shared<VerifyOptions>();
    return {{.name = "verify-action",
             .help = "Sign, as a second person, that a corrective action was done and will do",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.need("action", options->action,
                                    "The action's number, as `flags` shows it");
                     arguments.flag("--wanting", options->wanting,
                                    "It will not do: --note says why");
                     arguments.option("--note", options->note, "What was seen");
                     options->sign.declare(arguments);
                     options->store.declare_writing(arguments);
                     arguments.example("holdwarden verify-action 3 --by MT");
                 },
             .run = [options](Context& context) { return run_verify(*options, context); }}};
}

} // namespace holdwarden::cli
