#pragma once

#include <holdwarden/sheets/pdf.hpp>

#include <string>
#include <vector>

namespace holdwarden::sheets {

/// A page to be read or filled in by pen. All words come from the caller.
struct PenForm {
    struct Column {
        std::string heading;
        int share = 1; ///< of the width
    };

    std::string title{};
    std::string site{};
    std::vector<std::string> lines{};    ///< what is to be known: limits, cautions
    std::vector<std::string> fields{}; ///< filled in once: "Date", "Kept by"
    std::vector<Column> columns{};     ///< none: no table
    int rows = 0;                      ///< empty ones
    std::string body{};                ///< text in lines of its own, for a page to be read
    std::string foot{};
    std::string made{}; ///< RFC 3339, for the document's data
    std::string lang = "en";
};

std::string to_text(const PenForm& form);
std::string to_html(const PenForm& form);
/// Rows tall enough for a pen; the headings are repeated on each page.
std::string to_pdf(const PenForm& form, Paper paper);

} // namespace holdwarden::sheets
