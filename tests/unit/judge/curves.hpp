#pragma once

// Simulated food: a continuous course of temperature, a thermometer that shows it, and the truth
// about when what it shows lies on one side of a figure. The course is made of straight pieces
// between knots (exponentials are drawn as many short chords, and the chords are the truth), so
// that the truth can be found exactly, to the millisecond, and not by sampling.

#include <holdwarden/base/temperature.hpp>

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

namespace holdwarden::test {

/// A thermometer: it rounds to `step` thousandths of a degree, to the nearest, down or up.
struct Display {
    enum class Rounding { nearest, down, up };
    Scale scale = Scale::fahrenheit;
    std::int32_t step = 100;
    Rounding rounding = Rounding::nearest;

    /// What it shows of a true temperature in its own scale: thousandths. Never falls as `degrees`
    /// rises.
    std::int32_t shown(double degrees) const;
};

/// A course through knots, straight between them, level before the first and after the last.
class Course {
public:
    struct Knot {
        std::int64_t ms;
        double degrees;
    };
    explicit Course(Knot first) : knots_{first} {}

    /// Straight to a new value, `minutes` (above zero) later.
    Course& line(double minutes, double degrees);
    /// Exponentially towards `ambient` with the time constant, for `minutes`, in twelve chords.
    Course& towards(double ambient, double tau_minutes, double minutes);

    double degrees(std::int64_t ms) const;
    std::int64_t first_ms() const { return knots_.front().ms; }
    std::int64_t last_ms() const { return knots_.back().ms; }
    double last_degrees() const { return knots_.back().degrees; }
    const std::vector<Knot>& knots() const { return knots_; }

private:
    std::vector<Knot> knots_;
};

/// A longest run of milliseconds, both ends included.
struct Stretch {
    std::int64_t first;
    std::int64_t last;
    std::int64_t length() const { return last - first; }
};

/// Where `holds` (of the temperature, turning at one figure only) is true between `from` and `to`,
/// both included.
std::vector<Stretch> stretches(const Course& course, std::int64_t from, std::int64_t to,
                               const std::function<bool(double)>& holds);

} // namespace holdwarden::test
