#pragma once

#include <holdwarden/heat/simulation.hpp>

#include <functional>
#include <span>
#include <vector>

namespace holdwarden::heat {

/// Samples ascending by time, the first at the start.
using Course = std::vector<Sample>;

/// How finely a course is stepped: `first` for a dozen steps, then doubled each dozen up to
/// `largest`.
struct Stepping {
    Span until = Span::hours(8);
    Span first = Span::seconds(30);
    Span largest = Span::minutes(10);
};

/// Runs the situation. Stops early, after the step in which `enough` says so.
Course simulate(const Situation& situation, const Stepping& stepping,
                const std::function<bool(const Sample&)>& enough = {});

/// A course on two grids and two equal steps, put together by Richardson's rule.
struct Converged {
    Course course;
    /// What Richardson's rule took off the finer run, at most, over all pieces and times: a third
    /// of the difference between the runs, in kelvin. The error left is smaller.
    State correction;
    double imbalance = 0.0; ///< worse of the two runs
};
Converged simulate_converged(const Situation& situation, Span until, Span step);

/// Which temperature of a piece.
using Point = Celsius State::*;

/// When the point first falls through `limit` (it must have been at or above it before); cubic
/// between samples. nullopt if it does not.
std::optional<Span> falls_below(const Course& course, std::size_t piece, Point point,
                                Celsius limit);
/// When it first rises through `limit`.
std::optional<Span> rises_above(const Course& course, std::size_t piece, Point point,
                                Celsius limit);
/// The point's temperature at a time inside the course, cubic between samples.
Celsius value_at(const Course& course, std::size_t piece, Point point, Span at);

/// The air around the pieces at a time inside the course, straight between samples.
Celsius air_at(const Course& course, Span at);

} // namespace holdwarden::heat
