#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <string>
#include <vector>

namespace holdwarden::cli {

/// Which of the store's lots are meant.
struct LotsWanted {
    std::vector<std::string> names; ///< each a lot, or the beginning of its name
    bool all = false;               ///< every lot; else, without names, those that have not ended
};

/// In the order of entry or as named, each once. Throws Error{not_found} when there is none.
std::vector<records::LotId> chosen_lots(const OpenStore& store, const LotsWanted& wanted);

/// Lots as recorded up to an instant, and what the site had adopted when they began.
struct StoredLots {
    std::vector<records::LotHistory> lots;  ///< in the order of entry; each once
    std::string code;                       ///< id or path of the code pack
    Span largest_interval = Span::hours(2); ///< common practice where the site says nothing
};

/// Gathers them. A finding is judged by what was in force when it happened, which is taken to be
/// when the lot's first stage began (for a lot without stages: when it was opened). Throws
/// Error{not_found} when there is none, and Error{conflict} when the lots began under different
/// packs or intervals and `code` or `largest_interval` is not given to judge them all by one.
StoredLots gather_lots(const OpenStore& store, const LotsWanted& wanted, Instant as_of,
                       const std::optional<std::string>& code = std::nullopt,
                       const std::optional<Span>& largest_interval = std::nullopt);

} // namespace holdwarden::cli
