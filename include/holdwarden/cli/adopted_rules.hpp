#pragma once

#include <holdwarden/codes/house.hpp>
#include <holdwarden/records/house_rules.hpp>
#include <holdwarden/records/store.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// What a site followed from an instant until the next of the list: its dated settings and house
/// limits laid over each other.
struct AdoptedRules {
    Instant from;                                 ///< of the first: the beginning of time
    std::string code;                             ///< id or path of a pack
    Span largest_interval = Span::hours(2);       ///< common practice where the site says nothing
    std::vector<codes::HouseLimit> house;         ///< each requirement once
    std::vector<records::HouseLimitId> house_ids; ///< of each of `house`
};

/// All of them, ascending, future ones included; at least one.
std::vector<AdoptedRules> adopted_rules(const records::Store& store);

/// The one of `rules` that is in force at `at`.
const AdoptedRules& rules_at(const std::vector<AdoptedRules>& rules, Instant at);

/// A time in which a house limit was judged.
struct InForce {
    Instant from;
    std::optional<Instant> until{};                     ///< nullopt: it still is
    std::optional<records::HouseLimitId> replaced_by{}; ///< nullopt: it was withdrawn, or still is
};

/// The times in which `limit` is in force by `rules`, ascending: none if another took its place
/// from the start, several if that one was withdrawn before it.
std::vector<InForce> in_force(const std::vector<AdoptedRules>& rules, records::HouseLimitId limit);

/// As the judge takes a house limit: with who set it.
codes::HouseLimit
house_limit_of(const records::Dated<records::HouseLimitId, records::HouseLimit>& limit);

/// The name of the lot or unit that has this target band.
std::string band_holder(const records::Store& store, const records::TargetBand& band);

} // namespace holdwarden::cli
