#pragma once

#include <holdwarden/codes/pack.hpp>

#include <string>

namespace holdwarden::cli {

// Code packs as people read them: plain text, 100 columns, every line ends with a line end.

/// One line for a list: id, title, edition.
std::string pack_line(const codes::Pack& pack);

/// Everything a pack says.
std::string pack_text(const codes::Pack& pack);

/// One requirement: what it asks, its figures, tables, clause and how the figures are known.
std::string requirement_text(const codes::Requirement& requirement);

/// The rule in short, for a cell: "135 °F (57 °C) or above"; "135 °F (57 °C) -> 70 °F (21 °C) in
/// 2 h".
std::string rule_in_short(const codes::Requirement& requirement);

/// "seen in a published copy", …
std::string status_in_words(codes::Status status);

/// "within 2 h" or "in less than 2 h".
std::string time_limit_text(const codes::TimeLimit& limit);

/// `text` cut into lines of at most `columns` at blanks, each after `indent` blanks.
std::string folded(const std::string& text, std::size_t indent, std::size_t columns = 96);

/// `text` folded beside `label`, which takes the first `indent` columns of the first line.
std::string hanging(const std::string& label, std::size_t indent, const std::string& text,
                    std::size_t columns = 96);

/// "all", or the food kinds a requirement covers.
std::string foods_in_words(const codes::Requirement& requirement);

} // namespace holdwarden::cli
