#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/drawing.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <functional>
#include <map>

namespace holdwarden::cli {
namespace {

constexpr std::size_t kColumns = 61;

std::size_t column_of(Instant at, Instant first, Instant last) {
    const auto whole = (last - first).ms();
    if (whole == 0) {
        return 0;
    }
    const auto steps = static_cast<std::int64_t>(kColumns - 1);
    return static_cast<std::size_t>(((at - first).ms() * steps + whole / 2) / whole);
}

void without_blanks_at_end(std::string& line) {
    line.erase(line.find_last_not_of(' ') + 1);
}

} // namespace

std::string drawn(std::span<const DrawnReading> readings, std::span<const DrawnLimit> limits,
                  const Zone& zone, std::size_t indent, std::span<const DrawnMark> marks) {
    assert(!readings.empty());
    Instant first = readings.front().at;
    Instant last = readings.back().at;
    for (const DrawnMark& mark : marks) {
        first = std::min(first, mark.at);
        last = std::max(last, mark.at);
    }
    std::map<std::int32_t, std::string, std::greater<>> rows; // thousandths of a degree
    for (const DrawnLimit& limit : limits) {
        rows.emplace(limit.at.thousandths(), std::string(kColumns, '-'));
    }
    for (const DrawnReading& reading : readings) {
        auto& row =
            rows.emplace(reading.value.thousandths(), std::string(kColumns, ' ')).first->second;
        row[column_of(reading.at, first, last)] = '*';
    }
    const Scale scale = readings.front().value.scale();
    const std::string margin(indent, ' ');
    std::string text;
    for (const auto& [thousandths, row] : rows) {
        const Temperature at = Temperature::of_thousandths(thousandths, scale);
        std::string line = fmt::format("{}{:>6} |{}", margin, number_text(at), row);
        for (const DrawnLimit& limit : limits) {
            line += limit.at == at ? " " + limit.label : "";
        }
        without_blanks_at_end(line);
        text += line + "\n";
    }
    std::string axis(kColumns + 5, ' ');
    const auto label = [&](const DrawnReading& reading) {
        const std::string clock = clock_text(reading.at, zone);
        const std::size_t column = column_of(reading.at, first, last);
        const std::size_t from = column > 0 ? column - 1 : 0; // a blank on either side
        const auto room = axis.substr(from, clock.size() + (column - from) + 1);
        if (room.find_first_not_of(' ') == std::string::npos) {
            axis.replace(column, clock.size(), clock);
        }
    };
    label(readings.front());
    label(readings.back()); // the ends matter most
    std::for_each(readings.begin(), readings.end(), label);
    without_blanks_at_end(axis);
    text += margin + fmt::format("{:>6}  ", sign(scale)) + axis + "\n";
    for (const DrawnMark& mark : marks) {
        text += margin + std::string(8 + column_of(mark.at, first, last), ' ') +
                fmt::format("^ {} {}\n", clock_text(mark.at, zone), mark.label);
    }
    return text;
}

std::string drawn_days(std::span<const DrawnMark> marks, const Zone& zone, std::size_t indent) {
    assert(!marks.empty());
    const auto day = [&](Instant at) { return day_number(date_of(zone.wall(at))); };
    const std::int64_t first = day(marks.front().at);
    const std::int64_t last = day(marks.back().at);
    // As wide as a line of text allows: a very long life is not drawn day by day.
    constexpr std::int64_t kMostDays = 16;
    const std::string margin(indent + 2, ' ');
    std::string text;
    if (last - first < kMostDays) {
        std::string days = margin + "day   ";
        std::string dates = margin + "date  ";
        for (std::int64_t d = first; d <= last; ++d) {
            days += fmt::format("{:>4}", d - first + 1);
            dates += fmt::format("{:>4}", date_from_day_number(d).day);
        }
        text = days + "\n" + dates + "\n";
    }
    for (const DrawnMark& mark : marks) {
        const std::int64_t d = day(mark.at) - first;
        text +=
            margin +
            std::string(static_cast<std::size_t>(9 + (last - first < kMostDays ? 4 * d : 0)), ' ') +
            fmt::format("^ day {} {}\n", d + 1, mark.label);
    }
    return text;
}

} // namespace holdwarden::cli
