#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/packs.hpp>

#include <algorithm>
#include <iterator>

namespace holdwarden::cli {
namespace {

/// Every instant at which something began or ceased to hold, ascending, each once; at least one.
std::vector<Instant> changes(const records::Store& store) {
    std::vector<Instant> at;
    for (const records::SiteSetting& setting : store.settings()) {
        at.push_back(setting.from);
    }
    for (const auto& limit : store.house_rules().limits()) {
        at.push_back(limit.set.facts.since);
        if (limit.withdrawn) {
            at.push_back(limit.withdrawn->from);
        }
    }
    if (at.empty()) {
        at.push_back(Instant{});
    }
    std::ranges::sort(at);
    at.erase(std::unique(at.begin(), at.end()), at.end());
    return at;
}

} // namespace

std::vector<AdoptedRules> adopted_rules(const records::Store& store) {
    const auto settings = store.settings();
    const auto limits = store.house_rules().limits();
    std::vector<AdoptedRules> rules;
    for (const Instant from : changes(store)) {
        const records::SettingsInForce held = records::settings_at(settings, from);
        std::vector<codes::HouseLimit> house;
        for (const auto& limit : limits) {
            if (limit.holds_at(from)) {
                house.push_back(house_limit_of(limit));
            }
        }
        AdoptedRules one{.from = from,
                         .code = held.code.value_or(kDefaultPack),
                         .house = codes::in_force(house, from)};
        one.largest_interval = held.largest_interval.value_or(one.largest_interval);
        // House limits never reach back before their day; the first settings do.
        if (rules.empty() && !one.house.empty()) {
            AdoptedRules before = one;
            before.from = Instant::from_unix_ms(INT64_MIN);
            before.house.clear();
            rules.push_back(std::move(before));
        }
        rules.push_back(std::move(one));
    }
    return rules;
}

const AdoptedRules& rules_at(const std::vector<AdoptedRules>& rules, Instant at) {
    const auto after = std::ranges::upper_bound(rules, at, {}, &AdoptedRules::from);
    return after == rules.begin() ? rules.front() : *std::prev(after);
}

codes::HouseLimit
house_limit_of(const records::Dated<records::HouseLimitId, records::HouseLimit>& limit) {
    const records::HouseLimit& facts = limit.set.facts;
    return {.requirement = facts.requirement,
            .at = facts.at,
            .within = facts.within,
            .since = facts.since,
            .who = limit.set.stamp.by,
            .why = facts.why,
            .variance = facts.variance};
}

std::string band_holder(const records::Store& store, const records::TargetBand& band) {
    if (const auto* id = std::get_if<records::LotId>(&band.of)) {
        for (const auto& lot : store.lots()) {
            if (lot.id == *id) {
                return lot.facts.name;
            }
        }
    } else {
        for (const auto& unit : store.units()) {
            if (unit.id == std::get<records::UnitId>(band.of)) {
                return unit.facts.name;
            }
        }
    }
    return "?";
}

} // namespace holdwarden::cli
