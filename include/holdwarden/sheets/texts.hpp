#pragma once

#include <holdwarden/sheets/sheet.hpp>

#include <functional>
#include <string>

namespace holdwarden::sheets {

/// Hands every text of the sheet that a printer prints to `use`, in reading order; it may change
/// them. Of a chart: its title, description and the labels of its bands.
void each_text(Sheet& sheet, const std::function<void(std::string&)>& use);

/// The sheet in plain ASCII, for printers and terminals that have nothing else: degree signs go,
/// dashes, quotes and fractions become their nearest; what has no such neighbour is written
/// \u{HEX}.
Sheet in_ascii(Sheet sheet);

} // namespace holdwarden::sheets
