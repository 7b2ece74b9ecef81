#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/asking.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/kitchen_day.hpp>
#include <holdwarden/cli/typed_entry.hpp>

#include <charconv>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct LogOptions {
    StoreArguments store;
    TypedArguments typed;
    std::string name;
    std::string value;
    bool air = false;
    bool sure = false;
    std::string at;
};

/// The lots that live, the one that waits soonest first.
std::vector<std::string> lots_by_need(const OpenStore& store, LotJudge& judge) {
    std::vector<std::string> names;
    const auto add = [&](const std::string& name) {
        if (std::find(names.begin(), names.end(), name) == names.end()) {
            names.push_back(name);
        }
    };
    for (const DueItem& item : due_in_kitchen(store, judge)) {
        if (item.what == "reading" || item.what == "target") {
            add(item.name);
        }
    }
    for (const auto& lot : store->lots(records::Store::Which::living)) {
        add(lot.facts.name);
    }
    return names;
}

/// A lot by its number in the list, by one key for the first, or by name.
std::string ask_lot(const OpenStore& store, const Context& context, Asking& asking,
                    std::ostream& err) {
    LotJudge judge{store, context, store.now()};
    const std::vector<std::string> names = lots_by_need(store, judge);
    if (names.empty()) {
        throw Error{
            ErrorKind::not_found,
            {.what = "no lot is open", .where = "", .fix = "open one with `lot open NAME`"}};
    }
    for (std::size_t i = 0; i < names.size(); ++i) {
        err << "  " << i + 1 << "  " << names[i] << "\n";
    }
    const std::string answer = asking.line("Which lot", "1");
    std::size_t number = 0;
    const auto [end, error] = std::from_chars(answer.data(), answer.data() + answer.size(), number);
    const bool is_number = error == std::errc{} && end == answer.data() + answer.size();
    return is_number && number >= 1 && number <= names.size() ? names[number - 1] : answer;
}

/// REC-4: a record is the value that was read, never a tick (21 CFR 117.305(b), FDA HACCP forms).
void check_is_a_value(const std::string& text) {
    static constexpr const char* kTicks[] = {"ok",   "okay", "yes",  "y",      "x",
                                             "good", "fine", "pass", "\u2713", "\u2714"};
    std::string lower;
    for (const char c : trimmed(text)) {
        lower += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    for (const char* tick : kTicks) {
        if (lower == tick) {
            throw Error{
                ErrorKind::bad_input,
                {.what = "'" + for_display(text, 60) + "' is a tick, and a tick is no temperature",
                 .where = "",
                 .fix = "write what the thermometer showed, such as 140F"}};
        }
    }
}

/// A value that looks like a slip is asked about on a terminal and refused elsewhere, unless the
/// person is sure; it is never silently taken.
void settle_doubt(const LogOptions& o, const OpenStore& store, records::TypedReading& reading,
                  Context& context) {
    Asking asking{context};
    while (!o.sure) {
        const auto doubt = doubt_about(store, reading);
        if (!doubt) {
            return;
        }
        const std::string perhaps =
            doubt->perhaps ? "; was " + to_text(*doubt->perhaps) + " meant?" : "";
        if (!asking.possible()) {
            throw Error{ErrorKind::bad_input,
                        {.what = doubt->why + perhaps,
                         .where = "lot '" + o.name + "'",
                         .fix = "give the right value, or the same again with --sure"}};
        }
        const std::string answer =
            asking.line(doubt->why + perhaps + "\n  y keeps it, or type the right value");
        if (answer == "y" || answer == "Y") {
            return;
        }
        check_is_a_value(answer);
        reading.value = store.temperature(answer, "the temperature");
    }
}

int run_log(LogOptions o, Context& context) {
    Asking asking{context};
    if (!asking.possible() && (o.name.empty() || o.value.empty())) {
        throw Error{ErrorKind::usage,
                    {.what = o.name.empty() ? "no lot and no temperature is given"
                                            : "no temperature is given",
                     .where = "",
                     .fix = "write: log LOT 140F"}};
    }
    const OpenStore store{o.store, context, store::Access::write};
    if (o.name.empty()) {
        o.name = ask_lot(store, context, asking, context.err);
    }
    const records::Target target = target_named(store, o.name, o.air, o.typed.point);
    if (o.value.empty()) {
        o.value = asking.line("What did " + shown(*store, target) + " read");
    }
    check_is_a_value(o.value);
    if (o.typed.probe.empty()) {
        o.typed.probe = usual_probe(store, context);
    }
    records::TypedReading reading =
        typed_reading(o.typed, store, target, store.time(o.at), o.value);
    settle_doubt(o, store, reading, context);
    const records::Stamp stamp = store.stamp_for(reading.at, o.store, context);
    const records::Added added = store->log(reading, stamp);
    context.out << shown(*store, target) << ": " << shown(reading, store, o.typed.probe)
                << store.entered(reading.at, stamp) << "." << remark(added);
    if (const auto* spot = std::get_if<records::LotPoint>(&target)) {
        LotJudge judge{store, context, std::max(store.now(), reading.at)};
        context.out << " " << next_step(store, judge, spot->lot);
    }
    context.out << "\n";
    return kDone;
}

} // namespace

std::vector<Command> log_commands() {
    const auto options = std::make_shared<LogOptions>();
    return {{.name = "log",
             .help = "Enter a temperature that a person read",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.may("lot", options->name,
                                   "The lot, or the beginning of its name (a unit with --air); on "
                                   "a terminal it is asked for");
                     arguments.may("temperature", options->value,
                                   "140F, 60C; a bare number is in the site's scale");
                     arguments.flag("--air", options->air,
                                    "The name is a unit's: its air was read");
                     arguments.flag("--sure", options->sure,
                                    "The value is right, however unusual it looks");
                     arguments.option("--at", options->at, "When (now)");
                     options->typed.declare(arguments);
                     options->store.declare_event(arguments);
                     arguments.example("holdwarden log brisket-1 140F --by RK");
                 },
             .run = [options](Context& context) { return run_log(*options, context); }}};
}

} // namespace holdwarden::cli
