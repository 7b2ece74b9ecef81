#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/records/came_from.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/reading.hpp>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
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
    /// Where the readings were moved by what a check found: how far that may be off, plus or minus;
    /// half a step of the display it was read on. Never stored.
    std::optional<TemperatureDelta> correction_within{};
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

/// One fact of a record, as it was and as it was amended to. Times are instants, so that they can
/// be shown in the site's own; everything else is text.
struct FactChange {
    std::string field{}; ///< "value", "time", "mass", ...
    std::string was{};   ///< "193 °F"; empty: nothing was said
    std::string now{};
    std::optional<Instant> was_at{};
    std::optional<Instant> now_at{};
};

/// An amendment: what a record said before stays legible beside what it says now.
struct Amendment {
    enum class Of { reading, stage, end, lot, placement };
    Of of = Of::reading;
    std::string subject{};              ///< "core reading", "hot-holding", "hand-1 in core"
    std::string point{};                ///< of a reading: the point it is (or, voided, was) of
    std::optional<Instant> at{};        ///< when the record now says that it happened
    std::optional<Temperature> value{}; ///< of a reading: what it now says (voided: said last)
    bool voided = false;                ///< this amendment made it void
    bool stands = true;                 ///< the last amendment of its record
    std::vector<FactChange> changes{};  ///< of a voided record: what it said
    Instant made_at{};
    std::string by{};
    std::string why{};
};

/// What a person says of a reading that the record alone cannot tell.
enum class MarkKind {
    confirmed, ///< it is true: a suspect reading counts fully
    set_aside, ///< it is not of the food: leaves a gap
};

/// What a probe read at an instant.
struct Shown {
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
    friend bool operator==(const Shown&, const Shown&) noexcept = default;
};

/// A mark on readings of a lot's history.
struct ReadingMark {
    MarkKind kind = MarkKind::confirmed;
    std::int64_t id = 0;            ///< as the store numbers it
    Origin origin = Origin::logged; ///< logged: of `probe` in [from, to]; typed: at `from`
    std::uint32_t probe = 0;        ///< index into LotHistory::probes
    Instant from{};
    Instant to{};
    std::string series{};               ///< typed: the point, or the unit whose air was read
    std::optional<LotId> lot{};         ///< typed in food: the lot it was entered for
    std::optional<Temperature> value{}; ///< typed
    Instant made_at{};
    std::string by{};
    std::string why{};
    std::string verified_by{}; ///< empty: nobody yet
    std::optional<Instant> verified_at{};
    /// Logged readings of the stretch that came in after the mark was made: nobody who signed saw
    /// them, and the mark is not on them. Ascending by time.
    std::vector<Shown> came_later{};
};
struct LotHistory;
/// Whether the mark is on this reading of the point (or unit's air) `series` in `life`, which is
/// the marked history or one of its sources.
bool covers(const ReadingMark& mark, const LotHistory& life, std::string_view series,
            const Reading& reading) noexcept;

/// An entry made later than kLateAfter, or for somebody else.
struct EntryRemark {
    std::string subject{};              ///< "core reading 139 °F", "hot-holding"
    std::string point{};                ///< of a reading
    std::optional<Temperature> value{}; ///< of a reading: as first entered
    Instant happened_at{};              ///< as first entered: a late entry stays late
    Instant entered_at{};
    bool late = false;
    std::string by{};
    std::string taken_by{}; ///< who took the reading, where another person entered it
    std::string why_late{};
    std::string paper{}; ///< where the form filled in by pen is kept that it was copied from
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
    /// The stored lots whose readings stand in `points`: this one and those it was split from;
    /// empty: not told by a store.
    std::vector<LotId> told_from{};
    /// The kitchens that handed the food on before it came to this one, the first in front.
    std::vector<CameFrom> came_from{};
    // How the record came to say so.
    std::vector<Amendment> amendments{}; ///< in the order in which they were made
    std::vector<ReadingMark> marks{};    ///< in the order in which they were made: the last holds
    std::vector<EntryRemark> remarks{};  ///< by the time at which things happened
    /// The same without any amendment; null when nothing was amended.
    std::shared_ptr<const LotHistory> first_recorded{};
};

/// When the food's first stage began, whichever source it came from; nullopt: no stage at all.
std::optional<Instant> first_stage(const LotHistory& lot);

} // namespace holdwarden::records
