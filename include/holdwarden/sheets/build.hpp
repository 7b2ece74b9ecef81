#pragma once

#include <holdwarden/sheets/facts.hpp>
#include <holdwarden/sheets/sheet.hpp>

#include <span>

namespace holdwarden::sheets {

/// The life of one lot: verdict, what to do, why, evidence, signatures.
Sheet lot_sheet(const SiteFacts& site, const LotRecord& lot, const Troubles& troubles,
                const Made& made);

/// All lots of the night that begins at noon of `night`: one line each, worst and unanswered first,
/// then what to do, then each lot.
Sheet night_sheet(const SiteFacts& site, const LocalDate& night, std::span<const LotRecord> lots,
                  const Troubles& troubles, const Made& made);

} // namespace holdwarden::sheets
