#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace holdwarden::records {

using HouseLimitId = Id<struct HouseLimitTag>;
using TargetBandId = Id<struct TargetBandTag>;

/// The house's own largest interval between two readings of a hold; other names are the code's
/// requirements.
inline constexpr const char* kLargestInterval = "largest-interval";

/// A figure a site holds itself to beside the code's. At least one of `at` and `within` is given.
struct HouseLimit {
    std::string requirement{};       ///< the code's requirement, or kLargestInterval
    std::optional<Temperature> at{}; ///< nullopt: the code's
    std::optional<Span> within{};    ///< longer than nothing; nullopt: the code's
    Instant since{};                 ///< from when it holds
    std::string why{};
    std::string variance{}; ///< reference of the approved plan or variance; empty: none
};

/// Where food is best to eat: both ends belong to the band. No limit of safety.
struct TargetBand {
    std::variant<LotId, UnitId> of; ///< a lot, or whatever is held in a unit
    Temperature low = Temperature::of_thousandths(0, Scale::celsius);
    Temperature high = Temperature::of_thousandths(0, Scale::celsius); ///< of the same scale
    Instant since{};
    std::string why{};
};

/// From when something no longer holds.
struct Withdrawal {
    Instant from{};
    std::string why{};
    std::string by{}; ///< who withdrew it; told when read
};

/// A dated rule: it holds in [since, withdrawn).
template <class RuleId, class Facts>
struct Dated {
    Recorded<RuleId, Facts> set;
    std::optional<Withdrawal> withdrawn{};

    bool holds_at(Instant at) const noexcept {
        return set.facts.since <= at && (!withdrawn || at < withdrawn->from);
    }
};

/// The limits a site sets itself, its approved variances and its target bands. A part of the Store,
/// under the Store's rules: append-only, durable when a write returns, refused entries leave
/// everything as it was.
///
/// Each asks for somebody who set it (Stamp::by) and for a reason; without them, and for figures
/// that contradict themselves, it throws Error{bad_input}. Whether a figure is looser than the code
/// is not the book's matter: codes::house_requirement says so.
class HouseRules {
public:
    HouseRules() = default;
    HouseRules(const HouseRules&) = delete;
    HouseRules& operator=(const HouseRules&) = delete;
    virtual ~HouseRules() = default;

    virtual HouseLimitId add(const HouseLimit& limit, const Stamp& stamp) = 0;
    virtual TargetBandId add(const TargetBand& band, const Stamp& stamp) = 0;
    /// Throws Error{not_found}, or Error{conflict} when it is withdrawn already or did not hold
    /// yet.
    virtual void withdraw(HouseLimitId limit, const Withdrawal& withdrawal, const Stamp& stamp) = 0;
    virtual void withdraw(TargetBandId band, const Withdrawal& withdrawal, const Stamp& stamp) = 0;
    /// In the order of entry, withdrawn ones included.
    virtual std::vector<Dated<HouseLimitId, HouseLimit>> limits() const = 0;
    virtual std::vector<Dated<TargetBandId, TargetBand>> bands() const = 0;
};

} // namespace holdwarden::records
