#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

namespace holdwarden::sheets {
namespace {

using judge::Finding;
using judge::Verdict;
using records::Reading;

constexpr std::size_t kLotsBeside = 3; ///< of one table: more do not fit on paper

/// A stage in which a lot is held, as far as it lies in the period.
struct Hold : LoggedStage {
    Instant from;
    Instant to;

    bool hot() const { return entry().stage == Stage::hot_holding; }
};

using HoldsByUnit = std::map<std::string, std::vector<Hold>>;

HoldsByUnit holds_of(const SiteFacts& site, std::span<const LotRecord> lots, const Period& period) {
    HoldsByUnit units;
    for (const LotRecord& lot : lots) {
        for (std::size_t i = 0; i < lot.history.stages.size(); ++i) {
            const records::StageEntry& stage = lot.history.stages[i];
            const bool holds =
                stage.stage == Stage::hot_holding || stage.stage == Stage::cold_holding;
            const Instant from = std::max(stage.from, period.from);
            const Instant to = std::min(stage_end(lot.history, i, site.as_of), period.to);
            if (holds && from < to) {
                units[stage.unit].push_back({logged_stage(lot, i, ""), from, to});
            }
        }
    }
    return units;
}

/// The reading of [from, to) that lies worst in any point of the lot.
const Reading* worst_in(const Hold& hold, Instant from, Instant to) {
    const Reading* worst = nullptr;
    for (const records::PointSeries& point : hold.lot->history.points) {
        for (const Reading& reading : point.readings) {
            if (reading.at < std::max(from, hold.from) || reading.at >= to ||
                reading.at > hold.to) {
                continue;
            }
            if (worst == nullptr ||
                (hold.hot() ? physical_order(reading.value, worst->value) < 0
                            : physical_order(reading.value, worst->value) > 0)) {
                worst = &reading;
            }
        }
    }
    return worst;
}

/// The air of the unit in [from, to), as any of its lots tells it.
std::string air_in(const SiteFacts& site, const std::string& unit, std::span<const Hold> holds,
                   Instant from, Instant to) {
    std::optional<Temperature> low;
    std::optional<Temperature> high;
    for (const Hold& hold : holds) {
        for (const records::AirSeries& air : hold.lot->history.air) {
            for (const Reading& reading : air.readings) {
                if (air.unit != unit || reading.at < from || reading.at >= to) {
                    continue;
                }
                low = !low || physical_order(reading.value, *low) < 0 ? reading.value : *low;
                high = !high || physical_order(reading.value, *high) > 0 ? reading.value : *high;
            }
        }
    }
    if (!low) {
        return msg::no_reading_cell;
    }
    return physical_order(*low, *high) == 0
               ? degrees_text(site, *low)
               : fmt::format(msg::from_to_degrees, degrees_text(site, *low),
                             degrees_text(site, *high));
}

Table unit_table(const SiteFacts& site, const std::string& unit, std::span<const Hold> holds,
                 const LocalTimes& times) {
    const Span interval = site.largest_interval;
    const std::string_view degrees = sign(site.scale);
    Table table{.caption = fmt::format(msg::worst_each_interval, to_text(interval)),
                .columns = {{msg::interval_from}},
                .rows = {},
                .dense = true};
    Instant from = holds.front().from;
    Instant to = holds.front().to;
    for (const Hold& hold : holds) {
        table.columns.push_back(
            {fmt::format(msg::lot_in_degrees, shown(hold.lot->history.name), degrees)});
        from = std::min(from, hold.from);
        to = std::max(to, hold.to);
    }
    table.columns.push_back({fmt::format(msg::air_in_degrees, degrees)});
    for (Instant at = from; at <= to; at = at + interval) {
        const Instant next = at + interval;
        std::vector<Cell> row = {{times.row(at)}};
        bool any = false;
        for (const Hold& hold : holds) {
            if (next <= hold.from || at > hold.to) {
                row.emplace_back();
                continue;
            }
            const Reading* worst = worst_in(hold, at, next);
            // What is left of the hold may be shorter than an interval.
            if (worst == nullptr && hold.to - std::max(at, hold.from) < interval) {
                row.emplace_back();
                continue;
            }
            any = true;
            std::string text = msg::no_reading_cell;
            if (worst != nullptr) {
                text = fmt::format("{} {}", clock_shown(worst->at, site.zone),
                                   degrees_text(site, worst->value));
                text += worst->suspect ? fmt::format(", {}", msg::suspect) : "";
            }
            row.push_back({text});
        }
        if (any) {
            row.push_back({air_in(site, unit, holds, at, next)});
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

Table found_table(const SiteFacts& site, std::span<const Hold> holds, const LocalTimes& times) {
    Table table{
        .caption = msg::holds_found,
        .columns = {
            {msg::lot}, {msg::verdict}, {msg::limit}, {msg::record_shows}, {msg::entered_by}}};
    for (const Hold& hold : holds) {
        const std::string& by = hold.entry().by;
        for (const Finding* finding : hold.findings) {
            table.rows.push_back({{lot_and_food(hold.lot->history)},
                                  {verdict_words(*finding), finding->verdict},
                                  {limit_and_clause(*finding)},
                                  {record_shows(site, *hold.lot, *finding, times)},
                                  {by.empty() ? msg::not_said : shown(by)}});
        }
    }
    return table;
}

} // namespace

Sheet holding_log(const SiteFacts& site, const Nights& nights, std::span<const LotRecord> lots,
                  const Made& made) {
    const Period period = period_of(nights, site.zone);
    const LocalTimes times{site.zone, period};
    const HoldsByUnit units = holds_of(site, lots, period);
    std::vector<Verdict> verdicts;
    for (const auto& [unit, holds] : units) {
        for (const Hold& hold : holds) {
            verdicts.push_back(hold.verdict);
        }
    }
    Sheet sheet = begun(site, fmt::format(msg::holding_log, nights_text(nights)), made);
    sheet.sections.push_back(log_opening(
        site, times, verdicts,
        verdicts.empty()
            ? msg::no_holds
            : fmt::format(msg::hold_count, counted(verdicts.size(), msg::hold_one, msg::hold_many),
                          tally_of(verdicts))));
    for (const auto& [unit, holds] : units) {
        Section section{.heading = unit.empty() ? msg::unit_not_said
                                                : fmt::format(msg::unit_named, shown(unit))};
        Table found = found_table(site, holds, times);
        if (!found.rows.empty()) {
            section.blocks.emplace_back(std::move(found));
        }
        const std::span<const Hold> all{holds};
        for (std::size_t i = 0; i < all.size(); i += kLotsBeside) {
            section.blocks.emplace_back(unit_table(
                site, unit, all.subspan(i, std::min(kLotsBeside, all.size() - i)), times));
        }
        section.blocks.emplace_back(Paragraph{msg::holding_note, Tone::note});
        sheet.sections.push_back(std::move(section));
    }
    sheet.sections.push_back(signatures_section());
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
