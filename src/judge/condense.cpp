// Long records made short: see condense.hpp. What may be left out follows from what the judge looks
// at; properties_condense_test.cpp holds the two together.
#include "internal/case.hpp"
#include "internal/rules.hpp"

#include <holdwarden/judge/condense.hpp>
#include <holdwarden/judge/correction.hpp>
#include <holdwarden/judge/suspect.hpp>

#include <algorithm>
#include <limits>

namespace holdwarden::judge {

using codes::TemperatureLimit;
using records::Reading;

namespace {

/// Wider than what may be a reading at all (records::plausible), in both scales.
constexpr std::int32_t kLowest = -300'000;
constexpr std::int32_t kHighest = 1'300'000;
constexpr std::int32_t kNone = std::numeric_limits<std::int32_t>::max();
constexpr std::int32_t kNever = std::numeric_limits<std::int32_t>::min();

/// Values that the judge orders by rounded thousandths of a degree Celsius stay apart when they
/// are whole hundredths.
constexpr std::int32_t kOrderedStep = 10;
/// So that neither a step nor a swing can hide in a run (suspect.hpp); in ninths.
constexpr std::int64_t kWidestRun = kSwingCThousandths * 9;
/// More than this is never left out at one place: its count has to fit.
constexpr std::uint32_t kLongestRun = 1'000'000'000;

std::size_t index(Scale scale) noexcept {
    return scale == Scale::fahrenheit ? 0 : 1;
}

/// The lowest value for which `says` is not what it is for the lowest of all; kNone: it never
/// changes. It changes once at most.
template <class Says>
std::int32_t cut_of(Scale scale, Says says) {
    const auto at = [&](std::int32_t v) { return says(Temperature::of_thousandths(v, scale)); };
    const bool below = at(kLowest);
    if (at(kHighest) == below) {
        return kNone;
    }
    std::int32_t low = kLowest;
    std::int32_t high = kHighest;
    while (high - low > 1) {
        const std::int32_t middle = low + (high - low) / 2;
        (at(middle) == below ? low : high) = middle;
    }
    return high;
}

/// Every limit that a rule compares food with, wherever it is; see row_limits_of.
std::vector<const TemperatureLimit*> limits_of(const codes::Rule& rule) {
    std::vector<const TemperatureLimit*> limits;
    const auto add = [&](const std::optional<TemperatureLimit>& limit) {
        if (limit) {
            limits.push_back(&*limit);
        }
    };
    if (const auto* hold = std::get_if<codes::HoldRule>(&rule)) {
        limits.push_back(&hold->limit);
    } else if (const auto* window = std::get_if<codes::WindowRule>(&rule)) {
        add(window->from);
        add(window->to);
    } else if (const auto* by_time = std::get_if<codes::TimeControlRule>(&rule)) {
        limits.push_back(&by_time->cold_start);
        add(by_time->hot_start);
        add(by_time->adds_up_below);
    } else if (const auto* ceiling = std::get_if<codes::CeilingRule>(&rule)) {
        limits.push_back(&ceiling->limit);
    } else if (const auto* marked = std::get_if<codes::DateMarkRule>(&rule)) {
        limits.push_back(&marked->kept_at);
    }
    return limits;
}

/// What the rows of a table compare food with while it is cooked or reheated.
std::vector<const TemperatureLimit*> row_limits_of(const codes::Rule& rule) {
    std::vector<const TemperatureLimit*> limits;
    if (const auto* table = std::get_if<codes::TableRule>(&rule)) {
        for (const codes::TableRow& row : table->rows) {
            limits.push_back(&row.at);
        }
    }
    return limits;
}

void insert(std::vector<std::int32_t>& sorted, const std::vector<std::int32_t>& cuts) {
    for (const std::int32_t cut : cuts) {
        const auto at = std::ranges::lower_bound(sorted, cut);
        if (cut != kNone && (at == sorted.end() || *at != cut)) {
            sorted.insert(at, cut);
        }
    }
}

bool is_cold_hold(Stage stage) noexcept {
    return stage == Stage::cold_holding || stage == Stage::thawing || stage == Stage::frozen;
}

} // namespace

bool condenses(Stage stage) noexcept {
    return stage != Stage::time_control;
}

Cooks cooks_of(FoodKind food) noexcept {
    return food == FoodKind::intact_roast ? Cooks::whole : Cooks::condensed;
}

Condensing::Condensing(const Settings& settings)
    : settings_{settings}, largest_interval_{settings.largest_interval} {}

void Condensing::add(const codes::Pack& pack, FoodKind food) {
    for (const codes::Requirement& requirement : pack.requirements) {
        // Packaged food that is reheated again goes by the rows of other food.
        if (requirement.covers(food) ||
            (food == FoodKind::packaged_ready_to_eat && requirement.covers(FoodKind::other_tcs))) {
            add(requirement);
        }
    }
}

void Condensing::add(const codes::Requirement& requirement) {
    for (const TemperatureLimit* limit : limits_of(requirement.rule)) {
        const bool holds = std::holds_alternative<codes::HoldRule>(requirement.rule);
        for (const Scale scale : {Scale::fahrenheit, Scale::celsius}) {
            add(*limit, scale, holds);
        }
    }
    if (const auto* window = std::get_if<codes::WindowRule>(&requirement.rule);
        window != nullptr && window->to && !window->to->wants_hot()) {
        for (const Scale scale : {Scale::fahrenheit, Scale::celsius}) {
            Cuts& cuts = cuts_[index(scale)];
            const std::int32_t till = cuts_of(*window->to, scale).front();
            cuts.coldest_target = std::min(cuts.coldest_target.value_or(till), till);
        }
    }
    if (const auto* table = std::get_if<codes::TableRule>(&requirement.rule)) {
        rests_by_rows_ = rests_by_rows_ || table->rest_counts;
    }
    for (const TemperatureLimit* limit : row_limits_of(requirement.rule)) {
        for (const Scale scale : {Scale::fahrenheit, Scale::celsius}) {
            insert(cuts_[index(scale)].rows, cuts_of(*limit, scale));
        }
    }
}

std::vector<std::int32_t> Condensing::cuts_of(const TemperatureLimit& limit, Scale scale) const {
    std::vector<std::int32_t> found{
        cut_of(scale, [&](Temperature t) { return limit.side(t) == codes::Side::right; })};
    if (settings_.rule == DecisionRule::guarded && settings_.tolerance) {
        const TemperatureDelta band = *settings_.tolerance;
        found.push_back(cut_of(scale, [&](Temperature t) { return limit.clears(t, band); }));
        found.push_back(cut_of(scale, [&](Temperature t) {
            return -limit.clearance(t).thousandths() > band.in(scale).thousandths();
        }));
    }
    return found;
}

void Condensing::add(const TemperatureLimit& limit, Scale scale, bool holds) {
    Cuts& cuts = cuts_[index(scale)];
    const std::vector<std::int32_t> found = cuts_of(limit, scale);
    insert(cuts.all, found);
    insert(cuts.rows, found);
    if (!holds) {
        return;
    }
    // Where a cut is missing nothing is ever surely right.
    if (limit.wants_hot()) {
        const std::int32_t from = *std::ranges::max_element(found);
        cuts.hot_from = std::max(cuts.hot_from.value_or(from), from);
    } else {
        const bool never = std::ranges::find(found, kNone) != found.end();
        const std::int32_t till = never ? kNever : *std::ranges::min_element(found);
        cuts.cold_till = std::min(cuts.cold_till.value_or(till), till);
    }
}

void Condensing::at_least_every(Span interval) {
    largest_interval_ = std::min(largest_interval_, interval);
}

bool Condensing::binds_cold(Stage stage, const Cuts& cuts) noexcept {
    // Where a cooling ends above the limit, or has no times, cold holding binds in its stage too.
    const bool cools_freely =
        !cuts.cold_till || (cuts.coldest_target && *cuts.coldest_target <= *cuts.cold_till);
    return is_cold_hold(stage) || (stage == Stage::cooling && !cools_freely);
}

bool Condensing::goes_by_rows(Stage stage) const noexcept {
    return stage == Stage::cooking || stage == Stage::reheating ||
           (stage == Stage::resting && rests_by_rows_);
}

std::optional<Condensing::Range> Condensing::range_of(Temperature value,
                                                      Stage stage) const noexcept {
    const Cuts& cuts = cuts_[index(value.scale())];
    const std::int32_t v = value.thousandths();
    const bool wrong_side = (is_hot_hold(stage) && v < cuts.hot_from.value_or(kNone)) ||
                            (binds_cold(stage, cuts) && v >= cuts.cold_till.value_or(kNever));
    if (wrong_side || !condenses(stage)) {
        return std::nullopt;
    }
    const auto& list = goes_by_rows(stage) ? cuts.rows : cuts.all;
    const auto above = std::ranges::upper_bound(list, v);
    return Range{above == list.begin() ? kLowest : *std::prev(above),
                 above == list.end() ? kHighest : *above};
}

Span Condensing::largest_interval(Stage stage) const noexcept {
    return goes_by_rows(stage) ? std::min(largest_interval_, kLongestGapInRun) : largest_interval_;
}

void Condenser::begin(Stage stage) {
    seal();
    stage_ = stage;
    largest_interval_ = how_->largest_interval(stage);
}

void Condenser::add(const Reading& reading) {
    if (running_ && goes_on(reading)) {
        extend(reading);
        trusted_ = reading;
        return;
    }
    const bool first_of_instant = kept_before() == nullptr || kept_before()->at != reading.at;
    // As mark_steps goes: of two readings of one instant the first stays the one to measure from.
    const bool of_trusted = trusted_ && trusted_->at == reading.at;
    const bool suspect = is_doubted_after(trusted_ ? &*trusted_ : nullptr, reading);
    last_apart_ = !first_of_instant;
    seal();
    last_apart_ = false;
    if (!of_trusted && !suspect) {
        trusted_ = reading;
    }
    const bool whole = stage_ == Stage::cooking && cooks_ == Cooks::whole;
    const auto range = whole ? std::nullopt : how_->range_of(reading.value, stage_);
    const bool may_run = range && first_of_instant && !suspect && !reading.suspect &&
                         reading.origin == records::Origin::logged &&
                         reading.value.thousandths() % kOrderedStep == 0;
    if (may_run) {
        range_ = *range;
        start(reading);
        after_break_ = true;
    } else {
        kept_.push_back(reading);
        sealed_ = kept_.size();
    }
}

std::vector<Reading>& Condenser::kept() {
    kept_.resize(sealed_);
    if (running_) {
        put_run();
    }
    return kept_;
}

const Reading* Condenser::kept_before() const noexcept {
    return running_ ? &run_.last : sealed_ > 0 ? &kept_[sealed_ - 1] : nullptr;
}

bool Condenser::goes_on(const Reading& r) const noexcept {
    const Reading& last = run_.last;
    const std::int32_t v = r.value.thousandths();
    return v >= range_.from && v < range_.to && r.value.scale() == last.value.scale() &&
           r.at > last.at && r.at - last.at <= largest_interval_ && !r.suspect &&
           r.probe == last.probe && r.origin == records::Origin::logged && v % kOrderedStep == 0 &&
           run_.count < kLongestRun &&
           // Within the run nothing steps or swings; nor from what was trusted last, its last one.
           apart_in_ninths(r.value, run_.lowest.value) < kWidestRun &&
           apart_in_ninths(r.value, run_.highest.value) < kWidestRun;
}

void Condenser::start(const Reading& reading) {
    kept_.resize(sealed_);
    running_ = true;
    first_ = reading;
    run_ = {.lowest = reading, .highest = reading, .last = reading, .count = 1};
    before_streak_ = {};
    streak_first_ = reading;
    streak_ = 1;
}

void Condenser::extend(const Reading& r) {
    if (r.value == run_.last.value) {
        ++streak_;
    } else {
        const bool one_value = streak_ == run_.count;
        const bool stuck =
            streak_ >= kStuckReadings && run_.last.at - streak_first_.at >= kStuckFor;
        if ((one_value && after_break_ && streak_ > 1) || stuck) {
            seal_streak();
            start(r);
            after_break_ = false;
            return;
        }
        before_streak_ = run_;
        streak_first_ = r;
        streak_ = 1;
    }
    if (r.value.thousandths() < run_.lowest.value.thousandths()) {
        run_.lowest = r;
        run_.lowest_n = run_.count;
    } else if (r.value.thousandths() > run_.highest.value.thousandths()) {
        run_.highest = r;
        run_.highest_n = run_.count;
    }
    before_last_ = run_.last;
    run_.last = r;
    ++run_.count;
}

/// Ends the run; what shows one value at its end is kept as such, for it may go on.
void Condenser::seal() {
    if (running_) {
        seal_streak();
    }
}

void Condenser::seal_streak() {
    kept_.resize(sealed_);
    put_run();
    sealed_ = kept_.size();
    running_ = false;
}

/// The run as it is now: what came before the last readings of one value, and those. Of an instant
/// with two values the first stands apart: what was left out vouches for the time before it only.
void Condenser::put_run() {
    if (streak_ < run_.count) {
        put(first_, before_streak_, false);
    }
    const bool apart = last_apart_ && streak_ > 1;
    const Reading& last = apart ? before_last_ : run_.last;
    put(streak_first_,
        {.lowest = streak_first_,
         .highest = streak_first_,
         .last = last,
         .count = apart ? streak_ - 1 : streak_},
        true);
    if (apart) {
        kept_.push_back(run_.last);
    }
}

void Condenser::put(const Reading& first, const Part& part, bool flat) {
    std::uint32_t n = 0;
    const auto keep = [&](Reading reading, std::uint32_t number) {
        reading.left_out = (number - n - 1) & 0x7FFFFFFFU;
        reading.flat = flat && reading.left_out > 0 ? 1 : 0;
        n = number;
        kept_.push_back(reading);
    };
    kept_.push_back(first);
    const bool low_first = part.lowest_n < part.highest_n;
    const std::uint32_t last = part.count - 1;
    for (const bool low : {low_first, !low_first}) {
        const std::uint32_t number = low ? part.lowest_n : part.highest_n;
        if (number > n && number < last) {
            keep(low ? part.lowest : part.highest, number);
        }
    }
    if (last > n) {
        keep(part.last, last);
    }
}

namespace {

bool shifts_nothing(const records::Probe& probe) {
    const auto none = [](const std::vector<Calibration::Point>& points) {
        return std::ranges::all_of(points, [](const auto& p) { return p.correction == 0.0; });
    };
    return std::ranges::all_of(calibrations(probe), [&](const Calibration& session) {
        return none(session.found) && none(session.left);
    });
}

/// The instants at which what is said of a probe's readings changes, from the reading of that very
/// instant on or after it.
std::vector<Instant> checks_of(const records::LotHistory& lot) {
    std::vector<Instant> bounds;
    for (const records::Probe& probe : lot.probes) {
        for (const records::CheckPoint& check : probe.checks) {
            bounds.push_back(check.at);
        }
        for (const records::OverdueStretch& stretch : probe.overdue) {
            bounds.push_back(stretch.from);
            bounds.push_back(stretch.to.value_or(stretch.from));
        }
    }
    return bounds;
}

/// The instants at which something changes for the food: a reading of that instant counts on both
/// sides.
std::vector<Instant> bounds_of(const records::LotHistory& lot, const Settings& settings) {
    std::vector<Instant> bounds{settings.as_of};
    const auto add = [&](const std::optional<Instant>& at) {
        if (at) {
            bounds.push_back(*at);
        }
    };
    for (const records::StageEntry& stage : lot.stages) {
        add(stage.from);
    }
    add(lot.end ? std::optional{lot.end->at} : std::nullopt);
    add(lot.closes);
    add(lot.cut);
    return bounds;
}

/// Whether food may be put to a hot hold that was read cold before anything was done to it.
bool was_read_before(const records::LotHistory& lot) {
    return !lot.stages.empty() &&
           (lot.stages.front().stage == Stage::preparing ||
            std::ranges::any_of(lot.points, [&](const records::PointSeries& series) {
                return !series.readings.empty() &&
                       series.readings.front().at < lot.stages.front().from;
            }));
}

/// Stages in which every reading matters, wherever in the lot's life they come.
bool asks_for_all(const records::LotHistory& lot) {
    bool may_be_cold = was_read_before(lot);
    for (const records::StageEntry& stage : lot.stages) {
        if (stage.stage == Stage::time_control || (may_be_cold && is_hot_hold(stage.stage))) {
            return true; // the latter is a reheat: nobody reheated it
        }
        // A first heating is no reheat where the code has no rule for it.
        if (stage.stage != Stage::preparing && stage.stage != Stage::initial_heating) {
            may_be_cold = is_cold(stage.stage);
        }
    }
    return false;
}

bool has_links(std::span<const Reading> readings) {
    return std::ranges::any_of(readings, [](const Reading& r) { return r.left_out > 0; });
}

/// Whether a cook of which each reading matters has lost some.
bool lacks_of_a_cook(const records::LotHistory& lot) {
    for (std::size_t i = 0; i < lot.stages.size(); ++i) {
        const Instant to =
            i + 1 < lot.stages.size() ? lot.stages[i + 1].from : Instant::from_unix_ms(INT64_MAX);
        const bool lacks = std::ranges::any_of(lot.points, [&](const auto& series) {
            return has_links(
                after(between(series.readings, lot.stages[i].from, to), lot.stages[i].from));
        });
        if (lot.stages[i].stage == Stage::cooking && lacks) {
            return true;
        }
    }
    return false;
}

} // namespace

bool links_hold(const records::LotHistory& lot, const Settings& settings) {
    const auto linked = [](const auto& series) { return has_links(series.readings); };
    if (std::ranges::any_of(lot.air, linked)) {
        return false;
    }
    if (std::ranges::none_of(lot.points, linked)) {
        return true;
    }
    if (cooks_of(lot.food) == Cooks::whole && lacks_of_a_cook(lot)) {
        return false;
    }
    if (!lot.sources.empty() || !lot.came_from.empty() || !lot.marks.empty() ||
        !lot.amendments.empty() || lot.first_recorded || asks_for_all(lot) ||
        !std::ranges::all_of(lot.probes, shifts_nothing)) {
        return false;
    }
    if (settings.rule == DecisionRule::guarded &&
        std::ranges::any_of(lot.probes, [](const auto& p) { return p.accuracy.has_value(); })) {
        return false; // the cuts were made with one tolerance
    }
    const std::vector<Instant> bounds = bounds_of(lot, settings);
    const std::vector<Instant> checks = checks_of(lot);
    for (const records::PointSeries& series : lot.points) {
        for (std::size_t i = 0; i < series.readings.size(); ++i) {
            const Reading& r = series.readings[i];
            if (r.left_out == 0) {
                continue;
            }
            if (i == 0 || r.suspect || series.readings[i - 1].suspect) {
                return false;
            }
            const Instant before = series.readings[i - 1].at;
            const bool two_values =
                i + 1 < series.readings.size() && series.readings[i + 1].at == r.at;
            const auto within = [&](Instant at) { return before < at && at < r.at; };
            const auto up_to = [&](Instant at) { return before < at && at <= r.at; };
            if (two_values || std::ranges::any_of(bounds, within) ||
                std::ranges::any_of(checks, up_to)) {
                return false;
            }
        }
    }
    return true;
}

} // namespace holdwarden::judge
