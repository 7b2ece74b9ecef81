#pragma once

#include <holdwarden/heat/plan_cool.hpp>
#include <holdwarden/heat/plan_rest.hpp>

#include <optional>
#include <vector>

namespace holdwarden::heat {

/// How a spot in food goes from its first temperature towards its last, whatever these are: the
/// share of the difference left, over time counted in half times (at 1 half of it is left).
class CoolingShape {
public:
    /// From shares at equal steps of any length, the first 1, falling; extended by the last
    /// steps' exponential. nullopt unless it comes to half.
    static std::optional<CoolingShape> of(const std::vector<double>& left);

    /// At `u` half times (0 or more).
    double left(double u) const noexcept;
    /// When `share` (above 0, up to 1) is left, in half times.
    double when(double share) const noexcept;

    double half_in_steps() const noexcept { return half_in_steps_; } ///< of the input of `of`

private:
    static constexpr std::size_t kEntries = 161;
    static constexpr double kStep = 0.025; ///< half times; the table ends at 4
    std::vector<double> table_;
    double tail_rate_ = 0.0; ///< per half time, beyond the table
    double half_in_steps_ = 0.0;
};

/// A shape with what is known beforehand of its time scale and of where it ends.
struct ShapePrior {
    CoolingShape shape;
    std::optional<double> half_time_s; ///< nullopt: anything from 5 minutes to 48 hours
    double half_time_log_sd = 0.35;    ///< of the natural logarithm of the half time
    std::optional<Celsius> end;        ///< where it goes; nullopt: the ambient asked for
};

/// What is believed before readings come in.
struct ForecastPrior {
    std::vector<ShapePrior> shapes;
    std::vector<Course> courses; ///< of a plan, for the band shown before there are readings
    std::size_t piece = 0;       ///< in the courses
    Point point = &State::centre;
};

/// Any solid piece in steady air or in a chest, nothing known of its size: series of walls,
/// cylinders, spheres and bricks over the usual Biot numbers, and two-stage falls.
const ForecastPrior& unknown_food();

/// The planner's own samples of a rest or hold (of the part named; the first if none is) as
/// shapes.
ForecastPrior prior_of(const RestQuestion& question, std::size_t part = 0,
                       std::size_t samples = 24);
/// Likewise of a pan.
ForecastPrior prior_of(const CoolQuestion& question, std::size_t samples = 24);

} // namespace holdwarden::heat
