#pragma once

#include <holdwarden/codes/house.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::judge {

/// What a finding is called where nothing at all could be judged, the pack that was followed being
/// elsewhere.
inline constexpr std::string_view kCodeNotHere = "code-not-here";

/// What a site followed from an instant until the next of a list.
struct Adopted {
    Instant from{};                    ///< the first of a list holds before that too
    const codes::Pack* pack = nullptr; ///< must outlive the judging
    Span largest_interval = Span::hours(2);
    std::vector<codes::HouseLimit> house{}; ///< each requirement once
    /// Why `pack` only stands in for the one that was followed, which is not at hand: nothing of
    /// this stretch is then shown, whatever the stand-in says. Empty: `pack` is the one.
    std::string stands_in{};
};

/// When each stage of the lot and of the lots it was merged from began, ascending.
std::vector<Instant> stage_starts(const records::LotHistory& lot);

/// Judges each stage of a lot by what was in force when that stage began. `adopted`: at least one,
/// ascending by `from` (asserted). Settings::largest_interval is not used.
///
/// The house's limits give findings marked `source: house` with flags of their own. They set
/// `house_overall` and never the code's verdict. A house limit that the pack in force cannot take
/// (it has no such requirement for the food, or has become the stricter of the two) is not judged,
/// and a note says so.
LotJudgement judge_adopted(const records::LotHistory& lot, std::span<const Adopted> adopted,
                           const Settings& settings);

/// Where food is best to eat: both ends belong to it.
struct Band {
    Temperature low = Temperature::of_thousandths(0, Scale::celsius);
    Temperature high = Temperature::of_thousandths(0, Scale::celsius); ///< of the same scale
    std::string unit{}; ///< food held in this unit; empty: the lot wherever it is held
    Instant from{};
    std::optional<Instant> to{}; ///< nullopt: it still holds
};

/// Adds a note for each rest or hold in which a trusted reading left a band. A note on eating
/// quality: no verdict changes. `settings`: the as-of instant and the zone of the times.
void add_band_notes(LotJudgement& judgement, const records::LotHistory& lot,
                    std::span<const Band> bands, const Settings& settings);

} // namespace holdwarden::judge
