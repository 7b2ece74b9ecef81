// When checks of thermometers fall due, and how each stands with them.
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/store.hpp>

#include <algorithm>
#include <array>

namespace holdwarden::records {
namespace {

using Schedules = std::span<const Recorded<ScheduleId, CheckSchedule>>;
using Standing = CheckState::Standing;

constexpr std::array<std::string_view, 5> kStandingNames{"in-date", "due-soon", "overdue",
                                                         "never-checked", "failed"};
constexpr std::array<std::string_view, 5> kStandingWords{"in date", "due soon", "overdue",
                                                         "never checked", "failed its last check"};

/// The rule for the probe at `at`: its own before the site's, the later one of each.
const CheckSchedule* rule_at(Schedules schedules, ProbeId probe, Instant at) noexcept {
    const CheckSchedule* best = nullptr;
    for (const auto& one : schedules) {
        const CheckSchedule& rule = one.facts;
        if (rule.from > at || (rule.probe && *rule.probe != probe)) {
            continue;
        }
        const bool nearer = best == nullptr || (rule.probe && !best->probe);
        const bool same_kind = best != nullptr && rule.probe.has_value() == best->probe.has_value();
        if (nearer || (same_kind && rule.from >= best->from)) {
            best = &rule;
        }
    }
    return best != nullptr && !best->ended ? best : nullptr;
}

std::optional<Instant> next_change(Schedules schedules, ProbeId probe, Instant after) noexcept {
    std::optional<Instant> next;
    for (const auto& one : schedules) {
        const bool bears = !one.facts.probe || *one.facts.probe == probe;
        if (bears && one.facts.from > after && (!next || one.facts.from < *next)) {
            next = one.facts.from;
        }
    }
    return next;
}

unsigned days_in(int year, unsigned month) noexcept {
    const std::int64_t first = day_number({year, month, 1});
    const std::int64_t next =
        month == 12 ? day_number({year + 1, 1, 1}) : day_number({year, month + 1, 1});
    return static_cast<unsigned>(next - first);
}

/// The same time of day, so many days or months later; of a month that is too short, its last day.
Instant later_by(Instant at, const CheckSchedule& rule, const Zone& zone) {
    constexpr std::int64_t kDayMs = 86'400'000;
    const WallTime wall = zone.wall(at);
    const LocalDate date = date_of(wall);
    const std::int64_t time_of_day = wall.ms - day_number(date) * kDayMs;
    std::int64_t days = day_number(date) + rule.days;
    if (rule.months > 0) {
        const int months = date.year * 12 + static_cast<int>(date.month) - 1 + rule.months;
        const int year = months / 12;
        const auto month = static_cast<unsigned>(months % 12) + 1;
        days = day_number({year, month, std::min(date.day, days_in(year, month))});
    }
    const Resolved resolved = zone.resolve(WallTime{days * kDayMs + time_of_day});
    if (const auto* once = std::get_if<Once>(&resolved)) {
        return once->at;
    }
    if (const auto* twice = std::get_if<Twice>(&resolved)) {
        return twice->first;
    }
    return std::get<Never>(resolved).after;
}

/// When the next check falls due after `anchor` (a check, a missed one, or first use), by the rules
/// as they change on the way. nullopt: never.
std::optional<Instant> due_after(Schedules schedules, ProbeId probe, Instant anchor,
                                 const Zone& zone) {
    Instant since = anchor; // from when the rule looked at holds, or the anchor
    for (;;) {
        const CheckSchedule* rule = rule_at(schedules, probe, since);
        const auto change = next_change(schedules, probe, since);
        if (rule != nullptr) {
            Instant due = later_by(anchor, *rule, zone);
            if (due <= since) {
                due = later_by(since, *rule, zone);
            }
            if (!change || due <= *change) {
                return due;
            }
        }
        if (!change) {
            return std::nullopt;
        }
        since = *change;
    }
}

/// What was due and not made: computed now, and on record from before.
std::vector<Instant> all_missed(const DueDates& dates, const Checks& checks, ProbeId probe) {
    std::vector<Instant> all = dates.missed;
    for (const auto& one : checks.missed()) {
        if (one.facts.probe == probe) {
            all.push_back(one.facts.due);
        }
    }
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

/// Checks that count as made: those against something that is right.
std::vector<Recorded<CheckId, ProbeCheck>> made_checks(const Checks& checks, ProbeId probe) {
    auto all = checks.checks(probe);
    std::erase_if(all,
                  [](const auto& one) { return one.facts.method == CheckMethod::side_by_side; });
    return all;
}

std::vector<Instant> instants_of(const std::vector<Recorded<CheckId, ProbeCheck>>& checks,
                                 Instant up_to) {
    std::vector<Instant> at;
    for (const auto& one : checks) {
        if (one.facts.at <= up_to) {
            at.push_back(one.facts.at);
        }
    }
    return at;
}

CheckState state_of(const Store& store, const Recorded<ProbeId, Thermometer>& probe, Instant now,
                    Span soon, const Zone& zone) {
    const Checks& book = store.checks();
    CheckState state{.probe = probe.id, .name = probe.facts.name};
    auto made = made_checks(book, probe.id);
    std::erase_if(made, [&](const auto& one) { return one.facts.at > now; });
    const DueDates dates = due_dates(book.schedules(), probe.id, probe.stamp.entered_at,
                                     instants_of(made, now), now, zone);
    for (const Instant due : dates.missed) {
        const auto known = book.missed();
        const bool on_record = std::any_of(known.begin(), known.end(), [&](const auto& one) {
            return one.facts.probe == probe.id && one.facts.due == due;
        });
        if (!on_record) {
            state.missed_now.push_back(due);
        }
    }
    state.due = dates.next;
    if (!made.empty()) {
        state.last.emplace(made.back());
    }
    bool overdue = false;
    for (const Instant due : all_missed(dates, book, probe.id)) {
        if (due <= now && (made.empty() || due > made.back().facts.at)) {
            state.due = overdue ? *state.due : due; // the first of them
            overdue = true;
        }
    }
    if (made.empty()) {
        state.standing = Standing::never_checked;
    } else if (!usable_after(made.back().facts)) {
        state.standing = Standing::failed;
    } else if (overdue) {
        state.standing = Standing::overdue;
    } else {
        state.standing =
            state.due && *state.due - now <= soon ? Standing::due_soon : Standing::in_date;
    }
    return state;
}

} // namespace

std::string_view to_name(Standing standing) noexcept {
    return kStandingNames[static_cast<std::size_t>(standing)];
}

std::string_view to_words(Standing standing) noexcept {
    return kStandingWords[static_cast<std::size_t>(standing)];
}

DueDates due_dates(Schedules schedules, ProbeId probe, Instant first_use,
                   std::span<const Instant> made, Instant now, const Zone& zone) {
    DueDates dates;
    Instant anchor = first_use;
    std::size_t next = 0;
    for (;;) {
        const auto due = due_after(schedules, probe, anchor, zone);
        if (next < made.size() && (!due || made[next] <= *due)) {
            anchor = std::max(anchor, made[next]);
            ++next;
        } else if (!due || *due >= now) {
            dates.next = due;
            return dates;
        } else {
            dates.missed.push_back(*due);
            anchor = *due;
        }
    }
}

std::vector<CheckState> check_states(const Store& store, Instant now, Span soon) {
    const Zone zone = Zone::named(store.site().zone);
    std::vector<CheckState> states;
    for (const auto& probe : store.probes()) {
        states.push_back(state_of(store, probe, now, soon, zone));
    }
    return states;
}

std::size_t note_missed_checks(Store& store, const Stamp& stamp, std::optional<ProbeId> probe) {
    std::size_t noted = 0;
    store.atomically([&] {
        for (const CheckState& state : check_states(store, stamp.entered_at)) {
            if (probe && *probe != state.probe) {
                continue;
            }
            for (const Instant due : state.missed_now) {
                store.checks().note_missed({.probe = state.probe, .due = due}, stamp);
                ++noted;
            }
        }
    });
    return noted;
}

void fill_checks(Probe& probe, ProbeId id, const Store& store, Instant as_of) {
    const Checks& book = store.checks();
    const auto made = made_checks(book, id);
    probe.checks_kept = true;
    for (const auto& one : made) {
        const ProbeCheck& check = one.facts;
        // One that was made after `as_of` still tells of what was shown before.
        probe.checks.push_back({.at = check.at,
                                .shown_found = check.found,
                                .truth = check.expected,
                                .shown_left = check.left,
                                .passed = passed(check),
                                .usable = usable_after(check),
                                .method = std::string{to_name(check.method)}});
        if (check.at <= as_of) {
            probe.last_check = check.at;
        }
    }
    const auto all = store.probes();
    const auto self =
        std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.id == id; });
    if (self == all.end()) {
        return;
    }
    const DueDates dates =
        due_dates(book.schedules(), id, self->stamp.entered_at, instants_of(made, as_of), as_of,
                  Zone::named(store.site().zone));
    for (const Instant due : all_missed(dates, book, id)) {
        const auto next = std::find_if(made.begin(), made.end(),
                                       [&](const auto& one) { return one.facts.at > due; });
        const std::optional<Instant> to =
            next == made.end() ? std::nullopt : std::optional{next->facts.at};
        const bool goes_on = !probe.overdue.empty() && probe.overdue.back().to == to;
        if (!goes_on && due <= as_of) {
            probe.overdue.push_back({.from = due, .to = to});
        }
    }
}

} // namespace holdwarden::records
