// All times between the cold and the hot limit, added up by the readings.
#include "internal/added_up.hpp"

#include <algorithm>
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
    bool left_out; ///< readings of the same band were left out before it
};

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
            shown.push_back({r.at, band, r.left_out > 0});
        }
    }
    return shown;
}

bool is_hot_or_cooled(Stage stage) noexcept {
    return is_hot_hold(stage) || stage == Stage::initial_heating || stage == Stage::cooking ||
           stage == Stage::cooling || stage == Stage::reheating;
}

/// How a stage counts.
enum class Counts {
    not_at_all,
    by_readings,     ///< and by silences longer than the largest interval
    unless_read,     ///< all of it that no reading taken in it vouches for
    if_read,         ///< only what was read in it
    from_first_cold, ///< by readings and silences, once the food was cold
};

Counts how_it_counts(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    switch (stages[i].stage) {
    case Stage::initial_heating:
    case Stage::cooking:
    case Stage::reheating: // each has a limit of its own for this time
    case Stage::time_control:
        return Counts::not_at_all;
    case Stage::preparing:
        return counted_by_clock(stages, i) ? Counts::not_at_all : Counts::unless_read;
    case Stage::frozen: // no limit was seen for it
        return Counts::if_read;
    case Stage::cooling:
        return Counts::from_first_cold;
    case Stage::cold_holding:
    case Stage::thawing: {
        const StageSpan* before = done_before(stages, i);
        return before != nullptr && is_hot_or_cooled(before->stage) ? Counts::from_first_cold
                                                                    : Counts::by_readings;
    }
    case Stage::resting:
    case Stage::hot_holding:
        return Counts::by_readings;
    }
    return Counts::unless_read;
}

} // namespace

bool counted_by_clock(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    if (stages[i].stage == Stage::preparing) {
        const StageSpan* before = done_before(stages, i);
        return before != nullptr && before->stage == Stage::time_control;
    }
    return stages[i].stage == Stage::time_control;
}

/// One stage that counts by its readings.
class AddedUp::Stay {
public:
    Stay(const std::vector<StageSpan>& stages, std::size_t i, Span largest)
        : stages_{stages}, i_{i}, stage_{stages[i]}, counts_{how_it_counts(stages, i)},
          largest_{largest} {}

    bool counts() const noexcept { return counts_ != Counts::not_at_all; }

    /// What the steps between one point's readings show; `shown` and `possible` are added to.
    void add_steps(const std::vector<Shown>& readings, std::vector<Between>& shown,
                   std::vector<Between>& possible) const {
        const std::optional<Instant> from = begins(readings);
        if (!from || readings.empty()) {
            return;
        }
        // What came before the first reading, and after the last, is no better than they are.
        const Shown& first = readings.front();
        const Shown& last = readings.back();
        if (is_doubtful(first)) {
            add({std::max(*from, first.at - largest_), std::min(first.at, stage_.to)}, possible);
        }
        if (is_doubtful(last)) {
            add({std::max(last.at, *from), std::min(last.at + largest_, stage_.to)}, possible);
        }
        for (std::size_t i = 1; i < readings.size(); ++i) {
            const Shown& a = readings[i - 1];
            const Shown& b = readings[i];
            const bool passes_by = b.at <= *from || a.at >= stage_.to;
            if (passes_by || (counts_ == Counts::if_read && !is_doubtful(a) && !is_doubtful(b))) {
                continue;
            }
            const Between step{std::max(a.at, *from), std::min(b.at, stage_.to)};
            const bool good = a.band == b.band && (a.band == Band::cold || a.band == Band::hot);
            if (!good || is_doubtful(a) || is_doubtful(b)) {
                add(step, possible);
                if (a.band == Band::between && b.band == a.band && !is_elsewhere(a.at, b.at)) {
                    add(step, shown);
                }
            } else if (const auto back = back_between(a.at, b.at)) {
                add({std::max(*back, step.from), step.to}, possible);
            }
        }
    }

    /// The silences of all points together; `vouched` in order.
    void add_silences(const std::vector<std::vector<Shown>>& points,
                      const std::vector<Between>& vouched, std::vector<Between>& possible) const {
        if (counts_ == Counts::if_read) {
            return;
        }
        std::optional<Instant> from;
        for (const std::vector<Shown>& readings : points) {
            const std::optional<Instant> here = begins(readings);
            from = from && here ? std::min(from, here) : from ? from : here;
        }
        if (points.empty() && counts_ != Counts::from_first_cold) {
            from = stage_.from;
        }
        if (!from) {
            return;
        }
        const bool was_out = i_ > 0 && counted_by_clock(stages_, i_ - 1);
        const bool must_be_read = counts_ == Counts::unless_read;
        const Span unread = was_out || must_be_read ? Span{} : largest_;
        std::optional<Instant> last; // nothing was read before: the silence begins with the stage
        for (const Between& v : vouched) {
            const bool since_out = !was_out || v.to >= *from;
            const bool in_time = !must_be_read || v.from <= stage_.to;
            if (!since_out || !in_time) {
                continue;
            }
            if (v.from - last.value_or(*from) > (last ? largest_ : unread)) {
                add({std::max(last.value_or(*from), *from), std::min(v.from, stage_.to)}, possible);
            }
            last = last ? std::max(*last, v.to) : v.to;
        }
        const Instant since = last.value_or(*from);
        const Span bearable = last && !must_be_read ? largest_ : unread;
        if (std::max(since, stage_.to) - since > bearable) {
            add({std::max(since, *from), stage_.to}, possible);
        }
    }

private:
    /// From when a point's readings count. Food that comes hot, or to be cooled, is cooled under
    /// limits of its own until it is first cold.
    std::optional<Instant> begins(const std::vector<Shown>& readings) const {
        if (counts_ != Counts::from_first_cold) {
            return stage_.from;
        }
        const StageSpan* before = done_before(stages_, i_);
        const bool goes_on = before != nullptr && is_hot_or_cooled(before->stage);
        Instant since = goes_on ? before->from : stage_.from;
        for (const Shown& r : readings) {
            since = r.band == Band::hot && r.at <= stage_.from ? std::max(since, r.at) : since;
        }
        const auto cold = std::ranges::find_if(readings, [&](const Shown& r) {
            return r.at >= since && r.at <= stage_.to && r.band == Band::cold;
        });
        return cold == readings.end() ? std::nullopt
                                      : std::optional{std::max(cold->at, stage_.from)};
    }

    /// Whether a reading lets the time next to it count by itself.
    bool is_doubtful(const Shown& r) const {
        const bool inside = r.at >= stage_.from && r.at <= stage_.to;
        return counts_ == Counts::if_read ? inside && r.band != Band::cold
                                          : r.band == Band::between || r.band == Band::unsure;
    }

    /// Whether the food was anywhere between two instants where this does not count by readings.
    bool is_elsewhere(Instant a, Instant b) const {
        for (std::size_t i = 0; i < stages_.size(); ++i) {
            const bool meets = stages_[i].from < b && a < stages_[i].to;
            if (meets && how_it_counts(stages_, i) == Counts::not_at_all) {
                return true;
            }
        }
        return false;
    }

    /// From when an earlier reading no longer speaks for the time up to a later one: the food was
    /// out between them, or somewhere else from beginning to end.
    std::optional<Instant> back_between(Instant a, Instant b) const {
        std::optional<Instant> back;
        for (std::size_t i = 0; i < stages_.size(); ++i) {
            const StageSpan& s = stages_[i];
            const bool meets = s.from < b && a < s.to;
            const bool within = a <= s.from && s.to <= b;
            if (meets && how_it_counts(stages_, i) == Counts::not_at_all &&
                (within || counted_by_clock(stages_, i))) {
                back = s.to;
            }
        }
        return back;
    }

    static void add(const Between& time, std::vector<Between>& to) {
        if (time.from < time.to) {
            to.push_back(time);
        }
    }

    const std::vector<StageSpan>& stages_;
    std::size_t i_;
    const StageSpan& stage_;
    Counts counts_;
    Span largest_;
};

AddedUp::AddedUp(const Case& c, const TimeControlRule& rule) {
    if (!rule.adds_up_below) {
        return;
    }
    std::vector<std::vector<Shown>> points;
    std::vector<Between> vouched;
    for (const Case::Series& series : c.series()) {
        points.push_back(shown_by(c, rule, series.readings));
        const std::vector<Shown>& readings = points.back();
        for (std::size_t i = 0; i < readings.size(); ++i) {
            const bool bridged = readings[i].left_out && i > 0;
            vouched.push_back({readings[bridged ? i - 1 : i].at, readings[i].at});
        }
    }
    std::ranges::sort(vouched, {}, &Between::from);
    shown_.resize(points.size());
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        const Stay stay{c.stages(), i, c.settings().largest_interval};
        if (!stay.counts()) {
            continue;
        }
        for (std::size_t k = 0; k < points.size(); ++k) {
            stay.add_steps(points[k], shown_[k], possible_);
        }
        stay.add_silences(points, vouched, possible_);
    }
    std::ranges::sort(possible_, {}, &Between::from);
    std::vector<Between> apart;
    for (const Between& time : possible_) {
        if (!apart.empty() && time.from <= apart.back().to) {
            apart.back().to = std::max(apart.back().to, time.to);
        } else {
            apart.push_back(time);
        }
    }
    possible_ = std::move(apart);
}

Span AddedUp::time_in(const std::vector<Between>& times, Instant until) {
    Span sum;
    for (const Between& time : times) {
        if (time.from < until) {
            sum += std::min(time.to, until) - time.from;
        }
    }
    return sum;
}

SpanBracket AddedUp::up_to(Instant until) const {
    Span least;
    for (const std::vector<Between>& point : shown_) {
        least = std::max(least, time_in(point, until));
    }
    return {least, std::nullopt, time_in(possible_, until)};
}

} // namespace holdwarden::judge
