#pragma once

#include <holdwarden/cli/command.hpp>

#include <vector>

namespace holdwarden::cli {

// One maker per file of src/cli that declares commands; all_commands() calls each.
std::vector<Command> check_commands();
std::vector<Command> codes_commands();
std::vector<Command> codes_compare_commands();
std::vector<Command> codes_explain_commands();

} // namespace holdwarden::cli
