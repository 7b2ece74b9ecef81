#include "repeated_hour.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>

#include <cassert>
#include <cstdlib>

namespace holdwarden::intake {
namespace {

constexpr std::int64_t kDayMs = 86'400'000;

} // namespace

RepeatedHours::RepeatedHours(RepeatedHour choice, std::size_t most_held, std::optional<Zone> zone,
                             Outlet outlet)
    : choice_{choice}, most_held_{most_held}, zone_{zone}, outlet_{std::move(outlet)} {}

void RepeatedHours::see_in_file(const HeldRow& row) {
    const std::int64_t wall = row.time.wall.ms;
    if (std::llabs(wall - file_.shift_from_ms) > kDayMs) {
        file_ = FileView{};
        file_.shift_from_ms = wall;
    } else if (wall < file_.last_wall_ms) {
        ++file_.steps;
        file_.step_line = row.row.line;
    }
    file_.last_wall_ms = wall;
}

void RepeatedHours::hold(std::uint32_t clock_id, HeldRow row, bool clock_in_order) {
    if (held_ >= most_held_) {
        for (auto& [id, clock] : clocks_) {
            refuse_all(clock, true);
        }
        clocks_.clear();
        held_ = 0;
    }
    Clock& clock = clocks_[clock_id];
    if (!clock.rows.empty() &&
        std::llabs(row.time.wall.ms - clock.rows.back().time.wall.ms) > kDayMs) {
        const bool forward = row.time.wall > clock.rows.back().time.wall;
        decide(clock, forward, false); // another year's change, with nothing read in between
    }
    see_in_file(row);
    if (clock.rows.empty()) {
        clock.in_order = clock_in_order;
    } else if (row.time.wall < clock.rows.back().time.wall) {
        ++clock.steps;
        clock.step_at = clock.rows.size();
        ++file_.own_steps;
    }
    clock.rows.push_back(std::move(row));
    ++held_;
}

void RepeatedHours::leave(std::uint32_t clock_id, Instant at, bool file_in_order) {
    const auto found = clocks_.find(clock_id);
    if (found == clocks_.end()) {
        return;
    }
    const bool forward = at > found->second.rows.back().time.twice.second;
    decide(found->second, forward, file_in_order);
    clocks_.erase(found);
}

void RepeatedHours::finish(bool file_in_order) {
    for (auto& [id, clock] : clocks_) {
        decide(clock, true, file_in_order);
    }
    clocks_.clear();
}

void RepeatedHours::decide(Clock& clock, bool in_order, bool file_in_order) {
    const bool sound = in_order && clock.in_order;
    if (sound && clock.steps == 1) {
        placed_by_order_ += clock.rows.size();
        place_all(clock, [&](std::size_t i) { return i >= clock.step_at; });
    } else if (sound && clock.steps == 0 && file_in_order && file_.steps == 1 &&
               file_.own_steps > 0) {
        placed_by_order_ += clock.rows.size();
        place_all(clock, [&](std::size_t i) { return clock.rows[i].row.line >= file_.step_line; });
    } else if (choice_ != RepeatedHour::by_order) {
        place_all(clock, [&](std::size_t) { return choice_ == RepeatedHour::second; });
    } else {
        refuse_all(clock, false);
    }
    held_ -= clock.rows.size();
    clock = Clock{};
}

void RepeatedHours::place_all(Clock& clock, const std::function<bool(std::size_t)>& is_second) {
    for (std::size_t i = 0; i < clock.rows.size(); ++i) {
        HeldRow& held = clock.rows[i];
        held.row.at = is_second(i) ? held.time.twice.second : held.time.twice.first;
        outlet_.place(held.row);
    }
}

void RepeatedHours::refuse_all(Clock& clock, bool too_many) {
    assert(zone_); // without a zone no time is ever held
    std::uint32_t last_line = 0;
    for (const HeldRow& held : clock.rows) {
        if (held.row.line == last_line) {
            continue; // the other cells of a wide row
        }
        last_line = held.row.line;
        const ErrorText text = ambiguity_text(held.shown, *zone_, held.time.twice);
        outlet_.refuse(held, text.what +
                                 (too_many ? ", and too many rows wait for their order to show"
                                           : ", and the order of the rows does not tell which") +
                                 "; " + text.fix + ", or give --repeated-hour first or second");
    }
}

} // namespace holdwarden::intake
