// All times between the cold and the hot limit, added up by the readings.
#include "internal/added_up.hpp"

#include <algorithm>
#include <iterator>
#include <optional>

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

bool is_good(Band band) noexcept {
    return band == Band::cold || band == Band::hot;
}

std::vector<Shown> shown_by(const Case& c, const TimeControlRule& rule, Readings readings) {
    const TemperatureLimit& cold = rule.cold_start;
    const TemperatureLimit& hot = *rule.adds_up_below;
    std::vector<Shown> shown;
    for (const Reading& r : readings) {
        Band band = Band::unsure;
        if (c.says(r, cold) == Says::right) {
            band = Band::cold;
        } else if (c.says(r, hot) == Says::right) {
            band = Band::hot;
        } else if (c.surely_wrong(r, cold) && c.surely_wrong(r, hot)) {
            band = Band::between;
        }
        if (!shown.empty() && shown.back().at == r.at) { // of one instant: they agree, or who knows
            shown.back().band = shown.back().band == band ? band : Band::unsure;
        } else {
            shown.push_back({r.at, band});
        }
    }
    return shown;
}

/// How a stage counts.
enum class Counts {
    by_clock, ///< as time out (time_out.hpp), not here
    bench,    ///< all of it after the last reading taken in it
    cook,     ///< none of it up to its first hot reading
    reheat,
    hold,
    cold,    ///< none of it while food that came hot is cooled
    freezer, ///< likewise, and no silence
};

Counts how_it_counts(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    switch (stages[i].stage) {
    case Stage::time_control:
        return Counts::by_clock;
    case Stage::preparing:
        return follows_time_control(stages, i) ? Counts::by_clock : Counts::bench;
    case Stage::initial_heating:
    case Stage::cooking:
        return Counts::cook;
    case Stage::reheating:
        return Counts::reheat;
    case Stage::resting:
    case Stage::hot_holding:
        return Counts::hold;
    case Stage::cooling:
    case Stage::cold_holding:
    case Stage::thawing:
        return Counts::cold;
    case Stage::frozen:
        return Counts::freezer;
    }
    return Counts::bench;
}

/// From when food that came hot may be cooled in stage `i`, under limits of its own
/// (judge_cooling); nullopt: it did not come hot, or time control or thawing ended that.
std::optional<Instant> cooled_since(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    std::optional<Instant> since;
    for (std::size_t k = i + 1; k-- > 0;) {
        const Counts counts = how_it_counts(stages, k);
        if (counts == Counts::by_clock || stages[k].stage == Stage::thawing) {
            return std::nullopt;
        }
        if (counts == Counts::cook || counts == Counts::reheat || counts == Counts::hold) {
            return stages[k].to;
        }
        since = stages[k].stage == Stage::cooling ? stages[k].from : since;
    }
    return since;
}

bool is_cooling_at(const std::vector<StageSpan>& stages, Instant at) noexcept {
    return std::ranges::any_of(stages, [&](const StageSpan& s) {
        return s.stage == Stage::cooling && s.from <= at && at < s.to;
    });
}

/// Follows one point's readings: whether the food was last shown hot, or cold. Outside of a cooling
/// stage, which its limits judge to the end, its cooling ends with the first cold reading.
class LastShown {
public:
    LastShown(const std::vector<StageSpan>& stages, Instant cooled_since)
        : stages_{stages}, cooled_since_{cooled_since} {}

    void take(const Shown& r) noexcept {
        if (r.band == Band::cold) {
            band_ = r.band;
            cooled_ = cooled_ || (r.at >= cooled_since_ && !is_cooling_at(stages_, r.at));
        } else if (r.band == Band::hot && !cooled_) {
            band_ = r.band;
        }
    }
    bool hot() const noexcept { return band_ == Band::hot; }
    bool cold() const noexcept { return band_ == Band::cold; }

private:
    const std::vector<StageSpan>& stages_;
    Instant cooled_since_;
    std::optional<Band> band_;
    bool cooled_ = false;
};

} // namespace

bool follows_time_control(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    const StageSpan* before = done_before(stages, i);
    return before != nullptr && before->stage == Stage::time_control;
}

/// One stage that counts by its readings, and what all points together show.
class AddedUp::Stay {
public:
    using Points = std::vector<std::vector<Shown>>;

    Stay(const std::vector<StageSpan>& stages, std::size_t i, Span largest, const Points& points)
        : stages_{stages}, stage_{stages[i]}, counts_{how_it_counts(stages, i)}, largest_{largest},
          points_{points}, cold_until_{stage_.to},
          is_cooled_next_{is_cold_after(stages, i)}, was_out_{is_out(stages, i)} {
        if (counts_ == Counts::cold || counts_ == Counts::freezer) {
            cooled_since_ = cooled_since(stages, i);
        }
        if (counts_ == Counts::cook) {
            heated_ = first_hot();
        }
        for (std::size_t k = i + 1; k < stages.size() && goes_on_cold(stages, k); ++k) {
            cold_until_ = stages[k].to;
        }
    }

    bool counts() const noexcept { return counts_ != Counts::by_clock; }

    /// What the steps between one point's readings show; `shown` and `possible` are added to.
    void add_steps(const std::vector<Shown>& readings, std::vector<Interval>& shown,
                   std::vector<Interval>& possible) const {
        if (readings.empty()) {
            return;
        }
        const Instant from = heated_ ? heating_ends(readings) : stage_.from;
        add_edges(readings, from, possible);
        LastShown last = last_shown();
        for (std::size_t i = 1; i < readings.size(); ++i) {
            const Shown& a = readings[i - 1];
            const Shown& b = readings[i];
            last.take(a);
            const bool cooled = cooled_since_ && last.hot() && b.at <= cold_until_;
            if (a.at >= stage_.to || b.at <= from || cooled || leaves_cook_well(b)) {
                continue;
            }
            const Interval step{std::max(a.at, from), std::min(b.at, stage_.to)};
            if (a.band != b.band || !is_good(a.band)) {
                add(step, possible);
            } else if (const auto back = back_between(a, b)) {
                add({std::max(*back, step.from), step.to}, possible);
            }
            if (a.band == Band::between && b.band == Band::between && !is_broken(a.at, b.at) &&
                (!cooled_since_ || last.cold())) {
                add(step, shown);
            }
        }
    }

    /// The silences of all points together; `read`: the instants of all readings, in order.
    void add_silences(const std::vector<Instant>& read, std::vector<Interval>& possible) const {
        const std::optional<Instant> from = silent_from();
        if (!from || (counts_ == Counts::freezer && !was_out_)) {
            return;
        }
        const bool heats = counts_ == Counts::cook || counts_ == Counts::reheat;
        const bool must_be_read = counts_ == Counts::bench || (heats && !heated_);
        const Span unread = was_out_ || must_be_read ? Span{} : largest_;
        std::optional<Instant> last; // nothing was read before: the silence begins with the stage
        for (const Instant at : read) {
            const bool speaks = (!was_out_ || at >= *from) && (!must_be_read || at <= stage_.to);
            if (!speaks) {
                continue;
            }
            if (at - last.value_or(*from) > (last ? largest_ : unread)) {
                add({std::max(last.value_or(*from), *from), std::min(at, stage_.to)}, possible);
            }
            last = at;
            if (counts_ == Counts::freezer) {
                return; // frozen food is left alone once it was read
            }
        }
        const Instant since = last.value_or(*from);
        const bool vouched = last && (!must_be_read || (heats && is_hot_at(*last)));
        const Span bearable = vouched ? largest_ : unread;
        if (std::max(since, stage_.to) - since > bearable) {
            add({std::max(since, *from), stage_.to}, possible);
        }
    }

private:
    static bool is_out(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
        return i > 0 && (stages[i - 1].stage == Stage::preparing ||
                         stages[i - 1].stage == Stage::time_control);
    }

    static bool is_cold_after(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
        const auto next =
            std::find_if(stages.begin() + static_cast<std::ptrdiff_t>(i) + 1, stages.end(),
                         [](const StageSpan& s) { return s.stage != Stage::preparing; });
        return next != stages.end() && is_cold(next->stage);
    }

    LastShown last_shown() const { return {stages_, cooled_since_.value_or(stage_.from)}; }
    bool is_in(Instant at) const noexcept { return at >= stage_.from && at <= stage_.to; }

    std::optional<Instant> first_hot() const {
        std::optional<Instant> first;
        for (const std::vector<Shown>& readings : points_) {
            for (const Shown& r : readings) {
                if (r.band == Band::hot && is_in(r.at) && (!first || r.at < *first)) {
                    first = r.at;
                }
            }
        }
        return first;
    }

    bool is_hot_at(Instant at) const {
        return is_in(at) && std::ranges::any_of(points_, [&](const std::vector<Shown>& readings) {
                   return std::ranges::any_of(
                       readings, [&](const Shown& r) { return r.at == at && r.band == Band::hot; });
               });
    }

    /// Where heating ends to count for nothing at one point, in a cook that came hot: with its own
    /// first hot reading, or the next after the cook; a point that nobody read in the cook goes by
    /// the others.
    Instant heating_ends(const std::vector<Shown>& readings) const {
        bool read = false;
        for (const Shown& r : readings) {
            if (r.at < stage_.from) {
                continue;
            }
            if (r.band == Band::hot) {
                return std::min(r.at, stage_.to);
            }
            if (r.at > stage_.to) {
                break;
            }
            read = true;
        }
        return read ? stage_.from : *heated_;
    }

    /// Whether a step out of a cook that came hot is the cooling that follows, under its limits.
    bool leaves_cook_well(const Shown& b) const {
        return heated_ && b.at > stage_.to && is_cooled_next_;
    }

    static bool goes_on_cold(const std::vector<StageSpan>& stages, std::size_t k) noexcept {
        const Counts counts = how_it_counts(stages, k);
        return counts == Counts::bench ||
               (counts == Counts::cold && stages[k].stage != Stage::thawing) ||
               counts == Counts::freezer;
    }

    /// From when a silence counts; nullopt: in none of it. While every point is cooled from hot
    /// other limits look at it, and a cook that came hot counts from there.
    std::optional<Instant> silent_from() const {
        if (heated_) {
            return heated_;
        }
        if (!cooled_since_ || points_.empty()) {
            return stage_.from;
        }
        std::optional<Instant> from;
        for (const std::vector<Shown>& readings : points_) {
            const std::optional<Instant> here = cooled_from(readings);
            from = from && here ? std::min(from, here) : from ? from : here;
        }
        return from;
    }

    std::optional<Instant> cooled_from(const std::vector<Shown>& readings) const {
        LastShown last = last_shown();
        auto next = readings.begin();
        for (; next != readings.end() && next->at <= stage_.from; ++next) {
            last.take(*next);
        }
        if (!last.hot()) {
            return stage_.from;
        }
        next =
            std::find_if(next, readings.end(), [](const Shown& r) { return r.band == Band::cold; });
        return next != readings.end() && next->at <= stage_.to ? std::optional{next->at}
                                                               : std::nullopt;
    }

    /// What came before a point's first reading, and after its last, is no better than they are.
    void add_edges(const std::vector<Shown>& readings, Instant from,
                   std::vector<Interval>& possible) const {
        const Shown& first = readings.front();
        const Shown& last = readings.back();
        if (!is_good(first.band)) {
            add({std::max(from, first.at - largest_), std::min(first.at, stage_.to)}, possible);
        }
        LastShown shown = last_shown();
        for (const Shown& r : readings) {
            shown.take(r);
        }
        const bool cooled = cooled_since_ && shown.hot() && last.at >= *cooled_since_;
        if (!is_good(last.band) && !cooled) {
            const Instant until = last.at > stage_.from ? stage_.to : last.at + largest_;
            add({std::max(last.at, from), std::min(until, stage_.to)}, possible);
        }
    }

    /// Whether the food went through other hands between two instants, so that two warm readings
    /// do not show the time between them warm: a whole stage, or any time out.
    bool is_broken(Instant a, Instant b) const {
        for (std::size_t i = 0; i < stages_.size(); ++i) {
            const StageSpan& s = stages_[i];
            const bool meets = s.from < b && a < s.to;
            const bool within = a <= s.from && s.to <= b && (a < s.from || s.to < b);
            if (meets && (within || how_it_counts(stages_, i) == Counts::by_clock)) {
                return true;
            }
        }
        return false;
    }

    /// From when an earlier reading no longer speaks for the time up to a later one of its band:
    /// the food was out, on the bench or heated between them; hot food, heated from beginning to
    /// end.
    std::optional<Instant> back_between(const Shown& a, const Shown& b) const {
        std::optional<Instant> back;
        for (std::size_t i = 0; i < stages_.size(); ++i) {
            const StageSpan& s = stages_[i];
            const Counts counts = how_it_counts(stages_, i);
            const bool out = counts == Counts::by_clock || counts == Counts::bench;
            const bool heated = (counts == Counts::cook || counts == Counts::reheat) &&
                                (a.band == Band::cold || a.at <= s.from);
            if (a.at < s.to && s.to < b.at && (out || heated)) {
                back = s.to;
            }
        }
        return back;
    }

    static void add(const Interval& time, std::vector<Interval>& to) {
        if (time.from < time.to) {
            to.push_back(time);
        }
    }

    const std::vector<StageSpan>& stages_;
    const StageSpan& stage_;
    Counts counts_;
    Span largest_;
    const Points& points_;
    std::optional<Instant> cooled_since_; ///< it may be cooled here
    std::optional<Instant> heated_;       ///< the first hot reading of a cook
    Instant cold_until_;                  ///< where it leaves the cold again
    bool is_cooled_next_;                 ///< after it, but for the bench
    bool was_out_;                        ///< before it: by the clock, or on the bench
};

AddedUp::AddedUp(const Case& c, const TimeControlRule& rule) {
    if (!rule.adds_up_below) {
        return;
    }
    Stay::Points points;
    std::vector<Instant> read; // a lot that was under time control keeps every reading (condense)
    for (const Case::Series& series : c.series()) {
        points.push_back(shown_by(c, rule, series.readings));
        std::ranges::transform(points.back(), std::back_inserter(read), &Shown::at);
    }
    std::ranges::sort(read);
    shown_.resize(points.size());
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        const Stay stay{c.stages(), i, c.settings().largest_interval, points};
        if (!stay.counts()) {
            continue;
        }
        for (std::size_t k = 0; k < points.size(); ++k) {
            stay.add_steps(points[k], shown_[k], possible_);
        }
        stay.add_silences(read, possible_);
    }
    possible_ = joined(std::move(possible_));
}

Span AddedUp::time_in(const std::vector<Interval>& times, Instant until) {
    Span sum;
    for (const Interval& time : times) {
        if (time.from < until) {
            sum += std::min(time.to, until) - time.from;
        }
    }
    return sum;
}

SpanBracket AddedUp::up_to(Instant until) const {
    Span least;
    for (const std::vector<Interval>& point : shown_) {
        least = std::max(least, time_in(point, until));
    }
    return {least, std::nullopt, time_in(possible_, until)};
}

} // namespace holdwarden::judge
