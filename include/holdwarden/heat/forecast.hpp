#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/heat/cooling_shape.hpp>

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdwarden::heat {

/// A reading of one point of the food, as measured.
struct TimedReading {
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
};

/// The temperature around the food and how well it is known (one standard deviation): 1 to 2 K if
/// measured, 5 K if guessed.
struct Ambient {
    Celsius mean;
    double sd_k = 5.0;
};

/// What surrounds food in a stage when nobody says: a refrigerator while cooling, a room at rest,
/// anything from a room to a cabinet while holding. Wide; assumed, no source.
Ambient assumed_ambient(Stage stage) noexcept;

struct ForecastQuestion {
    std::vector<Temperature> limits; ///< falling; in any scale, for physics only
    std::optional<Ambient> ambient;  ///< nullopt: the prior's own end, else 15 +- 15 °C
    Instant now;                     ///< at or after the last reading
    /// The band is never narrower than this share of the time remaining on either side, until a
    /// site's own recorded courses say otherwise.
    double least_half_width = 0.20;
};

/// Why a forecast says what it says.
enum class ForecastKind {
    crossing,   ///< will be crossed within the band
    may_never,  ///< may be crossed from `earliest` on, or never: the surroundings are near it
    not_likely, ///< will not be crossed as things stand
    rising,     ///< the food is not falling yet: no crossing can be given
    too_early, ///< not enough readings (6, over 20 minutes, a fall of 2 K): the plan's band, if any
    passed,    ///< the last reading is below the limit already
    unknown,   ///< it cannot know: the readings do not follow any cooling known to it
};

/// When a limit will be crossed. A tenth of what is possible lies before `earliest`, a tenth after
/// `latest`. Never a point without its band.
struct LimitForecast {
    Temperature limit = Temperature::of_thousandths(0, Scale::celsius);
    ForecastKind kind = ForecastKind::unknown;
    std::optional<Instant> earliest;
    std::optional<Instant> middle;
    std::optional<Instant> latest; ///< nullopt with an `earliest`: never may be
    double share_never = 0.0;      ///< of what is possible
    bool from_plan = false;        ///< the plan's band, not yet the readings'
};

struct Forecast {
    std::vector<LimitForecast> limits;  ///< in the order asked for
    std::optional<Instant> fitted_from; ///< first reading used
    std::size_t readings_used = 0;
    bool restarted = false;         ///< readings before `fitted_from` belong to another situation
    double slope_k_per_h = 0.0;     ///< of the last 20 minutes or four readings
    std::optional<double> misfit_k; ///< root mean square of readings about the best course
};

/// Forecasts when the food falls through each limit, by the method of docs/how-forecasts-are-made:
/// the prior's shapes stretched in time on a grid, end and difference by linear least squares with
/// the ambient as a prior (variable projection, Golub & Pereyra 1973), weighted by how well they
/// follow the readings. `readings` ascending by time. An estimate: it never changes a verdict.
/// Throws Error{bad_input} for readings out of order, a `now` before the last, or no limits.
Forecast forecast_crossing(std::span<const TimedReading> readings, const ForecastPrior& prior,
                           const ForecastQuestion& question);

} // namespace holdwarden::heat
