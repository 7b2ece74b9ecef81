#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/zone.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace holdwarden::records {

using SignatureId = Id<struct SignatureTag>;

/// What a signature means (21 CFR 11.50(a)(3)).
enum class Meaning { made, reviewed, approved, verified, released };
std::string_view to_name(Meaning meaning) noexcept;
std::optional<Meaning> meaning_named(std::string_view name) noexcept;
std::span<const Meaning> all_meanings() noexcept;

/// A signature under a lot, or under all lots of a period, as they stood then.
struct Signature {
    std::optional<LotId> lot{}; ///< nullopt: the period [from, to)
    Instant from{};             ///< of a lot: its own beginning
    Instant to{};               ///< what happened later is not signed
    Meaning meaning = Meaning::reviewed;
    std::string name{};                    ///< in print; the stamp's
    std::array<std::uint8_t, 32> sha256{}; ///< of exactly the content signed
    std::string alone{};   ///< why nobody else than a maker signs; empty: somebody else
    std::string unready{}; ///< why a lot is released that is not ready; empty: it was ready
};
using StoredSignature = Recorded<SignatureId, Signature>;

/// By when a record is reviewed after it was made.
struct ReviewRule {
    Instant from{}; ///< holds from then on
    unsigned days = 7;
    bool working_days = true; ///< Monday to Friday; public holidays are not known
    std::string source{};     ///< "21 CFR 117.165(a)(4) (from memory)"
    friend bool operator==(const ReviewRule&, const ReviewRule&) = default;
};

/// A rule that is published.
struct NamedReviewRule {
    std::string_view name; ///< "21-cfr-117"
    unsigned days;
    bool working_days;
    std::string_view source;
    std::string_view note; ///< what else the source asks
};
std::span<const NamedReviewRule> all_review_rules() noexcept;

/// What holds at `at`: the latest from then or earlier (of two from one instant, the later entry);
/// before the first, the first; nullopt: none at all. `rules` in the order of entry.
std::optional<ReviewRule> review_rule_at(std::span<const ReviewRule> rules, Instant at);

/// The end of the local day on which a record made at `made` falls due: that many days, or working
/// days, after the day it was made.
Instant review_due(const ReviewRule& rule, Instant made, const Zone& zone);

} // namespace holdwarden::records
