#pragma once

#include <holdwarden/sheets/label.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/pen_form.hpp>

#include <span>
#include <string>

namespace holdwarden::sheets {

/// What the part of the program that draws PDF gives to the rest.
struct PdfFunctions {
    std::string (*sheets)(std::span<const Sheet> sheets, Paper paper);
    std::string (*form)(const PenForm& form, Paper paper);
    std::string (*label)(const Label& label, LabelSize size, int copies);
};

/// The name it is looked up by: the part's only symbol that is looked for.
inline constexpr const char* kPdfFunctions = "holdwarden_pdf_functions";

} // namespace holdwarden::sheets
