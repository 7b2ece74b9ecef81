// All times between the cold and the hot limit, added up by the readings. At most, the whole life
// counts but for what readings vouch for and for what other limits look at; each exemption only
// where readings show it.
#include "internal/added_up.hpp"

#include <algorithm>
#include <iterator>
#include <optional>
#include <span>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using codes::TimeControlRule;
using records::Reading;

namespace {

/// What the readings of one point at one instant show.
enum class Band { cold, hot, between, unsure };

struct Shown {
    Instant at;
    Band band;
};

/// One point's readings, in order.
using Point = std::vector<Shown>;

bool is_good(Band band) noexcept {
    return band == Band::cold || band == Band::hot;
}

Band band_of(const Case& c, const TimeControlRule& rule, const Reading& r) {
    const TemperatureLimit& cold = rule.cold_start;
    const TemperatureLimit& hot = *rule.adds_up_below;
    if (c.says(r, cold) == Says::right) {
        return Band::cold;
    }
    if (c.says(r, hot) == Says::right) {
        return Band::hot;
    }
    return c.surely_wrong(r, cold) && c.surely_wrong(r, hot) ? Band::between : Band::unsure;
}

Point shown_by(const Case& c, const TimeControlRule& rule, Readings readings) {
    Point shown;
    for (const Reading& r : readings) {
        const Band band = band_of(c, rule, r);
        if (!shown.empty() && shown.back().at == r.at) { // of one instant: they agree, or who knows
            shown.back().band = shown.back().band == band ? band : Band::unsure;
        } else {
            shown.push_back({r.at, band});
        }
    }
    return shown;
}

/// What a stage is to the food.
enum class Does {
    out, ///< counts by the clock, as time out (time_out.hpp), not here
    bench,
    cook,
    reheat,
    hold,
    cool,
    chill,
    freeze,
    thaw,
};

/// A stage of the food's life.
struct Part {
    Instant from;
    Instant to;
    Does does;
};

Does done_in(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    switch (stages[i].stage) {
    case Stage::time_control:
        return Does::out;
    case Stage::preparing:
        return follows_time_control(stages, i) ? Does::out : Does::bench;
    case Stage::initial_heating:
    case Stage::cooking:
        return Does::cook;
    case Stage::reheating:
        return Does::reheat;
    case Stage::resting:
    case Stage::hot_holding:
        return Does::hold;
    case Stage::cooling:
        return Does::cool;
    case Stage::cold_holding:
        return Does::chill;
    case Stage::thawing:
        return Does::thaw;
    case Stage::frozen:
        return Does::freeze;
    }
    return Does::bench;
}

bool heats(Does does) noexcept {
    return does == Does::cook || does == Does::reheat;
}

bool is_hot_part(Does does) noexcept {
    return heats(does) || does == Does::hold;
}

/// Where food that came hot is cooled.
bool cools(Does does) noexcept {
    return does == Does::cool || does == Does::chill || does == Does::freeze;
}

bool meets(const Part& part, Instant a, Instant b) noexcept {
    return part.from < b && a < part.to;
}

void add(const Interval& time, std::vector<Interval>& to) {
    if (time.from < time.to) {
        to.push_back(time);
    }
}

Interval common(const Interval& a, const Interval& b) noexcept {
    return {std::max(a.from, b.from), std::min(a.to, b.to)};
}

/// `times` but for what lies in `holes`.
std::vector<Interval> without(std::vector<Interval> times, std::vector<Interval> holes) {
    holes = joined(std::move(holes));
    std::vector<Interval> left;
    for (const Interval& time : joined(std::move(times))) {
        Instant from = time.from;
        auto hole = std::ranges::upper_bound(holes, time.from, {}, &Interval::to);
        for (; hole != holes.end() && hole->from < time.to; ++hole) {
            add({from, hole->from}, left);
            from = hole->to;
        }
        add({from, time.to}, left);
    }
    return left;
}

/// Cold stages that follow each other, with what is prepared between them, where food may be cooled
/// from hot under limits of its own (judge_cooling).
struct ColdRun {
    Instant from;
    Instant to;
    std::optional<Instant> hot_from; ///< where the hot stages before it began; nullopt: nothing is
                                     ///< known before it
};

/// Where the hot stages before part `i` began, with what is prepared between them.
Instant hot_since(const std::vector<Part>& parts, std::size_t i) noexcept {
    std::size_t first = i;
    while (first > 0 &&
           (is_hot_part(parts[first - 1].does) || parts[first - 1].does == Does::bench)) {
        --first;
    }
    return parts[first].from;
}

/// From when food may be cooled in the cold stages [i, end); nullopt: time control or thawing came
/// before them, or nothing did and none of them is a cooling.
std::optional<ColdRun> cold_run(const std::vector<Part>& parts, std::size_t i, std::size_t end) {
    const auto cold = std::span{parts}.subspan(i, end - i);
    const Instant to = cold.back().to;
    std::size_t before = i;
    while (before > 0 && parts[before - 1].does == Does::bench) {
        --before;
    }
    if (before == 0) {
        const auto cooling = std::ranges::find(cold, Does::cool, &Part::does);
        return cooling != cold.end() ? std::optional{ColdRun{cooling->from, to, std::nullopt}}
                                     : std::nullopt;
    }
    if (!is_hot_part(parts[before - 1].does)) {
        return std::nullopt;
    }
    return ColdRun{cold.front().from, to, hot_since(parts, before)};
}

std::vector<ColdRun> cold_runs(const std::vector<Part>& parts) {
    std::vector<ColdRun> runs;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (!cools(parts[i].does)) {
            continue;
        }
        std::size_t end = i;
        while (end < parts.size() && (cools(parts[end].does) || parts[end].does == Does::bench)) {
            ++end;
        }
        if (const auto run = cold_run(parts, i, end)) {
            runs.push_back(*run);
        }
        i = end - 1;
    }
    return runs;
}

/// The first hot reading of a point in a stage: a boundary is in both its stages.
std::optional<Instant> first_hot(const Part& part, const Point& point) noexcept {
    const auto hot = std::ranges::find_if(point, [&](const Shown& r) {
        return r.band == Band::hot && part.from <= r.at && r.at <= part.to;
    });
    return hot == point.end() ? std::nullopt : std::optional{hot->at};
}

/// A cook in which a point came hot for the first time since it left the cold, up to that reading:
/// no limit of the code looks at how long it takes. nullopt: not shown.
std::optional<Interval> heated_in(const std::vector<Part>& parts, std::size_t i,
                                  const Point& point) noexcept {
    if (parts[i].does != Does::cook) {
        return std::nullopt;
    }
    const Instant since = hot_since(parts, i);
    const auto hot = std::ranges::find_if(
        point, [&](const Shown& r) { return r.band == Band::hot && since <= r.at; });
    return hot != point.end() && parts[i].from <= hot->at && hot->at <= parts[i].to
               ? std::optional{Interval{parts[i].from, hot->at}}
               : std::nullopt;
}

/// While a point is cooled: it came hot, and was read cold before the cold stages ended. nullopt:
/// not shown; a cooling that was broken off or that nobody read counts.
std::optional<Interval> cooled_in(const ColdRun& run, const Point& point) noexcept {
    std::optional<Instant> hot;
    for (const Shown& r : point) {
        if (r.at > run.to) {
            break;
        }
        if (r.band == Band::cold && r.at >= run.from) {
            return hot ? std::optional{Interval{std::max(*hot, run.from), r.at}} : std::nullopt;
        }
        if (r.band == Band::cold) {
            hot.reset();
        } else if (r.band == Band::hot && !hot && (!run.hot_from || r.at >= *run.hot_from)) {
            hot = r.at;
        }
    }
    return std::nullopt;
}

/// Whether a stage that lies between two good readings of one side, or reaches to the later one,
/// leaves open what the food was in it and after it. On a bench food does not become good again,
/// nor cold where it is heated or hot where it is cooled: the later reading speaks for it there.
bool breaks_off(const Part& part, const Shown& a, const Shown& b) noexcept {
    if (!meets(part, a.at, b.at)) {
        return false;
    }
    const bool over = part.to < b.at;
    switch (part.does) {
    case Does::out:
        return true;
    case Does::bench:
        return over;
    case Does::cook:
    case Does::reheat:
        return over && (a.band == Band::cold || a.at <= part.from);
    case Does::hold:
        return over && a.band == Band::cold;
    case Does::cool:
    case Does::chill:
    case Does::freeze:
    case Does::thaw:
        break;
    }
    return over && a.band == Band::hot;
}

/// What the readings leave open: the time that may have been spent between the limits.
class Most {
public:
    Most(const std::vector<Part>& parts, const std::vector<Point>& points, Span largest)
        : parts_{parts}, runs_{cold_runs(parts)}, points_{points}, largest_{largest},
          life_{parts.front().from, parts.back().to} {
        for (const Point& point : points) {
            std::ranges::copy_if(point, std::back_inserter(all_),
                                 [](const Shown& r) { return r.band != Band::unsure; });
        }
        std::ranges::stable_sort(all_, {}, &Shown::at);
    }

    std::vector<Interval> times() const {
        if (all_.empty()) {
            return {life_};
        }
        std::vector<Interval> found = unread();
        for (const Point& point : points_) {
            std::ranges::copy(left_open_by(point), std::back_inserter(found));
        }
        return found;
    }

private:
    /// One point: next to what is not good, from one good side to the other, where something was
    /// done to the food between two readings, and in a heating in which it was not read hot.
    std::vector<Interval> left_open_by(const Point& point) const {
        std::vector<Interval> open;
        if (!is_good(point.front().band)) {
            add({point.front().at - largest_, point.front().at}, open);
        }
        for (std::size_t i = 1; i < point.size(); ++i) {
            add({vouched_until(point[i - 1], point[i]), point[i].at}, open);
        }
        add({vouched_until(point.back()), life_.to}, open);
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            const Part& part = parts_[i];
            if (heats(part.does) && point.front().at <= heating_ends(i) &&
                !first_hot(part, point)) {
                add({part.from, part.to}, open);
            }
        }
        return without(std::move(open), looked_at_elsewhere(point));
    }

    /// Where the heatings that follow each other from part `i` on end.
    Instant heating_ends(std::size_t i) const noexcept {
        while (i + 1 < parts_.size() && heats(parts_[i + 1].does)) {
            ++i;
        }
        return parts_[i].to;
    }

    /// How far a reading speaks for the time up to the next of its point.
    Instant vouched_until(const Shown& a, const Shown& b) const {
        if (a.band != b.band || !is_good(a.band)) {
            return a.at;
        }
        const auto broken =
            std::ranges::find_if(parts_, [&](const Part& part) { return breaks_off(part, a, b); });
        return broken == parts_.end() ? b.at : std::max(a.at, broken->from);
    }

    /// How far the last reading of a point speaks for the rest of the life: food that was hot then
    /// is not known to have cooled, nor food that was cold while it was heated to have become hot.
    Instant vouched_until(const Shown& last) const {
        if (!is_good(last.band)) {
            return last.at;
        }
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            const Part& part = parts_[i];
            const bool colder = cools(part.does) || part.does == Does::thaw;
            if (last.at < part.to && (last.band == Band::hot ? colder : is_heated_at(i, last.at))) {
                return std::max(last.at, part.from);
            }
        }
        return life_.to;
    }

    /// Whether the food was heated from before an instant until after it, part `i` being there.
    bool is_heated_at(std::size_t i, Instant at) const noexcept {
        const bool before = parts_[i].from < at || (i > 0 && heats(parts_[i - 1].does));
        return heats(parts_[i].does) && parts_[i].from <= at && before;
    }

    /// What is cooked up to its first hot reading, and what is cooled from hot.
    std::vector<Interval> looked_at_elsewhere(const Point& point) const {
        std::vector<Interval> times;
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            if (const auto heated = heated_in(parts_, i, point)) {
                add(*heated, times);
            }
        }
        for (const ColdRun& run : runs_) {
            if (const auto cooled = cooled_in(run, point)) {
                add_cold_parts(*cooled, times);
            }
        }
        return times;
    }

    void add_cold_parts(const Interval& time, std::vector<Interval>& to) const {
        for (const Part& part : parts_) {
            if (cools(part.does)) {
                add(common(time, {part.from, part.to}), to);
            }
        }
    }

    /// What no reading of any point vouches for: the silences, and what was not read since the
    /// food was out.
    std::vector<Interval> unread() const {
        std::vector<Interval> silent;
        std::vector<Interval> gone;
        const Shown* before = nullptr;
        for (const Shown& r : all_) {
            add_unread(before, &r, silent, gone);
            before = &r;
        }
        add_unread(before, nullptr, silent, gone);
        silent = without(std::move(silent), silence_borne());
        silent.insert(silent.end(), gone.begin(), gone.end());
        return silent;
    }

    /// Between two readings that follow each other; nullptr: none before, none after.
    void add_unread(const Shown* before, const Shown* next, std::vector<Interval>& silent,
                    std::vector<Interval>& gone) const {
        const Interval gap{before == nullptr ? life_.from : before->at,
                           next == nullptr ? life_.to : next->at};
        Instant until = gap.to; // time out, which counts by the clock, ends a silence
        Instant left = gap.to;
        for (const Part& part : parts_) {
            if (!meets(part, gap.from, gap.to)) {
                continue;
            }
            if (part.does == Does::out) {
                until = std::min(until, std::max(gap.from, part.from));
            }
            if (before == nullptr &&
                heats(part.does)) { // nothing is known of what it was heated from
                add(common(gap, {part.from, part.to}), silent);
            }
            // Food on a bench gets no colder: a later reading there speaks for it.
            const bool unknown = before == nullptr || next == nullptr || next->at > part.to;
            if (part.does == Does::out || (part.does == Does::bench && unknown)) {
                left = std::min(left, std::max(gap.from, part.from));
            }
        }
        add({left, gap.to}, gone);
        if (until - gap.from > largest_) {
            add_silence({gap.from, until}, before, silent);
        }
    }

    /// A silence, but for the freezer, where food that went in cold is left alone.
    void add_silence(const Interval& silence, const Shown* before,
                     std::vector<Interval>& to) const {
        bool cold = before == nullptr || is_cold_at(before->at);
        for (const Part& part : parts_) {
            if (!meets(part, silence.from, silence.to)) {
                continue;
            }
            const bool freezes = part.does == Does::freeze;
            // Nothing is known of food before its first reading, but where it came frozen.
            cold = cold && !is_hot_part(part.does) && (freezes || before != nullptr);
            if (!freezes || !cold) {
                add(common(silence, {part.from, part.to}), to);
            }
        }
    }

    bool is_cold_at(Instant at) const noexcept {
        return std::ranges::any_of(
            all_, [&](const Shown& r) { return r.at == at && r.band == Band::cold; });
    }

    /// Where no silence counts: in a cook up to the first hot reading of all, and while every point
    /// that was read by then is cooled from hot.
    std::vector<Interval> silence_borne() const {
        std::vector<Interval> borne;
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            if (const auto heated = heated_in(parts_, i, all_)) {
                add(*heated, borne);
            }
        }
        for (const ColdRun& run : runs_) {
            if (const auto cooled = all_cooled_in(run)) {
                add_cold_parts(*cooled, borne);
            }
        }
        return borne;
    }

    std::optional<Interval> all_cooled_in(const ColdRun& run) const {
        std::optional<Interval> all;
        for (const Point& point : points_) {
            if (point.front().at > run.to) {
                continue;
            }
            const std::optional<Interval> cooled = cooled_in(run, point);
            if (!cooled) {
                return std::nullopt;
            }
            all = all ? common(*all, *cooled) : *cooled;
        }
        return all;
    }

    const std::vector<Part>& parts_;
    std::vector<ColdRun> runs_;
    const std::vector<Point>& points_;
    Span largest_;
    Interval life_;
    std::vector<Shown> all_; ///< the readings of all points that are to be trusted, in order
};

/// Follows one point's readings into a cold run: whether it was last shown cold there. Outside of a
/// cooling stage, which its limits judge to the end, its cooling ends with the first cold reading.
class LastShown {
public:
    LastShown(const std::vector<Part>& parts, const ColdRun& run) : parts_{parts}, run_{run} {}

    void take(const Shown& r) noexcept {
        if (r.band == Band::cold) {
            cold_ = true;
            cooled_ = cooled_ || (r.at >= run_.from && !is_cooling_at(r.at));
        } else if (r.band == Band::hot && !cooled_) {
            cold_ = false;
        }
    }
    bool cold() const noexcept { return cold_; }

private:
    bool is_cooling_at(Instant at) const noexcept {
        return std::ranges::any_of(parts_, [&](const Part& p) {
            return p.does == Does::cool && p.from <= at && at < p.to;
        });
    }

    const std::vector<Part>& parts_;
    const ColdRun& run_;
    bool cold_ = false;
    bool cooled_ = false;
};

/// What the readings prove: from one reading between the limits to the next.
class Least {
public:
    Least(const std::vector<Part>& parts, Span largest)
        : parts_{parts}, runs_{cold_runs(parts)}, largest_{largest} {}

    std::vector<Interval> times(const Point& point) const {
        std::vector<Interval> steps;
        for (std::size_t i = 1; i < point.size(); ++i) {
            const Shown& a = point[i - 1];
            const Shown& b = point[i];
            if (a.band == Band::between && b.band == Band::between && b.at - a.at <= largest_ &&
                !is_broken(a.at, b.at)) {
                add({a.at, b.at}, steps);
            }
        }
        return without(std::move(steps), looked_at_elsewhere(point));
    }

private:
    /// Whether the food went through other hands between two instants, so that two warm readings
    /// do not show the time between them warm: a whole stage, or any time out.
    bool is_broken(Instant a, Instant b) const {
        return std::ranges::any_of(parts_, [&](const Part& p) {
            const bool within = a <= p.from && p.to <= b && (a < p.from || p.to < b);
            return meets(p, a, b) && (within || p.does == Does::out);
        });
    }

    std::vector<Interval> looked_at_elsewhere(const Point& point) const {
        std::vector<Interval> times;
        for (const Part& part : parts_) {
            if (part.does == Does::cook) {
                add({part.from, heating_ends(part, point)}, times);
            }
        }
        for (const ColdRun& run : runs_) {
            add_cooling(run, point, times);
        }
        return times;
    }

    /// Where heating may end in a cook: with the first hot reading in it or next after it.
    static Instant heating_ends(const Part& cook, const Point& point) {
        for (const Shown& r : point) {
            if (r.at >= cook.from && r.band == Band::hot) {
                return std::min(r.at, cook.to);
            }
            if (r.at > cook.to) {
                break;
            }
        }
        return cook.from;
    }

    /// Where the point may still be cooled: not after it was shown cold.
    void add_cooling(const ColdRun& run, const Point& point, std::vector<Interval>& to) const {
        LastShown last{parts_, run};
        Instant from = run.from;
        for (const Shown& r : point) {
            if (!last.cold()) {
                add_cold_parts(common({from, r.at}, {run.from, run.to}), to);
            }
            from = r.at;
            last.take(r);
        }
    }

    void add_cold_parts(const Interval& time, std::vector<Interval>& to) const {
        for (const Part& part : parts_) {
            if (cools(part.does)) {
                add(common(time, {part.from, part.to}), to);
            }
        }
    }

    const std::vector<Part>& parts_;
    std::vector<ColdRun> runs_;
    Span largest_;
};

Span time_in(const std::vector<Interval>& times, Instant until) {
    Span sum;
    for (const Interval& time : times) {
        if (time.from < until) {
            sum += std::min(time.to, until) - time.from;
        }
    }
    return sum;
}

} // namespace

bool follows_time_control(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    const StageSpan* before = done_before(stages, i);
    return before != nullptr && before->stage == Stage::time_control;
}

AddedUp::AddedUp(const Case& c, const TimeControlRule& rule) {
    if (!rule.adds_up_below || c.stages().empty()) {
        return;
    }
    std::vector<Point> points; // a lot that was under time control keeps every reading (condense)
    for (const Case::Series& series : c.series()) {
        points.push_back(shown_by(c, rule, series.readings));
    }
    std::vector<Part> parts;
    std::vector<Interval> not_here; // before the life, after it, and by the clock
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        const StageSpan& stage = c.stages()[i];
        parts.push_back({stage.from, stage.to, done_in(c.stages(), i)});
        if (parts.back().does == Does::out) {
            not_here.push_back({stage.from, stage.to});
        }
    }
    not_here.push_back({Instant::from_unix_ms(INT64_MIN), parts.front().from});
    not_here.push_back({parts.back().to, Instant::from_unix_ms(INT64_MAX)});
    const Span largest = c.settings().largest_interval;
    std::vector<Interval> most = Most{parts, points, largest}.times();
    const Least least{parts, largest};
    for (const Point& point : points) {
        shown_.push_back(without(least.times(point), not_here));
        most.insert(most.end(), shown_.back().begin(), shown_.back().end());
    }
    possible_ = without(std::move(most), not_here);
}

SpanBracket AddedUp::up_to(Instant until) const {
    Span least;
    for (const std::vector<Interval>& point : shown_) {
        least = std::max(least, time_in(point, until));
    }
    return {least, std::nullopt, time_in(possible_, until)};
}

} // namespace holdwarden::judge
