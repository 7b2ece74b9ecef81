#pragma once

// A second judge, slow and plain, for small logs: the rules of reading a record written down once
// more, with nothing shared with the real one but the types of its input. Where the rules leave a
// choice, it gives every verdict they allow.

#include "random_record.hpp"

namespace holdwarden::test {

/// One point's readings, ascending, no two of one instant; only those up to the as-of instant.
using Log = std::vector<records::Reading>;
using Allowed = std::vector<Verdict>;

/// The figure printed for each scale, in thousandths.
struct Figure {
    std::int32_t f;
    std::int32_t c;
    std::int32_t in(Scale scale) const { return scale == Scale::fahrenheit ? f : c; }
};

struct ReferenceWindow {
    Figure from; ///< "at or above"
    Figure to;   ///< "at or below"
    Span within;
    bool figure_included;
};

struct Ending {
    Instant as_of;
    std::optional<Instant> served;
};

/// A cooling stage that begins at `stage_from` and lasts to the end of the log; readings before it
/// belong to a hold. `band_f` (whole thousandths of a °F; 5/9 of it in °C): above zero for the
/// guarded rule.
Allowed reference_window(const Log& log, Instant stage_from, const ReferenceWindow& window,
                         const Ending& ending, std::int32_t band_f);

/// The window that starts where `first` ends.
Allowed reference_second_window(const Log& log, Instant stage_from, const ReferenceWindow& first,
                                const ReferenceWindow& second, const Ending& ending);

/// A hold from `from` to `to`; `running` when the stage is not over at `to` (the as-of instant).
struct HoldSpan {
    Instant from;
    Instant to;
    bool running;
    Span largest_interval;
};
/// Several points; each log ascending, conflicts allowed.
Allowed reference_hold(const std::vector<Log>& points, const HoldSpan& hold, Figure limit, bool hot,
                       std::int32_t band_f);

struct ReferenceRow {
    Figure at;
    Span keep;
};
/// A cook or reheat from `from` to `to`, logged readings.
Allowed reference_reach(const Log& log, const HoldSpan& stage,
                        const std::vector<ReferenceRow>& rows, std::int32_t band_f);

} // namespace holdwarden::test
