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

/// Something that happened, or a time that ran out.
struct DrawnMark {
    Instant at;
    std::string label;
};

/// A small chart of readings in text: a line for each temperature that occurs, hottest on top; `*`
/// is a reading, a dashed line a limit with its label at the end; clock times below, in `zone`. All
/// temperatures of one scale; `readings` ascend by time and are not empty (asserted). Each mark has
/// a line of its own under the clock times: `^` where it is, its time and its label. The chart is
/// as long as readings and marks need. Every line begins with `indent` blanks and ends with a line
/// end.
std::string drawn(std::span<const DrawnReading> readings, std::span<const DrawnLimit> limits,
                  const Zone& zone, std::size_t indent, std::span<const DrawnMark> marks = {});

/// The same for days: those from the first mark to the last, numbered from 1, with the day of the
/// month below and the marks under that. Marks ascend by time and are not empty (asserted).
std::string drawn_days(std::span<const DrawnMark> marks, const Zone& zone, std::size_t indent);

} // namespace holdwarden::cli
