#pragma once

#include <holdwarden/judge/judge.hpp>

#include <string>
#include <vector>

namespace holdwarden::judge {

/// What a lot waits for, so that its record will show what it must.
struct Due {
    enum class What {
        reading, ///< of the food, or a stretch of its stage is shown by none
        target,  ///< a reading that shows a window's temperature reached
        end,     ///< a record that the food was served or discarded
    };
    What what = What::reading;
    Instant by;
    std::string requirement; ///< empty: a reading for the stage itself
    std::string point;
    std::string why; ///< "the first window closes: 70 °F"
};
std::string_view to_name(Due::What what) noexcept;

/// What the lot waits for at the as-of instant, soonest first; empty for a lot that ended. Worst
/// cases: a window closes when its time is over counted from its earliest start; a hold wants its
/// next reading within the largest interval of the last one that is not suspect.
std::vector<Due> due_of(const records::LotHistory& lot, const LotJudgement& judged,
                        const Settings& settings);

} // namespace holdwarden::judge
