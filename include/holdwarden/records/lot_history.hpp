#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/reading.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::records {

/// Which form of time as a public health control a stage claims.
enum class TimeControlForm { four_hours, six_hours };

/// A lot enters a stage at `from`; it lasts until the next entry or the lot's end.
struct StageEntry {
    Stage stage = Stage::preparing;
    Instant from;
    std::string unit;                   ///< empty when not said
    std::optional<Temperature> setting; ///< what the unit was set to
    std::optional<OvenKind> oven;       ///< how the unit heats
    TimeControlForm form = TimeControlForm::four_hours;
    std::string by; ///< who entered it
};

struct LotEnd {
    Outcome outcome = Outcome::served;
    Instant at;
    std::string by;
};

/// A check of a thermometer, as far as a judgement needs it. All in the scale it showed.
struct CheckPoint {
    Instant at;
    Temperature shown_found;               ///< before it was adjusted
    Temperature truth;                     ///< what it should have shown
    std::optional<Temperature> shown_left; ///< after it was adjusted
    bool passed = false;                   ///< as found, within the tolerance of the check
    bool usable = false;                   ///< as left, within it
    std::string method;                    ///< "ice-point", ...
};

/// A stretch in which a check was due and not made: [from, to); nullopt: it still is.
struct OverdueStretch {
    Instant from;
    std::optional<Instant> to;
};

/// One thermometer or channel, as far as a judgement and a sheet need it.
struct Probe {
    std::string name;
    std::optional<TemperatureDelta> accuracy;       ///< stated: plus or minus
    std::optional<Instant> last_check;              ///< nullopt: never checked
    std::optional<TemperatureDelta> display_step{}; ///< what its last digit counts
    bool checks_kept = false;              ///< whether its checks would be on record: false for the
                                           ///< probes of a file
    std::vector<CheckPoint> checks{};      ///< ascending by time, side by side left out
    std::vector<OverdueStretch> overdue{}; ///< ascending
};

/// All readings of one point of the food, ascending by time. Two readings of one instant are a
/// conflict: both are there, neighbours.
struct PointSeries {
    std::string point; ///< "core" unless said
    std::vector<Reading> readings;
};

/// Readings of a unit's air, ascending by time.
struct AirSeries {
    std::string unit;
    std::vector<Reading> readings;
};

/// The life of one lot as the records tell it: what a judgement reads and a sheet shows.
struct LotHistory {
    std::string name;
    std::string description;
    FoodKind food = FoodKind::other_tcs;
    std::optional<std::int64_t> raw_mass_g;
    bool made_from_ambient = false;   ///< made from room-temperature ingredients
    std::optional<LocalDate> made_on; ///< day 1 of date marking; nullopt: told by the stages
    std::vector<StageEntry> stages;   ///< ascending by `from`
    std::optional<LotEnd> end;
    std::optional<Instant> closes; ///< the last stage was over then, though the lot lives on (a
                                   ///< file's end); nullopt: it runs on
    std::vector<PointSeries> points;
    std::vector<AirSeries> air;
    std::vector<Probe> probes; ///< what Reading::probe indexes

    /// From then on it was sliced, pulled or portioned: what being in one piece earned has ended.
    std::optional<Instant> cut{};
    /// The food that flowed together into this lot, each told up to then; what stands above is the
    /// lot's own life since. Their readings index the probes of this history; they have none of
    /// their own. Empty: the lot was not merged.
    std::vector<LotHistory> sources{};
};

/// When the food's first stage began, whichever source it came from; nullopt: no stage at all.
std::optional<Instant> first_stage(const LotHistory& lot);

} // namespace holdwarden::records
