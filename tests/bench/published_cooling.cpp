// Prints published cooling measurements beside the program's prediction of each.
#include "../support/published_cooling.hpp"

#include <fmt/format.h>

int main() {
    fmt::print("{:<60}{:>12}{:>14}  {}\n", "what", "measured h", "predicted h", "within 20 %");
    for (const published::Row& row : published::rows()) {
        const published::Predicted p = published::predict(row);
        const std::string measured =
            std::isinf(row.measured_h.high) ? fmt::format("> {:g}", row.measured_h.low)
            : row.measured_h.low == row.measured_h.high
                ? fmt::format("{:g}", row.measured_h.low)
                : fmt::format("{:g}-{:g}", row.measured_h.low, row.measured_h.high);
        fmt::print("{:<60}{:>12}{:>14}  {}{}\n", row.what, measured,
                   fmt::format("{:.1f}-{:.1f}", p.low_h, p.high_h),
                   published::agrees(row, p) ? "yes" : "NO",
                   row.start_uneven ? " (start not even)" : "");
    }
    return 0;
}
