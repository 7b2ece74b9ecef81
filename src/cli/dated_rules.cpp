#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/dated_rules.hpp>

#include <fmt/format.h>

#include <charconv>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct WithdrawOptions {
    StoreArguments store;
    std::string number;
    std::string from;
    std::string why;
};

void declare_withdraw(const DatedRuleWords& words, WithdrawOptions& o, Arguments& arguments) {
    arguments.need("number", o.number, "Its number in " + words.word + " list");
    arguments.option("--from", o.from, "From when it no longer holds (now)");
    arguments.option("--why", o.why, "Why");
    o.store.declare_writing(arguments);
    arguments.example(words.example);
}

template <class Id>
int run_withdraw(const DatedRuleWords& words, const WithdrawOptions& o, Context& context) {
    const auto id = Id::of(number_argument(o.number, (words.word + " list").c_str()));
    const OpenStore store{o.store, context, store::Access::write};
    const records::Withdrawal withdrawal{
        .from = store.time(o.from, "--from"), .why = o.why, .by = {}};
    store->house_rules().withdraw(id, withdrawal, store.stamp());
    context.out << words.title << " " << id.value() << " no longer holds from "
                << store.shown(withdrawal.from) << store.entered(store.now()) << ".\n";
    return kDone;
}

} // namespace

void declare_list(ListOptions& options, Arguments& arguments, const char* example) {
    options.store.declare_reading(arguments);
    arguments.option("--format", options.format, "text or json");
    arguments.example(example);
}

template <class Id>
Command withdraw_command(const DatedRuleWords& words) {
    const auto options = std::make_shared<WithdrawOptions>();
    return {.name = words.word + " withdraw",
            .help = words.help,
            .declare = [=](Arguments& arguments) { declare_withdraw(words, *options, arguments); },
            .run = [=](Context& context) { return run_withdraw<Id>(words, *options, context); }};
}
template Command withdraw_command<records::HouseLimitId>(const DatedRuleWords& words);
template Command withdraw_command<records::TargetBandId>(const DatedRuleWords& words);

std::string shown(const records::HouseLimit& limit) {
    std::string text = for_display(limit.requirement, 60);
    if (limit.at) {
        text += " " + to_text(*limit.at);
    }
    if (limit.within) {
        text += (limit.at ? ", " : " ") + to_text(*limit.within);
    }
    return text;
}

std::string time_held(const OpenStore& store, Instant since,
                      const std::optional<records::Withdrawal>& withdrawn) {
    return store.shown(since) + (withdrawn ? " until " + store.shown(withdrawn->from) : "");
}

std::int64_t number_argument(const std::string& text, const char* list_command) {
    std::int64_t number = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (code != std::errc{} || end != text.data() + text.size() || number <= 0) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is not a number of the list", for_display(text, 60)),
                     .where = "",
                     .fix = fmt::format("see: holdwarden {}", list_command)}};
    }
    return number;
}

} // namespace holdwarden::cli
