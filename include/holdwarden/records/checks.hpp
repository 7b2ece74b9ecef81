#pragma once

#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/water.hpp>
#include <holdwarden/base/zone.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/records/measures.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

class Store;

using CheckId = Id<struct CheckTag>;
using ScheduleId = Id<struct ScheduleTag>;
using MissedCheckId = Id<struct MissedCheckTag>;

/// What a thermometer is held against.
enum class CheckMethod {
    ice_point,
    boiling_point,
    reference,    ///< an instrument that is known to be right
    side_by_side, ///< another instrument, read at once: shows a difference, proves neither
};
std::string_view to_name(CheckMethod method) noexcept;
std::optional<CheckMethod> check_method_named(std::string_view name) noexcept;
std::span<const CheckMethod> all_check_methods() noexcept;

/// One check of one thermometer. All temperatures are in the scale the thermometer showed.
struct ProbeCheck {
    ProbeId probe;
    Instant at{};
    CheckMethod method = CheckMethod::ice_point;
    Temperature found = Temperature::of_thousandths(0, Scale::celsius); ///< shown, before adjusting
    Temperature expected =
        Temperature::of_thousandths(0, Scale::celsius); ///< what is true, or the other showed
    std::optional<Pressure> pressure{};                 ///< at the place: boiling point
    std::optional<Altitude> altitude{};                 ///< else this: boiling point
    std::string reference{};                            ///< the other instrument's id
    std::string certificate{};                          ///< of the reference
    std::optional<Temperature> left{};                  ///< shown after adjusting
    TemperatureDelta tolerance =
        TemperatureDelta::of_thousandths(0, Scale::celsius); ///< plus or minus, the figure included
    std::string person{};                                    ///< who made it
    std::string note{};
};

/// Shown less true: above zero reads high. The correction is its opposite.
TemperatureDelta error_found(const ProbeCheck& check) noexcept;
/// The same after adjusting; as found where nothing was adjusted.
TemperatureDelta error_left(const ProbeCheck& check) noexcept;
/// As found within the tolerance, the figure included. Side by side nothing is passed or failed:
/// false.
bool passed(const ProbeCheck& check) noexcept;
/// Whether it may be used after the check: as left within the tolerance.
bool usable_after(const ProbeCheck& check) noexcept;

/// FDA Food Code 2022, 4-203.11 (from memory; read in a state text that mirrors it): +-1 C for
/// Celsius or both scales, +-2 F for Fahrenheit alone.
TemperatureDelta usual_tolerance(Scale scale) noexcept;
/// FDA Food Code 2022, 4-204.112 (from memory; read in a state text): a display in steps coarser
/// than 2 F or 1 C.
bool too_coarse(TemperatureDelta display_step) noexcept;

inline constexpr std::int64_t kFlatBoilingUpToM = 150;
/// Where water boils, by station pressure if given, else by altitude, in `scale`, to a thousandth.
/// Throws Error{bad_input} when neither is given, or when the pressure is more than 50 hPa from
/// what the altitude lets expect: then it was reduced to sea level, as forecasts print it.
Temperature expected_boiling(const std::optional<Pressure>& pressure,
                             const std::optional<Altitude>& altitude, Scale scale);
/// The ice point: 0 C, 32 F, at any altitude.
Temperature ice_point(Scale scale) noexcept;

/// Checks what a store is about to keep: one scale, plausible values, a method's own parts there
/// and no other's. A boiling point that does not follow from pressure or altitude is refused above
/// 150 m. Throws Error{bad_input}.
void check_probe_check(const ProbeCheck& check);

/// How often a thermometer, or every one without a rule of its own, is checked: every so many days
/// or months of the site's calendar.
struct CheckSchedule {
    Instant from{};                 ///< holds from then
    std::optional<ProbeId> probe{}; ///< nullopt: every probe without a rule of its own
    std::uint16_t days = 0;
    std::uint16_t months = 0; ///< either days or months is above zero, unless it is ended
    bool ended = false;       ///< no checks are asked for any more
    std::string source{};     ///< who asks for it
};

/// A check that was due and not made by then. It is never taken back: a check made later stands
/// beside it.
struct MissedCheck {
    ProbeId probe;
    Instant due;
};

/// A part of the Store, under the Store's rules: append-only, durable when a write returns, refused
/// entries leave everything as it was.
class Checks {
public:
    Checks() = default;
    Checks(const Checks&) = delete;
    Checks& operator=(const Checks&) = delete;
    virtual ~Checks() = default;

    /// Throws what check_probe_check throws, and Error{bad_input} for a time in the future.
    virtual CheckId add(const ProbeCheck& check, const Stamp& stamp) = 0;
    /// In the order in which they were made (`at`), of one probe or of all.
    virtual std::vector<Recorded<CheckId, ProbeCheck>>
    checks(std::optional<ProbeId> probe = std::nullopt) const = 0;

    virtual ScheduleId set(const CheckSchedule& schedule, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<ScheduleId, CheckSchedule>> schedules() const = 0;

    /// Nothing is written when that due check is on record as missed already.
    virtual void note_missed(const MissedCheck& missed, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<MissedCheckId, MissedCheck>> missed() const = 0;
};

// What is due: called by `due`, by closing a night, by sheets.

/// How a thermometer stands with its checks at an instant.
struct CheckState {
    ProbeId probe;
    std::string name;
    enum class Standing {
        in_date,       ///< the last check was good and the next is not due, or none is asked for
        due_soon,      ///< the same, but due within the time asked about
        overdue,       ///< due and not made
        never_checked, ///< no check of it is on record (whether one is due or not)
        failed,        ///< the last check was not passed and it was not brought into tolerance
    } standing = Standing::never_checked;
    std::optional<Recorded<CheckId, ProbeCheck>> last{}; ///< side by side left out
    std::optional<Instant> due{};                        ///< the next, or the first that was missed
    /// Due checks that were not made, up to the instant and not yet on record as missed.
    std::vector<Instant> missed_now{};
};
std::string_view to_name(CheckState::Standing standing) noexcept;
std::string_view to_words(CheckState::Standing standing) noexcept;

/// Every probe of the store, in the order of entry. `soon`: how far ahead a due check is named.
std::vector<CheckState> check_states(const Store& store, Instant now, Span soon = Span::hours(24));

/// Writes what was due and not made up to the stamp's time, of one probe or of all. Returns how
/// many.
std::size_t note_missed_checks(Store& store, const Stamp& stamp,
                               std::optional<ProbeId> probe = std::nullopt);

/// When a probe's checks were due: the pure arithmetic behind the above. `made`: instants of checks
/// that count, ascending. The first falls due one interval after `first_use` or after the rule
/// began to hold, whichever is later; each next one interval after the last check, or after the
/// last due one that was missed.
struct DueDates {
    std::vector<Instant> missed; ///< due and not made by then, up to `now`
    std::optional<Instant> next; ///< the first after `now`
};
DueDates due_dates(std::span<const Recorded<ScheduleId, CheckSchedule>> schedules, ProbeId probe,
                   Instant first_use, std::span<const Instant> made, Instant now, const Zone& zone);

/// What a judgement needs of a probe's checks up to `as_of`: fills Probe::checks, overdue and
/// last_check.
void fill_checks(Probe& probe, ProbeId id, const Store& store, Instant as_of);

} // namespace holdwarden::records
