#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <optional>

namespace holdwarden::sheets {
namespace {

using records::PointSeries;
using records::Reading;

constexpr std::size_t kMostSingleReadings = 300;
constexpr std::size_t kMostIntervalRows = 150;

struct Entry {
    std::size_t point; ///< index into the lot's points
    const Reading* reading;
};

/// "below the hot holding limit", where a finding's excursion covers the reading.
std::string wrong_side_of(const LotRecord& lot, const std::string& point, const Reading& reading) {
    for (const judge::Finding& finding : lot.judged.findings) {
        if (!finding.point.empty() && finding.point != point) {
            continue;
        }
        for (const judge::Excursion& e : finding.excursions) {
            const auto first = e.from.latest ? e.from.latest : e.from.earliest;
            const auto last = e.to.earliest ? e.to.earliest : e.to.latest;
            if (first && last && *first <= reading.at && reading.at <= *last) {
                return finding.limit.hot_side ? msg::below_the_limit : msg::above_the_limit;
            }
        }
    }
    return "";
}

std::string remarks(const LotRecord& lot, const std::string& point, const Reading& reading) {
    std::vector<std::string> parts;
    if (const std::string wrong = wrong_side_of(lot, point, reading); !wrong.empty()) {
        parts.push_back(wrong);
    }
    if (reading.suspect) {
        parts.emplace_back(msg::suspect);
    }
    if (reading.origin == records::Origin::typed) {
        parts.emplace_back(msg::typed);
    }
    for (std::string& said : correction_remarks(lot, point, reading)) {
        parts.push_back(std::move(said));
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

/// The one probe that took all readings of the point; nullopt when several did.
std::optional<std::uint32_t> only_probe(const PointSeries& point) {
    for (const Reading& reading : point.readings) {
        if (reading.probe != point.readings.front().probe) {
            return std::nullopt;
        }
    }
    return point.readings.empty() ? std::nullopt : std::optional{point.readings.front().probe};
}

std::string probe_name(const LotRecord& lot, std::uint32_t probe) {
    const auto& probes = lot.history.probes;
    return probe < probes.size() ? shown(probes[probe].name) : msg::not_said;
}

/// All readings up to the as-of instant by time; those of one instant in the order of the points.
std::map<Instant, std::vector<Entry>> by_instant(const SiteFacts& site, const LotRecord& lot) {
    std::map<Instant, std::vector<Entry>> rows;
    for (std::size_t i = 0; i < lot.history.points.size(); ++i) {
        for (const Reading& reading : lot.history.points[i].readings) {
            if (reading.at <= site.as_of) {
                rows[reading.at].push_back({i, &reading});
            }
        }
    }
    for (const VoidReading& gone : void_readings(lot)) {
        if (gone.at <= site.as_of) {
            rows[gone.at]; // a row, if only for what was voided
        }
    }
    return rows;
}

std::vector<const VoidReading*> void_at(const std::vector<VoidReading>& voided, Instant at) {
    std::vector<const VoidReading*> here;
    for (const VoidReading& gone : voided) {
        if (gone.at == at) {
            here.push_back(&gone);
        }
    }
    return here;
}

/// One row a reading: for points that changed their probe, or many points.
Table long_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    Table table{
        .caption = msg::readings_in_food,
        .columns = {{msg::time}, {msg::point}, {msg::reading, true}, {msg::probe}, {msg::remarks}}};
    table.dense = true;
    const std::vector<VoidReading> voided = void_readings(lot);
    for (const auto& [at, entries] : by_instant(site, lot)) {
        for (const Entry& entry : entries) {
            const std::string& point = lot.history.points[entry.point].point;
            table.rows.push_back({{times.row(at)},
                                  {shown(point)},
                                  {reading_text(*entry.reading)},
                                  {probe_name(lot, entry.reading->probe)},
                                  {remarks(lot, point, *entry.reading)}});
            strike(table.rows.back()[2], lot, point, *entry.reading);
        }
        for (const VoidReading* gone : void_at(voided, at)) {
            table.rows.push_back(
                {{times.row(at)}, {shown(gone->point)}, gone->cell, {""}, {msg::void_entry}});
        }
    }
    return table;
}

/// One row an instant and one column a point. Two values of one instant stand in one cell.
Table wide_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    const auto& points = lot.history.points;
    Table table{.caption = msg::readings_in_food, .columns = {{msg::time}}};
    table.dense = true;
    for (const PointSeries& point : points) {
        const auto probe = only_probe(point);
        table.columns.push_back(
            {probe ? fmt::format("{} ({})", shown(point.point), probe_name(lot, *probe))
                   : shown(point.point),
             true});
    }
    table.columns.push_back({msg::remarks});
    const std::vector<VoidReading> voided = void_readings(lot);
    for (const auto& [at, entries] : by_instant(site, lot)) {
        std::vector<Cell> row(points.size() + 2);
        row.front().text = times.row(at);
        for (const Entry& entry : entries) {
            const std::string& point = points[entry.point].point;
            Cell& cell = row[entry.point + 1];
            cell.text += (cell.text.empty() ? "" : " / ") + reading_text(*entry.reading);
            strike(cell, lot, point, *entry.reading);
            const std::string words = remarks(lot, point, *entry.reading);
            if (!words.empty()) {
                std::string& all = row.back().text;
                all += all.empty() ? "" : "; ";
                all += points.size() > 1 ? fmt::format("{} {}", shown(point), words) : words;
            }
        }
        for (const VoidReading* gone : void_at(voided, at)) {
            const auto of = std::ranges::find(points, gone->point, &PointSeries::point);
            Cell& cell = of == points.end()
                             ? row.back()
                             : row[static_cast<std::size_t>(of - points.begin()) + 1];
            cell.text += (cell.text.empty() ? "" : " / ") + gone->cell.text;
            cell.struck.insert(cell.struck.end(), gone->cell.struck.begin(),
                               gone->cell.struck.end());
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

Table single_readings(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    constexpr std::size_t kMostPointColumns = 3;
    const auto& points = lot.history.points;
    const bool wide = points.size() <= kMostPointColumns &&
                      std::ranges::all_of(points, [](const PointSeries& point) {
                          return point.readings.empty() || only_probe(point).has_value();
                      });
    return wide ? wide_table(site, lot, times) : long_table(site, lot, times);
}

/// The shortest interval that keeps the table within its rows.
Span interval_for(Span length) {
    constexpr std::array<std::int64_t, 9> kMinutes = {5, 10, 15, 30, 60, 120, 240, 480, 1440};
    for (const std::int64_t minutes : kMinutes) {
        if (length.ms() <= minutes * 60'000 * static_cast<std::int64_t>(kMostIntervalRows)) {
            return Span::minutes(minutes);
        }
    }
    return Span::hours(24 * (1 + length.ms() / (86'400'000LL * std::int64_t{kMostIntervalRows})));
}

void add_intervals(Table& table, const SiteFacts& site, const LotRecord& lot,
                   const PointSeries& point, const LocalTimes& times, Span interval) {
    const auto colder = [](const Reading& a, const Reading& b) {
        return physical_order(a.value, b.value) < 0;
    };
    const auto& readings = point.readings;
    const auto part_of = [&](const Reading& reading) {
        return (reading.at - times.period().from).ms() / interval.ms();
    };
    for (auto first = readings.begin(); first != readings.end() && first->at <= site.as_of;) {
        const auto part = part_of(*first);
        const auto end = std::find_if(first, readings.end(), [&](const Reading& reading) {
            return part_of(reading) != part || reading.at > site.as_of;
        });
        const auto low = std::min_element(first, end, colder);
        const auto high = std::max_element(first, end, colder);
        const auto suspect = std::count_if(first, end, [](const Reading& r) { return r.suspect; });
        const auto wrong = std::find_if(first, end, [&](const Reading& reading) {
            return !wrong_side_of(lot, point.point, reading).empty();
        });
        std::string words = wrong == end ? "" : wrong_side_of(lot, point.point, *wrong);
        if (suspect > 0) {
            words += words.empty() ? "" : ", ";
            words += fmt::format(msg::some_suspect, suspect);
        }
        table.rows.push_back({{times.row(first->at)},
                              {shown(point.point)},
                              {to_text(low->value)},
                              {to_text(high->value)},
                              {fmt::format("{}", end - first)},
                              {words}});
        first = end;
    }
}

} // namespace

Section readings_section(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    Section section{.heading = msg::readings};
    std::size_t count = 0;
    for (const PointSeries& point : lot.history.points) {
        count += static_cast<std::size_t>(std::ranges::count_if(
            point.readings, [&](const Reading& reading) { return reading.at <= site.as_of; }));
    }
    if (count == 0) {
        section.blocks.emplace_back(Paragraph{msg::no_reading_in_food});
        return section;
    }
    if (count <= kMostSingleReadings) {
        section.blocks.emplace_back(single_readings(site, lot, times));
        return section;
    }
    const Span interval = interval_for(times.period().to - times.period().from);
    Table table{.caption = fmt::format(msg::readings_in_food_by, to_text(interval)),
                .columns = {{msg::first_reading},
                            {msg::point},
                            {msg::lowest, true},
                            {msg::highest, true},
                            {msg::readings, true},
                            {msg::remarks}}};
    table.dense = true;
    for (const PointSeries& point : lot.history.points) {
        add_intervals(table, site, lot, point, times, interval);
    }
    section.blocks.emplace_back(
        Paragraph{fmt::format(msg::too_many_readings, count, to_text(interval)), Tone::note});
    section.blocks.emplace_back(std::move(table));
    return section;
}

} // namespace holdwarden::sheets
