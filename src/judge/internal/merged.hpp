#pragma once

#include "rules.hpp"

#include <holdwarden/judge/judge.hpp>

namespace holdwarden::judge {

/// A history without sources, judged by itself; of that what belongs to `part`.
LotJudgement judge_life(const records::LotHistory& lot, const codes::Pack& pack,
                        const Settings& settings, const Part& part);

/// A merged lot: every life that flowed into it is judged, and the worst of what they say counts.
LotJudgement judge_merged(const records::LotHistory& lot, const codes::Pack& pack,
                          const Settings& settings, const Part& part);

} // namespace holdwarden::judge
