// Holding: every reading on one side of a limit, and readings often enough to vouch for the stage.
#include "internal/intervals.hpp"
#include "internal/rules.hpp"
#include "messages.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using records::Reading;

namespace {

/// Neighbouring stages that are judged by the same limit, on one side of a stretch.
struct Joined {
    Span apart; ///< to the nearest of them: the time in what lies between, which is not held
    Span held;  ///< the time in all of them
};

/// The stretch of the lot's life one finding is about. The neighbouring stages of the same sort
/// lend their nearest readings, so that a silence across a boundary is not cut in two.
struct Stretch {
    Instant from;
    Instant to;
    std::optional<Joined> before{};
    std::optional<Joined> after{};
    bool running = false;
};

/// An instant beyond the stretch as if what lies between it and its neighbours took no time.
Instant drawn_near(const Stretch& s, Instant at) noexcept {
    if (at < s.from && s.before) {
        return std::max(s.from - s.before->held, std::min(at + s.before->apart, s.from));
    }
    if (at > s.to && s.after) {
        return std::min(s.to + s.after->held, std::max(at - s.after->apart, s.to));
    }
    return at;
}

/// The instant that was drawn near; of one within what lies between, the near end of that.
Instant put_back(const Stretch& s, Instant near) noexcept {
    return near < s.from && s.before ? near - s.before->apart
           : near > s.to && s.after  ? near + s.after->apart
                                     : near;
}

/// From one reading to the next with nothing unknown between them; one instant, if nothing was left
/// out there.
struct Vouched {
    Instant from;
    Instant to;
};

struct Coverage {
    std::size_t good_instants = 0;
    std::vector<Gap> gaps;
};

/// The readings of the stretch and, where a neighbouring stage is joined, one instant more on that
/// side.
Readings seen_from(const Stretch& s, Readings all) noexcept {
    auto first = std::ranges::lower_bound(all, s.from, {}, [](const Reading& r) { return r.at; });
    auto last = std::ranges::upper_bound(all, s.to, {}, [](const Reading& r) { return r.at; });
    if (s.before && first != all.begin()) {
        const Instant at = std::prev(first)->at;
        while (first != all.begin() && std::prev(first)->at == at) {
            --first;
        }
    }
    if (s.after && last != all.end()) {
        const Instant at = last->at;
        while (last != all.end() && last->at == at) {
            ++last;
        }
    }
    return first < last ? Readings{first, last} : Readings{};
}

/// Whether readings that are to be trusted, whichever point they come from, follow each other
/// closely enough. `bound`: from when each point is held by the limit; what is read of one before
/// that says nothing of the others. Empty: all of them are.
Coverage coverage(const Case& c, const Stretch& s, const TemperatureLimit& limit,
                  const std::vector<std::optional<Instant>>& bound = {}) {
    std::vector<Vouched> vouched;
    std::vector<Instant> good;
    for (std::size_t k = 0; k < c.series().size(); ++k) {
        Readings readings = seen_from(s, c.series()[k].readings);
        if (k < bound.size() && (!bound[k] || *bound[k] > s.from)) {
            readings = bound[k] ? between(readings, *bound[k], Instant::from_unix_ms(INT64_MAX))
                                : Readings{};
        }
        for (std::size_t i = 0; i < readings.size();) {
            const Instant at = readings[i].at;
            Instant from = at;
            if (readings[i].left_out > 0) { // the readings left out vouch for the time between
                from = i > 0 ? readings[i - 1].at : std::min(at, s.from);
            }
            const Says says = c.says_instant(readings, i, limit);
            if (says != Says::unsure) {
                vouched.push_back({drawn_near(s, from), drawn_near(s, at)});
            }
            if (says == Says::right && at >= s.from && at <= s.to) {
                good.push_back(at);
            }
        }
    }
    Coverage result;
    std::ranges::sort(good);
    result.good_instants =
        static_cast<std::size_t>(std::unique(good.begin(), good.end()) - good.begin());
    std::ranges::sort(vouched, {}, &Vouched::from);
    // Of a joined neighbour only the nearest instant matters, whichever point it is of: what lies
    // beyond it is the neighbour's own silence, as is one that a reading on the boundary ends.
    Instant last = s.before ? s.from - s.before->held : s.from;
    auto next = vouched.begin();
    for (; next != vouched.end() && next->from <= s.from; ++next) {
        last = std::max(last, next->to);
    }
    const auto silence = [&](Instant until) {
        if (until - last > c.settings().largest_interval) {
            result.gaps.push_back({put_back(s, last), put_back(s, until)});
        }
        last = std::max(last, until);
    };
    for (; next != vouched.end() && last < s.to; ++next) {
        silence(next->from);
        last = std::max(last, next->to);
    }
    silence(last < s.to && s.after ? s.to + s.after->held : std::max(last, s.to));
    return result;
}

/// In degree-minutes of `scale`.
double area_between(const Reading& a, const Reading& b, const TemperatureLimit& limit,
                    Scale scale) noexcept {
    const auto depth = [&](const Reading& r) {
        return -limit.clearance(r.value).in(scale).thousandths() / 1000.0;
    };
    return (depth(a) + depth(b)) / 2.0 * (b.at - a.at).in_minutes();
}

/// The stretches of one series on the wrong side: from its first wrong reading to the last before a
/// right one.
std::vector<Excursion> excursions(const Case& c, const Stretch& s, Readings all,
                                  const TemperatureLimit& limit) {
    std::vector<Excursion> found;
    const Readings readings = seen_from(s, all);
    const Reading* last_right = nullptr;
    const Reading* last_wrong = nullptr;
    bool open = false;
    double area_f = 0;
    double area_c = 0;
    const auto close = [&](const Reading* right) {
        if (!open) {
            return;
        }
        Excursion& e = found.back();
        e.degree_minutes = e.worst.scale() == Scale::fahrenheit ? area_f : area_c;
        area_f = area_c = 0;
        e.to.earliest = last_wrong->at;
        e.to.latest = right != nullptr ? right->at : s.to;
        e.length.earliest = *e.to.earliest - *e.from.latest;
        e.length.latest = *e.to.latest - *e.from.earliest;
        open = false;
    };
    for (std::size_t i = 0; i < readings.size();) {
        const std::size_t first = i;
        const Says says = c.says_instant(readings, i, limit);
        if (says == Says::right) {
            close(&readings[first]);
            last_right = &readings[first];
            continue;
        }
        if (says == Says::unsure) {
            continue;
        }
        for (std::size_t k = first; k < i; ++k) {
            const Reading& r = readings[k];
            const bool inside = r.at >= s.from && r.at <= s.to;
            if (limit.side(r.value) == codes::Side::right || !inside) {
                continue;
            }
            if (!open) {
                Excursion e;
                e.from = {last_right != nullptr ? last_right->at : s.from, r.at};
                e.worst = r.value;
                e.worst_at = r.at;
                found.push_back(e);
                open = true;
            } else {
                area_f += area_between(*last_wrong, r, limit, Scale::fahrenheit);
                area_c += area_between(*last_wrong, r, limit, Scale::celsius);
            }
            Reading worst_so_far;
            worst_so_far.value = found.back().worst;
            if (further_out(r, worst_so_far, limit)) {
                found.back().worst = r.value;
                found.back().worst_at = r.at;
            }
            last_wrong = &r;
        }
    }
    close(nullptr);
    return found;
}

/// The estimate for each excursion: straight lines at both ends, where there are readings to draw
/// them.
void add_estimates(Readings all, const TemperatureLimit& limit, std::vector<Excursion>& list) {
    const auto worst_at = [&](Instant at) -> const Reading* {
        const Readings there = between(all, at, at);
        const auto worst = std::ranges::min_element(
            there, [&](const Reading& a, const Reading& b) { return further_out(a, b, limit); });
        return worst != there.end() ? &*worst : nullptr;
    };
    for (Excursion& e : list) {
        const Reading* before_it = worst_at(*e.from.earliest);
        const Reading* first = worst_at(*e.from.latest);
        const Reading* last = worst_at(*e.to.earliest);
        const Reading* after_it = worst_at(*e.to.latest);
        if (before_it == nullptr || first == nullptr || last == nullptr || after_it == nullptr) {
            continue;
        }
        const auto down = interpolated(*before_it, *first, limit);
        const auto up = interpolated(*last, *after_it, limit);
        if (down && up) {
            e.length.estimate = *up - *down;
        }
    }
}

void describe_excursions(const Case& c, Finding& f, const TemperatureLimit& limit) {
    const Excursion& e = *std::ranges::max_element(
        f.excursions, {}, [](const Excursion& x) { return *x.length.latest; });
    const std::string figure = limit.figure_text(e.worst.scale());
    f.reason = either(limit.wants_hot(), msg::was_below, msg::was_above, figure,
                      c.clock(*e.from.latest), c.clock(*e.to.earliest), to_text(*e.length.earliest),
                      to_text(*e.length.latest), to_text(e.worst), c.clock(e.worst_at));
    if (f.excursions.size() > 1) {
        f.reason += " " + fmt::format(msg::stretches_in_all, f.excursions.size());
    }
}

void describe_gap(const Case& c, Finding& f, const Coverage& cover) {
    const Gap& gap =
        *std::ranges::max_element(cover.gaps, {}, [](const Gap& g) { return g.to - g.from; });
    f.reason = fmt::format(msg::gap_in_hold, c.clock(gap.from), c.clock(gap.to),
                           to_text(gap.to - gap.from), to_text(c.settings().largest_interval));
    f.settle =
        fmt::format(msg::reading_by_would, c.clock(gap.from + c.settings().largest_interval));
    f.gaps = cover.gaps;
}

Verdict verdict_of(const Case& c, Finding& f, const Stretch& s, const Coverage& cover,
                   const TemperatureLimit& limit, bool has_unsure) {
    if (!f.excursions.empty()) {
        describe_excursions(c, f, limit);
        f.gaps = cover.gaps;
        return Verdict::not_met;
    }
    if (has_unsure && cover.good_instants >= 1 && cover.gaps.empty()) {
        f.reason = c.settings().rule == DecisionRule::guarded
                       ? fmt::format(msg::inside_accuracy_or_suspect, limit.to_text())
                       : msg::one_suspect;
        f.settle = msg::confirming_would;
        return Verdict::not_shown;
    }
    if (cover.good_instants < 2) {
        const bool may_still = s.running && s.to > s.from && cover.gaps.empty();
        f.reason = cover.good_instants == 0 ? msg::none_on_right_side : msg::one_is_no_hold;
        const Instant next = s.from + c.settings().largest_interval;
        f.settle = may_still ? fmt::format(msg::carry_on_proof, limit.to_text(), c.clock(next))
                             : fmt::format(msg::readings_every_would, limit.to_text(),
                                           to_text(c.settings().largest_interval));
        f.gaps = cover.gaps;
        return may_still && cover.good_instants == 1 ? Verdict::open : Verdict::not_shown;
    }
    if (!cover.gaps.empty()) {
        describe_gap(c, f, cover);
        return Verdict::not_shown;
    }
    return Verdict::met;
}

/// The readings at the ends of the silences.
void add_gap_evidence(Finding& f, Readings readings) {
    for (const Gap& g : f.gaps) {
        for (const Reading& r : readings) {
            if (r.at == g.from || r.at == g.to) {
                add_evidence(f, r);
            }
        }
    }
}

Finding hold_finding(const Case& c, const codes::Requirement& requirement,
                     const TemperatureLimit& limit, const StageSpan& stage, const Stretch& s,
                     const Case::Series& series, const Coverage& cover) {
    Finding f = start_finding(requirement, stage, series.point);
    f.limit = figure_of(limit);
    f.excursions = excursions(c, s, series.readings, limit);
    add_estimates(series.readings, limit, f.excursions);
    const Readings readings = between(series.readings, s.from, s.to);
    const Reading* nearest = nullptr;
    bool has_unsure = false;
    for (const Reading& r : readings) {
        if (nearest == nullptr || further_out(r, *nearest, limit)) {
            nearest = &r;
        }
        has_unsure = has_unsure || c.says(r, limit) == Says::unsure;
    }
    f.verdict = verdict_of(c, f, s, cover, limit, has_unsure);
    if (nearest != nullptr) {
        f.margin.temperature = limit.clearance(nearest->value);
        f.conformity = c.conformity(*nearest, limit);
        add_evidence(f, *nearest);
        if (f.verdict == Verdict::met) {
            f.reason = either(limit.wants_hot(), msg::hold_met_hot, msg::hold_met_cold,
                              count_of(readings), c.clock(readings.front().at),
                              c.clock(readings.back().at), to_text(nearest->value),
                              c.clock(nearest->at), to_text(c.settings().largest_interval));
            add_evidence(f, readings.front());
            add_evidence(f, readings.back());
        }
    }
    for (const Excursion& e : f.excursions) {
        for (const Reading& r : readings) {
            if (r.at == *e.from.earliest || r.at == *e.from.latest || r.at == *e.to.latest) {
                add_evidence(f, r);
            }
        }
    }
    add_gap_evidence(f, readings);
    settle_evidence(f);
    return f;
}

/// The neighbours of stage `i` on one side that are judged by the same limit. What is prepared in
/// between changes nothing, nor, where `frozen_too`, what is frozen.
template <class SameSort>
std::optional<Joined> joined_on(const Case& c, std::size_t i, bool before, bool frozen_too,
                                SameSort same_sort) {
    const auto& stages = c.stages();
    std::optional<Joined> found;
    for (std::size_t k = i; before ? k-- > 0 : ++k < stages.size();) {
        const StageSpan& other = stages[k];
        if (other.stage == Stage::preparing || (frozen_too && other.stage == Stage::frozen)) {
            continue;
        }
        if (!same_sort(other)) {
            break;
        }
        if (!found) {
            found = Joined{before ? stages[i].from - other.to : other.from - stages[i].to, Span{}};
        }
        found->held += other.to - other.from;
    }
    return found;
}

const char* hot_id(const RoastCook& roast) {
    return roast.earned ? "hot-holding-roast" : "hot-holding";
}

} // namespace

const codes::Requirement* hot_requirement(const Case& c, const RoastCook& roast) {
    const codes::Requirement* own = c.pack().find_one(hot_id(roast), c.lot().food);
    return own != nullptr ? own : c.pack().find_one("hot-holding", c.lot().food);
}

void judge_hot_hold(const Case& c, std::size_t i, const RoastCook& cook,
                    std::vector<Finding>& findings) {
    const RoastCook roast = roast_in(c, cook, c.stages()[i]);
    const codes::Requirement* requirement = hot_requirement(c, roast);
    const TemperatureLimit* limit = hold_limit(requirement);
    if (limit == nullptr) {
        return;
    }
    const StageSpan& stage = c.stages()[i];
    const auto like_this = [&](const StageSpan& other) {
        return is_hot_hold(other.stage) && roast_in(c, cook, other).earned == roast.earned;
    };
    const Stretch s{.from = stage.from,
                    .to = stage.to,
                    .before = joined_on(c, i, true, false, like_this),
                    .after = joined_on(c, i, false, false, like_this),
                    .running = stage.running};
    const Coverage cover = coverage(c, s, *limit);
    std::vector<Case::Series> here;
    for (const Case::Series& series : c.series()) {
        if (!between(series.readings, s.from, s.to).empty()) {
            here.push_back(series);
        }
    }
    if (here.empty()) {
        here.push_back({"", {}});
    }
    for (const Case::Series& series : here) {
        Finding f = hold_finding(c, *requirement, *limit, stage, s, series, cover);
        if (c.lot().food == FoodKind::intact_roast && !roast.earned &&
            c.pack().find_one("hot-holding-roast", c.lot().food) != nullptr) {
            f.notes.push_back(
                fmt::format(msg::roast_limit_not_earned, roast.why, limit->to_text()));
        }
        findings.push_back(std::move(f));
    }
}

void judge_cold_hold(const Case& c, std::size_t i, const std::vector<std::optional<Instant>>& from,
                     std::vector<Finding>& findings) {
    const codes::Requirement* requirement = c.pack().find_one("cold-holding", c.lot().food);
    const TemperatureLimit* limit = hold_limit(requirement);
    if (limit == nullptr) {
        return;
    }
    const StageSpan& stage = c.stages()[i];
    const auto cold_hold = [](const StageSpan& other) {
        return other.stage == Stage::cold_holding || other.stage == Stage::thawing;
    };
    const auto cold = [&](const StageSpan& other) {
        return cold_hold(other) || other.stage == Stage::cooling;
    };
    const Stretch s{.from = stage.from,
                    .to = stage.to,
                    .before = joined_on(c, i, true, true, cold),
                    .after = joined_on(c, i, false, true, cold_hold),
                    .running = stage.running};
    std::optional<Instant> first_bound;
    for (const auto& bound : from) {
        if (bound && (!first_bound || *bound < *first_bound)) {
            first_bound = bound;
        }
    }
    if (!from.empty() && !first_bound) {
        return; // still cooling, and in time: the cooling windows speak
    }
    const auto bind = [&](Instant at) {
        Stretch bound = s;
        if (at > s.from) {
            bound.from = std::min(at, s.to);
            bound.before.reset();
        }
        return bound;
    };
    const Coverage cover = coverage(c, bind(first_bound.value_or(s.from)), *limit, from);
    const auto keep = [&](Finding f) {
        // Where a cooling stage shows the food cold for too short a time to say more, the hold that
        // follows speaks.
        const bool says_nothing = stage.stage == Stage::cooling &&
                                  f.verdict == Verdict::not_shown && f.excursions.empty() &&
                                  f.gaps.empty();
        if (!says_nothing) {
            findings.push_back(std::move(f));
        }
    };
    bool any = false;
    for (std::size_t k = 0; k < c.series().size(); ++k) {
        const Case::Series& series = c.series()[k];
        const auto& bound = k < from.size() ? from[k] : first_bound;
        const Stretch own = bind(bound.value_or(s.from));
        if ((k < from.size() && !from[k]) || between(series.readings, own.from, own.to).empty()) {
            continue;
        }
        any = true;
        keep(hold_finding(c, *requirement, *limit, stage, own, series, cover));
    }
    if (!any) {
        keep(hold_finding(c, *requirement, *limit, stage, s, {"", {}}, cover));
    }
}

namespace {

/// The cooling stages that stage `i` ends, one after the other but for what is prepared in between;
/// nullopt: another one goes on from it.
std::optional<Interval> whole_cooling(const std::vector<StageSpan>& stages, std::size_t i) {
    const auto goes_on = [&](std::size_t k) { return stages[k].stage == Stage::preparing; };
    std::size_t next = i + 1;
    while (next < stages.size() && goes_on(next)) {
        ++next;
    }
    if (next < stages.size() && stages[next].stage == Stage::cooling) {
        return std::nullopt;
    }
    Interval whole{stages[i].from, stages[i].to};
    for (std::size_t k = i; k-- > 0 && (goes_on(k) || stages[k].stage == Stage::cooling);) {
        whole.from = stages[k].stage == Stage::cooling ? stages[k].from : whole.from;
    }
    return whole;
}

/// Whether food was moved from a cold hold, or from the freezer, to the coolings of which stage `i`
/// is one.
bool came_from_hold(const std::vector<StageSpan>& stages, std::size_t i) {
    while (i > 0 && (stages[i].stage == Stage::cooling || stages[i].stage == Stage::preparing)) {
        --i;
    }
    return is_cold(stages[i].stage) && stages[i].stage != Stage::cooling;
}

bool read_warm(const Case& c, const Interval& cooling, const TemperatureLimit& limit) {
    return std::ranges::any_of(c.series(), [&](const Case::Series& series) {
        return std::ranges::any_of(
            between(series.readings, cooling.from, cooling.to),
            [&](const Reading& r) { return c.says(r, limit) == Says::wrong; });
    });
}

/// From when each point of food that cools is cold for good; nullopt: it is not, or was not read.
std::vector<std::optional<Instant>> cold_for_good(const Case& c, const Interval& cooling,
                                                  const TemperatureLimit& limit) {
    std::vector<std::optional<Instant>> from;
    for (const Case::Series& series : c.series()) {
        const Readings inside = between(series.readings, cooling.from, cooling.to);
        const auto last_wrong = std::find_if(inside.rbegin(), inside.rend(), [&](const Reading& r) {
            return c.says(r, limit) == Says::wrong;
        });
        from.push_back(last_wrong == inside.rbegin() ? std::nullopt
                                                     : std::optional{last_wrong.base()->at});
    }
    return from;
}

} // namespace

void judge_left_in_cooling(const Case& c, std::size_t i, std::vector<Finding>& findings) {
    const codes::Requirement* requirement = c.pack().find_one("cold-holding", c.lot().food);
    const TemperatureLimit* limit = hold_limit(requirement);
    if (limit == nullptr) {
        return;
    }
    const StageSpan& stage = c.stages()[i];
    const bool from_hold = came_from_hold(c.stages(), i);
    if (from_hold && !has_cooling_times(c)) {
        judge_cold_hold(c, i, {}, findings); // nothing lets it be warm on the way
        return;
    }
    const auto whole = whole_cooling(c.stages(), i);
    if (!whole) {
        return;
    }
    Stretch s{.from = stage.from, .to = stage.to, .running = stage.running};
    std::vector<std::optional<Instant>> bound;
    if (from_hold && !read_warm(c, *whole, *limit)) {
        s.before = joined_on(c, i, true, true, [](const StageSpan& other) {
            return other.stage == Stage::cooling || other.stage == Stage::cold_holding ||
                   other.stage == Stage::thawing;
        });
    } else {
        bound = cold_for_good(c, *whole, *limit);
        const auto first = std::ranges::min_element(bound, {}, [](const auto& at) {
            return at.value_or(Instant::from_unix_ms(INT64_MAX));
        });
        if (first == bound.end() || !*first) {
            return;
        }
        s.from = **first;
    }
    const Coverage cover = coverage(c, s, *limit, bound);
    if (cover.gaps.empty()) {
        return;
    }
    Finding f = start_finding(*requirement, stage, "");
    f.limit = figure_of(*limit);
    f.verdict = Verdict::not_shown;
    describe_gap(c, f, cover);
    for (std::size_t k = 0; k < c.series().size(); ++k) {
        if (bound.empty() || bound[k]) { // of a point that still cools nothing was asked
            const Instant from = bound.empty() ? s.from : *bound[k];
            add_gap_evidence(f, between(c.series()[k].readings, from, s.to));
        }
    }
    settle_evidence(f);
    findings.push_back(std::move(f));
}

} // namespace holdwarden::judge
