#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/zone.hpp>

#include <span>
#include <string>
#include <utility>
#include <vector>

namespace holdwarden::cli {

struct DrawnReading {
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
};

struct DrawnLimit {
    Temperature at = Temperature::of_thousandths(0, Scale::celsius);
    std::string label;
};

/// A small chart of readings in text: a line for each temperature that occurs, hottest on top; `*`
/// is a reading, a dashed line a limit with its label at the end; clock times below, in `zone`. All
/// temperatures of one scale; `readings` ascend by time and are not empty (asserted). Every line
/// begins with `indent` blanks and ends with a line end.
std::string drawn(std::span<const DrawnReading> readings, std::span<const DrawnLimit> limits,
                  const Zone& zone, std::size_t indent);

} // namespace holdwarden::cli
