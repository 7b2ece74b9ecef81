#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace holdwarden::sheets {
namespace {

using judge::Finding;
using judge::Verdict;
using records::Reading;

constexpr int kHours = 6; ///< as on public-sector forms: six hours of readings

/// The coolings that began in the period, by when they began.
std::vector<LoggedStage> coolings_of(std::span<const LotRecord> lots, const Period& period) {
    std::vector<LoggedStage> found;
    for (const LotRecord& lot : lots) {
        for (std::size_t i = 0; i < lot.history.stages.size(); ++i) {
            const records::StageEntry& stage = lot.history.stages[i];
            LoggedStage cooling = logged_stage(lot, i, "cooling");
            const bool cools = stage.stage == Stage::cooling || !cooling.findings.empty();
            if (cools && stage.from >= period.from && stage.from < period.to) {
                found.push_back(std::move(cooling));
            }
        }
    }
    std::ranges::stable_sort(found, {},
                             [](const LoggedStage& cooling) { return cooling.entry().from; });
    return found;
}

/// The reading of the stage nearest to `at`, within half an hour.
const Reading* nearest(const std::vector<Reading>& readings, Instant at, Instant from, Instant to) {
    const Reading* best = nullptr;
    const auto distance = [&](const Reading& reading) {
        const std::int64_t ms = (reading.at - at).ms();
        return ms < 0 ? -ms : ms;
    };
    for (const Reading& reading : readings) {
        if (reading.at >= from && reading.at <= to && distance(reading) <= Span::minutes(30).ms() &&
            (best == nullptr || distance(reading) < distance(*best))) {
            best = &reading;
        }
    }
    return best;
}

std::string cell_text(const SiteFacts& site, const Reading* reading) {
    if (reading == nullptr) {
        return msg::no_reading_cell;
    }
    return fmt::format("{} {}", clock_shown(reading->at, site.zone),
                       degrees_text(site, reading->value));
}

/// What the cooling's flags ask for, one text; "" when nothing.
std::string asked_of(const LoggedStage& cooling) {
    std::vector<std::string> acts;
    for (const judge::Flag& flag : cooling.lot->judged.flags) {
        const bool of_it =
            flag.finding < cooling.lot->judged.findings.size() &&
            std::ranges::find(cooling.findings, &cooling.lot->judged.findings[flag.finding]) !=
                cooling.findings.end();
        for (const std::string& act : flag.act) {
            if (of_it) {
                acts.push_back(shown(act));
            }
        }
    }
    return fmt::format("{}", fmt::join(acts, " "));
}

/// The actions asked for, each once: a row names its own by number, as the forms do.
std::vector<std::string> actions_of(const std::vector<LoggedStage>& coolings) {
    std::vector<std::string> actions;
    for (const LoggedStage& cooling : coolings) {
        const std::string asked = asked_of(cooling);
        if (!asked.empty() && std::ranges::find(actions, asked) == actions.end()) {
            actions.push_back(asked);
        }
    }
    return actions;
}

Table hours_table(const SiteFacts& site, const std::vector<LoggedStage>& coolings,
                  const std::vector<std::string>& actions, const LocalTimes& times) {
    const std::string_view degrees = sign(site.scale);
    Table table{.caption = msg::coolings_by_hour,
                .columns = {{msg::lot}, {fmt::format(msg::start_heading, degrees)}}};
    for (int hour = 1; hour <= kHours; ++hour) {
        table.columns.push_back({fmt::format(msg::hour_heading, hour, degrees)});
    }
    table.columns.push_back({msg::result});
    table.columns.push_back({msg::by});
    for (const LoggedStage& cooling : coolings) {
        const records::LotHistory& lot = cooling.lot->history;
        const records::StageEntry& stage = cooling.entry();
        const Instant to = stage_end(lot, cooling.stage, site.as_of);
        for (const records::PointSeries& point : lot.points) {
            std::string name = shown(lot.name);
            if (lot.points.size() > 1) {
                name += ", " + shown(point.point);
            }
            std::vector<Cell> row = {{name}};
            std::string start = times.row(stage.from);
            if (const Reading* first = nearest(point.readings, stage.from, stage.from, to)) {
                start = fmt::format("{}; {}", start, cell_text(site, first));
            }
            row.push_back({start});
            for (int hour = 1; hour <= kHours; ++hour) {
                row.push_back(
                    {cell_text(site, nearest(point.readings, stage.from + Span::hours(hour),
                                             stage.from, to))});
            }
            const std::string asked = asked_of(cooling);
            const auto action = std::ranges::find(actions, asked);
            row.push_back({action == actions.end() ? verdict_title(cooling.verdict)
                                                   : fmt::format(msg::result_with_action,
                                                                 verdict_title(cooling.verdict),
                                                                 action - actions.begin() + 1),
                           cooling.verdict});
            row.push_back({stage.by.empty() ? msg::not_said : shown(stage.by)});
            table.rows.push_back(std::move(row));
        }
    }
    return table;
}

Table windows_table(const std::vector<LoggedStage>& coolings) {
    Table table{
        .caption = msg::windows,
        .columns = {{msg::lot_and_food}, {msg::limit}, {msg::took}, {msg::verdict}, {msg::margin}}};
    for (const LoggedStage& cooling : coolings) {
        for (const Finding* finding : cooling.findings) {
            const std::string took = bracket_text(finding->elapsed);
            const std::string margin = margin_text(finding->margin);
            table.rows.push_back({{lot_and_food(cooling.lot->history)},
                                  {limit_and_clause(*finding)},
                                  {took.empty() ? msg::no_reading_decides : took},
                                  {verdict_words(*finding), finding->verdict},
                                  {margin.empty() ? msg::no_margin : margin}});
        }
    }
    return table;
}

} // namespace

Sheet cooling_log(const SiteFacts& site, const Nights& nights, std::span<const LotRecord> lots,
                  const Made& made) {
    const Period period = period_of(nights, site.zone);
    const LocalTimes times{site.zone, period};
    const std::vector<LoggedStage> coolings = coolings_of(lots, period);
    std::vector<Verdict> verdicts;
    for (const LoggedStage& cooling : coolings) {
        verdicts.push_back(cooling.verdict);
    }
    Sheet sheet = begun(site, fmt::format(msg::cooling_log, nights_text(nights)), made);
    sheet.sections.push_back(
        log_opening(site, times, verdicts,
                    coolings.empty()
                        ? msg::no_coolings
                        : fmt::format(msg::cooling_count,
                                      counted(coolings.size(), msg::cooling_one, msg::cooling_many),
                                      tally_of(verdicts))));
    if (!coolings.empty()) {
        Section section{.heading = msg::coolings};
        const std::vector<std::string> actions = actions_of(coolings);
        section.blocks.emplace_back(hours_table(site, coolings, actions, times));
        if (!actions.empty()) {
            Facts explained;
            for (std::size_t i = 0; i < actions.size(); ++i) {
                explained.facts.push_back({fmt::format(msg::action_number, i + 1), actions[i]});
            }
            section.blocks.emplace_back(std::move(explained));
        }
        section.blocks.emplace_back(Paragraph{msg::log_note, Tone::note});
        Table windows = windows_table(coolings);
        if (!windows.rows.empty()) {
            section.blocks.emplace_back(std::move(windows));
        }
        sheet.sections.push_back(std::move(section));
    }
    sheet.sections.push_back(signatures_section());
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
