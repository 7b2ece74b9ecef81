// What waits for somebody in the kitchen, soonest first.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/kitchen_day.hpp>

#include <nlohmann/json.hpp>

#include <chrono>
#include <ostream>
#include <thread>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

struct DueOptions {
    StoreArguments store;
    std::string format;
    bool watch = false;
    std::string every;
    std::string rounds;
};

const char* words_of(const std::string& what) {
    return what == "reading"  ? "read the food"
           : what == "target" ? "be there"
           : what == "end"    ? "serve or discard"
           : what == "use-by" ? "use, freeze or discard"
           : what == "air"    ? "read the air"
           : what == "check"  ? "check the thermometer"
                              : "act";
}

std::string when_text(const OpenStore& store, const std::optional<Instant>& by) {
    if (!by) {
        return "now";
    }
    const Span left = *by - store.now();
    const Span whole = Span::minutes((left.ms() < 0 ? -left.ms() : left.ms()) / 60'000);
    return clock_of(store, *by) +
           (left.ms() < 0 ? " (" + to_text(whole) + " ago)" : " (in " + to_text(whole) + ")");
}

void print_text(const std::vector<DueItem>& items, const OpenStore& store, std::ostream& out) {
    if (items.empty()) {
        out << "Nothing is due at " << store.shown(store.now()) << ".\n";
        return;
    }
    std::vector<std::vector<std::string>> rows{{"by", "what", "where", "why"}};
    for (const DueItem& item : items) {
        rows.push_back({when_text(store, item.by), words_of(item.what),
                        item.name + (item.point.empty() ? "" : ", " + item.point),
                        (item.requirement.empty() ? "" : item.requirement + ": ") + item.why});
    }
    out << table(rows);
}

void print_json(const std::vector<DueItem>& items, const OpenStore& store, std::ostream& out) {
    Json all = Json::array();
    for (const DueItem& item : items) {
        all.push_back({{"what", item.what},
                       {"name", item.name},
                       {"by", item.by ? Json(to_rfc3339(*item.by, store.zone())) : Json{}},
                       {"late", !item.by || *item.by < store.now()},
                       {"requirement", item.requirement},
                       {"point", item.point},
                       {"why", item.why}});
    }
    out << Json{{"format", "holdwarden-due/1"},
                {"as_of", to_rfc3339(store.now(), store.zone())},
                {"due", all}}
               .dump(2)
        << "\n";
}

int one_round(const DueOptions& o, bool json, Context& context) {
    const OpenStore store{o.store, context, store::Access::read};
    LotJudge judge{store, context, store.now()};
    const std::vector<DueItem> items = due_in_kitchen(store, judge);
    (json ? print_json : print_text)(items, store, context.out);
    context.out.flush();
    return kDone;
}

int run_due(const DueOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    if (!o.watch) {
        if (!(o.every + o.rounds).empty()) {
            throw Error{ErrorKind::usage,
                        {.what = "--every and --rounds go with --watch only",
                         .where = "",
                         .fix = "add --watch, or leave them out"}};
        }
        return one_round(o, json, context);
    }
    Span every = Span::seconds(30);
    try {
        every = o.every.empty() ? every : parse_span(o.every);
    } catch (const Error& error) {
        throw error.at("--every");
    }
    if (every < Span::seconds(1) || every > Span::hours(1)) {
        throw Error{ErrorKind::bad_input,
                    {.what = "'" + for_display(o.every, 60) + "' is no time between two looks",
                     .where = "--every",
                     .fix = "give 1s to 1h, such as 30s"}};
    }
    unsigned rounds = 0; // without end
    if (!o.rounds.empty()) {
        const bool digits = o.rounds.find_first_not_of("0123456789") == std::string::npos;
        rounds = digits && o.rounds.size() < 7 ? static_cast<unsigned>(std::stoul(o.rounds)) : 0;
        if (rounds == 0) {
            throw Error{ErrorKind::bad_input,
                        {.what = "'" + for_display(o.rounds, 60) + "' is no number of rounds",
                         .where = "--rounds",
                         .fix = "give a whole number above zero"}};
        }
    }
    for (unsigned round = 0; rounds == 0 || round < rounds; ++round) {
        if (round > 0) {
            std::this_thread::sleep_for(std::chrono::milliseconds{every.ms()});
        }
        if (context.out_is_terminal && !json) {
            context.out << "\x1b[H\x1b[2J"; // from the top of an empty screen
        }
        one_round(o, json, context);
    }
    return kDone;
}

} // namespace

std::vector<Command> due_commands() {
    const auto options = std::make_shared<DueOptions>();
    return {{.name = "due",
             .help = "What waits: readings, windows that close, checks, soonest first",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.flag("--watch", options->watch, "Keep it on the screen");
                     arguments.option("--every", options->every,
                                      "With --watch: how often it looks (30s)");
                     arguments.option("--rounds", options->rounds,
                                      "With --watch: how many looks, instead of without end");
                     options->store.declare_reading(arguments);
                     arguments.option("--format", options->format, "text or json");
                     arguments.example("holdwarden due");
                 },
             .run = [options](Context& context) { return run_due(*options, context); }}};
}

} // namespace holdwarden::cli
