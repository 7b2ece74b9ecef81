#pragma once

// A table of records as CSV (RFC 4180), safe to open in a spreadsheet. docs/formats/packet.md.

#include <holdwarden/seal/history_lines.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::seal {

/// A text as a cell: control characters, bidirectional overrides and ill-formed bytes shown as
/// for_display shows them, nothing cut off. One that a spreadsheet would take for a formula (it
/// begins with = + - @ or a blank of some kind) gets an apostrophe in front. Quoted where it must
/// be.
std::string csv_text(std::string_view text);

/// The heading, with its line end (CRLF).
std::string csv_heading(const std::vector<std::string>& columns);
/// A row under that heading: integers and reals as they are, bytes as 0x and hexadecimal digits,
/// nothing where the row has no such field. Throws Error{bad_input} if the row has a field of no
/// such column.
std::string csv_line(const std::vector<std::string>& columns, const HistoryRow& row);

/// The columns of a heading that csv_heading wrote. Throws Error{bad_input} for anything else.
std::vector<std::string> columns_of_heading(std::string_view line);

} // namespace holdwarden::seal
