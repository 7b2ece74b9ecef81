#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::records {

/// A house limit that another kitchen held itself to.
struct HouseLimitThere {
    std::string requirement{};
    std::optional<Temperature> at{};
    std::optional<Span> within{};
    Instant since{};
    std::string who{};
    std::string why{};
    std::string variance{};
};

/// What another kitchen followed from an instant until the next of a list; the first holds before
/// that too.
struct RulesThere {
    Instant from{};
    std::string code{};   ///< id of a code pack
    std::string title{};  ///< and its title
    std::string sha256{}; ///< of the pack's file, hexadecimal
    Span largest_interval = Span::hours(2);
    std::vector<HouseLimitThere> house{};
};

/// Where food was before it was taken in here: the kitchen as its signed file tells it.
struct CameFrom {
    std::string kitchen{};
    std::string zone{}; ///< IANA name
    Instant handed_on{};
    Instant taken_in{};
    std::string sha256{}; ///< of the file, hexadecimal
    std::string signer{}; ///< fingerprint of the key that signed it, hexadecimal
    std::vector<RulesThere> rules{};
};

} // namespace holdwarden::records
