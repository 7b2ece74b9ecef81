#pragma once

#include <holdwarden/base/zone.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/sheets/facts.hpp>
#include <holdwarden/sheets/reduce.hpp>

#include <string>
#include <vector>

namespace holdwarden::sheets {

/// One line of a chart. Temperatures are in the chart's scale.
struct ChartSeries {
    std::string label;
    std::vector<std::vector<LinePoint>> runs; ///< unbroken stretches of good readings
    std::vector<LinePoint> suspect;           ///< drawn with a mark of their own, never joined
    bool air = false;                         ///< a unit's air, not the food
    std::vector<LinePoint> set_aside{}; ///< by a person, with a reason: crossed out, never joined
};

/// A stage, drawn as a band.
struct ChartBand {
    std::string label;
    Instant from;
    Instant to;
};

/// A limit in force over a stretch of time.
struct ChartLimit {
    std::string label; ///< "135 °F (57 °C)"
    double degrees = 0;
    Instant from;
    Instant to;
    bool hot_side = true; ///< right is at or above
    bool shaded = false;  ///< the food on the wrong side is shaded: holds
};

/// Between which two readings a limit was crossed.
struct ChartBracket {
    Instant earliest;
    Instant latest;
    double degrees = 0;
};

/// Between when and when a limit is foretold to be crossed: an estimate.
struct ChartForecastEdge {
    double degrees = 0;
    Instant earliest;
    Instant latest;
};
/// A forecast, drawn as a band from the last reading on; it changes nothing else.
struct ChartForecast {
    LinePoint now;                        ///< the last reading
    std::vector<ChartForecastEdge> edges; ///< in the order in which they are crossed
};

/// Everything a time and temperature chart shows; a value without layout.
struct Chart {
    std::string title;
    std::string description; ///< what a reader who does not see it must know
    Instant from;
    Instant to;
    Zone zone = Zone::utc();
    Scale scale = Scale::fahrenheit;
    bool difference = false; ///< degrees are distances from a limit: no 32 between the scales
    std::vector<ChartSeries> series;
    std::vector<ChartBand> bands;
    std::vector<ChartLimit> limits;
    std::vector<ChartBracket> brackets;
    std::vector<ChartForecast> forecasts{};
    std::optional<double> least{}; ///< the axis reaches from here ...
    std::optional<double> most{};  ///< ... to here, for charts that stand beside each other
    std::vector<judge::Gap> gaps;  ///< longer than the largest interval, no good reading inside
};

/// The chart of one lot: its points first, then the air of its units. A line is broken where two
/// good readings of its series lie further apart than `largest_interval`. Readings of the other
/// scale are converted for drawing. The chart ends with the last thing recorded by `as_of`.
Chart lot_chart(const records::LotHistory& lot, const judge::LotJudgement& judged, const Zone& zone,
                Scale scale, Span largest_interval, Instant as_of);

/// Puts forecasts into a chart, which grows to hold them, by half its length at most.
void add_forecasts(Chart& chart, const std::vector<ForecastBand>& bands);

/// The chart cut to [from, to], for charts that share an axis.
Chart cut_to(Chart chart, Instant from, Instant to);

/// The lowest and highest thing that charts show, so that they can share an axis.
void share_degrees(std::vector<Chart>& charts);

/// What stands below a chart: its description, and the stages by the numbers of their bands.
std::string figure_caption(const Chart& chart);

/// The first and last instant of what a lot's record tells by `as_of`.
struct Extent {
    Instant from;
    Instant to;
};
Extent extent_of(const records::LotHistory& lot, Instant as_of);

/// When the stage with this index was over: the next stage, the lot's end, or `as_of`.
Instant stage_end(const records::LotHistory& lot, std::size_t stage, Instant as_of);

/// The index of the stage a finding belongs to; nullopt when the record has none like it.
std::optional<std::size_t> stage_of(const records::LotHistory& lot, const judge::Finding& finding);

} // namespace holdwarden::sheets
