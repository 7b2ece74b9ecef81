#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/packs.hpp>

#include <algorithm>
#include <cassert>
#include <iterator>

namespace holdwarden::cli {
namespace {

/// Every instant at which something began or ceased to hold, ascending, each once; first the
/// beginning of time, from which the store's first setting holds.
std::vector<Instant> changes(const records::Store& store) {
    std::vector<Instant> at{Instant::from_unix_ms(INT64_MIN)};
    const std::vector<records::SiteSetting> settings = store.settings();
    for (std::size_t i = 1; i < settings.size(); ++i) {
        at.push_back(settings[i].from);
    }
    for (const auto& limit : store.house_rules().limits()) {
        at.push_back(limit.set.facts.since);
        if (limit.withdrawn) {
            at.push_back(limit.withdrawn->from);
        }
    }
    std::ranges::sort(at);
    at.erase(std::unique(at.begin(), at.end()), at.end());
    return at;
}

using SetLimit = records::Dated<records::HouseLimitId, records::HouseLimit>;

/// Of `limits`, the one that codes::in_force took: of those from one instant, the last entered.
records::HouseLimitId id_of(const codes::HouseLimit& taken, const std::vector<SetLimit>& limits,
                            Instant at) {
    const auto found = std::find_if(limits.rbegin(), limits.rend(), [&](const SetLimit& limit) {
        return limit.holds_at(at) && limit.set.facts.requirement == taken.requirement &&
               limit.set.facts.since == taken.since;
    });
    assert(found != limits.rend());
    return found->set.id;
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
                         .house = codes::in_force(house, from),
                         .house_ids = {}};
        for (const codes::HouseLimit& limit : one.house) {
            one.house_ids.push_back(id_of(limit, limits, from));
        }
        one.largest_interval = held.largest_interval.value_or(one.largest_interval);
        rules.push_back(std::move(one));
    }
    return rules;
}

const AdoptedRules& rules_at(const std::vector<AdoptedRules>& rules, Instant at) {
    const auto after = std::ranges::upper_bound(rules, at, {}, &AdoptedRules::from);
    return after == rules.begin() ? rules.front() : *std::prev(after);
}

std::vector<InForce> in_force(const std::vector<AdoptedRules>& rules, records::HouseLimitId limit) {
    std::vector<InForce> stretches;
    std::string requirement; // while it holds
    for (const AdoptedRules& one : rules) {
        const auto here = std::ranges::find(one.house_ids, limit);
        const bool holds = here != one.house_ids.end();
        if (holds && requirement.empty()) {
            requirement =
                one.house[static_cast<std::size_t>(here - one.house_ids.begin())].requirement;
            stretches.push_back({.from = one.from});
        } else if (!holds && !requirement.empty()) {
            stretches.back().until = one.from;
            for (std::size_t i = 0; i < one.house.size(); ++i) {
                const codes::HouseLimit& other = one.house[i];
                // One that stands again because this one was withdrawn did not replace it.
                if (other.requirement == requirement && other.since == one.from) {
                    stretches.back().replaced_by = one.house_ids[i];
                }
            }
            requirement.clear();
        }
    }
    return stretches;
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
