// Time as a public health control.
#include "internal/added_up.hpp"
#include "internal/rules.hpp"
#include "internal/time_out.hpp"
#include "internal/window.hpp"
#include "messages.hpp"

#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using codes::CeilingRule;
using codes::Requirement;
using codes::Side;
using codes::TimeControlRule;
using records::Reading;
using records::TimeControlForm;

namespace {

struct Form {
    const Requirement* requirement = nullptr;
    const TimeControlRule* rule = nullptr;
};

Form form_named(const Case& c, bool six_hour) {
    for (const Requirement* requirement : c.pack().find("time-control", c.lot().food)) {
        const auto* rule = std::get_if<TimeControlRule>(&requirement->rule);
        if (rule != nullptr && rule->six_hour_form == six_hour) {
            return {requirement, rule};
        }
    }
    return {};
}

/// `hot_left_out`: hot, for which the form has no figure.
enum class Start { cold, hot, hot_left_out, unknown, wrong };

struct StartFound {
    Start start = Start::unknown;
    std::vector<Reading> evidence;
    std::optional<Reading> wrong; ///< the reading that shows a wrong start
};

/// Whether the food was heated or held hot since a reading, or cooled or kept cold. A reading taken
/// in a hold speaks of that hold, one taken in a heating or a cooling not of what it came to.
bool was_in(const Case& c, bool cold, Instant read, Instant from) {
    return std::ranges::any_of(c.stages(), [&](const StageSpan& s) {
        const bool changes = s.stage == Stage::initial_heating || s.stage == Stage::cooking ||
                             s.stage == Stage::reheating || s.stage == Stage::cooling;
        const bool here = cold ? is_cold(s.stage)
                               : is_hot_hold(s.stage) || (changes && s.stage != Stage::cooling);
        return here && s.from < from && (changes ? s.to > read : s.from >= read);
    });
}

/// From where food is hot: the form's own figure, else the pack's; nullptr: it has none.
const codes::TemperatureLimit* hot_limit_of(const Case& c, const TimeControlRule& rule) {
    if (rule.hot_start || rule.adds_up_below) {
        return rule.hot_start ? &*rule.hot_start : &*rule.adds_up_below;
    }
    return hold_limit(c, "hot-holding");
}

bool was_put_to_cold(const Case& c, Instant read, Instant from) {
    return std::ranges::any_of(c.stages(), [&](const StageSpan& s) {
        return is_cold(s.stage) && s.from >= read && s.from < from;
    });
}

bool was_held_by_time(const Case& c, Instant read, Instant from) {
    return std::ranges::any_of(c.stages(), [&](const StageSpan& s) {
        return s.stage == Stage::time_control && s.from < from && s.to > read;
    });
}

/// Whether a reading says nothing of a start any more: food that was not hot was heated since, hot
/// food cooled, warm food put to the cold, or any of it was held by time.
bool is_outdated(const Case& c, const TimeControlRule& rule, const Reading& r, Instant from) {
    const codes::TemperatureLimit* hot_limit = hot_limit_of(c, rule);
    const bool hot = hot_limit != nullptr && hot_limit->side(r.value) == Side::right;
    const bool cold = rule.cold_start.side(r.value) == Side::right;
    return was_held_by_time(c, r.at, from) || was_in(c, hot, r.at, from) ||
           (!hot && !cold && was_put_to_cold(c, r.at, from));
}

/// Whether a point was hot when it was last read, and was put to the cold since.
bool is_unread_since_hot(const Case& c, const TimeControlRule& rule, const Case::Series& series,
                         Instant from) {
    const Readings earlier = before(series.readings, from);
    return !earlier.empty() && hot_limit_of(c, rule)->side(earlier.back().value) == Side::right &&
           was_in(c, true, earlier.back().at, from);
}

/// How the food started: the last reading of every point at or before the start, not older than the
/// largest interval. The worst of them speaks: one on the wrong side, or one hot and one cold, is
/// wrong; one that is outdated, inside the band or suspect proves nothing.
StartFound how_it_started(const Case& c, const TimeControlRule& rule, Instant from) {
    const codes::TemperatureLimit* hot_limit = hot_limit_of(c, rule);
    StartFound found;
    bool hot = false;
    bool cold = false;
    bool wrong = false;
    bool unsure = false;
    for (const Case::Series& series : c.series()) {
        const Readings recent =
            between(series.readings, from - c.settings().largest_interval, from);
        if (recent.empty()) {
            unsure = unsure || (rule.adds_up_below && is_unread_since_hot(c, rule, series, from));
            continue;
        }
        const Instant last = recent.back().at;
        for (const Reading& r : between(recent, last, last)) {
            if (is_outdated(c, rule, r, from)) {
                unsure = true;
                continue;
            }
            const bool cold_as_read = rule.cold_start.side(r.value) == Side::right;
            const bool hot_as_read =
                hot_limit != nullptr && hot_limit->side(r.value) == Side::right;
            const bool wrong_as_read = !cold_as_read && !hot_as_read;
            found.evidence.push_back(r);
            if (wrong_as_read && !wrong) {
                found.wrong = r;
            }
            cold = cold || (cold_as_read && !r.suspect);
            hot = hot || (hot_as_read && !r.suspect);
            wrong = wrong || wrong_as_read;
            unsure = unsure || (cold_as_read && c.says(r, rule.cold_start) != Says::right) ||
                     (hot_as_read && c.says(r, *hot_limit) != Says::right);
        }
    }
    if (hot && !wrong && !rule.hot_start) {
        found.start = Start::hot_left_out;
    } else if (wrong || (hot && cold)) {
        found.start = Start::wrong;
        found.wrong = found.wrong ? found.wrong : found.evidence.back();
    } else if (!unsure && (hot || cold)) {
        found.start = hot ? Start::hot : Start::cold;
    }
    return found;
}

/// How each of them started: the worst speaks, all readings are its evidence. Where all times add
/// up, those after the first are in the sum: a wrong start among them misses nothing by itself.
StartFound how_all_started(const Case& c, const TimeControlRule& rule,
                           const std::vector<Instant>& starts) {
    StartFound worst;
    std::vector<Reading> evidence;
    for (const Instant from : starts) {
        StartFound one = how_it_started(c, rule, from);
        evidence.insert(evidence.end(), one.evidence.begin(), one.evidence.end());
        if (rule.adds_up_below && from != starts.front() && one.start == Start::wrong) {
            one.start = Start::unknown;
        }
        if (from == starts.front() || one.start > worst.start) {
            worst = std::move(one);
        }
    }
    worst.evidence = std::move(evidence);
    return worst;
}

/// When the last reheat began that was met, at every point it was judged at.
Instant last_good_reheat(const std::vector<Finding>& findings, Instant until) {
    Instant last = Instant::from_unix_ms(INT64_MIN);
    for (const Finding& f : findings) {
        const bool everywhere = std::ranges::all_of(findings, [&](const Finding& other) {
            return other.requirement != f.requirement || other.stage_from != f.stage_from ||
                   other.stage != f.stage || other.verdict == Verdict::met;
        });
        if (f.requirement == "reheating" && f.stage_from < until && everywhere) {
            last = std::max(last, f.stage_from);
        }
    }
    return last;
}

/// A stage before a start whose limit was missed, and no good reheat since. Where all times add up,
/// that of a hold is in the sum, and no reheat takes anything back.
const Finding* unanswered_before(const TimeControlRule& rule, const std::vector<Finding>& findings,
                                 Instant until) {
    const Finding* worst = nullptr;
    const Instant last_reheat =
        rule.adds_up_below ? Instant::from_unix_ms(INT64_MIN) : last_good_reheat(findings, until);
    for (const Finding& f : findings) {
        const bool held = f.requirement == "hot-holding" || f.requirement == "hot-holding-roast" ||
                          f.requirement == "cold-holding";
        const bool cooling = f.requirement.starts_with("cooling-");
        const bool bad = f.verdict == Verdict::not_met || f.verdict == Verdict::not_shown ||
                         (cooling && f.verdict != Verdict::met); // broken off before it was cold
        if (((held && !rule.adds_up_below) || cooling) && f.counts && f.stage_from < until &&
            f.stage_from >= last_reheat && bad &&
            (worst == nullptr || f.verdict > worst->verdict)) {
            worst = &f;
        }
    }
    return worst;
}

bool is_put_back_by(Stage stage) noexcept {
    return is_hot_hold(stage) || is_cold(stage) || stage == Stage::reheating;
}

/// Food that left the cold only to be prepared and was put back, with no time control in between:
/// a return where all times add up.
std::vector<const StageSpan*> put_back_after_preparing(const Case& c) {
    std::vector<const StageSpan*> back;
    const auto& stages = c.stages();
    for (std::size_t i = 1; i < stages.size(); ++i) {
        const StageSpan* before = done_before(stages, i);
        if (stages[i - 1].stage == Stage::preparing && is_put_back_by(stages[i].stage) &&
            (before == nullptr || is_cold(before->stage))) {
            back.push_back(&stages[i]);
        }
    }
    return back;
}

/// The time spent up to a return. Outings are over before one.
SpanBracket spent_by(const std::vector<Outing>& outings, const AddedUp& added, Instant back) {
    SpanBracket spent = added.up_to(back);
    for (const Outing& outing : outings) {
        if (outing.from < back) {
            spent.earliest = *spent.earliest + outing.counted;
            spent.latest = *spent.latest + outing.counted;
        }
    }
    return spent;
}

/// The first return to holding, cooling or heating that the time spent up to it forbids for sure,
/// and the first that it may forbid; nullptr: none.
struct ForbiddenReturn {
    const StageSpan* surely = nullptr;
    const StageSpan* perhaps = nullptr;
};

ForbiddenReturn forbidden_return(const Case& c, const TimeControlRule& rule,
                                 const std::vector<Outing>& outings, const AddedUp& added) {
    std::vector<const StageSpan*> returns;
    if (rule.adds_up_below) {
        returns = put_back_after_preparing(c);
    }
    for (const Outing& outing : outings) {
        if (outing.back != nullptr) {
            returns.push_back(outing.back);
        }
    }
    std::ranges::sort(returns, {}, &StageSpan::from);
    ForbiddenReturn found;
    for (const StageSpan* back : returns) {
        const SpanBracket spent = spent_by(outings, added, back->from);
        if (!rule.return_within || !rule.return_within->allows(*spent.earliest)) {
            found.surely = found.surely == nullptr ? back : found.surely;
        }
        if (!rule.return_within || !rule.return_within->allows(*spent.latest)) {
            found.perhaps = found.perhaps == nullptr ? back : found.perhaps;
        }
    }
    return found;
}

bool more_than_one_spell(const std::vector<Outing>& outings) {
    return outings.size() > 1 || outings.front().spells_from.size() > 1;
}

/// Where each spell began: food that may go back starts anew, and has to be seen to. Where it may
/// not, the first start is that of all its time.
std::vector<Instant> starts_of(const TimeControlRule& rule, const std::vector<Outing>& outings) {
    if (!rule.return_within) {
        return {outings.front().from};
    }
    std::vector<Instant> starts;
    for (const Outing& outing : outings) {
        starts.insert(starts.end(), outing.spells_from.begin(), outing.spells_from.end());
    }
    return starts;
}

/// The worst of what was unanswered before any of the starts.
const Finding* unanswered_before_any(const TimeControlRule& rule,
                                     const std::vector<Finding>& findings,
                                     const std::vector<Instant>& starts) {
    const Finding* worst = nullptr;
    for (const Instant from : starts) {
        const Finding* one = unanswered_before(rule, findings, from);
        if (one != nullptr && (worst == nullptr || one->verdict > worst->verdict)) {
            worst = one;
        }
    }
    return worst;
}

/// A reading in the food after the time ran out shows it still there.
const Reading* reading_after(const Case& c, Instant deadline) {
    for (const Case::Series& series : c.series()) {
        const Readings late = after(series.readings, deadline);
        if (!late.empty()) {
            return &late.front();
        }
    }
    return nullptr;
}

/// What one entry of time control has to show of a ceiling.
struct Watched {
    StageSpan stage; ///< with the `preparing` that follows it
    Instant since;   ///< where the unbroken spell it belongs to began
    bool six_hours;
};

Watched watched_from(const Case& c, std::size_t entry, bool six_hours) {
    const auto& stages = c.stages();
    const auto is_out = [&](std::size_t i) {
        return stages[i].stage == Stage::time_control || stages[i].stage == Stage::preparing;
    };
    Watched watched{stages[entry], stages[entry].from, six_hours};
    for (std::size_t i = entry + 1; i < stages.size() && stages[i].stage == Stage::preparing; ++i) {
        watched.stage.to = stages[i].to;
        watched.stage.running = stages[i].running;
    }
    for (std::size_t i = entry; i-- > 0 && is_out(i);) {
        if (stages[i].stage == Stage::time_control) {
            watched.since = stages[i].from;
        }
    }
    return watched;
}

/// Whether nothing shows the food below the ceiling for longer than the largest interval: `seen`
/// are the instants that do, in a spell that goes on from before `stage`.
bool silent_in(const StageSpan& stage, std::vector<Instant> seen, Span largest) {
    std::ranges::sort(seen);
    seen.push_back(std::max(stage.to, seen.back()));
    for (std::size_t i = 1; i < seen.size(); ++i) {
        if (seen[i] > stage.from && seen[i] - seen[i - 1] > largest) {
            return true;
        }
    }
    return false;
}

void judge_ceiling(const Case& c, const Watched& watched, std::vector<Finding>& findings) {
    const StageSpan& stage = watched.stage;
    for (const Requirement* requirement : c.pack().find("time-control-ceiling", c.lot().food)) {
        const auto* rule = std::get_if<CeilingRule>(&requirement->rule);
        if (rule == nullptr || rule->six_hour_form != watched.six_hours) {
            continue;
        }
        Finding f = start_finding(*requirement, stage, "");
        f.limit = figure_of(rule->limit);
        const Reading* warmest = nullptr;
        bool unsure = false;
        std::vector<Instant> seen{watched.since};
        for (const Case::Series& series : c.series()) {
            for (const Reading& r : between(series.readings, watched.since, stage.from)) {
                if (c.says(r, rule->limit) == Says::right) {
                    seen.push_back(r.at);
                }
            }
            for (const Reading& r : between(series.readings, stage.from, stage.to)) {
                // By the figure of its own scale: 70 °F is within it, the cooler 21.1 °C is not.
                const auto room = [&](const Reading& x) {
                    return rule->limit.clearance(x.value).in(Scale::celsius).thousandths();
                };
                warmest = warmest == nullptr || room(r) < room(*warmest) ? &r : warmest;
                const Says says = c.says(r, rule->limit);
                unsure = unsure || says == Says::unsure;
                if (says == Says::right) {
                    seen.push_back(r.at);
                }
            }
        }
        const bool silent = silent_in(stage, std::move(seen), c.settings().largest_interval);
        if (warmest != nullptr) {
            add_evidence(f, *warmest);
            f.margin.temperature = rule->limit.clearance(warmest->value);
        }
        if (warmest != nullptr && rule->limit.side(warmest->value) == Side::wrong) {
            f.verdict = Verdict::not_met;
            f.reason =
                fmt::format(msg::ceiling_missed, to_text(warmest->value), c.clock(warmest->at),
                            rule->limit.figure_text(warmest->value.scale()));
        } else if (warmest == nullptr || silent || unsure) {
            f.verdict = Verdict::not_shown;
            f.reason = warmest == nullptr ? msg::not_read_while_out : msg::unproven_while_out;
            f.settle = fmt::format(msg::readings_would, rule->limit.to_text(),
                                   to_text(c.settings().largest_interval));
        } else {
            f.verdict = stage.running ? Verdict::open : Verdict::met;
            f.reason =
                fmt::format(msg::warmest_reading, to_text(warmest->value), c.clock(warmest->at));
        }
        findings.push_back(std::move(f));
    }
}

/// "41 °F (5 °C) or below or 135 °F (57 °C) or above"
std::string start_text(const TimeControlRule& rule) {
    const std::string cold = rule.cold_start.to_text();
    return rule.hot_start ? fmt::format(msg::cold_or_hot, cold, rule.hot_start->to_text()) : cold;
}

/// Every entry stands under the ceilings of the form that is judged. One said to be of the six-hour
/// form stays under that form's ceiling beside others that are not: past it such food is discarded.
void judge_ceilings(const Case& c, bool six_judged, bool six_by_entry,
                    std::vector<Finding>& findings) {
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        const StageSpan& stage = c.stages()[i];
        if (stage.stage == Stage::time_control) {
            const bool six = stage.entry->form == TimeControlForm::six_hours;
            judge_ceiling(c, watched_from(c, i, six_judged || (six_by_entry && six)), findings);
        }
    }
}

} // namespace

void judge_time_control(const Case& c, std::vector<Finding>& findings) {
    const auto first = std::ranges::find(c.stages(), Stage::time_control, &StageSpan::stage);
    if (first == c.stages().end()) {
        return;
    }
    const FormAsked asked = form_asked(c);
    const bool mixed = asked.any_six && !asked.all_six && form_named(c, true).rule != nullptr;
    Form form = form_named(c, asked.all_six);
    const Form four = form_named(c, false);
    if (form.rule == nullptr) {
        form = four;
    }
    if (form.rule == nullptr) {
        return;
    }
    std::string note = mixed ? msg::not_all_six_hours : "";
    if (form.rule->six_hour_form && four.rule != nullptr &&
        how_it_started(c, *form.rule, first->from).start == Start::hot_left_out) {
        form = four;
        note = msg::hot_start_four_hours;
    }
    const TimeControlRule& rule = *form.rule;
    const std::vector<Outing> outings = outings_of(c, counts_cooks(rule));
    const std::vector<Instant> starts = starts_of(rule, outings);
    const StartFound start = how_all_started(c, rule, starts);
    const codes::TimeLimit within =
        start.start == Start::hot && rule.hot_within ? *rule.hot_within : rule.within;
    Finding f = start_finding(*form.requirement, *first, "");
    f.limit = figure_of(rule.cold_start);
    f.limit.text = fmt::format(msg::limit_started, allowed_text(within), start_text(rule));
    f.limit.within = within.span;
    f.limit.time_included = within.figure_included;
    for (const Reading& r : start.evidence) {
        add_evidence(f, r);
    }
    if (!note.empty()) {
        f.notes.push_back(note);
    }
    const Outing& last = outings.back();
    const AddedUp added{c, rule};
    const Span by_clock = time_out(outings);
    const SpanBracket beside = added.up_to(c.now());
    const Span total = by_clock + *beside.earliest;
    const Span most = by_clock + *beside.latest;
    const Instant deadline = last.to + (within.span - most);
    f.elapsed = {total, std::nullopt, last.running ? std::nullopt : std::optional{most}};
    if (last.running) {
        f.worst_so_far = most;
    }
    f.margin.time = within.span - most;
    const std::string took = bracket_text({total, std::nullopt, most});
    const std::string in_time =
        either(within.figure_included, msg::by_then, msg::before_then, c.day_and_clock(deadline));
    const Finding* before_it = unanswered_before_any(rule, findings, starts);
    const ForbiddenReturn returned = forbidden_return(c, rule, outings, added);
    const bool over = !within.allows(total);
    const Instant ran_out = last.to + (within.span - total);
    const Reading* late = over ? reading_after(c, ran_out) : nullptr;
    const auto say = [&](Verdict verdict, std::string reason) {
        f.verdict = verdict;
        f.reason = std::move(reason);
    };
    if (start.start == Start::wrong) {
        say(Verdict::not_met, fmt::format(msg::wrong_start, start_text(rule),
                                          to_text(start.wrong->value), c.clock(start.wrong->at)));
    } else if (before_it != nullptr && before_it->verdict == Verdict::not_met) {
        say(Verdict::not_met, either(rule.adds_up_below.has_value(), msg::before_it_missed,
                                     msg::before_it_not_met, before_it->requirement));
    } else if (returned.surely != nullptr) {
        say(Verdict::not_met, fmt::format(msg::went_back, c.day_and_clock(returned.surely->from),
                                          to_words(returned.surely->stage)));
    } else if (rule.one_spell && more_than_one_spell(outings)) {
        say(Verdict::not_met, msg::second_spell);
    } else if (over && !last.running) {
        say(Verdict::not_met,
            fmt::format(msg::out_too_long, to_text(total),
                        within.figure_included ? to_text(within.span) : allowed_text(within)));
    } else if (over && late != nullptr) {
        add_evidence(f, *late);
        say(Verdict::not_met, fmt::format(msg::still_there, c.day_and_clock(ran_out),
                                          c.clock(late->at), to_text(late->value)));
    } else if (over) {
        say(Verdict::not_shown, fmt::format(msg::ran_out_unrecorded, c.day_and_clock(ran_out)));
        f.settle = fmt::format(msg::end_would_have, in_time);
        f.acts_as_missed = true;
    } else if (start.start == Start::unknown || start.start == Start::hot_left_out) {
        say(Verdict::not_shown,
            fmt::format(msg::start_not_shown, to_text(c.settings().largest_interval),
                        start_text(rule)));
        f.settle = msg::reading_at_start_would_have;
        f.acts_as_missed = true;
    } else if (before_it != nullptr) {
        say(Verdict::not_shown, fmt::format(msg::before_it_not_shown, before_it->requirement));
        f.acts_as_missed = true;
    } else if (!within.allows(most)) {
        say(Verdict::not_shown,
            fmt::format(msg::may_add_up_to, rule.cold_start.to_text(),
                        rule.adds_up_below->to_text(), took, allowed_text(within)));
        f.acts_as_missed = true;
    } else if (returned.perhaps != nullptr) {
        say(Verdict::not_shown,
            fmt::format(msg::may_not_go_back, c.day_and_clock(returned.perhaps->from),
                        to_words(returned.perhaps->stage), allowed_text(*rule.return_within)));
        f.acts_as_missed = true;
    } else if (last.running) {
        say(Verdict::open, fmt::format(msg::serve_by, in_time, to_text(deadline - c.now())));
        f.settle = fmt::format(msg::end_in_time_will, in_time);
    } else if (!c.end() && last.back == nullptr) {
        say(Verdict::not_shown, msg::no_end_recorded);
        f.settle = fmt::format(msg::end_would, in_time);
    } else {
        say(Verdict::met,
            last.back != nullptr
                ? fmt::format(msg::out_and_back, took, c.day_and_clock(last.back->from))
                : fmt::format(msg::out_and_ended, took, to_words(c.end()->outcome),
                              c.day_and_clock(c.end()->at)));
    }
    settle_evidence(f);
    findings.push_back(std::move(f));
    judge_ceilings(c, rule.six_hour_form, mixed && start.start != Start::hot, findings);
}

} // namespace holdwarden::judge
