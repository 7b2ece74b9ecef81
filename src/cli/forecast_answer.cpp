#include <holdwarden/base/error.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/forecast_answer.hpp>
#include <holdwarden/cli/plan_limits.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdwarden::cli {
namespace {

/// The stage the lot is in at `at`, and since when.
const records::StageEntry* stage_at(const records::LotHistory& lot, Instant at) {
    const records::StageEntry* found = nullptr;
    for (const records::StageEntry& stage : lot.stages) {
        if (stage.from <= at) {
            found = &stage;
        }
    }
    return found;
}

/// A night logged each second holds more than a forecast needs: at most about 2000 readings, evenly
/// left out, the last one kept.
std::vector<heat::TimedReading> thinned(const std::vector<heat::TimedReading>& all) {
    constexpr std::size_t kMost = 2000;
    const std::size_t stride = all.size() / kMost + 1;
    std::vector<heat::TimedReading> out;
    for (std::size_t i = (all.size() + stride - 1) % stride; i < all.size(); i += stride) {
        out.push_back(all[i]);
    }
    return out;
}

std::vector<heat::TimedReading> timed(const std::vector<records::Reading>& readings, Instant from,
                                      Instant to) {
    std::vector<heat::TimedReading> out;
    for (const records::Reading& r : readings) {
        if (r.at >= from && r.at <= to && !r.suspect) {
            out.push_back({r.at, r.value});
        }
    }
    return thinned(out);
}

/// The mean of the last hour's air readings.
std::optional<heat::Ambient> measured_air(const records::LotHistory& lot, Instant from,
                                          Instant now) {
    double sum = 0.0;
    double squares = 0.0;
    double n = 0.0;
    const Instant since = std::max(from, now - Span::hours(1));
    for (const records::AirSeries& air : lot.air) {
        for (const heat::TimedReading& r : timed(air.readings, since, now)) {
            sum += r.value.in_celsius();
            squares += r.value.in_celsius() * r.value.in_celsius();
            n += 1.0;
        }
    }
    if (n < 1.0) {
        return std::nullopt;
    }
    const double mean = sum / n;
    const double spread = std::sqrt(std::max(0.0, squares / n - mean * mean));
    return heat::Ambient{heat::Celsius{mean}, std::max(1.5, spread)};
}

/// The windows counted from the last reading at or above their start: no later start is sure.
std::vector<RunningWindow> running(const PackWindows& w,
                                   const std::vector<heat::TimedReading>& readings) {
    std::optional<Instant> start;
    for (const heat::TimedReading& r : readings) {
        if (physical_order(r.value, w.from) >= 0) {
            start = r.at;
        } else if (!start) {
            start = r.at; // already below: the clock began no later than here
        }
    }
    if (!start) {
        return {};
    }
    return {{w.middle, *start + w.windows.first, w.windows.first},
            {w.end, *start + w.windows.total, w.windows.total}};
}

/// The pan from its present temperature on, as another method or depth would go.
std::vector<Action> actions_of(const heat::CoolQuestion& pan, const heat::TimedReading& last,
                               const RunningWindow& window, const PackWindows& limits) {
    std::vector<Action> out;
    heat::CoolQuestion q = pan;
    q.samples = 40;
    q.start = heat::celsius(last.value);
    q.windows = limits.windows;
    q.windows.from = q.start; // counted from now
    q.windows.middle = heat::celsius(window.limit);
    q.windows.end = q.windows.middle;
    if (!(q.windows.middle < q.start)) {
        return out;
    }
    const auto add = [&](const std::string& what, const heat::CoolQuestion& question) {
        out.push_back({what, window.limit, heat::plan_cool(question).first});
    };
    add("leave it as it is (the plan's view)", q);
    heat::CoolQuestion split = q;
    split.depth_m = std::max(0.005, q.depth_m / 2.0);
    split.depth_factor = {0.95, 1.05};
    add("split it into two pans of half the depth", split);
    const heat::CoolingMethod* still = heat::method_by_name("ice-bath");
    const heat::CoolingMethod* stirred = heat::method_by_name("ice-bath-stirred");
    heat::CoolQuestion bath = q;
    bath.method = *still;
    add("set it into an ice bath", bath);
    bath.method = *stirred;
    add("ice bath, stirring food and water every 15 min", bath);
    bath.depth_m = split.depth_m;
    add("both: half the depth and a stirred ice bath", bath);
    return out;
}

bool late(const heat::LimitForecast& l, const RunningWindow& w) {
    switch (l.kind) {
    case heat::ForecastKind::crossing:
    case heat::ForecastKind::too_early:
        return l.latest && *l.latest > w.closes;
    case heat::ForecastKind::may_never:
    case heat::ForecastKind::not_likely:
        return true;
    default:
        return false;
    }
}

/// A hold whose early edge comes within the hour.
bool hold_near(const heat::LimitForecast& l, Instant now) {
    return l.earliest && *l.earliest - now < Span::hours(1);
}

PointForecast forecast_point(const records::PointSeries& series, const ForecastRequest& request,
                             const LotForecast& about, Instant from,
                             const std::optional<PackWindows>& windows) {
    PointForecast out;
    out.point = series.point;
    const std::vector<heat::TimedReading> readings = timed(series.readings, from, about.as_of);
    if (readings.empty()) {
        return out;
    }
    out.last = readings.back();
    out.readings = readings;
    const Scale scale = out.last.value.scale();
    heat::ForecastQuestion question;
    question.now = about.as_of;
    question.ambient = about.ambient;
    question.limits = request.limits;
    const bool cooling = about.stage == Stage::cooling;
    if (question.limits.empty() && cooling && windows) {
        question.limits = {windows->middle, windows->end};
    } else if (question.limits.empty()) {
        if (const auto limit = hot_holding_limit(request.pack, scale)) {
            question.limits = {*limit};
        }
    }
    if (question.limits.empty()) {
        return out; // the pack prints no limit to forecast for
    }
    heat::ForecastPrior planned;
    if (request.pan && cooling && windows) {
        heat::CoolQuestion pan = *request.pan;
        pan.windows = windows->windows;
        pan.start = heat::celsius(readings.front().value);
        planned = heat::prior_of(pan);
    }
    out.forecast = heat::forecast_crossing(
        readings, planned.shapes.empty() ? heat::unknown_food() : planned, question);
    if (cooling && windows) {
        out.windows = running(*windows, readings);
    }
    for (const heat::LimitForecast& l : out.forecast.limits) {
        const auto window =
            std::find_if(out.windows.begin(), out.windows.end(),
                         [&](const RunningWindow& w) { return w.limit == l.limit; });
        if (l.kind == heat::ForecastKind::passed) {
            continue;
        }
        const bool act =
            window != out.windows.end() ? late(l, *window) : !cooling && hold_near(l, about.as_of);
        if (act && !out.act_now && window != out.windows.end() && request.pan) {
            out.actions = actions_of(*request.pan, out.last, *window, *windows);
        }
        out.act_now = out.act_now || act;
    }
    return out;
}

} // namespace

LotForecast forecast_lot(const records::LotHistory& lot, const ForecastRequest& request) {
    LotForecast out;
    out.lot = lot.name;
    std::optional<Instant> last;
    for (const records::PointSeries& series : lot.points) {
        for (const records::Reading& r : series.readings) {
            if (!request.as_of || r.at <= *request.as_of) {
                last = last ? std::max(*last, r.at) : r.at;
            }
        }
    }
    if (!last) {
        out.note = "no reading in the food yet";
        return out;
    }
    out.as_of = request.as_of.value_or(*last);
    const records::StageEntry* stage = stage_at(lot, out.as_of);
    out.stage = stage != nullptr ? stage->stage : Stage::cooling;
    if (lot.end && lot.end->at <= out.as_of) {
        out.note = "the lot has ended";
        return out;
    }
    if (out.stage != Stage::cooling && out.stage != Stage::resting &&
        out.stage != Stage::hot_holding) {
        out.note = fmt::format("not covered: the stage {}; cooling, resting and hot holding are",
                               to_name(out.stage));
        return out;
    }
    const Instant from = stage != nullptr ? stage->from : Instant::from_unix_ms(0);
    if (request.ambient) {
        out.ambient = *request.ambient;
        out.ambient_from = "entered";
    } else if (const auto air = measured_air(lot, from, out.as_of)) {
        out.ambient = *air;
        out.ambient_from = "air readings of the last hour";
    } else {
        out.ambient = heat::assumed_ambient(out.stage);
        out.ambient_from = "assumed for the stage; enter or measure it for a narrower band";
    }
    for (const records::PointSeries& series : lot.points) {
        if (!request.point.empty() && series.point != request.point) {
            continue;
        }
        if (timed(series.readings, from, out.as_of).empty()) {
            continue;
        }
        const Scale scale = series.readings.front().value.scale();
        out.points.push_back(
            forecast_point(series, request, out, from, cooling_windows(request.pack, scale)));
    }
    if (out.points.empty()) {
        out.note = request.point.empty() ? "no reading in the food in this stage"
                                         : "no reading at the point asked for in this stage";
    }
    return out;
}

} // namespace holdwarden::cli
