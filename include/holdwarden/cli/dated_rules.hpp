#pragma once

#include <holdwarden/cli/command.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/house_rules.hpp>

#include <cstdint>
#include <string>

namespace holdwarden::cli {

/// "hot-holding 140 °F", "largest-interval 15 min": what a house limit asks.
std::string shown(const records::HouseLimit& limit);

/// "2026-11-01 06:00 -07:00", and until when, if it is withdrawn.
std::string time_held(const OpenStore& store, Instant since,
                      const std::optional<records::Withdrawal>& withdrawn);

/// The number of a list's row. Throws Error{usage}.
std::int64_t number_argument(const std::string& text, const char* list_command);

/// What lists of dated rules take.
struct ListOptions {
    StoreArguments store;
    std::string format;
};
void declare_list(ListOptions& options, Arguments& arguments, const char* example);

/// How a kind of dated rule is spoken of.
struct DatedRuleWords {
    std::string word;  ///< "house": `house withdraw`, `house list`
    std::string title; ///< "House limit"
    std::string help;
    std::string example;
};
/// `WORD withdraw NUMBER`: a rule no longer holds. `Id`: HouseLimitId or TargetBandId.
template <class Id>
Command withdraw_command(const DatedRuleWords& words);

} // namespace holdwarden::cli
