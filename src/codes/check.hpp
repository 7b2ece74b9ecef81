#pragma once
// Inside `codes` only: what must hold between the parts of a pack.

#include "toml_table.hpp"

namespace holdwarden::codes {

/// Throws if `rows` do not rise in temperature with times that fall or stay. `at` are their tables.
void check_monotone(const std::vector<TableRow>& rows, const std::vector<TomlTable>& at);

/// Throws if the rule is not of the sort the requirement's id stands for, or points the wrong way.
void check_sort(const Requirement& requirement, const TomlTable& at);

/// Throws on two requirements for one food kind, and on an `after` that names no window. `at` are
/// the tables of the requirements.
void check_together(const std::vector<Requirement>& requirements, const std::vector<TomlTable>& at);

/// Throws on advice for no requirement, and on a row that an earlier one always hides.
void check_advice(const Pack& pack, const std::vector<TomlTable>& at);

} // namespace holdwarden::codes
