#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/answered_lots.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/sheet_material.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

using judge::AnswerState;
using Json = nlohmann::ordered_json;

struct FlagsOptions {
    StoreArguments store;
    std::vector<std::string> lots;
    bool all = false;
    bool open = false;
    std::string from;
    std::string to;
    std::string format;
};

std::vector<records::LotId> lots_meant(const FlagsOptions& o, const OpenStore& store) {
    std::vector<records::LotId> ids;
    for (const std::string& name : o.lots) {
        const auto lot = records::lot_named(*store, name);
        if (std::ranges::find(ids, lot.id) == ids.end()) {
            ids.push_back(lot.id);
        }
    }
    if (!ids.empty()) {
        return ids;
    }
    if (o.from.empty() && o.to.empty()) {
        return all_lots(store);
    }
    const Instant from = o.from.empty() ? Instant{} : store.time(o.from, "--from");
    return lots_between(store, from, store.time(o.to, "--to"));
}

std::string tally(const std::vector<FlagOf>& flags) {
    std::vector<std::string> parts;
    for (const AnswerState state :
         {AnswerState::unanswered, AnswerState::incomplete, AnswerState::answered,
          AnswerState::closed, AnswerState::not_raised}) {
        const auto n =
            std::ranges::count_if(flags, [&](const FlagOf& f) { return f.flag->state == state; });
        const auto late = std::ranges::count_if(
            flags, [&](const FlagOf& f) { return f.flag->state == state && f.flag->overdue; });
        if (n > 0) {
            parts.push_back(fmt::format("{} {}", n, judge::to_words(state)) +
                            (late > 0 ? fmt::format(" ({} overdue)", late) : ""));
        }
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

void print_flag(const FlagOf& f, const OpenStore& store, std::ostream& out) {
    out << "\n"
        << f.handle() << "  " << state_words(*f.flag) << "  " << for_display(flag_words(f), 700)
        << "\n";
    if (f.flag->state <= AnswerState::incomplete) {
        out << "  due " << store.shown(f.flag->due) << "\n";
    }
    const judge::Flag* raised = f.raised();
    if (f.flag->state == AnswerState::unanswered && raised != nullptr) {
        for (const std::string& act : raised->act) {
            out << "  - " << act << "\n";
        }
    }
    for (const records::StoredAction& action : f.flag->actions) {
        out << "  " << for_display(action_words(action, store), 1200) << "\n";
    }
    for (const records::StoredVerification& v : f.flag->verified) {
        out << "  action " << v.facts.action.value()
            << (v.facts.accepted ? " verified by " : " found wanting by ") << v.stamp.by << " at "
            << store.shown(v.stamp.entered_at)
            << (v.facts.alone.empty() ? "" : ", alone: " + v.facts.alone) << "\n";
    }
    if (!f.flag->missing.empty()) {
        out << "  lacks " << missing_words(*f.flag, store) << "\n";
    }
    if (f.flag->state == AnswerState::answered) {
        out << "  waits for a second person: holdwarden verify-action "
            << f.flag->actions.front().id.value() << "\n";
    } else if (f.flag->state <= AnswerState::incomplete) {
        out << "  answer it: holdwarden act " << f.handle() << "\n";
    }
}

int run_flags(const FlagsOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    if (o.all && o.open) {
        throw Error{ErrorKind::usage,
                    {.what = "--all and --open do not go together",
                     .where = "",
                     .fix = "--all lists closed flags too, --open leaves them out"}};
    }
    if (!o.lots.empty() && !(o.from + o.to).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "lots and a period do not go together",
                     .where = "",
                     .fix = "name lots, or give --from and --to"}};
    }
    const OpenStore store{o.store, context, store::Access::read};
    const auto lots = answered_lots(store, context, lots_meant(o, store));
    std::vector<FlagOf> flags = flags_in_order(lots);
    // Without a choice: what is left to do. Of lots or of a time that are named: everything.
    const bool only_open = o.open || (!o.all && o.lots.empty() && o.from.empty() && o.to.empty());
    if (only_open) {
        std::erase_if(flags, [](const FlagOf& f) { return f.flag->state >= AnswerState::closed; });
    }
    if (json) {
        Json all = Json::array();
        for (const FlagOf& f : flags) {
            all.push_back(flag_json(f, store.zone()));
        }
        context.out << Json{{"format", "holdwarden-flags/1"},
                            {"as_of", to_rfc3339(store.now(), store.zone())},
                            {"flags", all}}
                           .dump(2)
                    << "\n";
        return kDone;
    }
    if (flags.empty()) {
        context.out << (only_open ? "No flag waits for anything.\n" : "No flags.\n");
        return kDone;
    }
    context.out << (flags.size() == 1 ? "1 flag: " : fmt::format("{} flags: ", flags.size()))
                << tally(flags) << "\n";
    for (const FlagOf& f : flags) {
        print_flag(f, store, context.out);
    }
    return kDone;
}

} // namespace

std::vector<Command> flags_commands() {
    const auto options = std::make_shared<FlagsOptions>();
    return {
        {.name = "flags",
         .help = "List what the findings ask for, and how far it was answered",
         .declare =
             [options](Arguments& arguments) {
                 arguments.rest("lot", options->lots,
                                "Lots, or the beginnings of their names (every lot)");
                 arguments.flag("--all", options->all, "Also what is closed or no longer raised");
                 arguments.flag("--open", options->open,
                                "Of those lots or that time, only what is not closed");
                 arguments.option("--from", options->from, "Lots that were there after this");
                 arguments.option("--to", options->to, "Lots that were there before this (now)");
                 options->store.declare_reading(arguments);
                 arguments.option("--format", options->format, "text or json");
                 arguments.example("holdwarden flags");
                 arguments.example("holdwarden flags brisket-1");
             },
         .run = [options](Context& context) { return run_flags(*options, context); }}};
}

} // namespace holdwarden::cli
