#pragma once

// How long food was out of temperature control, from the stages of its record alone: what its
// verdict, its label and the list of what is due all go by.

#include "case.hpp"

#include <optional>
#include <vector>

namespace holdwarden::judge {

/// From when food came under time control until it was served or discarded, or went back to being
/// held, cooled or heated. `preparing` in between is time out like any other.
struct Outing {
    Instant from;
    Instant to;   ///< where the counted time ends: the food's end, its return, or now
    Span counted; ///< the time out
    bool running = false;
    std::vector<Instant> spells_from; ///< entries that follow each other without a break are one
    Instant spell_from;               ///< when its last spell began
    const StageSpan* back = nullptr;  ///< what it went back to; nullptr: nothing on record
    std::vector<std::size_t> entries; ///< its time-control stages, in Case::stages()
};

/// Whether a cook is time out as well: where food may neither go back nor is limited to one spell,
/// it is cooked and served within the time.
bool counts_cooks(const codes::TimeControlRule& rule) noexcept;

std::vector<Outing> outings_of(const Case& c, bool counts_cooks);

/// The time-control stages of the lot, and whether each of them is of the six-hour form.
struct FormAsked {
    bool any_six = false;
    bool all_six = false;
};
FormAsked form_asked(const Case& c);

/// Whether the food is still out by its stages when the record ends.
bool still_out(const Case& c);

/// The sum over all outings.
Span time_out(const std::vector<Outing>& outings);

} // namespace holdwarden::judge
