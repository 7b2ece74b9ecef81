#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/forecast.hpp>

#include <Eigen/LU>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

namespace holdwarden::heat {
namespace {

constexpr std::size_t kLeastReadings = 6;
constexpr double kLeastSpan_s = 20 * 60.0;
constexpr double kLeastFall_k = 2.0;
constexpr double kModel_k = 0.25; // what any shape leaves out, one standard deviation
constexpr double kFreedom = 10.0; // readings close in time err together: so many count
constexpr std::size_t kMostBins = 20;
constexpr double kHorizon_s = 96 * 3600.0;
constexpr std::array kOffsets{0.0, 0.15, 0.4, 1.0}; // half times the fall may have begun earlier

/// A reading in seconds since the first and degrees Celsius.
struct Datum {
    double t;
    double y;
};

/// The display's step in kelvin: the largest of 1, 0.5, 0.1, 0.01 degree that all readings are
/// multiples of.
double display_step(std::span<const TimedReading> readings) {
    for (const int step : {1000, 500, 100}) {
        if (std::all_of(readings.begin(), readings.end(),
                        [&](const TimedReading& r) { return r.value.thousandths() % step == 0; })) {
            return step / 1000.0 *
                   (readings.front().value.scale() == Scale::fahrenheit ? 1.0 / 1.8 : 1.0);
        }
    }
    return 0.01;
}

/// Readings less those that jump away from their neighbours and back (a probe touched, a door).
std::vector<Datum> without_jumps(const std::vector<Datum>& all) {
    if (all.size() < 5) {
        return all;
    }
    std::vector<Datum> kept;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const std::size_t from = std::min(i > 2 ? i - 2 : 0, all.size() - 5);
        std::array<double, 5> near{};
        for (std::size_t k = 0; k < 5; ++k) {
            near[k] = all[from + k].y;
        }
        std::nth_element(near.begin(), near.begin() + 2, near.end());
        const double spread = std::abs(all[from + 4].y - all[from].y);
        if (std::abs(all[i].y - near[2]) <= std::max(1.5, spread)) {
            kept.push_back(all[i]);
        }
    }
    return kept;
}

double slope_k_per_s(std::span<const Datum> data) {
    const auto n = static_cast<double>(data.size());
    double mean_t = 0.0;
    double mean_y = 0.0;
    for (const Datum& d : data) {
        mean_t += d.t / n;
        mean_y += d.y / n;
    }
    double above = 0.0;
    double below = 0.0;
    for (const Datum& d : data) {
        above += (d.t - mean_t) * (d.y - mean_y);
        below += (d.t - mean_t) * (d.t - mean_t);
    }
    return below > 0.0 ? above / below : 0.0;
}

/// The last 20 minutes, four readings at least.
std::span<const Datum> recent(std::span<const Datum> data) {
    std::size_t from = data.size();
    while (from > 0 && (data.size() - from < 4 || data[from - 1].t >= data.back().t - 1200.0)) {
        --from;
    }
    return data.subspan(from);
}

/// Means of neighbouring readings, at most kMostBins of them.
std::vector<Datum> binned(std::span<const Datum> data) {
    const std::size_t bins = std::min(kMostBins, data.size());
    std::vector<Datum> out(bins);
    for (std::size_t b = 0; b < bins; ++b) {
        const std::size_t from = b * data.size() / bins;
        const std::size_t to = (b + 1) * data.size() / bins;
        for (std::size_t i = from; i < to; ++i) {
            out[b].t += data[i].t / static_cast<double>(to - from);
            out[b].y += data[i].y / static_cast<double>(to - from);
        }
    }
    return out;
}

/// One stretched shape with its least-squares end and difference.
struct Cell {
    const CoolingShape* shape = nullptr;
    double half_s = 0.0;
    double offset = 0.0;
    double end = 0.0; ///< degrees Celsius
    double end_sd = 0.0;
    double difference = 0.0; ///< share 1 stands for so many kelvin
    double tilt = 0.0;       ///< change of difference with the end
    double log_weight = -std::numeric_limits<double>::infinity();
    double rms = 0.0;
};

struct Fit {
    std::vector<Cell> cells;
    const Cell* best = nullptr;
};

struct Problem {
    std::vector<Datum> bins;
    double variance; ///< of one bin
    Ambient ambient;
    bool ambient_given;
};

/// Linear least squares y = end + difference * share, the end with its prior.
Cell solve_cell(const Problem& p, const ShapePrior& prior, double half_s, double offset) {
    Cell cell{.shape = &prior.shape, .half_s = half_s, .offset = offset};
    const auto n = static_cast<double>(p.bins.size());
    const double weight = std::min(1.0, kFreedom / n) / p.variance;
    double x = 0.0;
    double xx = 0.0;
    double y = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    const double origin = p.bins.front().y; // keeps sums of squares small
    for (const Datum& d : p.bins) {
        const double share = prior.shape.left(offset + d.t / half_s);
        const double v = d.y - origin;
        x += share;
        xx += share * share;
        y += v;
        xy += share * v;
        yy += v * v;
    }
    const bool own_end = prior.end.has_value() && !p.ambient_given;
    const double mean = (own_end ? prior.end->degrees : p.ambient.mean.degrees) - origin;
    const double sd = own_end ? 2.0 : p.ambient.sd_k;
    const double known = 1.0 / (sd * sd);
    Eigen::Matrix2d m;
    m << weight * n + known, weight * x, weight * x, weight * xx + 1e-8;
    const Eigen::Vector2d b{weight * y + known * mean, weight * xy};
    const double determinant = m.determinant();
    if (!(determinant > 0.0)) {
        return cell;
    }
    const Eigen::Matrix2d inverse = m.inverse();
    const Eigen::Vector2d s = inverse * b;
    if (!(s[1] > 0.5)) {
        return cell; // not a fall
    }
    const double squares = std::max(0.0, yy + s[0] * s[0] * n + s[1] * s[1] * xx - 2.0 * s[0] * y -
                                             2.0 * s[1] * xy + 2.0 * s[0] * s[1] * x);
    cell.end = s[0] + origin;
    cell.end_sd = std::sqrt(inverse(0, 0));
    cell.difference = s[1];
    cell.tilt = inverse(0, 1) / inverse(0, 0);
    cell.rms = std::sqrt(squares / n);
    const double off = (s[0] - mean) / sd;
    cell.log_weight = -0.5 * (weight * squares + off * off + std::log(determinant));
    if (prior.half_time_s) {
        const double z = std::log(half_s / *prior.half_time_s) / prior.half_time_log_sd;
        cell.log_weight -= 0.5 * z * z;
    }
    return cell;
}

/// Cells of one shape and offset over the half times that matter, by narrowing the grid.
void add_cells(const Problem& p, const ShapePrior& prior, double offset, std::vector<Cell>& into) {
    constexpr int kPoints = 17;
    double low = std::log(prior.half_time_s ? *prior.half_time_s : 300.0);
    double high = std::log(prior.half_time_s ? *prior.half_time_s : 48 * 3600.0);
    if (prior.half_time_s) {
        low -= 3.0 * prior.half_time_log_sd;
        high += 3.0 * prior.half_time_log_sd;
    }
    std::array<Cell, kPoints> cells;
    for (int pass = 0; pass < 4; ++pass) {
        double best = -std::numeric_limits<double>::infinity();
        const double step = (high - low) / (kPoints - 1);
        for (int i = 0; i < kPoints; ++i) {
            Cell& cell = cells[static_cast<std::size_t>(i)];
            cell = solve_cell(p, prior, std::exp(low + step * i), offset);
            best = std::max(best, cell.log_weight);
        }
        if (!std::isfinite(best)) {
            return;
        }
        int first = 0;
        int last = kPoints - 1;
        while (cells[static_cast<std::size_t>(first)].log_weight < best - 8.0) {
            ++first;
        }
        while (cells[static_cast<std::size_t>(last)].log_weight < best - 8.0) {
            --last;
        }
        if (last - first >= 6 || pass == 3) {
            for (Cell& cell : cells) {
                cell.log_weight += std::log(step); // the grid's spacing is part of the weight
            }
            break;
        }
        const double new_low = low + step * std::max(0, first - 1);
        high = low + step * std::min(kPoints - 1, last + 1);
        low = new_low;
    }
    into.insert(into.end(), cells.begin(), cells.end());
}

Fit fit(const Problem& p, const ForecastPrior& prior) {
    Fit result;
    for (const ShapePrior& shape : prior.shapes) {
        for (const double offset : kOffsets) {
            add_cells(p, shape, offset, result.cells);
        }
    }
    for (const Cell& cell : result.cells) {
        if (result.best == nullptr || cell.log_weight > result.best->log_weight) {
            result.best = &cell;
        }
    }
    if (result.best != nullptr && !std::isfinite(result.best->log_weight)) {
        result.best = nullptr;
    }
    return result;
}

double model(const Cell& cell, double t) {
    return cell.end + cell.difference * cell.shape->left(cell.offset + t / cell.half_s);
}

/// Whether the best course fails to follow: too far on the whole, or the last readings all off to
/// one side.
bool follows_badly(const Cell& best, std::span<const Datum> data, double noise) {
    if (best.rms > 2.5 * noise) {
        return true;
    }
    if (data.size() < 10) {
        return false;
    }
    double sum = 0.0;
    int above = 0;
    for (const Datum& d : data.last(5)) {
        const double off = d.y - model(best, d.t);
        sum += off;
        above += off > 0.0 ? 1 : 0;
    }
    return (above == 0 || above == 5) && std::abs(sum / 5.0) > 2.0 * noise;
}

bool enough(std::span<const Datum> data) {
    return data.size() >= kLeastReadings && data.back().t - data.front().t >= kLeastSpan_s &&
           data.front().y - data.back().y >= kLeastFall_k;
}

struct WeightedTime {
    double t;
    double weight;
};

/// The quantile of weighted times; infinity stands for never.
double weighted_quantile(const std::vector<WeightedTime>& sorted, double total, double share) {
    double sum = 0.0;
    for (const WeightedTime& w : sorted) {
        sum += w.weight;
        if (sum >= share * total) {
            return w.t;
        }
    }
    return sorted.back().t;
}

Instant after(Instant from, double seconds) {
    return from + Span::milliseconds(std::llround(seconds * 1000.0));
}

/// The crossing over all cells, each with its end at three places (Gauss-Hermite).
void cross(const Fit& f, double limit_c, double now_t, Instant zero, double least_half_width,
           LimitForecast& out) {
    static constexpr std::array<std::pair<double, double>, 3> kNodes{
        {{0.0, 2.0 / 3.0}, {1.7320508075688772, 1.0 / 6.0}, {-1.7320508075688772, 1.0 / 6.0}}};
    std::vector<WeightedTime> times;
    double total = 0.0;
    double never = 0.0;
    for (const Cell& cell : f.cells) {
        const double base = std::exp(cell.log_weight - f.best->log_weight);
        if (!(base > 1e-5)) {
            continue;
        }
        for (const auto& [node, share] : kNodes) {
            const double end = cell.end + node * cell.end_sd;
            const double difference = cell.difference + cell.tilt * node * cell.end_sd;
            const double left = (limit_c - end) / difference;
            double t = std::numeric_limits<double>::infinity();
            if (difference > 0.0 && left > 0.0) {
                t = std::max(now_t, cell.half_s * (cell.shape->when(left) - cell.offset));
                t = t > kHorizon_s ? std::numeric_limits<double>::infinity() : t;
            }
            never += std::isfinite(t) ? 0.0 : base * share;
            total += base * share;
            times.push_back({t, base * share});
        }
    }
    std::sort(times.begin(), times.end(),
              [](const WeightedTime& a, const WeightedTime& b) { return a.t < b.t; });
    out.share_never = never / total;
    const double early = weighted_quantile(times, total, 0.1);
    const double middle = weighted_quantile(times, total, 0.5);
    const double late = weighted_quantile(times, total, 0.9);
    if (!std::isfinite(early)) {
        out.kind = ForecastKind::not_likely;
        return;
    }
    const double remaining = (std::isfinite(middle) ? middle : early) - now_t;
    const double least = least_half_width * remaining;
    out.earliest = after(zero, std::max(now_t, std::min(early, now_t + remaining - least)));
    if (!std::isfinite(middle) || !std::isfinite(late)) {
        out.kind = ForecastKind::may_never;
        return;
    }
    out.kind = ForecastKind::crossing;
    out.middle = after(zero, middle);
    out.latest = after(zero, std::max(late, middle + least));
}

/// Before there are readings enough: the plan's courses from the first reading on.
void from_plan(const ForecastPrior& prior, double limit_c, Instant zero, LimitForecast& out) {
    std::vector<std::optional<Span>> times;
    for (const Course& course : prior.courses) {
        times.push_back(falls_below(course, prior.piece, prior.point, Celsius{limit_c}));
    }
    if (times.empty()) {
        return;
    }
    const SpanBand band = band_of(times);
    out.from_plan = true;
    out.share_never = 1.0 - band.share_happening;
    const auto at = [&](const std::optional<Span>& span) -> std::optional<Instant> {
        return span ? std::optional{zero + *span} : std::nullopt;
    };
    out.earliest = at(band.low);
    out.middle = at(band.middle);
    out.latest = at(band.high);
    if (!out.latest) {
        out.middle = std::nullopt; // never a point without its band
    }
}

void check(std::span<const TimedReading> readings, const ForecastQuestion& question) {
    const auto fail = [](const char* what, const char* where, const char* fix) {
        throw Error{ErrorKind::bad_input, {.what = what, .where = where, .fix = fix}};
    };
    if (question.limits.empty()) {
        fail("a forecast needs a limit", "limits", "name at least one temperature");
    }
    for (std::size_t i = 1; i < readings.size(); ++i) {
        if (readings[i].at < readings[i - 1].at) {
            fail("readings are out of order", "readings", "sort them by time");
        }
    }
    if (!readings.empty() && question.now < readings.back().at) {
        fail("the present is before the last reading", "now", "give a later time");
    }
}

} // namespace

Ambient assumed_ambient(Stage stage) noexcept {
    switch (stage) {
    case Stage::cooling:
    case Stage::cold_holding:
    case Stage::frozen:
        return {Celsius{5.0}, 6.0};
    case Stage::hot_holding: // a cabinet or a chest
        return {Celsius{40.0}, 25.0};
    default:
        return {Celsius{20.0}, 8.0};
    }
}

Forecast forecast_crossing(std::span<const TimedReading> readings, const ForecastPrior& prior,
                           const ForecastQuestion& question) {
    check(readings, question);
    Forecast out;
    for (const Temperature limit : question.limits) {
        LimitForecast asked;
        asked.limit = limit;
        out.limits.push_back(asked);
    }
    const auto all_are = [&](ForecastKind kind) {
        for (LimitForecast& l : out.limits) {
            l.kind = l.kind == ForecastKind::passed ? l.kind : kind;
        }
    };
    if (readings.empty()) {
        all_are(ForecastKind::too_early);
        for (LimitForecast& l : out.limits) {
            from_plan(prior, l.limit.in_celsius(), question.now, l);
        }
        return out;
    }
    const Instant zero = readings.front().at;
    std::vector<Datum> raw;
    for (const TimedReading& r : readings) {
        raw.push_back({(r.at - zero).in_seconds(), r.value.in_celsius()});
    }
    const std::vector<Datum> data = without_jumps(raw);
    const double step = display_step(readings);
    const double noise = std::sqrt(step * step / 12.0 + kModel_k * kModel_k);
    for (LimitForecast& l : out.limits) {
        if (physical_order(readings.back().value, l.limit) < 0) {
            l.kind = ForecastKind::passed;
        }
    }
    out.slope_k_per_h = slope_k_per_s(recent(data)) * 3600.0;
    // From when it first stood within a step of its highest: what came before was still warming,
    // and the flat top belongs to the fall, whose lag tells of the food's size.
    const double top =
        std::max_element(data.begin(), data.end(), [](const Datum& a, const Datum& b) {
            return a.y < b.y;
        })->y;
    std::size_t peak = 0;
    while (data[peak].y < top - std::max(step, 0.3) - 1e-9) {
        ++peak;
    }
    std::span<const Datum> used = std::span{data}.subspan(peak);
    const bool falls = data.front().y - data.back().y >= kLeastFall_k ||
                       data[peak].y - data.back().y >= kLeastFall_k;
    if (data.size() >= 4 && out.slope_k_per_h > -0.2 && !(falls && out.slope_k_per_h <= 0.0)) {
        all_are(ForecastKind::rising);
        return out;
    }
    const double now_t = (question.now - zero).in_seconds();
    Problem problem{.bins = {},
                    .variance = noise * noise,
                    .ambient = question.ambient.value_or(Ambient{Celsius{15.0}, 15.0}),
                    .ambient_given = question.ambient.has_value()};
    while (enough(used)) {
        problem.bins = binned(used);
        const double start = problem.bins.front().t;
        for (Datum& d : problem.bins) {
            d.t -= start;
        }
        std::vector<Datum> shifted(used.begin(), used.end());
        for (Datum& d : shifted) {
            d.t -= start;
        }
        const Fit f = fit(problem, prior);
        if (f.best != nullptr && !follows_badly(*f.best, shifted, noise)) {
            out.fitted_from = after(zero, used.front().t);
            out.readings_used = used.size();
            out.misfit_k = f.best->rms;
            for (LimitForecast& l : out.limits) {
                if (l.kind != ForecastKind::passed) {
                    cross(f, l.limit.in_celsius(), now_t - start, after(zero, start),
                          question.least_half_width, l);
                }
            }
            return out;
        }
        out.restarted = true; // something changed: leave a quarter of the older readings out
        used = used.subspan(std::max<std::size_t>(1, used.size() / 4));
    }
    if (out.restarted) {
        out.fitted_from = after(zero, used.front().t);
        all_are(ForecastKind::unknown);
        return out;
    }
    all_are(ForecastKind::too_early);
    for (LimitForecast& l : out.limits) {
        if (l.kind == ForecastKind::too_early) {
            from_plan(prior, l.limit.in_celsius(), after(zero, data[peak].t), l);
        }
    }
    return out;
}

} // namespace holdwarden::heat
