#pragma once

#include <holdwarden/intake/collect.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <string>
#include <vector>

namespace holdwarden::intake {

/// What a file does not say about its lots.
struct LotsOptions {
    std::string file_name;      ///< for messages
    std::optional<Stage> stage; ///< the single stage, from each lot's first row; nullopt: the file
                                ///< has a stage column
    FoodKind food = FoodKind::other_tcs;
    bool made_from_ambient = false;
    std::vector<std::string> air; ///< probes that read a unit's air, not food
    std::string lot; ///< the lot of rows that name none; in a file that names lots, the only one
                     ///< wanted
    std::string unnamed = "lot"; ///< what a lot is called that nothing names
    records::Origin origin = records::Origin::logged;
};

/// The lots of one file as records. Each probe is a point of the food; a stage begins at its first
/// row and lasts until the next one's; a cook or a reheat that the file leaves open closes with the
/// lot's last reading, everything else runs on. Rows of air that name no lot are every lot's air.
/// Throws Error{bad_input} when an air probe or a wanted lot is not there, a lot has no stage or no
/// reading in the food, or goes on after its end; Error{usage} when a stage is given twice or not
/// at all.
std::vector<records::LotHistory> lots_of(Collected collected, const LotsOptions& options);

} // namespace holdwarden::intake
