#include "messages.hpp"

#include <holdwarden/judge/judge.hpp>
#include <holdwarden/sheets/chart.hpp>
#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <span>

namespace holdwarden::sheets {
namespace {

using records::LotHistory;
using records::Reading;

double in_scale(Temperature t, Scale scale) {
    if (t.scale() == scale) {
        return t.degrees();
    }
    return scale == Scale::celsius ? t.in_celsius() : t.in_fahrenheit();
}

bool is_hold(const judge::Finding& finding) {
    return finding.requirement == "hot-holding" || finding.requirement == "hot-holding-roast" ||
           finding.requirement == "cold-holding" || finding.requirement == "time-control-ceiling";
}

bool is_cooling(const judge::Finding& finding) {
    return finding.requirement.starts_with("cooling");
}

/// `name`: of the point or the unit, as the lot's marks on readings have it.
ChartSeries series_of(const records::LotHistory& lot, std::string_view name, std::string label,
                      const std::vector<Reading>& readings, Scale scale, Span largest_interval,
                      Instant as_of, bool air) {
    ChartSeries series{.label = std::move(label), .runs = {}, .suspect = {}, .air = air};
    for (const Reading& reading : readings) {
        if (reading.at > as_of) {
            continue;
        }
        const LinePoint point{reading.at, in_scale(reading.value, scale)};
        const records::ReadingMark* mark = judge::mark_on(lot, name, reading);
        if (mark != nullptr && mark->kind == records::MarkKind::set_aside) {
            series.set_aside.push_back(point);
            continue;
        }
        if (reading.suspect) {
            series.suspect.push_back(point);
            continue;
        }
        if (series.runs.empty() || point.at - series.runs.back().back().at > largest_interval) {
            series.runs.emplace_back();
        }
        series.runs.back().push_back(point);
    }
    return series;
}

/// The limit's figure in the chart's scale; nullopt when the finding has no temperature.
std::optional<double> figure_of(const judge::LimitFigure& limit, Scale scale) {
    const auto& own = scale == Scale::fahrenheit ? limit.fahrenheit : limit.celsius;
    const auto& other = scale == Scale::fahrenheit ? limit.celsius : limit.fahrenheit;
    if (own || other) {
        return in_scale(own ? *own : *other, scale);
    }
    return std::nullopt;
}

std::string figure_label(const judge::Finding& finding, Scale scale) {
    const judge::LimitFigure& limit = finding.limit;
    const auto& own = scale == Scale::fahrenheit ? limit.fahrenheit : limit.celsius;
    const auto& other = scale == Scale::fahrenheit ? limit.celsius : limit.fahrenheit;
    std::string text = own && other ? fmt::format("{} ({})", to_text(*own), to_text(*other))
                                    : to_text(own ? *own : *other);
    if (finding.source == "house") {
        text = fmt::format(msg::house_limit, text);
    }
    if (is_cooling(finding) && limit.within) {
        text = fmt::format(msg::limit_within, text, to_text(*limit.within));
    }
    return text;
}

void add_limit(std::vector<ChartLimit>& limits, ChartLimit added) {
    for (ChartLimit& there : limits) {
        if (there.label == added.label && there.hot_side == added.hot_side &&
            there.from <= added.to && added.from <= there.to) {
            there.from = std::min(there.from, added.from);
            there.to = std::max(there.to, added.to);
            there.shaded = there.shaded || added.shaded;
            return;
        }
    }
    limits.push_back(std::move(added));
}

/// The two neighbouring good readings between which a window's temperature was reached.
void add_crossing(std::vector<ChartBracket>& brackets, const std::vector<Reading>& readings,
                  const ChartLimit& limit, Scale scale) {
    const Reading* before = nullptr;
    for (const Reading& reading : readings) {
        if (reading.at < limit.from || reading.at > limit.to || reading.suspect) {
            continue;
        }
        const double degrees = in_scale(reading.value, scale);
        const bool reached = limit.hot_side ? degrees >= limit.degrees : degrees <= limit.degrees;
        if (reached) {
            if (before != nullptr) {
                brackets.push_back({before->at, reading.at, limit.degrees});
            }
            return;
        }
        before = &reading;
    }
}

void add_findings(Chart& chart, const LotHistory& lot, const judge::LotJudgement& judged,
                  Instant as_of) {
    for (const judge::Finding& finding : judged.findings) {
        const auto degrees = figure_of(finding.limit, chart.scale);
        const auto stage = stage_of(lot, finding);
        if (degrees && stage) {
            const ChartLimit limit{
                .label = figure_label(finding, chart.scale),
                .degrees = *degrees,
                .from = lot.stages[*stage].from,
                .to = std::min(stage_end(lot, *stage, as_of), chart.to),
                .hot_side = finding.limit.hot_side,
                .shaded = is_hold(finding),
            };
            add_limit(chart.limits, limit);
            if (is_cooling(finding)) {
                for (const auto& point : lot.points) {
                    if (finding.point.empty() || finding.point == point.point) {
                        add_crossing(chart.brackets, point.readings, limit, chart.scale);
                    }
                }
            }
            for (const judge::Excursion& excursion : finding.excursions) {
                for (const judge::InstantBracket& b : {excursion.from, excursion.to}) {
                    if (b.earliest && b.latest && *b.earliest < *b.latest) {
                        chart.brackets.push_back({*b.earliest, *b.latest, *degrees});
                    }
                }
            }
        }
        for (const judge::Gap& gap : finding.gaps) {
            const bool known = std::ranges::any_of(chart.gaps, [&](const judge::Gap& there) {
                return there.from == gap.from && there.to == gap.to;
            });
            if (!known) {
                chart.gaps.push_back(gap);
            }
        }
    }
}

std::string described(const Chart& chart, const LotHistory& lot, Instant as_of) {
    const LocalTimes times{chart.zone, {chart.from, chart.to}};
    std::string text = fmt::format(msg::chart_from, times.range(chart.from, chart.to));
    for (const auto& point : lot.points) {
        const Reading* lowest = nullptr;
        const Reading* highest = nullptr;
        std::size_t count = 0;
        for (const Reading& reading : point.readings) {
            if (reading.at > as_of || reading.suspect) {
                continue;
            }
            ++count;
            if (lowest == nullptr || physical_order(reading.value, lowest->value) < 0) {
                lowest = &reading;
            }
            if (highest == nullptr || physical_order(reading.value, highest->value) > 0) {
                highest = &reading;
            }
        }
        if (lowest != nullptr) {
            text += " ";
            text += fmt::format(msg::chart_point, capitalised(shown(point.point)),
                                counted(count, msg::good_reading_one, msg::good_reading_many),
                                to_text(lowest->value), times.row(lowest->at),
                                to_text(highest->value), times.row(highest->at));
        }
    }
    for (const judge::Gap& gap : chart.gaps) {
        text += " " + fmt::format(msg::chart_no_reading, times.range(gap.from, gap.to));
    }
    std::size_t suspect = 0;
    for (const ChartSeries& series : chart.series) {
        suspect += series.suspect.size();
    }
    if (suspect > 0) {
        text += " " + fmt::format(msg::chart_suspect,
                                  counted(suspect, msg::suspect_is, msg::suspect_are));
    }
    return text;
}

} // namespace

void add_forecasts(Chart& chart, const std::vector<ForecastBand>& bands) {
    const Instant most = chart.to + Span::milliseconds((chart.to - chart.from).ms() / 2);
    for (const ForecastBand& band : bands) {
        ChartForecast forecast{.now = {band.now, in_scale(band.last, chart.scale)}, .edges = {}};
        for (const ForecastBand::Edge& edge : band.edges) {
            if (edge.earliest < most) {
                forecast.edges.push_back({in_scale(edge.limit, chart.scale), edge.earliest,
                                          std::min(edge.latest, most)});
                chart.to = std::max(chart.to, forecast.edges.back().latest);
            }
        }
        if (!forecast.edges.empty()) {
            chart.forecasts.push_back(std::move(forecast));
        }
    }
    if (!chart.forecasts.empty()) {
        chart.description += fmt::format(" {}", msg::chart_forecast);
    }
}

Chart cut_to(Chart chart, Instant from, Instant to) {
    chart.from = from;
    chart.to = to;
    const auto outside = [&](const LinePoint& point) { return point.at < from || point.at > to; };
    for (ChartSeries& series : chart.series) {
        for (auto& run : series.runs) {
            std::erase_if(run, outside);
        }
        std::erase_if(series.runs, [](const auto& run) { return run.empty(); });
        std::erase_if(series.suspect, outside);
        std::erase_if(series.set_aside, outside);
    }
    const auto cut = [&](auto& stretches) {
        std::erase_if(stretches, [&](const auto& s) { return s.to <= from || s.from >= to; });
        for (auto& stretch : stretches) {
            stretch.from = std::max(stretch.from, from);
            stretch.to = std::min(stretch.to, to);
        }
    };
    cut(chart.bands);
    cut(chart.limits);
    cut(chart.gaps);
    std::erase_if(chart.brackets,
                  [&](const ChartBracket& b) { return b.latest < from || b.earliest > to; });
    chart.forecasts.clear();
    return chart;
}

void share_degrees(std::vector<Chart>& charts) {
    std::optional<double> least;
    std::optional<double> most;
    const auto take = [&](double degrees) {
        least = std::min(least.value_or(degrees), degrees);
        most = std::max(most.value_or(degrees), degrees);
    };
    for (const Chart& chart : charts) {
        for (const ChartSeries& series : chart.series) {
            for (const auto& run : series.runs) {
                std::ranges::for_each(run, [&](const LinePoint& p) { take(p.degrees); });
            }
            std::ranges::for_each(series.suspect, [&](const LinePoint& p) { take(p.degrees); });
            std::ranges::for_each(series.set_aside, [&](const LinePoint& p) { take(p.degrees); });
        }
        for (const ChartLimit& limit : chart.limits) {
            take(limit.degrees);
        }
    }
    for (Chart& chart : charts) {
        chart.least = least;
        chart.most = most;
    }
}

std::string figure_caption(const Chart& chart) {
    if (chart.bands.empty()) {
        return chart.description;
    }
    std::string stages;
    for (std::size_t i = 0; i < chart.bands.size(); ++i) {
        stages += fmt::format("{}{} {}", i == 0 ? "" : ", ", i + 1, chart.bands[i].label);
    }
    return chart.description + " " + fmt::format(msg::chart_stages, stages);
}

Instant stage_end(const LotHistory& lot, std::size_t stage, Instant as_of) {
    if (stage + 1 < lot.stages.size()) {
        return std::min(lot.stages[stage + 1].from, as_of);
    }
    if (lot.end) {
        return std::min(lot.end->at, as_of);
    }
    return std::min(lot.closes.value_or(as_of), as_of);
}

std::optional<std::size_t> stage_of(const LotHistory& lot, const judge::Finding& finding) {
    for (std::size_t i = 0; i < lot.stages.size(); ++i) {
        if (lot.stages[i].stage == finding.stage && lot.stages[i].from == finding.stage_from) {
            return i;
        }
    }
    return std::nullopt;
}

Extent extent_of(const LotHistory& lot, Instant as_of) {
    std::optional<Extent> extent;
    const auto take = [&](Instant at) {
        if (at > as_of) {
            return;
        }
        extent =
            extent ? Extent{std::min(extent->from, at), std::max(extent->to, at)} : Extent{at, at};
    };
    for (const auto& stage : lot.stages) {
        take(stage.from);
    }
    for (const auto& point : lot.points) {
        for (const Reading& reading : point.readings) {
            take(reading.at);
        }
    }
    if (lot.end) {
        take(lot.end->at);
    }
    if (lot.closes) {
        take(*lot.closes);
    }
    return extent.value_or(Extent{as_of, as_of});
}

Chart lot_chart(const LotHistory& lot, const judge::LotJudgement& judged, const Zone& zone,
                Scale scale, Span largest_interval, Instant as_of) {
    Chart chart;
    chart.title = fmt::format(msg::chart_title, shown(lot.name));
    chart.zone = zone;
    chart.scale = scale;
    const Extent extent = extent_of(lot, as_of);
    chart.from = extent.from;
    chart.to = extent.from == extent.to ? extent.to + Span::hours(1) : extent.to;
    for (const auto& point : lot.points) {
        chart.series.push_back(series_of(lot, point.point, shown(point.point), point.readings,
                                         scale, largest_interval, as_of, false));
    }
    for (const auto& air : lot.air) {
        // Only while the food is there.
        std::vector<Reading> inside;
        std::ranges::copy_if(air.readings, std::back_inserter(inside), [&](const Reading& reading) {
            return reading.at >= chart.from && reading.at <= chart.to;
        });
        chart.series.push_back(series_of(lot, air.unit, fmt::format(msg::air_of, shown(air.unit)),
                                         inside, scale, largest_interval, as_of, true));
    }
    for (std::size_t i = 0; i < lot.stages.size(); ++i) {
        const Instant from = lot.stages[i].from;
        const Instant to = std::min(stage_end(lot, i, as_of), chart.to);
        if (from < to) {
            chart.bands.push_back({stage_title(lot.stages[i].stage), from, to});
        }
    }
    add_findings(chart, lot, judged, as_of);
    chart.description = described(chart, lot, as_of);
    return chart;
}

} // namespace holdwarden::sheets
