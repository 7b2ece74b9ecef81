#pragma once

#include "fields.hpp"

#include <holdwarden/intake/csv.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::intake {

/// Which column holds what, as the header line tells.
struct Layout {
    static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
    struct Cell {
        std::size_t column;
        std::string probe;
        Scale scale;
    };

    std::size_t columns = 0;
    std::size_t time = kNone;
    std::size_t lot = kNone;
    std::size_t stage = kNone;
    bool wide = false;
    // Long form.
    std::size_t probe = kNone; ///< kNone: one probe, called "core"
    std::size_t value = kNone;
    std::size_t scale_column = kNone;
    std::optional<Scale> scale; ///< nullopt: each value, or the scale column, says its own
    // Wide form.
    std::vector<Cell> cells;

    std::vector<std::string> notes;
};

/// The separator a header line uses. Throws Error{bad_input} if two are equally likely.
char separator_of(std::string_view header);

/// Throws Error{bad_input} naming the columns there are and the option that mends it.
Layout read_header(const Fields& header, const CsvOptions& options);

} // namespace holdwarden::intake
