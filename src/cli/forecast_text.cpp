#include "plan_json.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/check_result.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/forecast_answer.hpp>
#include <holdwarden/cli/plan_values.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace holdwarden::cli {
namespace {

std::string clock(Instant at, const std::optional<Zone>& zone) {
    return zone ? local_text(at, *zone) : to_utc_text(Instant::from_unix_s(at.unix_ms() / 1000));
}

std::string short_clock(Instant at, const std::optional<Zone>& zone) {
    const Instant minute = Instant::from_unix_s(at.unix_ms() / 60'000 * 60);
    return zone ? clock_text(minute, *zone) : to_utc_text(minute);
}

const char* name_of(heat::ForecastKind kind) {
    switch (kind) {
    case heat::ForecastKind::crossing:
        return "crossing";
    case heat::ForecastKind::may_never:
        return "may-never";
    case heat::ForecastKind::not_likely:
        return "not-likely";
    case heat::ForecastKind::rising:
        return "rising";
    case heat::ForecastKind::too_early:
        return "too-early";
    case heat::ForecastKind::passed:
        return "passed";
    case heat::ForecastKind::unknown:
        return "unknown";
    }
    return "";
}

std::string limit_line(const heat::LimitForecast& l, const std::optional<Zone>& zone) {
    const std::string limit = to_text(l.limit);
    switch (l.kind) {
    case heat::ForecastKind::crossing:
        return fmt::format("at this rate {} at {} to {}", limit, short_clock(*l.earliest, zone),
                           short_clock(*l.latest, zone));
    case heat::ForecastKind::may_never:
        return fmt::format("{} from {} on, or never ({:.0f} of 100): the surroundings are near it",
                           limit, short_clock(*l.earliest, zone), 100.0 * l.share_never);
    case heat::ForecastKind::not_likely:
        return fmt::format("{} is not likely to be passed as things stand", limit);
    case heat::ForecastKind::rising:
        return fmt::format("{}: the food is not falling yet, so no time can be given", limit);
    case heat::ForecastKind::too_early:
        return l.earliest && l.latest
                   ? fmt::format("{} at {} to {}, by the plan; too few readings yet", limit,
                                 short_clock(*l.earliest, zone), short_clock(*l.latest, zone))
                   : fmt::format("{}: too early; it takes 6 readings, 20 minutes and a fall of 2 "
                                 "°C (3.6 °F)",
                                 limit);
    case heat::ForecastKind::passed:
        return fmt::format("{} is passed already", limit);
    case heat::ForecastKind::unknown:
        return fmt::format("{}: cannot be known; the readings follow no steady cooling", limit);
    }
    return limit;
}

const RunningWindow* window_of(const PointForecast& p, Temperature limit) {
    for (const RunningWindow& w : p.windows) {
        if (w.limit == limit) {
            return &w;
        }
    }
    return nullptr;
}

nlohmann::ordered_json instant_json(const std::optional<Instant>& at) {
    return at ? nlohmann::ordered_json(to_utc_text(*at)) : nlohmann::ordered_json(nullptr);
}

nlohmann::ordered_json point_json(const PointForecast& p) {
    nlohmann::ordered_json limits = nlohmann::ordered_json::array();
    for (const heat::LimitForecast& l : p.forecast.limits) {
        const RunningWindow* w = window_of(p, l.limit);
        limits.push_back(
            {{"limit",
              {{"value", l.limit.degrees()}, {"scale", std::string{letter(l.limit.scale())}}}},
             {"kind", name_of(l.kind)},
             {"earliest", instant_json(l.earliest)},
             {"middle", instant_json(l.middle)},
             {"latest", instant_json(l.latest)},
             {"share_never", l.share_never},
             {"from_plan", l.from_plan},
             {"window_closes",
              instant_json(w != nullptr ? std::optional{w->closes} : std::nullopt)}});
    }
    nlohmann::ordered_json actions = nlohmann::ordered_json::array();
    for (const Action& a : p.actions) {
        actions.push_back({{"what", a.what}, {"from_now", json_of(a.from_now)}});
    }
    return {{"point", p.point},
            {"last_reading",
             {{"time", to_utc_text(p.last.at)},
              {"value", p.last.value.degrees()},
              {"scale", std::string{letter(p.last.value.scale())}}}},
            {"readings_used", p.forecast.readings_used},
            {"fitted_from", instant_json(p.forecast.fitted_from)},
            {"restarted", p.forecast.restarted},
            {"slope_k_per_h", p.forecast.slope_k_per_h},
            {"limits", limits},
            {"act_now", p.act_now},
            {"actions", actions}};
}

void print_point(std::ostream& out, const PointForecast& p, const std::optional<Zone>& zone) {
    out << fmt::format("  {}: {} at {}\n", for_display(p.point, 60), to_text(p.last.value),
                       clock(p.last.at, zone));
    if (p.forecast.restarted && p.forecast.fitted_from) {
        out << fmt::format("    something changed; only readings from {} on are used\n",
                           short_clock(*p.forecast.fitted_from, zone));
    }
    for (const heat::LimitForecast& l : p.forecast.limits) {
        out << "    " << limit_line(l, zone);
        if (const RunningWindow* w = window_of(p, l.limit);
            w != nullptr && l.kind != heat::ForecastKind::passed) {
            out << fmt::format("; the window closes {}", short_clock(w->closes, zone));
        }
        out << "\n";
    }
    if (p.act_now) {
        out << "    ACT NOW: count on the worse edge of the band.\n";
    }
    if (p.act_now && p.actions.empty() && !p.windows.empty()) {
        out << "    Shallower pans, an ice bath, stirring or splitting would be faster; describe "
               "the "
               "pan\n    (--food, --depth, --pan) for what each would do.\n";
    }
    for (const Action& a : p.actions) {
        out << fmt::format("    {:<48} {} {}\n", a.what, to_text(a.limit),
                           a.from_now.low && a.from_now.high
                               ? fmt::format("in {} to {}", hours_text(*a.from_now.low),
                                             hours_text(*a.from_now.high))
                               : std::string{"perhaps never"});
    }
}

} // namespace

std::string forecast_line(const PointForecast& p, const std::optional<Zone>& zone) {
    std::string line = fmt::format("forecast (estimate), {}:", for_display(p.point, 60));
    for (const heat::LimitForecast& l : p.forecast.limits) {
        if (l.kind == heat::ForecastKind::passed) {
            continue;
        }
        line += " " + limit_line(l, zone);
        if (const RunningWindow* w = window_of(p, l.limit)) {
            line += fmt::format("; the window closes {}", short_clock(w->closes, zone));
        }
        line += ".";
    }
    return line + (p.act_now ? " Act now." : "");
}

std::optional<BandChart> forecast_chart(const PointForecast& p, const std::string& lot,
                                        const std::optional<Zone>& zone) {
    if (p.readings.empty()) {
        return std::nullopt;
    }
    const Instant start = p.readings.front().at;
    Instant end = p.last.at + Span::minutes(30);
    BandChart chart{.title = fmt::format("{}, {}: readings and crossings to come (estimate)",
                                         for_display(lot, 40), for_display(p.point, 40)),
                    .times = {},
                    .clock = {},
                    .series = {{"readings", {}}},
                    .limits = {},
                    .scale = p.last.value.scale()};
    for (const heat::LimitForecast& l : p.forecast.limits) {
        chart.limits.push_back(heat::celsius(l.limit));
        if (l.earliest && l.latest) {
            chart.bars.push_back({heat::celsius(l.limit), *l.earliest - start, *l.latest - start});
            end = std::max(end, *l.latest);
        }
    }
    constexpr std::size_t kDrawn = 60;
    const std::size_t stride = p.readings.size() / kDrawn + 1;
    const auto label = [&](Instant at) { return short_clock(at, zone); };
    for (std::size_t i = 0; i < p.readings.size(); i += stride) {
        const heat::Celsius t = heat::celsius(p.readings[i].value);
        chart.times.push_back(p.readings[i].at - start);
        chart.clock.push_back(label(p.readings[i].at));
        chart.series.front().bands.push_back({t, t, t});
    }
    for (int i = 1; i <= 8; ++i) { // the time to come has labels, no readings
        const Span at =
            Span::milliseconds((p.last.at - start).ms() + (end - p.last.at).ms() * i / 8);
        chart.times.push_back(at);
        chart.clock.push_back(label(start + at));
    }
    return chart;
}

std::vector<sheets::ForecastBand> forecast_bands(const records::LotHistory& lot,
                                                 const codes::Pack& pack, Instant as_of) {
    ForecastRequest request{.pack = pack};
    request.as_of = as_of;
    std::vector<sheets::ForecastBand> bands;
    for (const PointForecast& point : forecast_lot(lot, request).points) {
        sheets::ForecastBand band{.now = point.last.at, .last = point.last.value};
        for (const heat::LimitForecast& limit : point.forecast.limits) {
            if (limit.kind == heat::ForecastKind::crossing && limit.earliest && limit.latest) {
                band.edges.push_back({limit.limit, *limit.earliest, *limit.latest});
            }
        }
        std::ranges::sort(band.edges, {}, &sheets::ForecastBand::Edge::earliest);
        if (!band.edges.empty()) {
            bands.push_back(std::move(band));
        }
    }
    return bands;
}

std::vector<std::string> telling_forecasts(const records::LotHistory& lot, const codes::Pack& pack,
                                           Instant as_of, const std::optional<Zone>& zone) {
    ForecastRequest request{.pack = pack};
    request.as_of = as_of;
    std::vector<std::string> lines;
    for (const PointForecast& p : forecast_lot(lot, request).points) {
        const bool tells = std::any_of(p.forecast.limits.begin(), p.forecast.limits.end(),
                                       [](const heat::LimitForecast& l) {
                                           return l.kind == heat::ForecastKind::crossing ||
                                                  l.kind == heat::ForecastKind::may_never;
                                       });
        if (tells) {
            lines.push_back(forecast_line(p, zone));
        }
    }
    return lines;
}

void print_check_forecasts(std::ostream& out, const CheckResult& result) {
    const std::optional<Zone> zone =
        result.zone_named ? std::optional{result.settings.zone} : std::nullopt;
    std::string lines;
    for (const CheckedLot& checked : result.lots) {
        for (const std::string& line : telling_forecasts(checked.lot, present_pack(result, checked),
                                                         result.settings.as_of, zone)) {
            lines += folded(for_display(checked.lot.name, 60) + ", " + line, 2);
        }
    }
    if (!lines.empty()) {
        out << "\nForecast. " << kEstimateCaution << "\n"
            << lines << "  See: holdwarden forecast --help\n";
    }
}

void print_forecast_text(std::ostream& out, const ForecastAnswer& answer) {
    out << fmt::format("Forecast by the readings so far; limits of {}\n{}", answer.code,
                       folded(kEstimateCaution, 0, 80));
    for (const LotForecast& lot : answer.lots) {
        out << fmt::format("\n{} ({})", for_display(lot.lot, 60), to_name(lot.stage));
        if (!lot.note.empty()) {
            out << ": " << lot.note << "\n";
            continue;
        }
        const Scale scale = lot.points.front().last.value.scale();
        out << fmt::format(", as of {}\n", clock(lot.as_of, answer.zone));
        out << fmt::format("  surroundings {} ± {:.0f} {}: {}\n",
                           degrees_text(lot.ambient.mean, scale),
                           lot.ambient.sd_k * (scale == Scale::fahrenheit ? 1.8 : 1.0), sign(scale),
                           lot.ambient_from);
        for (const PointForecast& p : lot.points) {
            print_point(out, p, answer.zone);
            if (const auto chart = forecast_chart(p, lot.lot, answer.zone)) {
                out << "\n" << text_chart(*chart);
            }
        }
    }
}

void print_forecast_json(std::ostream& out, const ForecastAnswer& answer) {
    nlohmann::ordered_json lots = nlohmann::ordered_json::array();
    for (const LotForecast& lot : answer.lots) {
        nlohmann::ordered_json points = nlohmann::ordered_json::array();
        for (const PointForecast& p : lot.points) {
            points.push_back(point_json(p));
        }
        lots.push_back({{"lot", lot.lot},
                        {"stage", to_name(lot.stage)},
                        {"as_of", to_utc_text(lot.as_of)},
                        {"ambient_c", lot.ambient.mean.degrees},
                        {"ambient_sd_k", lot.ambient.sd_k},
                        {"ambient_from", lot.ambient_from},
                        {"note", lot.note},
                        {"points", points}});
    }
    const nlohmann::ordered_json json{{"format", "holdwarden-forecast/1"},
                                      {"estimate", true},
                                      {"caution", kEstimateCaution},
                                      {"code", answer.code},
                                      {"lots", lots}};
    out << json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) << "\n";
}

} // namespace holdwarden::cli
