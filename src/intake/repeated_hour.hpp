#pragma once

#include "times.hpp"

#include <holdwarden/intake/csv.hpp>

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

namespace holdwarden::intake {

/// A row whose local time the clocks showed twice, until the order of the rows tells which it is.
struct HeldRow {
    Row row; ///< `at` still open
    HeldTime time;
    std::string text;  ///< for a reject, bounded
    std::string shown; ///< the time as the file has it
};

/// Places the rows of an hour that the clocks showed twice.
///
/// Each clock (a series in long form, the file or the lot in wide form) is looked at by itself: in
/// a file that lists probe after probe the wall clock runs back between probes, and two loggers a
/// few seconds apart would look like a step back of the clocks if their rows were taken as one
/// sequence. One step back within the hour divides first pass from second. A clock with no step of
/// its own (a hand probe read once in that hour) follows the file when the whole file is in order,
/// steps back once, and another clock's own step vouches that this step is the change of the
/// clocks. Everything else stays open and is rejected.
class RepeatedHours {
public:
    struct Outlet {
        std::function<void(const Row&)> place;
        std::function<void(const HeldRow&, const std::string& reason)> refuse;
    };

    RepeatedHours(RepeatedHour choice, std::size_t most_held, std::optional<Zone> zone,
                  Outlet outlet);

    bool holds_any() const noexcept { return held_ > 0; }
    /// `clock_in_order`: no row of this clock came late so far.
    void hold(std::uint32_t clock, HeldRow row, bool clock_in_order);
    /// A row of this clock with a time of its own comes next.
    void leave(std::uint32_t clock, Instant at, bool file_in_order);
    /// The file has ended.
    void finish(bool file_in_order);

    std::uint64_t placed_by_order() const noexcept { return placed_by_order_; }

private:
    struct Clock {
        std::vector<HeldRow> rows;
        std::size_t steps = 0;
        std::size_t step_at = 0; ///< index of the first row behind the step
        bool in_order = true;
    };
    struct FileView {
        std::int64_t last_wall_ms = 0;
        std::int64_t shift_from_ms = 0; ///< tells one change of the clocks from another
        std::size_t steps = 0;
        std::uint32_t step_line = 0;
        std::size_t own_steps = 0;
    };

    void see_in_file(const HeldRow& row);
    void decide(Clock& clock, bool in_order, bool file_in_order);
    void place_all(Clock& clock, const std::function<bool(std::size_t)>& is_second);
    void refuse_all(Clock& clock, bool too_many);

    RepeatedHour choice_;
    std::size_t most_held_;
    std::optional<Zone> zone_;
    Outlet outlet_;
    std::map<std::uint32_t, Clock> clocks_; ///< those that hold rows
    std::size_t held_ = 0;
    FileView file_;
    std::uint64_t placed_by_order_ = 0;
};

} // namespace holdwarden::intake
