#pragma once

#include <holdwarden/codes/receiving.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/day_book.hpp>

#include <optional>
#include <string>

namespace holdwarden::judge {

/// What a delivery's record shows about the pack's limit for it.
struct ReceiptFinding {
    std::optional<Verdict> verdict; ///< met, not met or not shown; nullopt: the pack has no limit
    const codes::ReceivingRule* rule = nullptr; ///< lives in the pack
    std::string reason;
    std::optional<TemperatureDelta> margin; ///< negative on the wrong side, in the reading's scale
};

/// A reading is compared as read with the figure printed for its own scale. Frozen food is met when
/// it was seen frozen solid, whatever its temperature; a temperature above freezing is no proof of
/// thawing by itself but is pointed out. Without a reading (or a look) it is not shown.
ReceiptFinding judge_receipt(const records::Receipt& receipt, const codes::Receiving& pack);

/// What a reading of a unit's air says beside the pack's limit for food kept in such a unit. Air
/// is no verdict: it never proves what the food is at.
struct AirNote {
    std::optional<codes::Side> side; ///< nullopt: the pack has no limit of that sort
    std::string words;
};
/// `hot`: a unit that holds hot food; else one that keeps food cold.
AirNote note_air(Temperature value, bool hot, const codes::Pack& pack);

} // namespace holdwarden::judge
