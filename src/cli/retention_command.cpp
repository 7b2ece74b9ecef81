// How long records are kept, and what is purged after that.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/kept_till.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/keeping.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;
using codes::RetentionRule;

struct RetentionOptions {
    StoreArguments store;
    std::vector<std::string> rules;
    std::string format;
    std::string before;
    std::string key;
    bool yes = false;
    bool leave_kept = false;
};

std::vector<RetentionRule> all_rules(const Context& context) {
    return codes::load_retention(context.data / "schema" / "keeping" / "retention.toml");
}

/// Of the rules that count for some food, the shortest: nothing at all may go earlier.
const RetentionRule& shortest_kept(const std::vector<RetentionRule>& rules) {
    const RetentionRule* shortest = nullptr;
    for (const FoodKind food : all_foods()) {
        const RetentionRule& rule = codes::longest_for(food, rules);
        shortest = shortest == nullptr || rule.months < shortest->months ? &rule : shortest;
    }
    return *shortest;
}

/// Foods by the rule that counts for them, in the order of the foods.
std::vector<std::pair<const RetentionRule*, std::vector<FoodKind>>>
foods_by_rule(const std::vector<RetentionRule>& rules) {
    std::vector<std::pair<const RetentionRule*, std::vector<FoodKind>>> all;
    for (const FoodKind food : all_foods()) {
        const RetentionRule* rule = &codes::longest_for(food, rules);
        auto found = std::ranges::find(all, rule, [](const auto& one) { return one.first; });
        if (found == all.end()) {
            found = all.insert(all.end(), {rule, {}});
        }
        found->second.push_back(food);
    }
    return all;
}

void print_kinds(const OpenStore& store, const std::vector<RetentionRule>& bind,
                 std::ostream& out) {
    std::vector<std::vector<std::string>> rows{{"record", "months", "by", "may go if over before"}};
    const auto add = [&](std::string record, const RetentionRule& rule) {
        rows.push_back({std::move(record), std::to_string(rule.months),
                        rule.id + " (" + rule.clause + ")",
                        store.shown(months_before(store.now(), rule.months, store.zone()))});
    };
    const auto by_rule = foods_by_rule(bind);
    for (const auto& [rule, foods] : by_rule) {
        std::string names;
        for (const FoodKind food : foods) {
            names += (names.empty() ? "" : ", ") + std::string{to_name(food)};
        }
        add(by_rule.size() == 1 ? "lots: any food" : "lots: " + names, *rule);
    }
    add("logged readings, rejected rows", longest(bind));
    rows.push_back({"all else", "for good", "never purged", ""});
    out << table(rows)
        << "A lot is its stages, readings, actions, signatures and receiving; of a lot's readings "
           "the\nlonger of the two lines counts. All else: thermometer checks, reviews of a "
           "period, "
           "people, the\nsite, the day book.\n\n";
}

void print_text(const OpenStore& store, const std::vector<RetentionRule>& all,
                const std::vector<RetentionRule>& bind, Instant free, std::ostream& out) {
    const RetentionRule& rule = longest(bind);
    out << fmt::format(
        "Records are kept for up to {} months: {} ({}){}\n", rule.months, rule.title, rule.clause,
        store->keeping().choices().empty() ? ", the longest of all rules, since the site chose none"
                                           : "");
    out << fmt::format("What was over before {} may be purged, whatever it is.\n\n",
                       store.shown(free));
    print_kinds(store, bind, out);
    std::vector<std::vector<std::string>> rows{{"rule", "months", "clause", "known", "binds"}};
    for (const RetentionRule& one : all) {
        const bool binds = std::ranges::find(bind, one.id, &RetentionRule::id) != bind.end();
        rows.push_back({one.id, std::to_string(one.months), one.clause,
                        std::string{codes::to_name(one.status)}, binds ? "yes" : ""});
    }
    out << table(rows);
    for (const auto& purge : store->keeping().purges()) {
        out << fmt::format("\nPurged on {} by {}: the records of {} leaves, over before {}",
                           store.shown(purge.stamp.entered_at),
                           purge.stamp.by.empty() ? "nobody named" : for_display(purge.stamp.by),
                           purge.facts.leaves, store.shown(purge.facts.before));
    }
    out << "\nThe rules are as compiled, some from memory: your regulator's word comes first.\n";
}

Json as_json(const RetentionRule& rule, bool binds) {
    return {{"id", rule.id},
            {"title", rule.title},
            {"months", rule.months},
            {"clause", rule.clause},
            {"status", std::string{codes::to_name(rule.status)}},
            {"binds", binds}};
}

void print_json(const OpenStore& store, const std::vector<RetentionRule>& all,
                const std::vector<RetentionRule>& bind, Instant free, std::ostream& out) {
    Json rules = Json::array();
    for (const RetentionRule& one : all) {
        rules.push_back(
            as_json(one, std::ranges::find(bind, one.id, &RetentionRule::id) != bind.end()));
    }
    Json kinds = Json::array();
    for (const auto& [rule, foods] : foods_by_rule(bind)) {
        for (const FoodKind food : foods) {
            kinds.push_back({{"food", to_name(food)},
                             {"months", rule->months},
                             {"rule", rule->id},
                             {"clause", rule->clause},
                             {"purge_before", to_utc_text(months_before(store.now(), rule->months,
                                                                        store.zone()))}});
        }
    }
    Json purges = Json::array();
    for (const auto& purge : store->keeping().purges()) {
        purges.push_back({{"at", to_utc_text(purge.stamp.entered_at)},
                          {"by", purge.stamp.by},
                          {"before", to_utc_text(purge.facts.before)},
                          {"rules", purge.facts.rules},
                          {"leaves", purge.facts.leaves},
                          {"sha256", seal::hex(purge.facts.sha256)}});
    }
    const Json answer{{"format", "holdwarden-retention/1"},
                      {"chosen", !store->keeping().choices().empty()},
                      {"months", longest(bind).months},
                      {"purge_before", to_utc_text(free)},
                      {"lots", kinds},
                      {"rules", rules},
                      {"purges", purges}};
    out << answer.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
}

int run_retention(const RetentionOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const auto all = all_rules(context);
    const auto bind = binding(store, all);
    const Instant free = months_before(store.now(), longest(bind).months, store.zone());
    (json ? print_json : print_text)(store, all, bind, free, context.out);
    return kDone;
}

int run_choose(const RetentionOptions& o, Context& context) {
    const auto all = all_rules(context);
    for (const std::string& id : o.rules) {
        if (std::ranges::find(all, id, &RetentionRule::id) == all.end()) {
            std::vector<std::string> ids;
            std::ranges::transform(all, std::back_inserter(ids), &RetentionRule::id);
            throw Error{
                ErrorKind::usage,
                {.what = fmt::format("'{}' is not a rule for keeping records", for_display(id, 60)),
                 .where = "",
                 .fix = "use " + listed(ids)}};
        }
    }
    const OpenStore store{o.store, context, store::Access::write};
    store->keeping().choose({.rules = o.rules}, store.stamp());
    const RetentionRule rule = longest(binding(store, all));
    context.out << fmt::format("Records are kept for {} months: {} ({})\n", rule.months, rule.title,
                               rule.clause);
    return kDone;
}

Instant wanted_before(const RetentionOptions& o, const OpenStore& store) {
    if (o.before.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "nothing says what is purged",
                     .where = "",
                     .fix = "give --before with a date; see `holdwarden retention`"}};
    }
    const auto date = parse_date(o.before);
    return date ? start_of(*date, store.zone()) : store.time(o.before, "--before");
}

int run_purge(const RetentionOptions& o, Context& context) {
    const auto access = o.yes ? store::Access::write : store::Access::read;
    const OpenStore store{o.store, context, access};
    const Instant before = wanted_before(o, store);
    const auto bind = binding(store, all_rules(context));
    const RetentionRule& rule = shortest_kept(bind);
    const Instant free = months_before(store.now(), rule.months, store.zone());
    if (before > free) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("records from before {} are kept till they are {} months "
                                         "old ({}: {}); today that is what was over before {}",
                                         store.shown(before), rule.months, rule.id, rule.clause,
                                         store.shown(free)),
                     .where = "--before",
                     .fix = "give an earlier date"}};
    }
    store::PurgePlan plan = store::plan_purge(*store, before);
    const TooEarly early = too_early(store, plan, bind);
    if (!early.told.empty() && !o.leave_kept) {
        throw Error{
            ErrorKind::conflict,
            {.what = early.told.front() +
                     (early.told.size() > 1 ? fmt::format("; so are {} more", early.told.size() - 1)
                                            : ""),
             .where = "--before",
             .fix = "give an earlier date, or --leave-kept to purge the rest"}};
    }
    for (const std::string& kept : early.told) {
        context.out << "Left: " << kept << ".\n";
    }
    plan = store::plan_purge(*store, before, early.except);
    const std::string rules = fmt::format(
        "{}, {} months; each lot by the longest that is about its food", rule.id, rule.months);
    const std::string what = fmt::format(
        "{} lots, {} entries, {} logged readings and {} rejected rows that were over "
        "before {}",
        plan.lots.size(), plan.entries, plan.readings, plan.rejects, store.shown(before));
    if (!o.yes) {
        context.out << "Would remove " << what << ".\nNothing was removed: add --yes to do it. "
                    << "Make a copy first (`holdwarden backup`).\n";
        return kDone;
    }
    const seal::SigningKey key = seal::SigningKey::load(signing_key_file(o.key, context));
    const records::Purge made =
        store::purge(*store, before, rules, key, store.stamp(), early.except);
    context.out << fmt::format("Removed {}.\nA signed tombstone stands for their {} leaves; digest "
                               "{}\n",
                               what, made.leaves, seal::hex(made.sha256));
    return kDone;
}

} // namespace

std::vector<Command> retention_commands() {
    const auto show = std::make_shared<RetentionOptions>();
    const auto choose = std::make_shared<RetentionOptions>();
    const auto purge = std::make_shared<RetentionOptions>();
    return {
        {.name = "retention",
         .help = "How long records are kept, by which rule, and what was purged",
         .declare =
             [show](Arguments& arguments) {
                 show->store.declare_reading(arguments);
                 arguments.option("--format", show->format, "text or json");
                 arguments.example("holdwarden retention");
             },
         .run = [show](Context& context) { return run_retention(*show, context); }},
        {.name = "retention choose",
         .help = "Say which rules for keeping records bind the site",
         .declare =
             [choose](Arguments& arguments) {
                 arguments.rest("rule", choose->rules, "Rules' ids; the longest counts");
                 choose->store.declare_writing(arguments);
                 arguments.example("holdwarden retention choose food-code-rop usda-school-meals");
             },
         .run = [choose](Context& context) { return run_choose(*choose, context); }},
        {.name = "purge",
         .help = "Remove records after their time, leaving a signed tombstone",
         .declare =
             [purge](Arguments& arguments) {
                 arguments.option("--before", purge->before,
                                  "Remove what was over before this date or time");
                 arguments.flag("--yes", purge->yes, "Do it; else it only says what it would do");
                 arguments.flag("--leave-kept", purge->leave_kept,
                                "Leave what is to be kept longer, instead of refusing");
                 declare_signing_key(arguments, purge->key);
                 purge->store.declare_writing(arguments);
                 arguments.example("holdwarden purge --before 2023-01-01");
             },
         .run = [purge](Context& context) { return run_purge(*purge, context); }},
    };
}

} // namespace holdwarden::cli
