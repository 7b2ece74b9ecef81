#pragma once

#include <holdwarden/sheets/facts.hpp>
#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/sheet.hpp>

#include <span>

namespace holdwarden::sheets {

/// The life of one lot: verdict, what to do, why, evidence, signatures.
Sheet lot_sheet(const SiteFacts& site, const LotRecord& lot, const Troubles& troubles,
                const Made& made);

/// All lots of the night that begins at noon of `night`: one line each, worst and unanswered first,
/// then what to do, then each lot. `signatures`: those under the night itself.
Sheet night_sheet(const SiteFacts& site, const LocalDate& night, std::span<const LotRecord> lots,
                  const Troubles& troubles, const Made& made,
                  std::span<const SignatureLine> signatures = {});

/// The deviations of a period with the portion affected, what was done and what became of the food,
/// in a file of their own (21 CFR 114.100(c)). `lots`: those of the period.
Sheet actions_sheet(const SiteFacts& site, const Period& period, std::span<const LotRecord> lots,
                    const Made& made);

/// A record that waits for its review.
struct ReviewDue {
    std::string lot;
    std::optional<Instant> due{}; ///< nullopt: no rule says when
    bool overdue = false;
};
/// A thermometer whose check is due and not made, or that failed its last one.
struct CheckWanted {
    std::string probe;
    std::optional<Instant> due{};    ///< the first that was not made
    std::optional<Instant> failed{}; ///< its last check
};
/// What is left to do: flags that are not closed, unanswered and overdue first, then thermometers
/// and reviews in the order given. `period`: what the lots span.
Sheet open_items_sheet(const SiteFacts& site, const Period& period, std::span<const LotRecord> lots,
                       std::span<const CheckWanted> checks, std::span<const ReviewDue> reviews,
                       const Made& made);

/// The nights that a log or a summary covers, both ends included: from noon of `first` to the noon
/// after `last`. `last` must not be before `first` (asserted).
struct Nights {
    LocalDate first;
    LocalDate last;
};
Period period_of(const Nights& nights, const Zone& zone);

/// Every cooling of the nights, a line for each point: start, the readings nearest to each full
/// hour, result; then the windows with what they took.
Sheet cooling_log(const SiteFacts& site, const Nights& nights, std::span<const LotRecord> lots,
                  const Made& made);

/// What was held, unit by unit, at the site's largest interval: of each lot the reading that lies
/// worst in it, and the unit's air.
Sheet holding_log(const SiteFacts& site, const Nights& nights, std::span<const LotRecord> lots,
                  const Made& made);

/// Every check of a thermometer in the nights: what it showed, what it should have shown, whether
/// that is within its tolerance; then checks missed, and thermometers without a check.
Sheet check_log(const SiteFacts& site, const Nights& nights, const CheckRecords& records,
                const Made& made);

/// Figures of the nights' lots. Each stands with the number of lots behind it; none is drawn from
/// fewer than kFewestLots.
Sheet period_summary(const SiteFacts& site, const Nights& nights, std::span<const LotRecord> lots,
                     const Made& made);
inline constexpr std::size_t kFewestLots = 5;

} // namespace holdwarden::sheets
