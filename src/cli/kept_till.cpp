#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/kept_till.hpp>
#include <holdwarden/records/keeping.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::cli {

using codes::RetentionRule;

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

LocalDate free_from(Instant over, int months, const Zone& zone) {
    // Months differ in length: near the day, then the first one that will do.
    constexpr int kShortest = 28;
    std::int64_t day = day_number(date_of(zone.wall(over))) + std::int64_t{kShortest} * months;
    while (months_before(start_of(date_from_day_number(day), zone), months, zone) <= over) {
        ++day;
    }
    return date_from_day_number(day);
}

TooEarly too_early(const OpenStore& store, const store::PurgePlan& plan,
                   const std::vector<RetentionRule>& binding) {
    TooEarly found;
    for (const store::PurgePlan::Lot& lot : plan.lots) {
        const RetentionRule& rule = codes::longest_for(lot.food, binding);
        if (lot.over >= months_before(store.now(), rule.months, store.zone())) {
            found.except.lots.insert(lot.id);
            found.told.push_back(fmt::format(
                "lot {} ({}), over on {}, is kept for {} months by {} ({}) and may go from {} on",
                for_display(lot.name, 60), to_name(lot.food), store.shown(lot.over), rule.months,
                rule.id, rule.clause, to_text(free_from(lot.over, rule.months, store.zone()))));
        }
    }
    // Readings are of any food: the longest rule of all is theirs.
    const RetentionRule& rule = longest(binding);
    const Instant free = months_before(store.now(), rule.months, store.zone());
    if (plan.before > free) {
        found.except.readings_from = free;
        const auto left =
            store::plan_purge(*store, plan.before, {.lots = {}, .readings_from = free});
        if (left.readings < plan.readings || left.rejects < plan.rejects) {
            found.told.push_back(
                fmt::format("logged readings from {} on are kept for {} months by {} ({})",
                            store.shown(free), rule.months, rule.id, rule.clause));
        }
    }
    return found;
}

} // namespace holdwarden::cli
