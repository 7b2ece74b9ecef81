#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/zone.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <optional>
#include <string_view>

namespace holdwarden::judge {

/// JCGM 106:2012: simple acceptance compares the reading itself; guarded acceptance keeps the
/// thermometer's stated accuracy away from the limit.
enum class DecisionRule { as_read, guarded };
std::string_view to_name(DecisionRule rule) noexcept;

struct Settings {
    Instant as_of;
    Span largest_interval =
        Span::hours(2); ///< between two good readings of a hold (common practice)
    DecisionRule rule = DecisionRule::as_read;
    std::optional<TemperatureDelta>
        tolerance;           ///< for guarded, where a probe states no accuracy of its own
    Zone zone = Zone::utc(); ///< local dates and times in reasons
};

/// Judges one lot's history by a pack: a pure function, no clock, no I/O. Stages and readings after
/// `as_of` are left out. Readings within a series must ascend by time (asserted). A merged lot is
/// judged once as each of its sources lived it, and takes the worst of it all.
///
/// Readings that were set aside leave a gap. Until a second person verified all of them, each
/// finding is the worse of the record with them and without them; LotJudgement::set_aside holds
/// both verdicts, also afterwards. Of an amended history, notes say where it would be judged
/// otherwise as first recorded.
LotJudgement judge_lot(const records::LotHistory& lot, const codes::Pack& pack,
                       const Settings& settings);

/// Marks readings that cannot be true of food (steps, stuck values; see suspect.hpp), in place.
/// What a person confirmed is not suspect.
void mark_suspects(records::LotHistory& lot);

/// The mark that holds for a reading of the point (or unit's air) `series`: the last one made on
/// it; null if there is none. `life`: where the reading stands, `lot` itself or one of its sources.
const records::ReadingMark* mark_on(const records::LotHistory& lot, const records::LotHistory& life,
                                    std::string_view series,
                                    const records::Reading& reading) noexcept;
const records::ReadingMark* mark_on(const records::LotHistory& lot, std::string_view series,
                                    const records::Reading& reading) noexcept;

} // namespace holdwarden::judge
