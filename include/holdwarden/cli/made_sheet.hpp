#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/sheets/sheet.hpp>

#include <string>

namespace holdwarden::cli {

/// A sheet, and the name its file takes in a folder, without its ending.
struct MadeSheet {
    sheets::Sheet sheet;
    std::string stem;
};

/// What `sheet LOT` prints now.
MadeSheet made_lot_sheet(const OpenStore& store, const Context& context, const std::string& lot);
/// What `sheet --night DATE` prints now.
MadeSheet made_night_sheet(const OpenStore& store, const Context& context,
                           const std::string& night);

} // namespace holdwarden::cli
