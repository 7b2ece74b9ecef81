#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/checks.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// A lot that a thermometer read since its last good check, and what a failed one does to it.
struct AffectedLot {
    records::LotId lot;
    std::string name;
    std::size_t readings = 0; ///< by that thermometer since then
    Instant first{};
    Instant last{};
    judge::Verdict before = judge::Verdict::not_shown;
    judge::Verdict after = judge::Verdict::not_shown;
};

/// What a failed check casts doubt on: asked before the check is stored, answered after.
class LookBack {
public:
    /// Finds the lots and their verdicts as they are. `store` and `context` must outlive it.
    LookBack(const OpenStore& store, const Context& context, records::ProbeId probe,
             const records::ProbeCheck& check);

    /// The last good check before; nullopt: there was none.
    std::optional<Instant> since() const noexcept { return since_; }
    /// With the verdicts as they are now, after the check was stored.
    std::vector<AffectedLot> lots();

private:
    const OpenStore& store_;
    const Context& context_;
    std::optional<Instant> since_;
    std::vector<AffectedLot> lots_;
};

} // namespace holdwarden::cli
