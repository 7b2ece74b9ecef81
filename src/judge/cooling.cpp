// Cooling: attempts, their clocks, and the windows they must keep.
#include "internal/rules.hpp"
#include "internal/window.hpp"
#include "messages.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace holdwarden::judge {

using codes::Requirement;
using codes::TemperatureLimit;
using codes::WindowRule;
using codes::WindowStart;
using records::Reading;

namespace {

constexpr std::string_view kFromAmbient = "cooling-from-ambient";

bool goes_cold(Stage stage) noexcept {
    return stage == Stage::cooling || stage == Stage::cold_holding || stage == Stage::frozen;
}

/// One attempt to cool: from its first stage until it is done, broken off, or the record ends. A
/// reheat that does not meet the code breaks nothing off.
struct Attempt {
    std::size_t first_stage = 0;
    std::size_t last_stage = 0;
    Instant earlier_from; ///< readings before the attempt count from here (the last good reheat, or
                          ///< ever)
    std::optional<Instant> broken; ///< a good reheat began here
    int number = 1;
    Instant until; ///< when the food began to be reheated, thawed or held by time; a rest before
                   ///< that still shows whether it was cooled
};

struct Window {
    const Requirement* requirement;
    const WindowRule* rule;
};

/// Whether the window for food made from room-temperature ingredients applies: the lot says so, the
/// pack has one, and nothing on record shows the food hot.
bool is_from_ambient(const Case& c) {
    if (!c.lot().made_from_ambient || c.pack().find_one(kFromAmbient, c.lot().food) == nullptr) {
        return false;
    }
    const bool heated = std::ranges::any_of(c.stages(), [](const StageSpan& s) {
        return s.stage == Stage::initial_heating || s.stage == Stage::cooking ||
               s.stage == Stage::reheating || is_hot_hold(s.stage);
    });
    const TemperatureLimit* hot = hold_limit(c, "hot-holding");
    const bool read_hot =
        hot != nullptr && std::ranges::any_of(c.series(), [&](const Case::Series& s) {
            return std::ranges::any_of(s.readings, [&](const Reading& r) {
                return hot->side(r.value) == codes::Side::right;
            });
        });
    return !heated && !read_hot;
}

/// The windows that apply to the lot, those that follow another one last.
std::vector<Window> windows_of(const Case& c) {
    const bool ambient = is_from_ambient(c);
    std::vector<Window> windows;
    for (const Requirement& requirement : c.pack().requirements) {
        const auto* rule = std::get_if<WindowRule>(&requirement.rule);
        const bool cooling =
            requirement.id.starts_with("cooling-") && requirement.covers(c.lot().food);
        if (rule != nullptr && cooling && (requirement.id == kFromAmbient) == ambient) {
            windows.push_back({&requirement, rule});
        }
    }
    std::stable_partition(windows.begin(), windows.end(), [](const Window& w) {
        return w.rule->start != WindowStart::end_of_window;
    });
    return windows;
}

/// The coldest target any window has: reaching it ends an attempt.
const TemperatureLimit* coldest_target(const std::vector<Window>& windows) {
    const TemperatureLimit* coldest = nullptr;
    const auto figure = [](const TemperatureLimit& l) {
        return l.printed(Scale::fahrenheit) ? *l.printed(Scale::fahrenheit)
                                            : *l.printed(Scale::celsius);
    };
    for (const Window& w : windows) {
        if (w.rule->to &&
            (coldest == nullptr || physical_order(figure(*w.rule->to), figure(*coldest)) < 0)) {
            coldest = &*w.rule->to;
        }
    }
    return coldest;
}

/// Whether a cooling may end warmer than the food is to be kept.
bool ends_above(const TemperatureLimit& target, const TemperatureLimit& cold) {
    const auto figure = target.printed(Scale::celsius);
    const auto kept = cold.printed(Scale::celsius);
    return figure && kept && physical_order(*figure, *kept) > 0;
}

bool comes_hot(const StageSpan& previous) noexcept {
    return previous.stage == Stage::initial_heating || previous.stage == Stage::cooking ||
           previous.stage == Stage::reheating || is_hot_hold(previous.stage);
}

/// Whether food that enters a stage without a cooling stage is still to be cooled: it came from a
/// hot stage; or nothing is known before, and it was made of ingredients at room temperature or
/// its first reading is above the target. Thawing cools what comes hot, nothing else.
bool enters_to_cool(const Case& c, std::size_t i, const TemperatureLimit& target) {
    const StageSpan& stage = c.stages()[i];
    if (stage.stage == Stage::cooling) {
        return true;
    }
    const StageSpan* previous = done_before(c.stages(), i);
    if (!goes_cold(stage.stage)) {
        return stage.stage == Stage::thawing && previous != nullptr && comes_hot(*previous);
    }
    if (previous != nullptr) {
        return comes_hot(*previous);
    }
    if (read_hot_by(c, stage.from)) {
        return true;
    }
    return is_from_ambient(c) || std::ranges::any_of(c.series(), [&](const Case::Series& s) {
               const Readings readings = between(s.readings, stage.from, stage.to);
               return !readings.empty() &&
                      target.side(readings.front().value) == codes::Side::wrong;
           });
}

bool reheat_met(const std::vector<Finding>& reheats, const StageSpan& stage) {
    return Case::worst_of(reheats, "reheating", stage) == Verdict::met;
}

bool is_reheat(const Case& c, std::size_t i) {
    return c.stages()[i].stage == Stage::reheating || put_in_cold(c, i) != ColdIn::no;
}

/// What ends an attempt and lets the next start anew: a reheat that met the code, or the full cook
/// of food that was heated in part.
bool starts_anew(const Case& c, std::size_t i, const std::vector<Finding>& reheats,
                 const std::vector<Finding>& cooks) {
    return (is_reheat(c, i) && reheat_met(reheats, c.stages()[i])) || cook_in_full(c, i, cooks);
}

std::vector<Attempt> attempts_of(const Case& c, const std::vector<Finding>& reheats,
                                 const std::vector<Finding>& cooks,
                                 const TemperatureLimit& target) {
    const auto& stages = c.stages();
    std::vector<Attempt> attempts;
    Instant earlier_from = Instant::from_unix_ms(INT64_MIN);
    for (std::size_t i = 0; i < stages.size(); ++i) {
        if (!enters_to_cool(c, i, target)) {
            if (starts_anew(c, i, reheats, cooks)) {
                earlier_from = stages[i].from;
            }
            continue;
        }
        Attempt a;
        a.first_stage = i;
        a.earlier_from = earlier_from;
        a.number = static_cast<int>(attempts.size()) + 1;
        std::size_t k = i;
        a.last_stage = i;
        for (; k < stages.size(); ++k) {
            if (starts_anew(c, k, reheats, cooks)) {
                a.broken = stages[k].from;
                earlier_from = stages[k].from;
                break;
            }
            if (k == i || goes_cold(stages[k].stage)) {
                a.last_stage = k;
            } else if (stages[k].stage == Stage::thawing ||
                       stages[k].stage == Stage::time_control) {
                break; // the cold life of the food goes on without a clock
            }
        }
        std::size_t next = a.last_stage + 1;
        while (next < k && !is_reheat(c, next)) {
            ++next;
        }
        a.until = next < stages.size() ? stages[next].from : stages.back().to;
        attempts.push_back(a);
        i = k; // a reheat, thawing, time control, or the end: none starts an attempt
    }
    return attempts;
}

/// When food last came hot into a cold stage of an attempt that was on already: a heating that
/// started no new clock. nullopt: never, or a cooling stage came after it.
std::optional<Instant> hot_again(const Case& c, const Attempt& a) {
    std::optional<Instant> again;
    for (std::size_t i = a.first_stage + 1; i <= a.last_stage; ++i) {
        const StageSpan* before = done_before(c.stages(), i);
        if (c.stages()[i].stage == Stage::cooling) {
            again.reset();
        } else if (goes_cold(c.stages()[i].stage) && before != nullptr && comes_hot(*before)) {
            again = c.stages()[i].from;
        }
    }
    return again;
}

/// When food that was being cooled was heated again, and then cooled on: by a cook or a reheat that
/// starts no new clock. nullopt: never, or it had stayed hot till then.
std::optional<Instant> heated_within(const Case& c, const Attempt& a) {
    for (std::size_t i = a.first_stage + 1; i < a.last_stage; ++i) {
        const StageSpan& stage = c.stages()[i];
        const bool heats =
            is_hot_hold(stage.stage) ? put_in_cold(c, i) != ColdIn::no : comes_hot(stage);
        if (heats && !stays_hot(c, c.stages()[a.first_stage].from, stage.from)) {
            return stage.from;
        }
    }
    return std::nullopt;
}

/// The readings a clock runs over. A cooling stage counts whole: food may warm again in it. In a
/// cold stage that follows, or that food came hot into again, only until the food first reaches the
/// target; after that cold holding speaks.
Readings scope_of(const Case& c, const Attempt& a, Readings all, const TemperatureLimit& target) {
    const auto& stages = c.stages();
    const Instant from = stages[a.first_stage].from;
    Instant cooling_until = from;
    for (std::size_t i = a.first_stage; i <= a.last_stage; ++i) {
        if (stages[i].stage == Stage::cooling) {
            cooling_until = stages[i].to;
        }
    }
    const Readings in_cooling = between(all, from, cooling_until);
    const std::optional<Instant> again = hot_again(c, a);
    if (!again && !in_cooling.empty() && reached(c, {}, in_cooling, target).as_read) {
        return in_cooling;
    }
    Readings whole = between(all, from, again ? stages[a.last_stage].to : a.until);
    for (std::size_t i = in_cooling.size(); i < whole.size(); ++i) {
        if (!whole[i].suspect && whole[i].at >= again.value_or(from) &&
            target.side(whole[i].value) == codes::Side::right) {
            std::size_t end = i;
            c.says_instant(whole, end, target);
            return whole.first(end);
        }
    }
    return whole;
}

std::string figure_text(const TemperatureLimit& limit, Readings readings) {
    return limit.figure_text(
        readings.empty() ? (limit.printed(Scale::fahrenheit) ? Scale::fahrenheit : Scale::celsius)
                         : readings.front().value.scale());
}

/// The cook before the attempt, or a good reheat since; nullptr if there is none on record.
const StageSpan* last_heating(const Case& c, const Attempt& a) {
    for (std::size_t i = a.first_stage; i-- > 0;) {
        const StageSpan& stage = c.stages()[i];
        const bool good_reheat = is_reheat(c, i) && stage.from == a.earlier_from;
        if (stage.stage == Stage::cooking || good_reheat) {
            return &stage;
        }
    }
    return nullptr;
}

/// When a heating ended: with its stage; where food was read hot in it and then no longer, between
/// those readings; of a hot hold that cold food was heated in, at its beginning.
ClockStart end_of_heating(const Case& c, const StageSpan& heated, Readings all) {
    const Instant end = is_hot_hold(heated.stage) ? heated.from : heated.to;
    ClockStart ended{.at = {end, end}, .estimate = end, .evidence = {}};
    const TemperatureLimit* hot = hold_limit(c, "hot-holding");
    if (hot == nullptr || is_hot_hold(heated.stage)) {
        return ended;
    }
    const Reading* last_hot = nullptr;
    const Reading* below = nullptr;
    for (const Reading& r : between(all, heated.from, heated.to)) {
        const Says says = c.says(r, *hot);
        if (says == Says::right) {
            last_hot = &r;
            below = nullptr;
        } else if (says == Says::wrong && !r.suspect && below == nullptr) {
            below = &r;
        }
    }
    if (last_hot != nullptr && below != nullptr) {
        ended = {.at = {last_hot->at, below->at},
                 .estimate = interpolated(*last_hot, *below, *hot),
                 .evidence = {*last_hot, *below}};
    }
    return ended;
}

/// Whether a point that was read warm before an attempt is not read in it, and is next read cooler
/// after it: it cooled, and nobody saw how fast.
bool cooled_unread(const Case& c, const Attempt& a, const TemperatureLimit& target, Readings all) {
    const Readings earlier = before(all, c.stages()[a.first_stage].from);
    const Readings later = after(all, c.stages()[a.last_stage].to);
    return !earlier.empty() && earlier.back().at >= a.earlier_from && !later.empty() &&
           target.side(earlier.back().value) == codes::Side::wrong &&
           physical_order(later.front().value, earlier.back().value) < 0;
}

struct Judged {
    ClockStart start;
    Reached end;
};

class AttemptJudge {
public:
    AttemptJudge(const Case& c, const Attempt& a, const std::vector<Window>& windows,
                 const TemperatureLimit& target, const Case::Series& series)
        : c_{c}, a_{a}, windows_{windows}, series_{series}, scope_{scope_of(c, a, series.readings,
                                                                            target)},
          earlier_{between(before(series.readings, c.stages()[a.first_stage].from), a.earlier_from,
                           Instant::from_unix_ms(INT64_MAX))} {}

    void judge(std::vector<Finding>& findings, bool several) {
        for (const Window& w : windows_) {
            Finding f = judge_one(w);
            if (several) {
                f.notes.push_back(fmt::format(msg::cooling_attempt, a_.number));
            }
            if (a_.broken && f.verdict == Verdict::ended) {
                f.counts = false;
                f.reason = either(broken_by_cook(), msg::broken_off_by_cook,
                                  msg::broken_off_by_reheat, c_.day_and_clock(*a_.broken));
            }
            if (f.verdict == Verdict::met && is_unread_since_hot_again()) {
                f.verdict = Verdict::not_shown;
                f.acts_as_missed = true;
                f.reason = msg::not_read_since_heated_again;
            }
            findings.push_back(std::move(f));
        }
    }

    /// From when cold holding binds in a stage: when the coldest target was first reached, or its
    /// time ran out.
    std::optional<Instant> cold_binds(const StageSpan& stage, const TemperatureLimit& cold) const {
        std::optional<Instant> binds;
        const auto earlier = [&](Instant at) { binds = binds ? std::min(*binds, at) : at; };
        const std::optional<Instant> again = hot_again(c_, a_);
        const bool is_again = again && *again <= stage.from;
        for (const Reading& r :
             between(series_.readings, is_again ? *again : c_.stages()[a_.first_stage].from,
                     stage.to)) {
            if (!r.suspect && cold.side(r.value) == codes::Side::right) {
                earlier(r.at);
                break;
            }
        }
        std::optional<Instant> last_deadline;
        for (const Window& w : windows_) {
            const auto found = judged_.find(key(w));
            if (found != judged_.end() && found->second.start.at.latest) {
                const Instant deadline = *found->second.start.at.latest + w.rule->within.span;
                last_deadline = last_deadline ? std::max(*last_deadline, deadline) : deadline;
            }
        }
        if (last_deadline && *last_deadline <= c_.now() && !is_again) {
            earlier(*last_deadline);
        }
        if (!binds || *binds > stage.to) {
            return std::nullopt;
        }
        return std::max(*binds, stage.from);
    }

private:
    Finding judge_one(const Window& w) {
        const StageSpan& stage = c_.stages()[a_.first_stage];
        Finding f = start_finding(*w.requirement, stage, series_.point);
        const WindowRule& rule = *w.rule;
        if (rule.to_stage) {
            judge_stage_start(f, rule);
            return f;
        }
        Judged j;
        j.start = clock_start(rule, w.requirement->option);
        const TemperatureLimit& to = *rule.to;
        j.end = reached(c_, earlier_, scope_, to);
        f.limit = figure_of(to);
        f.limit.within = rule.within.span;
        f.limit.time_included = rule.within.figure_included;
        f.limit.text = window_text(rule.from ? rule.from->figure_text(scale()) : start_name(rule),
                                   to.to_text(), rule.within);
        ClockState state{c_.now(), c_.end().has_value()};
        if (a_.broken) {
            state = {*a_.broken, true};
        }
        WindowWords words;
        words.target = figure_text(to, scope_);
        words.not_yet = fmt::format(msg::still_above, words.target);
        words.starts = rule.from && rule.start == WindowStart::falls_below
                           ? fmt::format(msg::food_fell_below, figure_text(*rule.from, scope_))
                           : start_sentence(rule);
        words.from = rule.from
                         ? fmt::format(msg::reading_at_or_above, figure_text(*rule.from, scope_))
                         : msg::record_of_start;
        if (scope_.empty() && earlier_.empty()) {
            f.verdict = Verdict::not_shown;
            f.reason = msg::no_reading_taken;
            f.settle = fmt::format(msg::would_take_both, words.from, words.target);
            f.acts_as_missed = !rule.within.allows(c_.now() - stage.from);
        } else {
            judge_window(c_, f, j.start, j.end, rule.within, state, words);
        }
        judged_[key(w)] = std::move(j);
        return f;
    }

    /// A time within which the attempt itself must begin: both ends are entries, so nothing is
    /// bracketed.
    void judge_stage_start(Finding& f, const WindowRule& rule) const {
        const Instant began = c_.stages()[a_.first_stage].from;
        const StageSpan* heated =
            rule.start == WindowStart::end_of_cooking ? last_heating(c_, a_) : nullptr;
        f.limit.text =
            either(rule.within.figure_included, msg::begun_within, msg::begun_in_less_than,
                   to_words(*rule.to_stage), to_text(rule.within.span), start_name(rule));
        f.limit.within = rule.within.span;
        f.limit.time_included = rule.within.figure_included;
        if (heated == nullptr) {
            f.verdict = Verdict::not_shown;
            f.reason = fmt::format(msg::no_record_before, start_name(rule));
            return;
        }
        const Span took = began - heated->to;
        f.elapsed = {took, std::nullopt, took};
        f.margin.time = rule.within.span - took;
        f.verdict = rule.within.allows(took) ? Verdict::met : Verdict::not_met;
        f.reason = fmt::format(msg::chilling_began, c_.day_and_clock(heated->to),
                               c_.day_and_clock(began), to_text(took), to_text(rule.within.span));
    }

    bool is_unread_since_hot_again() const {
        const std::optional<Instant> again = hot_again(c_, a_);
        return again && std::ranges::none_of(c_.series(), [&](const Case::Series& series) {
                   return !between(series.readings, *again, c_.stages()[a_.last_stage].to).empty();
               });
    }

    bool broken_by_cook() const {
        return std::ranges::any_of(c_.stages(), [&](const StageSpan& s) {
            return s.from == *a_.broken && s.stage == Stage::cooking;
        });
    }

    Scale scale() const noexcept {
        const Readings readings = scope_.empty() ? earlier_ : scope_;
        return readings.empty() ? Scale::fahrenheit : readings.front().value.scale();
    }

    /// The second window of an option follows the first of the same option.
    static std::string key(const Window& w) {
        return w.requirement->option + "/" + w.requirement->id;
    }

    ClockStart clock_start(const WindowRule& rule, const std::string& option) const {
        ClockStart start;
        switch (rule.start) {
        case WindowStart::end_of_window: {
            // The second window starts with the bracket in which the first ended.
            const auto first = judged_.find(option + "/" + rule.after);
            if (first != judged_.end()) {
                const Reached& end = first->second.end;
                start.at.earliest = end.as_read ? end.earliest_sure : end.last_wrong;
                start.at.latest = end.latest_as_read;
                start.estimate = end.estimate;
            }
            return start;
        }
        case WindowStart::end_of_cooking: {
            const StageSpan* heated = last_heating(c_, a_);
            return heated == nullptr ? start : end_of_heating(c_, *heated, series_.readings);
        }
        case WindowStart::stage_start: {
            const Instant from = c_.stages()[a_.first_stage].from;
            start.at = {from, from};
            start.estimate = from;
            return start;
        }
        default:
            start = fall_below(*rule.from);
            if (!start.at.earliest && !start.guarded_unsure) {
                // Never read at the start: food heated in part was not hot before it was heated.
                start.at.earliest = first_heated(c_, a_.first_stage);
            }
            return start;
        }
    }

    /// What was read only when a reheat began, or after the food was heated again, does not show
    /// that it was hot till then.
    ClockStart fall_below(const TemperatureLimit& from) const {
        Readings whole = scope_;
        while (!whole.empty() && a_.until < c_.stages().back().to && whole.back().at == a_.until &&
               from.side(whole.back().value) == codes::Side::right) {
            whole = whole.first(whole.size() - 1);
        }
        const std::optional<Instant> heated = heated_within(c_, a_);
        ClockStart start = falling_start(c_, earlier_, whole, from);
        if (heated) {
            const ClockStart first = falling_start(c_, earlier_, before(whole, *heated), from);
            start.at.earliest = first.at.earliest;
            start.at.latest = first.at.latest ? first.at.latest : start.at.latest;
            start.estimate = first.estimate;
            start.guarded_unsure = first.guarded_unsure;
            start.evidence.insert(start.evidence.begin(), first.evidence.begin(),
                                  first.evidence.end());
        }
        return start;
    }

    static std::string start_name(const WindowRule& rule) {
        return rule.start == WindowStart::end_of_cooking  ? msg::end_of_cooking
               : rule.start == WindowStart::end_of_window ? msg::end_of_first_window
                                                          : msg::start_of_cooling;
    }
    std::string start_sentence(const WindowRule& rule) const {
        const StageSpan* heated = last_heating(c_, a_);
        const bool reheated = heated != nullptr && heated->stage != Stage::cooking;
        return rule.start == WindowStart::end_of_cooking
                   ? either(reheated, msg::reheat_ended, msg::cook_ended)
               : rule.start == WindowStart::end_of_window ? msg::first_window_ended
                                                          : msg::cooling_began;
    }

    const Case& c_;
    const Attempt& a_;
    const std::vector<Window>& windows_;
    const Case::Series& series_;
    Readings scope_;
    Readings earlier_;
    std::map<std::string, Judged> judged_;
};

} // namespace

bool has_cooling_times(const Case& c) {
    return !windows_of(c).empty();
}

std::vector<std::vector<std::optional<Instant>>>
judge_cooling(const Case& c, const std::vector<Finding>& reheats, std::vector<Finding>& findings) {
    std::vector<std::vector<std::optional<Instant>>> binds(c.stages().size());
    const std::vector<Window> windows = windows_of(c);
    const TemperatureLimit* target = coldest_target(windows);
    if (target == nullptr) {
        return binds;
    }
    const TemperatureLimit* cold = hold_limit(c, "cold-holding");
    const std::vector<Attempt> attempts = attempts_of(c, reheats, findings, *target);
    const Case::Series nameless{"", {}};
    for (const Attempt& a : attempts) {
        const Instant from = c.stages()[a.first_stage].from;
        const Instant to = c.stages()[a.last_stage].to;
        bool any = false;
        for (std::size_t k = 0; k < c.series().size(); ++k) {
            const Case::Series& series = c.series()[k];
            const bool here = !between(series.readings, from, to).empty() ||
                              cooled_unread(c, a, *target, series.readings);
            AttemptJudge judge{c, a, windows, *target, series};
            if (here) {
                judge.judge(findings, attempts.size() > 1);
                any = true;
            }
            for (std::size_t i = a.first_stage; cold != nullptr && i <= a.last_stage; ++i) {
                // Where a cooling ends above the limit, cold holding binds in the cooling stage
                // too.
                if (c.stages()[i].stage == Stage::cold_holding ||
                    (c.stages()[i].stage == Stage::cooling && ends_above(*target, *cold))) {
                    binds[i].resize(c.series().size());
                    binds[i][k] = here ? judge.cold_binds(c.stages()[i], *cold) : std::nullopt;
                }
            }
        }
        if (!any) {
            // Nobody measured during the attempt: the series that came before tell what is known,
            // else nothing is.
            const Case::Series& known = c.series().empty() ? nameless : c.series().front();
            AttemptJudge{c, a, windows, *target, known}.judge(findings, attempts.size() > 1);
        }
    }
    return binds;
}

} // namespace holdwarden::judge
