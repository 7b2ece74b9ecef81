#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/table_csv.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace holdwarden::seal {
namespace {

std::string cell(const LeafField& field) {
    if (const auto* bytes = std::get_if<LeafBytes>(&field.value)) {
        return "0x" + hex({reinterpret_cast<const std::uint8_t*>(bytes->bytes.data()),
                           bytes->bytes.size()});
    }
    if (const auto* text = std::get_if<std::string>(&field.value)) {
        return csv_text(*text);
    }
    if (const auto* real = std::get_if<double>(&field.value)) {
        return fmt::format("{}", *real);
    }
    return std::to_string(std::get<std::int64_t>(field.value));
}

} // namespace

std::string csv_text(std::string_view text) {
    std::string shown = for_display(text, std::numeric_limits<std::size_t>::max() / 2);
    if (!text.empty() && std::string_view{"=+-@ \t\r\n"}.find(text.front()) != text.npos) {
        shown.insert(shown.begin(), '\'');
    }
    if (shown.find_first_of(",\"\r\n") == std::string::npos) {
        return shown;
    }
    std::string quoted = "\"";
    for (const char c : shown) {
        quoted += c == '"' ? "\"\"" : std::string(1, c);
    }
    return quoted + "\"";
}

std::string csv_heading(const std::vector<std::string>& columns) {
    return fmt::format("{}\r\n", fmt::join(columns, ","));
}

std::string csv_line(const std::vector<std::string>& columns, const HistoryRow& row) {
    std::vector<std::string> cells(columns.size());
    for (std::size_t i = 1; i < row.size(); ++i) { // the first is the table's name
        const auto column = std::find(columns.begin(), columns.end(), row[i].name);
        if (column == columns.end()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "has no column '" + for_display(row[i].name, 60) + "'",
                         .where = "",
                         .fix = "ask for the packet again, and keep this one as it is"}};
        }
        cells[static_cast<std::size_t>(column - columns.begin())] = cell(row[i]);
    }
    return fmt::format("{}\r\n", fmt::join(cells, ","));
}

std::vector<std::string> columns_of_heading(std::string_view line) {
    std::vector<std::string> columns;
    while (line.ends_with('\n') || line.ends_with('\r')) {
        line.remove_suffix(1);
    }
    for (std::size_t from = 0; from <= line.size();) {
        const std::size_t to = std::min(line.find(',', from), line.size());
        columns.emplace_back(line.substr(from, to - from));
        const bool plain = std::all_of(columns.back().begin(), columns.back().end(), [](char c) {
            return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
        });
        if (columns.back().empty() || !plain) {
            throw Error{ErrorKind::bad_input,
                        {.what = "has a heading that is no list of columns",
                         .where = "",
                         .fix = "ask for the packet again, and keep this one as it is"}};
        }
        from = to + 1;
    }
    return columns;
}

} // namespace holdwarden::seal
