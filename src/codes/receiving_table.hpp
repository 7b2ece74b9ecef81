#pragma once

#include "toml_table.hpp"

#include <holdwarden/codes/receiving.hpp>

#include <vector>

namespace holdwarden::codes {

/// The tables [[receiving]] of a pack. Throws Error{bad_input} at the place of what is wrong.
std::vector<ReceivingRule> read_receiving(const TomlTable& pack);

} // namespace holdwarden::codes
