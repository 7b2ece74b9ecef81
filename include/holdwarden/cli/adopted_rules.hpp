#pragma once

#include <holdwarden/codes/house.hpp>
#include <holdwarden/records/house_rules.hpp>
#include <holdwarden/records/store.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

/// What a site followed from an instant until the next of the list: its dated settings and house
/// limits laid over each other.
struct AdoptedRules {
    Instant from;                           ///< the first holds before that too
    std::string code;                       ///< id or path of a pack
    Span largest_interval = Span::hours(2); ///< common practice where the site says nothing
    std::vector<codes::HouseLimit> house;   ///< each requirement once
};

/// All of them, ascending, future ones included; at least one.
std::vector<AdoptedRules> adopted_rules(const records::Store& store);

/// The one of `rules` that is in force at `at`.
const AdoptedRules& rules_at(const std::vector<AdoptedRules>& rules, Instant at);

/// As the judge takes a house limit: with who set it.
codes::HouseLimit
house_limit_of(const records::Dated<records::HouseLimitId, records::HouseLimit>& limit);

/// The name of the lot or unit that has this target band.
std::string band_holder(const records::Store& store, const records::TargetBand& band);

} // namespace holdwarden::cli
