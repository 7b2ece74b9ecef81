#pragma once
// A pack's figures as one line of text for each requirement, so that a test can lay the whole pack
// beside what was published, with nothing missing and nothing more.

#include <holdwarden/codes/load.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace described {

/// schema/codes/ID.toml of the source tree.
holdwarden::codes::Pack shipped(const std::string& id);

/// "id | clause | foods | figures", "all" for all foods; an option in front of the figures as
/// "[option]". Figures:
/// - hold, ceiling: "135 °F (57 °C) or above"
/// - window: "START -> GOAL, TIME" with START a limit or the name of what starts it
/// - table: "LIMIT TIME" for each row, then "OVEN MASS: LIMIT" for each oven, parted by "; "
/// - time control: "COLD [or HOT], TIME[, hot TIME][, back TIME][, once]"
/// - date mark: "DAYS days, over TIME, LIMIT"
std::vector<std::string> lines(const holdwarden::codes::Pack& pack);

} // namespace described
