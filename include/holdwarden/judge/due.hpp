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
        use_by,  ///< the last day of its date mark: served, discarded or frozen by its end
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

/// What the food's marks ask for: to be gone by the end of its last day once that is no further off
/// than `ahead`, and by the end of its time out of temperature control where the judgement holds no
/// open finding of it (`due_of` tells that one). Empty for a lot that ended or is frozen.
std::vector<Due> due_by_mark(const records::LotHistory& lot, const LotJudgement& judged,
                             const codes::Pack& pack, const Settings& settings, Span ahead);

} // namespace holdwarden::judge
