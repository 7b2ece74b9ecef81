#pragma once

#include <holdwarden/sheets/sheet.hpp>

#include <span>
#include <string>

namespace holdwarden::sheets {

enum class Paper { letter, a4 };

/// The sheets as one PDF document, each beginning on a page of its own: selectable text, fonts
/// embedded, charts as vectors, an outline of the headings, tables with their heading repeated on
/// each page, "page x of y" counted within each sheet. The bytes depend on nothing but the sheets,
/// the paper and the installed fonts and libraries. Letters no installed font has are drawn as
/// boxes. `sheets` must not be empty (asserted). Throws Error{bad_input} when the document cannot
/// be drawn.
std::string to_pdf(std::span<const Sheet> sheets, Paper paper);

} // namespace holdwarden::sheets
