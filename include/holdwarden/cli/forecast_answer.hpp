#pragma once

#include <holdwarden/base/zone.hpp>
#include <holdwarden/cli/band_chart.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/heat/forecast.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/sheets/facts.hpp>

#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// What a forecast of a lot is asked with; for the forecast command, check and sheets.
struct ForecastRequest {
    codes::Pack pack;
    std::optional<Instant> as_of{};          ///< nullopt: the lot's last reading
    std::optional<heat::Ambient> ambient{};  ///< nullopt: the lot's air readings, else by stage
    std::vector<Temperature> limits{};       ///< empty: the pack's for the stage
    std::string point{};                     ///< empty: each point of the food
    std::optional<heat::CoolQuestion> pan{}; ///< the pan, if it is described: sharper, and actions
};

/// A cooling window as it runs for a point, from the readings.
struct RunningWindow {
    Temperature limit = Temperature::of_thousandths(0, Scale::celsius);
    Instant closes; ///< counted from the last reading at or above the start: the strict reading
    Span allowed;
};

/// What could be done now, with the time it would take from now.
struct Action {
    std::string what;
    Temperature limit = Temperature::of_thousandths(0, Scale::celsius);
    heat::SpanBand from_now;
};

struct PointForecast {
    std::string point;
    heat::TimedReading last;
    std::vector<heat::TimedReading> readings; ///< of the stage so far
    heat::Forecast forecast;
    std::vector<RunningWindow> windows; ///< of the limits that have one
    bool act_now =
        false; ///< the late edge lies beyond a window, or the early edge of a hold is near
    std::vector<Action> actions;
};

struct LotForecast {
    std::string lot;
    Stage stage = Stage::cooling;
    Instant as_of;
    heat::Ambient ambient;
    std::string ambient_from; ///< "entered", "air readings", "assumed for the stage"
    std::vector<PointForecast> points;
    std::string note; ///< why there is none, where the stage has nothing to forecast
};

struct ForecastAnswer {
    std::string code;
    std::optional<Zone> zone; ///< nullopt: times are shown in UTC
    std::vector<LotForecast> lots;
};

/// Forecasts the lot's present stage: cooling towards the pack's windows, resting and hot holding
/// towards its hot limit. Other stages get a note. It reads records; it changes no verdict.
LotForecast forecast_lot(const records::LotHistory& lot, const ForecastRequest& request);

/// One line for other outputs: "forecast (estimate): core 70 °F at 21:20 to 21:45; ...".
std::string forecast_line(const PointForecast& point, const std::optional<Zone>& zone);

/// What a lot's chart shows of the same forecasts.
std::vector<sheets::ForecastBand> forecast_bands(const records::LotHistory& lot,
                                                 const codes::Pack& pack, Instant as_of);

/// The lines of a lot still cooling, resting or held whose readings tell of a crossing to come.
std::vector<std::string> telling_forecasts(const records::LotHistory& lot, const codes::Pack& pack,
                                           Instant as_of, const std::optional<Zone>& zone);

/// Readings so far, the limits, and a bar on each limit from the band's early to its late edge.
/// nullopt when the point has no reading.
std::optional<BandChart> forecast_chart(const PointForecast& point, const std::string& lot,
                                        const std::optional<Zone>& zone);

struct CheckResult;
/// What stands below a check's verdicts: a line for each point of a lot still cooling, resting or
/// held whose readings tell of a crossing to come. Prints nothing when there is none.
void print_check_forecasts(std::ostream& out, const CheckResult& result);

void print_forecast_text(std::ostream& out, const ForecastAnswer& answer);
void print_forecast_json(std::ostream& out, const ForecastAnswer& answer);

} // namespace holdwarden::cli
