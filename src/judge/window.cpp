#include "internal/window.hpp"

#include "messages.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using codes::Side;
using codes::TemperatureLimit;
using records::Reading;

namespace {

/// The first reading on the wrong side of a "from" limit: below A for a fall.
const Reading* first_wrong(Readings readings, const TemperatureLimit& limit) noexcept {
    const auto found = std::ranges::find_if(
        readings, [&](const Reading& r) { return limit.side(r.value) == Side::wrong; });
    return found == readings.end() ? nullptr : &*found;
}

/// The last reading that the decision rule trusts to be on the right side.
const Reading* last_right(const Case& c, Readings readings,
                          const TemperatureLimit& limit) noexcept {
    const auto found = std::find_if(readings.rbegin(), readings.rend(), [&](const Reading& r) {
        return c.says(r, limit) == Says::right;
    });
    return found == readings.rend() ? nullptr : &*found;
}

std::string when(const Case& c, const std::optional<Instant>& at) {
    return at ? c.day_and_clock(*at) : msg::unknown_time;
}

std::string estimate_text(const SpanBracket& b) {
    return b.estimate ? " " + fmt::format(msg::straight_line, to_text(*b.estimate)) : "";
}

} // namespace

std::string bracket_text(const SpanBracket& b) {
    if (b.earliest && b.latest) {
        return *b.earliest == *b.latest
                   ? to_text(*b.earliest)
                   : fmt::format(msg::between, to_text(*b.earliest), to_text(*b.latest));
    }
    if (b.earliest) {
        return fmt::format(msg::at_least, to_text(*b.earliest));
    }
    return msg::unknown_time;
}

std::string allowed_text(const codes::TimeLimit& within) {
    return either(within.figure_included, msg::within, msg::less_than, to_text(within.span));
}

std::string window_text(const std::string& from, const std::string& to,
                        const codes::TimeLimit& within) {
    return either(within.figure_included, msg::limit_within, msg::limit_in_less_than, from, to,
                  to_text(within.span));
}

ClockStart falling_start(const Case& c, Readings earlier, Readings inside,
                         const TemperatureLimit& from) {
    ClockStart start;
    const auto hot = [&](const Reading& r) { return from.side(r.value) == Side::right; };
    const Reading* below = first_wrong(inside, from);
    const Readings lead_in = below != nullptr ? before(inside, below->at) : inside;
    const bool enters_hot = std::ranges::any_of(lead_in, hot);
    const Reading* above = last_right(c, lead_in, from);
    if (above == nullptr) {
        above = last_right(c, earlier, from);
    }
    const auto last_hot = std::find_if(earlier.rbegin(), earlier.rend(), hot);
    if (!enters_hot && last_hot != earlier.rend()) {
        // The food enters below: as read, the clock started at the last fall before.
        const Reading* fallen = first_wrong(after(earlier, last_hot->at), from);
        below = fallen != nullptr ? fallen : below;
    }
    if (above != nullptr) {
        start.at.earliest = above->at;
        start.evidence.push_back(*above);
    } else {
        start.guarded_unsure = enters_hot || last_hot != earlier.rend();
    }
    if (below != nullptr) {
        start.at.latest = below->at;
        start.evidence.push_back(*below);
        if (above != nullptr) {
            start.estimate = interpolated(*above, *below, from);
        }
    }
    return start;
}

Reached reached(const Case& c, Readings lead, Readings scope, const TemperatureLimit& to) {
    Reached result;
    const auto trusted_as_read = [&](const Reading& r) {
        return to.side(r.value) == Side::right && !r.suspect;
    };
    const auto first = std::ranges::find_if(scope, trusted_as_read);
    // As read: reached after the last wrong reading before the first right one.
    result.shown = first != scope.end();
    const Instant first_at = first == scope.end() ? Instant::from_unix_ms(INT64_MAX) : first->at;
    const Reading* last_before = nullptr;
    for (const Readings part : {lead, scope}) {
        for (const Reading& r : before(part, first_at)) {
            if (to.side(r.value) == Side::wrong) {
                last_before = &r;
                result.earliest_sure =
                    c.surely_wrong(r, to) ? std::optional{r.at} : result.earliest_sure;
            }
        }
    }
    if (last_before != nullptr) {
        result.earliest = last_before->at;
        result.evidence.push_back(*last_before);
    }
    // Worst case: the first trusted reading after the last one that shows it lost, or not surely
    // kept.
    const Reading* last_wrong = nullptr;
    const Reading* last_unsure = nullptr;
    for (const Reading& r : scope) {
        const Says says = c.says(r, to);
        if (says == Says::wrong) {
            last_wrong = &r;
        }
        if (says != Says::right && !r.suspect) {
            last_unsure = &r;
        }
    }
    if (last_wrong == nullptr && last_before != nullptr) {
        result.last_wrong = last_before->at;
    } else if (last_wrong != nullptr) {
        result.last_wrong = last_wrong->at;
    }
    const Instant kept_after =
        last_wrong == nullptr ? Instant::from_unix_ms(INT64_MIN) : last_wrong->at;
    const Readings kept = after(scope, kept_after);
    if (const auto back = std::ranges::find_if(kept, trusted_as_read); back != kept.end()) {
        result.as_read = true;
        result.latest_as_read = back->at;
    }
    Instant sure_after = kept_after;
    if (last_unsure != nullptr) {
        sure_after = std::max(sure_after, last_unsure->at);
    }
    for (const Reading& r : after(scope, sure_after)) {
        if (c.says(r, to) == Says::right) {
            result.latest = r.at;
            result.evidence.push_back(r);
            const Reading* neighbour = last_wrong != nullptr ? last_wrong : last_before;
            if (neighbour != nullptr) {
                result.estimate = interpolated(*neighbour, r, to);
            }
            break;
        }
    }
    if (last_wrong != nullptr && last_wrong != last_before) {
        result.evidence.push_back(*last_wrong);
    }
    return result;
}

namespace {

/// The temperature was reached: met, not met, or the bounds do not tell.
void judge_reached(const Case& c, Finding& f, const ClockStart& start, const Reached& end,
                   const codes::TimeLimit& within, const WindowWords& words) {
    const Span allowed = within.span;
    const auto& best = f.elapsed.earliest;
    const auto& worst = f.elapsed.latest;
    if (worst) {
        f.margin.time = allowed - *worst;
    }
    if (worst && within.allows(*worst)) {
        f.verdict = Verdict::met;
        f.reason =
            fmt::format(msg::reached_in_time, words.starts, when(c, start.at.earliest),
                        words.target, when(c, end.latest), to_text(*worst), allowed_text(within));
        return;
    }
    if (best && *best >= allowed) {
        f.verdict = Verdict::not_met;
        f.margin.time = allowed - *best;
        f.reason =
            fmt::format(msg::reached_late, words.starts, when(c, start.at.latest), words.not_yet,
                        when(c, end.earliest), to_text(*best), allowed_text(within));
        return;
    }
    f.verdict = Verdict::not_shown;
    const bool in_time =
        start.at.earliest && within.allows(c.settings().as_of - *start.at.earliest);
    f.acts_as_missed = !in_time;
    if (!start.at.earliest && !start.guarded_unsure) {
        f.reason = fmt::format(msg::start_unknown, words.target, when(c, end.latest));
        f.settle =
            fmt::format(msg::would_take_before, words.from, to_text(allowed), when(c, end.latest));
        return;
    }
    if (!worst) {
        const std::string lacking = start.at.earliest ? words.target : words.from;
        const bool guarded = c.settings().rule == DecisionRule::guarded;
        f.reason = either(guarded, msg::none_clears_accuracy, msg::only_suspect_show, lacking);
        f.settle = !guarded  ? msg::confirming_would
                   : in_time ? fmt::format(msg::one_more_past_accuracy, words.target,
                                           c.day_and_clock(*start.at.earliest + allowed))
                             : msg::reading_past_accuracy_would;
        return;
    }
    f.reason = fmt::format(msg::reached_between, words.starts, when(c, start.at.earliest),
                           when(c, start.at.latest), words.target, when(c, end.earliest),
                           when(c, end.latest), bracket_text(f.elapsed), allowed_text(within)) +
               estimate_text(f.elapsed);
    f.settle =
        fmt::format(msg::reading_past_would, words.target, when(c, *start.at.earliest + allowed));
}

/// Not reached yet, or not kept: open, ended, not met, or not shown.
void judge_unreached(const Case& c, Finding& f, const ClockStart& start, const Reached& end,
                     const codes::TimeLimit& within, const ClockState& state,
                     const WindowWords& words) {
    const Span allowed = within.span;
    const auto& s = start.at;
    // Food that was there and warmed again was, at best, in time: a later return must not find a
    // milder verdict than this one.
    const std::optional<Instant>& not_there = end.shown ? end.earliest : end.last_wrong;
    if (s.latest && not_there && *not_there > *s.latest) {
        f.elapsed.earliest = *not_there - *s.latest;
    }
    const std::optional<Instant> closes =
        s.earliest ? std::optional{*s.earliest + allowed} : std::nullopt;
    if (s.earliest) {
        f.worst_so_far = state.now - *s.earliest;
    }
    if (closes && within.allows(state.now - *s.earliest)) {
        f.margin.time = *closes - state.now;
        if (state.over_early) {
            f.verdict = Verdict::ended;
            f.reason = fmt::format(msg::window_ended, c.day_and_clock(state.now),
                                   to_text(*f.margin.time), to_text(allowed));
            return;
        }
        f.verdict = Verdict::open;
        f.reason = fmt::format(msg::window_open, words.target, c.day_and_clock(*closes),
                               to_text(*f.margin.time));
        f.settle = fmt::format(msg::reading_past_will, words.target, c.day_and_clock(*closes));
        return;
    }
    if (f.elapsed.earliest && *f.elapsed.earliest >= allowed) {
        f.verdict = Verdict::not_met;
        f.margin.time = allowed - *f.elapsed.earliest;
        f.reason =
            fmt::format(msg::unreached_late, words.starts, when(c, s.latest), words.not_yet,
                        when(c, not_there), to_text(*f.elapsed.earliest), allowed_text(within));
        return;
    }
    f.verdict = Verdict::not_shown;
    f.acts_as_missed = true;
    if (!closes) {
        f.reason = fmt::format(msg::nothing_shown, words.target);
        f.settle = fmt::format(msg::would_take_at_start, words.from);
        return;
    }
    f.reason = fmt::format(msg::unreached_not_shown, c.day_and_clock(*closes), words.target);
    f.settle = fmt::format(msg::reading_by_would, c.day_and_clock(*closes));
}

} // namespace

void judge_window(const Case& c, Finding& f, const ClockStart& start, const Reached& end,
                  const codes::TimeLimit& within, const ClockState& state,
                  const WindowWords& words) {
    for (const auto* list : {&start.evidence, &end.evidence}) {
        for (const Reading& r : *list) {
            add_evidence(f, r);
        }
    }
    settle_evidence(f);
    if (!end.as_read) {
        judge_unreached(c, f, start, end, within, state, words);
        return;
    }
    if (start.at.latest) {
        f.elapsed.earliest =
            end.earliest ? std::max(Span{}, *end.earliest - *start.at.latest) : Span{};
    }
    if (start.at.earliest && end.latest) {
        f.elapsed.latest = *end.latest - *start.at.earliest;
    }
    if (start.estimate && end.estimate) {
        f.elapsed.estimate = *end.estimate - *start.estimate;
    }
    judge_reached(c, f, start, end, within, words);
}

} // namespace holdwarden::judge
