#include "internal/added_up.hpp"
#include "internal/day_one.hpp"
#include "internal/rules.hpp"
#include "internal/time_out.hpp"

#include <holdwarden/judge/keep_until.hpp>
#include <holdwarden/records/lives.hpp>

#include <algorithm>

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
    const bool out = !c.stages().empty() && (c.stages().back().stage == Stage::time_control ||
                                             c.stages().back().stage == Stage::preparing);
    if (!out || !still_out(c) || lot.end) {
        return std::nullopt;
    }
    const bool six = form_asked(c).all_six;
    for (const codes::Requirement* requirement : pack.find("time-control", lot.food)) {
        const auto* rule = std::get_if<codes::TimeControlRule>(&requirement->rule);
        if (rule == nullptr || rule->six_hour_form != six) {
            continue;
        }
        codes::TimeLimit within = rule->within;
        if (rule->hot_within && rule->hot_within->span < within.span) {
            within = *rule->hot_within;
        }
        const std::vector<Outing> outings = outings_of(c, counts_cooks(*rule));
        const Outing& last = outings.back();
        if (!last.running) {
            return std::nullopt; // a cook ended what the code counts
        }
        return TimeMark{.taken_out = last.spell_from,
                        .until = last.to + (within.span - time_out(outings) -
                                            *AddedUp{c, *rule}.up_to(c.now()).latest),
                        .figure_included = within.figure_included,
                        .form = six ? records::TimeControlForm::six_hours
                                    : records::TimeControlForm::four_hours,
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
