#pragma once

#include <holdwarden/codes/pack.hpp>

#include <span>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// How a record is held against the requirements of one id: docs/how-limits-are-read.md in short, a
/// sentence or two each. What holds of some of them only begins with their clauses.
std::vector<std::string> readings_of(const codes::Pack& pack,
                                     std::span<const codes::Requirement* const> requirements);

} // namespace holdwarden::cli
