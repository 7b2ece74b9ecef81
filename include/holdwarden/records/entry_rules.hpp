#pragma once

#include <holdwarden/base/zone.hpp>
#include <holdwarden/records/store.hpp>

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

/// How far ahead of the program's clock a thing may have happened: two clocks in one kitchen differ
/// (common practice, no source).
inline constexpr Span kClockTolerance = Span::minutes(5);

/// An entry made later than this after the thing happened is late, for good. An entry is to be made
/// when the thing happens (9 CFR 417.5(b), 21 CFR 117.305(d)); the figure is common practice, no
/// source: a reading is written down on the round on which it was taken. Readings that come from an
/// instrument's log are never late: the instrument wrote them down at their time, and the import
/// tells when they were brought in.
inline constexpr Span kLateAfter = Span::minutes(15);
inline bool is_late(Instant happened_at, Instant entered_at) noexcept {
    return entered_at - happened_at > kLateAfter;
}

/// The longest name and the longest free text, in bytes.
inline constexpr std::size_t kLongestName = 64;
inline constexpr std::size_t kLongestText = 500;

// Each check returns quietly or throws Error{bad_input} or Error{conflict} with the way to mend it.
// `zone` is that of the times in the message.

/// A name of a lot, probe, unit or point ("lot", "probe", ...): 1 to 64 bytes of UTF-8 without
/// control characters, direction overrides, slashes, or a blank or hyphen at the start.
void check_name(std::string_view what, std::string_view name);
/// A person's name or initials, a description or a note: as a name, but may be empty, hold slashes
/// and be longer. Nothing but blanks is refused: it says nothing, and looks as if it did. So is a
/// required text, by whoever requires it, as one that is missing.
void check_text(std::string_view what, std::string_view text,
                std::size_t most_bytes = kLongestText);
/// Nothing happens later than `now` + kClockTolerance.
void check_not_future(std::string_view what, Instant at, Instant now, const Zone& zone);
/// A typed value is in the range that is judged.
void check_plausible(Temperature value);

/// A lot moves forwards: `from` after each stage entered so far, none after its end, and none
/// entered twice at one instant.
void check_stage_order(std::string_view lot, std::span<const StageEntry> stages,
                       const std::optional<LotEnd>& end, Stage next, Instant from,
                       const Zone& zone);
/// A lot ends once, not before its last stage began.
void check_end(std::string_view lot, std::span<const StageEntry> stages,
               const std::optional<LotEnd>& end, Instant at, const Zone& zone);

/// A probe reads one thing at a time: [from, to) overlaps none of the probe's own placements.
/// `described` says what each existing one reads, in the same order.
void check_placement(std::string_view probe, std::span<const Placement> existing,
                     std::span<const std::string> described, const Placement& next,
                     const Zone& zone);
/// A lift comes after its placement began.
void check_lift(std::string_view probe, const Placement& placement, Instant at, const Zone& zone);

/// Which of `names` is meant: the one equal to `text`, else the only one that starts with it.
/// Throws Error{not_found} (naming near ones and `fix`) or Error{conflict} when several start so.
std::size_t find_by_prefix(std::string_view what, std::span<const std::string> names,
                           std::string_view text, std::string_view fix);

/// Who corrects a record says so, and why. Throws Error{bad_input}.
void check_correction(const Stamp& stamp, std::string_view why);

// The same by name in a store.

/// Throws Error{not_found}: "say `probe add NAME`".
Recorded<ProbeId, Thermometer> probe_named(const Store& store, std::string_view name);
/// A unique prefix will do.
Recorded<UnitId, Unit> unit_named(const Store& store, std::string_view name);
/// A unique prefix will do; lots that have not ended come first.
Recorded<LotId, Lot> lot_named(const Store& store, std::string_view name);

} // namespace holdwarden::records
