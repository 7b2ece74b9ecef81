#pragma once

#include "pdf_flow.hpp"

#include <map>
#include <vector>

namespace holdwarden::sheets {

struct ColumnWidths {
    std::vector<double> pt;
    bool unwrapped = false; ///< every cell fits on one line
};
/// A sheet is gone through twice; its tables are measured once, its charts made once.
using WidthsOfTables = std::map<const Table*, ColumnWidths>;

/// Draws a table; its heading is repeated on each page, rows are kept whole while they fit on one.
void draw_table(Flow& flow, const Table& table, WidthsOfTables& known);

} // namespace holdwarden::sheets
