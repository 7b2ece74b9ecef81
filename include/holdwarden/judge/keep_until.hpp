#pragma once

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <cstdint>
#include <optional>

namespace holdwarden::judge {

/// The day mark of a lot, whether or not it has been kept over a day yet.
struct DayMark {
    LocalDate made_on;
    LocalDate last_day; ///< use or discard by its end; whole frozen days so far are not counted
    int days = 0;       ///< the last day's number, the day of making being 1
    std::int64_t frozen_days = 0;
    const codes::Requirement* requirement = nullptr; ///< lives in the pack
};
/// nullopt: the pack marks no days, or nothing says when it was made (no stage, no day given).
/// Raw food is marked like any other: an early day does no harm.
std::optional<DayMark> day_mark(const records::LotHistory& lot, const codes::Pack& pack,
                                const Settings& settings);

/// The time mark of a lot that is under time as a public health control now, or being prepared
/// after it.
struct TimeMark {
    Instant taken_out;           ///< when this spell began, however often it was entered
    Instant until;               ///< used or discarded by then; earlier spells are counted
    bool figure_included = true; ///< false: before `until`
    /// Six hours only where every spell is of that form.
    records::TimeControlForm form = records::TimeControlForm::four_hours;
    const codes::Requirement* requirement = nullptr; ///< lives in the pack
};
/// nullopt: its last stage is another, it has ended, or the pack has no such form. Where the pack
/// gives a hot start less time than a cold one, the shorter time is taken.
std::optional<TimeMark> time_mark(const records::LotHistory& lot, const codes::Pack& pack,
                                  const Settings& settings);

} // namespace holdwarden::judge
