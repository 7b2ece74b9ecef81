#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

namespace holdwarden::sheets {
namespace {

using judge::Finding;
using judge::Verdict;

/// A finding of the code that is not met.
struct Deviation {
    const LotRecord* lot;
    const Finding* finding;
    Instant shown_at; ///< of the reading that showed it
    std::string unit;
    std::optional<Instant> answered{};
    std::string cause{};
};

/// The reading that first shows the miss, as far as the finding tells.
Instant shown_at(const Finding& finding) {
    if (!finding.excursions.empty()) {
        const judge::InstantBracket& from = finding.excursions.front().from;
        if (from.latest || from.earliest) {
            return from.latest ? *from.latest : *from.earliest;
        }
    }
    return finding.evidence.empty() ? finding.stage_from : finding.evidence.back().at;
}

/// The earliest corrective action for a flag of the finding.
void find_answer(Deviation& deviation, std::size_t finding) {
    for (const judge::Flag& flag : deviation.lot->judged.flags) {
        if (flag.finding != finding) {
            continue;
        }
        for (const Answered& answer : deviation.lot->answered) {
            if (answer.flag == flag.id &&
                (!deviation.answered || answer.at < *deviation.answered)) {
                deviation.answered = answer.at;
                deviation.cause = answer.cause;
            }
        }
    }
}

std::vector<Deviation> deviations_of(std::span<const LotRecord> lots) {
    std::vector<Deviation> found;
    for (const LotRecord& lot : lots) {
        for (std::size_t i = 0; i < lot.judged.findings.size(); ++i) {
            const Finding& finding = lot.judged.findings[i];
            if (!finding.counts || finding.verdict != Verdict::not_met ||
                finding.source != "code") {
                continue;
            }
            const auto stage = stage_of(lot.history, finding);
            Deviation deviation{&lot, &finding, shown_at(finding),
                                stage ? lot.history.stages[*stage].unit : std::string{}};
            find_answer(deviation, i);
            found.push_back(std::move(deviation));
        }
    }
    return found;
}

std::string lots_counted(std::size_t n) {
    return counted(n, msg::lot_one, msg::lot_many);
}

Paragraph too_few(std::size_t lots) {
    return {fmt::format(msg::too_few, lots_counted(lots), kFewestLots)};
}

Table verdicts_table(std::span<const LotRecord> lots) {
    Table table{.caption = msg::lots_by_verdict,
                .columns = {{msg::verdict}, {msg::lots_heading, true}}};
    for (const Verdict verdict :
         {Verdict::not_met, Verdict::not_shown, Verdict::open, Verdict::met, Verdict::ended}) {
        const auto n = std::ranges::count_if(
            lots, [&](const LotRecord& lot) { return lot.judged.overall == verdict; });
        table.rows.push_back({{verdict_title(verdict), verdict}, {fmt::format("{}", n)}});
    }
    table.rows.push_back({{msg::all_of_them}, {fmt::format("{}", lots.size())}});
    return table;
}

/// How often each value of `key` occurs among the deviations, and in how many lots.
template <class Key>
Table count_table(const char* caption, const char* heading,
                  const std::vector<Deviation>& deviations, Key key) {
    struct Count {
        std::size_t deviations = 0;
        std::set<const LotRecord*> lots{};
    };
    std::map<std::string, Count> counts;
    for (const Deviation& deviation : deviations) {
        Count& count = counts[key(deviation)];
        ++count.deviations;
        count.lots.insert(deviation.lot);
    }
    Table table{.caption = caption,
                .columns = {{heading}, {msg::deviations, true}, {msg::lots_heading, true}}};
    for (const auto& [name, count] : counts) {
        table.rows.push_back({{name},
                              {fmt::format("{}", count.deviations)},
                              {fmt::format("{}", count.lots.size())}});
    }
    return table;
}

/// How many lots were in each unit. Only of units with lots enough is a figure drawn.
Table units_table(std::span<const LotRecord> lots, const std::vector<Deviation>& deviations) {
    std::map<std::string, std::set<const LotRecord*>> in_unit;
    for (const LotRecord& lot : lots) {
        for (const records::StageEntry& stage : lot.history.stages) {
            in_unit[stage.unit].insert(&lot);
        }
    }
    Table table{.caption = msg::by_unit,
                .columns = {{msg::unit}, {msg::deviations, true}, {msg::lots_in_unit, true}}};
    for (const auto& [unit, there] : in_unit) {
        const auto n = std::ranges::count_if(
            deviations, [&name = unit](const Deviation& d) { return d.unit == name; });
        table.rows.push_back(
            {{unit.empty() ? msg::not_said : shown(unit)},
             {there.size() < kFewestLots ? msg::too_few_cell : fmt::format("{}", n)},
             {fmt::format("{}", there.size())}});
    }
    return table;
}

Section deviations_section(const SiteFacts& site, std::span<const LotRecord> lots,
                           const std::vector<Deviation>& deviations) {
    Section section{.heading = msg::deviations};
    if (lots.size() < kFewestLots) {
        section.blocks.emplace_back(too_few(lots.size()));
        return section;
    }
    section.blocks.emplace_back(Paragraph{fmt::format(
        msg::deviations_are, counted(deviations.size(), msg::deviation_one, msg::deviation_many),
        lots_counted(lots.size()))});
    if (!deviations.empty()) {
        section.blocks.emplace_back(
            count_table(msg::by_cause, msg::cause, deviations, [](const Deviation& d) {
                return d.cause.empty() ? msg::no_cause : shown(d.cause);
            }));
    }
    section.blocks.emplace_back(units_table(lots, deviations));
    if (!deviations.empty()) {
        section.blocks.emplace_back(
            count_table(msg::by_hour, msg::hour, deviations, [&](const Deviation& d) {
                const std::int64_t hour = site.zone.wall(d.shown_at).ms / 3'600'000 % 24;
                return fmt::format(msg::hour_range, hour, hour);
            }));
    }
    return section;
}

Section answers_section(std::span<const LotRecord> lots, const std::vector<Deviation>& deviations) {
    Section section{.heading = msg::to_answer};
    std::vector<Span> lengths;
    std::set<const LotRecord*> answered_lots;
    for (const Deviation& deviation : deviations) {
        if (deviation.answered) {
            lengths.push_back(*deviation.answered - deviation.shown_at);
            answered_lots.insert(deviation.lot);
        }
    }
    if (answered_lots.size() < kFewestLots) {
        section.blocks.emplace_back(Paragraph{
            fmt::format(msg::answers_too_few, lengths.size(),
                        counted(deviations.size(), msg::deviation_one, msg::deviation_many),
                        lots_counted(lots.size()), kFewestLots)});
        return section;
    }
    std::ranges::sort(lengths);
    // Of an even number, the lower of the two in the middle: a length that really occurred.
    const Span median = lengths[(lengths.size() - 1) / 2];
    const auto minutes = [](Span length) {
        return to_text(Span::minutes((length.ms() + 30'000) / 60'000));
    };
    section.blocks.emplace_back(
        Paragraph{fmt::format(msg::answers_are, lengths.size(),
                              counted(deviations.size(), msg::deviation_one, msg::deviation_many),
                              minutes(lengths.front()), minutes(median), minutes(lengths.back()),
                              lots_counted(answered_lots.size()))});
    return section;
}

/// The smallest margin of one hold.
struct HoldMargin {
    Instant at;
    const LotRecord* lot;
    Verdict verdict;
    TemperatureDelta margin;
};

using MarginsByUnit = std::map<std::string, std::vector<HoldMargin>>;

MarginsByUnit margins_of(const SiteFacts& site, std::span<const LotRecord> lots) {
    MarginsByUnit units;
    for (const LotRecord& lot : lots) {
        std::map<std::size_t, HoldMargin> smallest; // by stage
        for (const Finding& finding : lot.judged.findings) {
            const auto stage = stage_of(lot.history, finding);
            const bool is_hold = finding.requirement == "hot-holding" ||
                                 finding.requirement == "hot-holding-roast" ||
                                 finding.requirement == "cold-holding";
            if (!finding.counts || !finding.margin.temperature || !stage || !is_hold ||
                finding.source != "code") {
                continue;
            }
            const TemperatureDelta margin = finding.margin.temperature->in(site.scale);
            const HoldMargin here{finding.stage_from, &lot, finding.verdict, margin};
            const auto [place, is_new] = smallest.emplace(*stage, here);
            if (!is_new && margin.thousandths() < place->second.margin.thousandths()) {
                place->second = here;
            }
        }
        for (const auto& [stage, margin] : smallest) {
            units[lot.history.stages[stage].unit].push_back(margin);
        }
    }
    for (auto& [unit, holds] : units) {
        std::ranges::stable_sort(holds, {}, &HoldMargin::at);
    }
    return units;
}

std::string margin_figure(TemperatureDelta margin) {
    std::string text = to_text(margin);
    text.erase(text.rfind(' ')); // the heading says the scale
    return text;
}

Chart margins_chart(const SiteFacts& site, const std::string& unit,
                    const std::vector<HoldMargin>& holds, const LocalTimes& times) {
    Chart chart;
    chart.title = fmt::format(msg::margins_of, unit);
    chart.from = holds.front().at;
    chart.to = std::max(holds.back().at, chart.from + Span::hours(1));
    chart.zone = site.zone;
    chart.scale = site.scale;
    chart.difference = true;
    ChartSeries series{.label = unit, .runs = {{}}, .suspect = {}};
    const HoldMargin* smallest = &holds.front();
    const HoldMargin* largest = &holds.front();
    std::set<const LotRecord*> lots;
    for (const HoldMargin& hold : holds) {
        series.runs[0].push_back({hold.at, static_cast<double>(hold.margin.thousandths()) / 1000});
        smallest = hold.margin.thousandths() < smallest->margin.thousandths() ? &hold : smallest;
        largest = hold.margin.thousandths() > largest->margin.thousandths() ? &hold : largest;
        lots.insert(hold.lot);
    }
    chart.series = {std::move(series)};
    chart.limits = {{.label = msg::margin_limit,
                     .degrees = 0,
                     .from = chart.from,
                     .to = chart.to,
                     .hot_side = true,
                     .shaded = true}};
    chart.description =
        fmt::format(msg::margins_described, counted(holds.size(), msg::hold_one, msg::hold_many),
                    lots_counted(lots.size()), to_text(smallest->margin), times.row(smallest->at),
                    to_text(largest->margin));
    return chart;
}

Section margins_section(const SiteFacts& site, std::span<const LotRecord> lots,
                        const LocalTimes& times) {
    Section section{.heading = msg::margins};
    for (const auto& [unit, holds] : margins_of(site, lots)) {
        const std::string name = unit.empty() ? msg::not_said : shown(unit);
        Section part{.heading = fmt::format(msg::unit_named, name)};
        std::set<const LotRecord*> there;
        for (const HoldMargin& hold : holds) {
            there.insert(hold.lot);
        }
        if (there.size() < kFewestLots) {
            part.blocks.emplace_back(too_few(there.size()));
        } else {
            part.blocks.emplace_back(margins_chart(site, name, holds, times));
            Table table{.caption = fmt::format(msg::margins_of, name),
                        .columns = {{msg::time},
                                    {msg::lot},
                                    {fmt::format(msg::margin_degrees, sign(site.scale)), true},
                                    {msg::verdict}},
                        .rows = {},
                        .dense = true};
            for (const HoldMargin& hold : holds) {
                table.rows.push_back({{times.row(hold.at)},
                                      {shown(hold.lot->history.name)},
                                      {margin_figure(hold.margin)},
                                      {verdict_title(hold.verdict), hold.verdict}});
            }
            part.blocks.emplace_back(std::move(table));
        }
        section.parts.push_back(std::move(part));
    }
    if (section.parts.empty()) {
        section.blocks.emplace_back(Paragraph{msg::no_holds});
    }
    return section;
}

} // namespace

Sheet period_summary(const SiteFacts& site, const Nights& nights, std::span<const LotRecord> lots,
                     const Made& made) {
    const Period period = period_of(nights, site.zone);
    const LocalTimes times{site.zone, period};
    const std::vector<Deviation> deviations = deviations_of(lots);
    Sheet sheet = begun(site, fmt::format(msg::summary, nights_text(nights)), made);
    Section opening;
    opening.blocks.emplace_back(head_facts(site, times, {}));
    if (lots.size() < kFewestLots) {
        opening.blocks.emplace_back(too_few(lots.size()));
    } else {
        opening.blocks.emplace_back(verdicts_table(lots));
    }
    opening.blocks.emplace_back(Paragraph{msg::summary_note, Tone::note});
    sheet.sections.push_back(std::move(opening));
    sheet.sections.push_back(deviations_section(site, lots, deviations));
    sheet.sections.push_back(answers_section(lots, deviations));
    sheet.sections.push_back(margins_section(site, lots, times));
    sheet.sections.push_back(signatures_section());
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
