// Times added up over the life of a lot, whatever findings they are in: below the hot limit, and
// between the cold and the hot one.
#include "internal/intervals.hpp"
#include "internal/rules.hpp"

#include <algorithm>
#include <optional>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using records::Reading;

namespace {

/// What the readings of one point at one instant show. `out`: the time there is what is added up.
enum class Band { cold, hot, out, unsure };

struct Shown {
    Instant at;
    Band band;
    bool vouched; ///< readings like it were left out since the one before
};

bool is_good(Band band) noexcept {
    return band == Band::cold || band == Band::hot;
}

/// The limits the time is counted from; no cold one where only the hot one is asked about.
struct Limits {
    const TemperatureLimit* cold = nullptr;
    const TemperatureLimit* hot = nullptr;
};

Band band_of(const Case& c, const Limits& limits, const Reading& r) {
    const Says hot = c.says(r, *limits.hot);
    const Says cold = limits.cold == nullptr ? Says::wrong : c.says(r, *limits.cold);
    if (hot == Says::wrong && cold == Says::wrong) {
        return Band::out;
    }
    return hot == Says::right ? Band::hot : cold == Says::right ? Band::cold : Band::unsure;
}

std::vector<Shown> shown_in(const Case& c, const Limits& limits, Readings readings) {
    std::vector<Shown> shown;
    for (const Reading& r : readings) {
        const Band band = band_of(c, limits, r);
        if (shown.empty() || shown.back().at != r.at) {
            shown.push_back({r.at, band, r.left_out > 0});
        } else if (shown.back().band != band) { // of one instant the worse counts
            const bool out = shown.back().band == Band::out || band == Band::out;
            shown.back().band = out ? Band::out : Band::unsure;
        }
    }
    return shown;
}

/// The time to be added up in one stretch of the lot's life.
class Tally {
public:
    Tally(const Case& c, const Interval& stretch, const Limits& limits)
        : stages_(c.stages()), stretch_(stretch), largest_(c.settings().largest_interval) {
        for (const Case::Series& series : c.series()) {
            points_.push_back(
                shown_in(c, limits, between(series.readings, stretch.from, stretch.to)));
        }
    }

    /// Surely out at this point: from one such reading to the next, a doubtful one between them or
    /// not.
    Span least(std::size_t point) const {
        Span sum;
        const Shown* last = nullptr;
        for (const Shown& r : points_[point]) {
            if (r.band == Band::unsure) {
                continue;
            }
            if (last != nullptr && last->band == Band::out && r.band == Band::out) {
                sum += r.at - last->at;
            }
            last = &r;
        }
        return sum;
    }

    /// Perhaps out at this point: next to every reading that is not on a good side, where it went
    /// from one good side to the other, and in each silence.
    Span most(std::size_t point) const {
        std::vector<Interval> out = silences();
        const std::vector<Shown>& readings = points_[point];
        for (std::size_t i = 1; i < readings.size(); ++i) {
            if (!is_good(readings[i].band) || readings[i].band != readings[i - 1].band) {
                out.push_back({readings[i - 1].at, readings[i].at});
            }
        }
        if (!readings.empty() && !is_good(readings.front().band)) {
            out.push_back({unknown_from(readings.front().at), readings.front().at});
        }
        if (!readings.empty() && !is_good(readings.back().band)) {
            out.push_back({readings.back().at, unknown_until(readings.back().at)});
        }
        return covered_by(out);
    }

    Span unread() const { return covered_by(silences()); }

private:
    /// Where no reading that is to be trusted, of any point, was taken within the largest interval;
    /// but what is frozen is not looked at.
    std::vector<Interval> silences() const {
        std::vector<Interval> vouched{{stretch_.from, stretch_.from}, {stretch_.to, stretch_.to}};
        for (const std::vector<Shown>& readings : points_) {
            for (std::size_t i = 0; i < readings.size(); ++i) {
                if (readings[i].band != Band::unsure) {
                    const Instant before = i > 0 ? readings[i - 1].at : stretch_.from;
                    vouched.push_back(
                        {readings[i].vouched ? before : readings[i].at, readings[i].at});
                }
            }
        }
        vouched = joined(std::move(vouched));
        std::vector<Interval> found;
        for (std::size_t i = 1; i < vouched.size(); ++i) {
            const Interval silence{vouched[i - 1].to, vouched[i].from};
            if (silence.to - silence.from > largest_) {
                add_unless_frozen(silence, found);
            }
        }
        return found;
    }

    void add_unless_frozen(const Interval& silence, std::vector<Interval>& to) const {
        for (const StageSpan& stage : stages_) {
            const Interval part{std::max(silence.from, stage.from), std::min(silence.to, stage.to)};
            if (stage.stage != Stage::frozen && part.from < part.to) {
                to.push_back(part);
            }
        }
    }

    /// What came before a point's first reading is no better than it: back to where its stage
    /// began, or as far as nothing was read of the food at all.
    Instant unknown_from(Instant first) const {
        Instant began = stretch_.from;
        for (const StageSpan& stage : stages_) {
            began = stage.from < first ? std::max(began, stage.from) : began;
        }
        const bool read_before = std::ranges::any_of(points_, [&](const auto& readings) {
            return !readings.empty() && readings.front().at < began;
        });
        return read_before ? began : stretch_.from;
    }

    Instant unknown_until(Instant last) const {
        Instant ended = stretch_.to;
        for (const StageSpan& stage : stages_) {
            ended = stage.to > last ? std::min(ended, stage.to) : ended;
        }
        const bool read_after = std::ranges::any_of(points_, [&](const auto& readings) {
            return !readings.empty() && readings.back().at > ended;
        });
        return read_after ? ended : stretch_.to;
    }

    const std::vector<StageSpan>& stages_;
    Interval stretch_;
    Span largest_;
    std::vector<std::vector<Shown>> points_;
};

/// The worst point's total over several tallies of the same points.
SpanBracket worst_of(const Case& c, const std::vector<Tally>& tallies) {
    SpanBracket total{Span{}, std::nullopt, Span{}};
    for (const Tally& tally : tallies) { // also where no point was read
        total.latest = *total.latest + tally.unread();
    }
    for (std::size_t point = 0; point < c.series().size(); ++point) {
        Span least;
        Span most;
        for (const Tally& tally : tallies) {
            least += tally.least(point);
            most += tally.most(point);
        }
        total.earliest = std::max(*total.earliest, least);
        total.latest = std::max(*total.latest, most);
    }
    return total;
}

} // namespace

SpanBracket time_below_hot_limit(const Case& c, const RoastCook& cook) {
    // Neighbouring rests and holds under one limit are one stretch here, so that nothing is counted
    // twice.
    struct Limited {
        Interval stretch;
        const TemperatureLimit* limit;
    };
    std::vector<Limited> all;
    for (std::size_t i = 0; i < c.stages().size(); ++i) {
        const StageSpan& stage = c.stages()[i];
        const TemperatureLimit* limit =
            is_hot_hold(stage.stage) ? hold_limit(hot_requirement(c, roast_in(c, cook, stage)))
                                     : nullptr;
        if (limit == nullptr) {
            continue;
        }
        if (!all.empty() && is_hot_hold(c.stages()[i - 1].stage) && all.back().limit == limit) {
            all.back().stretch.to = stage.to;
        } else {
            all.push_back({{stage.from, stage.to}, limit});
        }
    }
    if (all.empty()) {
        return {};
    }
    std::vector<Tally> tallies;
    tallies.reserve(all.size());
    for (const Limited& one : all) {
        tallies.emplace_back(c, one.stretch, Limits{nullptr, one.limit});
    }
    return worst_of(c, tallies);
}

SpanBracket time_between_limits(const Case& c) {
    const Limits limits{hold_limit(c, "cold-holding"), hold_limit(c, "hot-holding")};
    if (limits.cold == nullptr || limits.hot == nullptr || c.stages().empty()) {
        return {};
    }
    return worst_of(c, {Tally{c, {c.stages().front().from, c.stages().back().to}, limits}});
}

} // namespace holdwarden::judge
