#include "internal/day_one.hpp"
#include "internal/rules.hpp"

#include <holdwarden/judge/keep_until.hpp>
#include <holdwarden/records/lives.hpp>

#include <algorithm>
#include <iterator>

namespace holdwarden::judge {
namespace {

std::optional<DayMark> day_mark_of_life(const records::LotHistory& lot, const codes::Pack& pack,
                                        const Settings& settings) {
    const Case c{lot, pack, settings};
    const codes::Requirement* requirement = pack.find_one("date-mark", lot.food);
    const auto* rule =
        requirement == nullptr ? nullptr : std::get_if<codes::DateMarkRule>(&requirement->rule);
    if (rule == nullptr || (c.stages().empty() && !lot.made_on)) {
        return std::nullopt;
    }
    DayMark mark{.made_on = day_one(c),
                 .last_day = {},
                 .days = rule->days,
                 .frozen_days = frozen_days(c),
                 .requirement = requirement};
    mark.last_day =
        date_from_day_number(day_number(mark.made_on) + rule->days - 1 + mark.frozen_days);
    return mark;
}

std::optional<TimeMark> time_mark_of_life(const records::LotHistory& lot, const codes::Pack& pack,
                                          const Settings& settings) {
    const Case c{lot, pack, settings};
    if (c.stages().empty() || c.stages().back().stage != Stage::time_control || lot.end) {
        return std::nullopt;
    }
    const auto form = lot.stages.back().form;
    for (const codes::Requirement* requirement : pack.find("time-control", lot.food)) {
        const auto* rule = std::get_if<codes::TimeControlRule>(&requirement->rule);
        if (rule == nullptr ||
            rule->six_hour_form != (form == records::TimeControlForm::six_hours)) {
            continue;
        }
        codes::TimeLimit within = rule->within;
        if (rule->hot_within && rule->hot_within->span < within.span) {
            within = *rule->hot_within;
        }
        Span spent;
        for (std::size_t i = 0; i + 1 < c.stages().size(); ++i) {
            if (c.stages()[i].stage == Stage::time_control) {
                spent += c.stages()[i].to - c.stages()[i].from;
            }
        }
        const Instant from = c.stages().back().from;
        // Entered again where it was taken in or split: one spell.
        auto first = c.stages().rbegin();
        while (std::next(first) != c.stages().rend() &&
               std::next(first)->stage == Stage::time_control) {
            ++first;
        }
        return TimeMark{.taken_out = first->from,
                        .until = from + within.span - spent,
                        .figure_included = within.figure_included,
                        .form = form,
                        .requirement = requirement};
    }
    return std::nullopt;
}

} // namespace

// A merged lot keeps the earliest mark of what went in.

std::optional<DayMark> day_mark(const records::LotHistory& lot, const codes::Pack& pack,
                                const Settings& settings) {
    std::optional<DayMark> earliest;
    for (const records::Life& life : records::lives_of(lot)) {
        const auto mark = day_mark_of_life(life.history, pack, settings);
        if (mark && (!earliest || mark->last_day < earliest->last_day)) {
            earliest = mark;
        }
    }
    return earliest;
}

std::optional<TimeMark> time_mark(const records::LotHistory& lot, const codes::Pack& pack,
                                  const Settings& settings) {
    std::optional<TimeMark> earliest;
    for (const records::Life& life : records::lives_of(lot)) {
        const auto mark = time_mark_of_life(life.history, pack, settings);
        if (mark && (!earliest || mark->until < earliest->until)) {
            earliest = mark;
        }
    }
    return earliest;
}

} // namespace holdwarden::judge
