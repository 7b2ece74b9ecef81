#pragma once

// Brackets of when a clock started and when a temperature was reached, and the verdict they give.

#include "case.hpp"

namespace holdwarden::judge {

/// When a window's clock started. `earliest` serves the worst case and uses only what the decision
/// rule trusts; `latest` serves the best case and is as read.
struct ClockStart {
    InstantBracket at;
    std::optional<Instant> estimate;
    std::vector<records::Reading> evidence;
    bool guarded_unsure =
        false; ///< earliest is unknown only because no reading clears the limit by the band
};

/// When a temperature was reached.
struct Reached {
    bool as_read = false; ///< reached, and not left again in the scope, by the readings themselves
    bool shown = false;   ///< some reading shows it reached, kept or not
    std::optional<Instant> earliest; ///< after this, as read; nullopt: no reading shows it was not
                                     ///< reached before the first
    std::optional<Instant> earliest_sure; ///< the same by readings that miss it by the band: for a
                                          ///< clock that starts here
    std::optional<Instant> latest; ///< by this, as the decision rule trusts; nullopt: not proven
    std::optional<Instant> latest_as_read; ///< by this, as read
    std::optional<Instant> estimate;
    std::optional<Instant> last_wrong; ///< the last reading that shows it not reached
    std::vector<records::Reading> evidence;
};

/// The cooling clock: the first fall below `from` among `inside`; if the food enters it below that,
/// the last fall in `earlier`. The two are neighbouring stretches of one series, ascending.
ClockStart falling_start(const Case& c, Readings earlier, Readings inside,
                         const codes::TemperatureLimit& from);

/// Reaching `to` and staying there until the end of `scope`. `lead` are readings before the scope
/// that may show that it was not reached yet.
Reached reached(const Case& c, Readings lead, Readings scope, const codes::TemperatureLimit& to);

/// "within 2 h", "less than 2 h"
std::string allowed_text(const codes::TimeLimit& within);
/// "3 h 0 min", "between 2 h 0 min and 3 h 0 min"
std::string bracket_text(const SpanBracket& bracket);
/// "135 °F to 70 °F within 2 h"
std::string window_text(const std::string& from, const std::string& to,
                        const codes::TimeLimit& within);

/// What the clock shows when it was stopped, or is still running.
struct ClockState {
    Instant now; ///< the as-of instant, the lot's end, or when the attempt was broken off
    bool over_early = false; ///< `now` is an end or a break, not the as-of instant
};

/// How a window's parts are called in its reason.
struct WindowWords {
    std::string starts;  ///< "The food fell below 135 °F"
    std::string from;    ///< "a reading at or above 135 °F"
    std::string target;  ///< "70 °F"
    std::string not_yet; ///< "still above 70 °F"
};

/// Verdict, elapsed bracket, margin, reason and the reading that would settle it: worst case within
/// D is met; best case D or more is not met; else not shown.
void judge_window(const Case& c, Finding& finding, const ClockStart& start, const Reached& end,
                  const codes::TimeLimit& within, const ClockState& state,
                  const WindowWords& words);

} // namespace holdwarden::judge
