#pragma once

#include <holdwarden/sheets/sheet.hpp>

#include <filesystem>
#include <string>

namespace holdwarden::sheets {

/// The sheet as text of at most 80 columns (a single word longer than that stands alone). A chart
/// gives its description, since the tables hold its figures.
std::string to_text(const Sheet& sheet);

/// The same in plain ASCII: see in_ascii.
std::string to_ascii_text(const Sheet& sheet);

/// The sheet as CSV (RFC 4180: CRLF, UTF-8): one line for each fact, in reading order, with the
/// columns section, part, row, item, value. A cell of a table stands with its row's name and its
/// column's title.
std::string to_csv(const Sheet& sheet);

/// The page frame and style of HTML sheets, as files in reports/ of the data folder.
struct HtmlFrame {
    std::string page;  ///< sheet.html: {{lang}}, {{title}}, {{style}}, {{body}}
    std::string style; ///< sheet.css
};

/// Reads both files. Throws Error{not_found} naming the one that is missing.
HtmlFrame load_frame(const std::filesystem::path& reports);

/// The sheet as one self-contained HTML5 page: no script, no outside reference. Every text passes
/// the one escaping function.
std::string to_html(const Sheet& sheet, const HtmlFrame& frame);

} // namespace holdwarden::sheets
