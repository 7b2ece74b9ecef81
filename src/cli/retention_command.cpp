// How long records are kept, and what is purged after that.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/retention.hpp>
#include <holdwarden/records/keeping.hpp>
#include <holdwarden/store/purge.hpp>

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
};

std::vector<RetentionRule> all_rules(const Context& context) {
    return codes::load_retention(context.data / "schema" / "keeping" / "retention.toml");
}

/// The rules the site chose; all of them when it chose none.
std::vector<RetentionRule> binding(const OpenStore& store, const std::vector<RetentionRule>& all) {
    const auto choices = store->keeping().choices();
    if (choices.empty()) {
        return all;
    }
    std::vector<RetentionRule> chosen;
    for (const std::string& id : choices.back().facts.rules) {
        const auto found = std::ranges::find(all, id, &RetentionRule::id);
        if (found == all.end()) {
            throw Error{ErrorKind::not_found,
                        {.what = fmt::format("the site follows rule '{}', which this program does "
                                             "not know",
                                             for_display(id)),
                         .where = "",
                         .fix = "choose again with `holdwarden retention choose`"}};
        }
        chosen.push_back(*found);
    }
    return chosen;
}

const RetentionRule& longest(const std::vector<RetentionRule>& rules) {
    return *std::ranges::max_element(rules, {}, &RetentionRule::months);
}

/// The begin of the day that many calendar months before `now`; the month's last day where it has
/// no such day.
Instant months_before(Instant now, int months, const Zone& zone) {
    LocalDate date = date_of(zone.wall(now));
    const int month = date.year * 12 + static_cast<int>(date.month) - 1 - months;
    date.year = month / 12;
    date.month = static_cast<unsigned>(month % 12) + 1;
    while (date.day > 28 && date_from_day_number(day_number(date)) != date) {
        --date.day;
    }
    return start_of(date, zone);
}

void print_text(const OpenStore& store, const std::vector<RetentionRule>& all,
                const std::vector<RetentionRule>& bind, Instant free, std::ostream& out) {
    const RetentionRule& rule = longest(bind);
    out << fmt::format(
        "Records are kept for {} months: {} ({}){}\n", rule.months, rule.title, rule.clause,
        store->keeping().choices().empty() ? ", the longest of all rules, since the site chose none"
                                           : "");
    out << fmt::format("What was over before {} may be purged.\n\n", store.shown(free));
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
    const RetentionRule rule = longest(binding(store, all_rules(context)));
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
    const std::string rules = fmt::format("{}, {} months", rule.id, rule.months);
    const store::PurgePlan plan = store::plan_purge(*store, before);
    const std::string what =
        fmt::format("{} lots, {} entries, {} logged readings and {} rejected rows that were over "
                    "before {}",
                    plan.lots, plan.entries, plan.readings, plan.rejects, store.shown(before));
    if (!o.yes) {
        context.out << "Would remove " << what << ".\nNothing was removed: add --yes to do it. "
                    << "Make a copy first (`holdwarden backup`).\n";
        return kDone;
    }
    const seal::SigningKey key = seal::SigningKey::load(signing_key_file(o.key, context));
    const records::Purge made = store::purge(*store, before, rules, key, store.stamp());
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
                 declare_signing_key(arguments, purge->key);
                 purge->store.declare_writing(arguments);
                 arguments.example("holdwarden purge --before 2023-01-01");
             },
         .run = [purge](Context& context) { return run_purge(*purge, context); }},
    };
}

} // namespace holdwarden::cli
