#pragma once

// Until when records are kept: each by the longest rule that is about it.

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/retention.hpp>
#include <holdwarden/store/purge.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

/// The rules the site chose; all of them when it chose none. Throws Error{not_found} for a chosen
/// rule that is not among `all`.
std::vector<codes::RetentionRule> binding(const OpenStore& store,
                                          const std::vector<codes::RetentionRule>& all);

const codes::RetentionRule& longest(const std::vector<codes::RetentionRule>& rules);

/// The begin of the day that many calendar months before `now`; the month's last day where it has
/// no such day. What was over before may go.
Instant months_before(Instant now, int months, const Zone& zone);

/// The first day on which what was over at `over` may go.
LocalDate free_from(Instant over, int months, const Zone& zone);

/// What a cut would take before its time.
struct TooEarly {
    store::PurgeExcept except;     ///< leaves it all in
    std::vector<std::string> told; ///< a sentence each: the record, its rule, clause and date
};
TooEarly too_early(const OpenStore& store, const store::PurgePlan& plan,
                   const std::vector<codes::RetentionRule>& binding);

} // namespace holdwarden::cli
