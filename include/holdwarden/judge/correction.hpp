#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/records/reading.hpp>

#include <optional>
#include <span>
#include <vector>

namespace holdwarden::judge {

/// Checks of one thermometer that belong together: the next is at most this long after the one
/// before (common practice, no source: both ends are checked in one go).
inline constexpr Span kCheckSession = Span::hours(2);

/// What one session of checks tells of a thermometer: at what it showed, how much to add. A
/// correction is a difference and carries no offset of 32.
struct Calibration {
    struct Point {
        double shown = 0;      ///< in degrees of `scale`
        double correction = 0; ///< what is true less what it showed, in degrees of `scale`
    };
    Instant from{}; ///< of its first check
    Instant to{};   ///< of its last
    Scale scale = Scale::celsius;
    std::vector<Point> found{}; ///< before adjusting; ascending by what it showed
    std::vector<Point> left{};  ///< after it
    bool passed = false;        ///< as found, every check
    bool usable = false;        ///< as left
};

/// A probe's checks as sessions, ascending. Those in two scales are taken in the first one's.
std::vector<Calibration> calibrations(const records::Probe& probe);

/// The correction for a value: between two points on the straight line through them, beyond the
/// outermost that one's own (never extrapolated). `points` must not be empty (asserted).
struct PointCorrection {
    TemperatureDelta correction = TemperatureDelta::of_thousandths(0, Scale::celsius);
    bool outside = false; ///< the value lies beyond what was checked
};
PointCorrection correction_at(std::span<const Calibration::Point> points, Scale points_scale,
                              Temperature shown);

/// A reading as it was, what its thermometer's checks say, and what that comes to: three things,
/// kept apart. nullopt: no such check.
struct CorrectedReading {
    records::Reading raw{};
    std::optional<PointCorrection> by_last{};   ///< as left by the last check up to then
    std::optional<PointCorrection> by_next{};   ///< as found by the next, if that was passed
    std::optional<PointCorrection> by_failed{}; ///< as found by the next, if that was failed
    /// Both of the first two say the same within one step of the display (1 F or 0.5 C where that
    /// is not known), with one sign: the smaller of them.
    std::optional<TemperatureDelta> agreed{};
};
CorrectedReading corrected(const records::Reading& reading, const records::Probe& probe,
                           std::span<const Calibration> sessions);

} // namespace holdwarden::judge
