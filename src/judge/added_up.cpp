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
enum class Counts { not_at_all, by_readings, by_readings_inside, silence_too, from_first_cold };

Counts how_it_counts(const std::vector<StageSpan>& stages, std::size_t i) noexcept {
    switch (stages[i].stage) {
    case Stage::initial_heating:
    case Stage::cooking:
    case Stage::cooling:
    case Stage::reheating: // each has a limit of its own for this time
    case Stage::time_control:
        return Counts::not_at_all;
    case Stage::preparing:
        return counted_by_clock(stages, i) ? Counts::not_at_all : Counts::silence_too;
    case Stage::frozen: // no limit was seen for it: only what was read there counts
        return Counts::by_readings_inside;
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
    return Counts::silence_too;
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
    Stay(const StageSpan& stage, Counts counts) : stage_{stage}, counts_{counts} {}

    /// What the steps between one point's readings show; `shown` and `possible` are added to.
    void add_steps(const std::vector<Shown>& readings, std::vector<Between>& shown,
                   std::vector<Between>& possible) const {
        const std::optional<Instant> from = begins(readings);
        if (!from || readings.empty()) {
            return;
        }
        if (is_doubtful(readings.front())) {
            add({*from, std::min(readings.front().at, stage_.to)}, possible);
        }
        if (is_doubtful(readings.back())) {
            add({std::max(readings.back().at, *from), stage_.to}, possible);
        }
        for (std::size_t i = 1; i < readings.size(); ++i) {
            const Shown& a = readings[i - 1];
            const Shown& b = readings[i];
            if (counts_ == Counts::by_readings_inside && !is_doubtful(a) && !is_doubtful(b)) {
                continue;
            }
            const Between step{std::max(a.at, *from), std::min(b.at, stage_.to)};
            const bool same = a.band == b.band;
            if (same && a.band == Band::between) {
                add(step, shown);
            }
            if (!same || is_doubtful(a)) {
                add(step, possible);
            }
        }
    }

    /// The silences of all points together; `vouched` in order.
    void add_silences(const std::vector<std::vector<Shown>>& points,
                      const std::vector<Between>& vouched, Span largest,
                      std::vector<Between>& possible) const {
        std::optional<Instant> from;
        for (const std::vector<Shown>& readings : points) {
            const std::optional<Instant> here = begins(readings);
            from = from && here ? std::min(from, here) : from ? from : here;
        }
        if (points.empty() && counts_ != Counts::from_first_cold) {
            from = stage_.from;
        }
        if (!from || counts_ == Counts::by_readings_inside) {
            return;
        }
        const Span bearable = counts_ == Counts::silence_too ? Span{} : largest;
        Instant last = *from; // nothing was read before: the silence begins with the stage
        bool read_before = false;
        for (const Between& v : vouched) {
            if (v.from - last > (read_before ? largest : bearable)) {
                add({std::max(last, *from), std::min(v.from, stage_.to)}, possible);
            }
            last = read_before ? std::max(last, v.to) : v.to;
            read_before = true;
        }
        if (std::max(last, stage_.to) - last > bearable) {
            add({std::max(last, *from), stage_.to}, possible);
        }
    }

private:
    std::optional<Instant> begins(const std::vector<Shown>& readings) const {
        if (counts_ != Counts::from_first_cold) {
            return stage_.from;
        }
        const auto cold = std::ranges::find_if(readings, [&](const Shown& r) {
            return r.at >= stage_.from && r.at <= stage_.to && r.band == Band::cold;
        });
        return cold == readings.end() ? std::nullopt : std::optional{cold->at};
    }

    /// Whether a reading lets the time next to it count by itself.
    bool is_doubtful(const Shown& r) const {
        const bool inside = r.at >= stage_.from && r.at <= stage_.to;
        return counts_ == Counts::by_readings_inside
                   ? inside && r.band != Band::cold
                   : r.band == Band::between || r.band == Band::unsure;
    }

    static void add(const Between& time, std::vector<Between>& to) {
        if (time.from < time.to) {
            to.push_back(time);
        }
    }

    const StageSpan& stage_;
    Counts counts_;
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
        const Counts counts = how_it_counts(c.stages(), i);
        if (counts == Counts::not_at_all) {
            continue;
        }
        const Stay stay{c.stages()[i], counts};
        for (std::size_t k = 0; k < points.size(); ++k) {
            stay.add_steps(points[k], shown_[k], possible_);
        }
        stay.add_silences(points, vouched, c.settings().largest_interval, possible_);
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
