#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/judge/marks.hpp>
#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

using judge::Verdict;

std::size_t waiting(const LotRecord& lot) {
    return static_cast<std::size_t>(
        std::ranges::count_if(lot.answers, [](const judge::AnsweredFlag& answer) {
            return answer.state <= judge::AnswerState::incomplete;
        }));
}

/// Worst first, then those with more left to answer, with more flags, by name.
std::vector<const LotRecord*> in_order(std::span<const LotRecord> lots) {
    std::vector<const LotRecord*> order;
    for (const LotRecord& lot : lots) {
        order.push_back(&lot);
    }
    std::ranges::stable_sort(order, [](const LotRecord* a, const LotRecord* b) {
        if (a->judged.overall != b->judged.overall) {
            return judge::worse(a->judged.overall, b->judged.overall) == a->judged.overall;
        }
        if (waiting(*a) != waiting(*b)) {
            return waiting(*a) > waiting(*b);
        }
        if (a->judged.flags.size() != b->judged.flags.size()) {
            return a->judged.flags.size() > b->judged.flags.size();
        }
        return a->history.name < b->history.name;
    });
    return order;
}

std::string lots_tally(const std::vector<const LotRecord*>& lots) {
    std::vector<std::string> parts;
    for (const Verdict verdict :
         {Verdict::not_met, Verdict::not_shown, Verdict::open, Verdict::met, Verdict::ended}) {
        const auto n = std::ranges::count_if(
            lots, [&](const LotRecord* lot) { return lot->judged.overall == verdict; });
        if (n > 0) {
            parts.push_back(fmt::format("{} {}", n, verdict_title(verdict)));
        }
    }
    return fmt::format("{}: {}.", counted(lots.size(), msg::lot_one, msg::lot_many),
                       fmt::join(parts, ", "));
}

std::string stages_in_words(const records::LotHistory& lot) {
    std::vector<std::string> names;
    for (const auto& stage : lot.stages) {
        names.push_back(stage_title(stage.stage));
    }
    if (lot.end) {
        names.push_back(outcome_title(lot.end->outcome));
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

/// How many of a lot's flags wait for an answer; "" when nothing is known of answers.
std::string answered_words(const LotRecord& lot) {
    if (lot.answers.empty()) {
        return "";
    }
    const std::size_t n = waiting(lot);
    return n == 0 ? msg::asked_all_answered : fmt::format(msg::asked_unanswered, n);
}

Table lots_table(const SiteFacts& site, const std::vector<const LotRecord*>& lots,
                 const LocalTimes& times) {
    Table table{
        .caption = msg::all_lots,
        .columns = {
            {msg::lot}, {msg::verdict}, {msg::food_and_stages}, {msg::what_decides}, {msg::asked}}};
    for (const LotRecord* lot : lots) {
        std::string decides = msg::nothing_could_be_judged;
        if (!lot->judged.findings.empty()) {
            const judge::Finding& worst = telling(lot->judged);
            const std::string margin = margin_text(worst.margin);
            decides = fmt::format("{}, {}: {}{}{}", requirement_title(worst.requirement),
                                  shown(worst.clause), record_shows(site, *lot, worst, times),
                                  margin.empty() ? "" : "; ", margin);
        }
        const std::size_t flags = lot->judged.flags.size();
        table.rows.push_back(
            {{shown(lot->history.name)},
             {verdict_title(lot->judged.overall), lot->judged.overall},
             {fmt::format("{}: {}", food_title(lot->history.food), stages_in_words(lot->history))},
             {decides},
             {flags == 0
                  ? msg::asked_nothing
                  : counted(flags, msg::action_one, msg::action_many) + answered_words(*lot)}});
    }
    return table;
}

SmallCharts small_charts(const SiteFacts& site, const std::vector<const LotRecord*>& lots,
                         const Period& period) {
    SmallCharts small{.title = msg::side_by_side, .note = msg::side_by_side_note, .charts = {}};
    for (const LotRecord* lot : lots) {
        Chart chart = cut_to(lot_chart(lot->history, lot->judged, site.zone, site.scale,
                                       site.largest_interval, site.as_of),
                             period.from, period.to);
        chart.title = fmt::format("{} {}: {}", judge::mark(lot->judged.overall),
                                  shown(lot->history.name), verdict_title(lot->judged.overall));
        small.charts.push_back(std::move(chart));
    }
    share_degrees(small.charts);
    return small;
}

Section one_lot(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    Section section{.heading = fmt::format(msg::lot_verdict, shown(lot.history.name),
                                           verdict_title(lot.judged.overall))};
    if (auto both = both_verdicts(lot)) {
        section.blocks.emplace_back(std::move(*both));
    }
    section.blocks.emplace_back(findings_table(site, lot, times));
    for (const std::string& text : followed(site, lot, times)) {
        section.blocks.emplace_back(Paragraph{text});
    }
    if (auto answers = answers_table(lot, times)) {
        section.blocks.emplace_back(std::move(*answers));
    }
    if (auto signatures = signatures_table(lot.signatures, times)) {
        section.blocks.emplace_back(std::move(*signatures));
    }
    for (const std::string& note : lot.judged.notes) {
        section.blocks.emplace_back(Paragraph{shown(note), Tone::note});
    }
    if (auto forecast = forecast_section(lot)) {
        forecast->heading = fmt::format(msg::forecast_for, shown(lot.history.name));
        section.parts.push_back(std::move(*forecast));
    }
    for (Section& detail : details(lot, times)) {
        section.parts.push_back(std::move(detail));
    }
    Section evidence{.heading = fmt::format(msg::evidence_for, shown(lot.history.name))};
    Chart chart = lot_chart(lot.history, lot.judged, site.zone, site.scale, site.largest_interval,
                            site.as_of);
    add_forecasts(chart, lot.bands);
    evidence.blocks.emplace_back(std::move(chart));
    evidence.blocks.emplace_back(stages_table(site, lot, times));
    if (!lot.history.probes.empty()) {
        evidence.blocks.emplace_back(probes_table(lot, times));
    }
    section.parts.push_back(std::move(evidence));
    if (auto corrections = corrections_section(lot, times)) {
        corrections->heading = fmt::format(msg::corrections_for, shown(lot.history.name));
        section.parts.push_back(std::move(*corrections));
    }
    return section;
}

} // namespace

Sheet night_sheet(const SiteFacts& site, const LocalDate& night, std::span<const LotRecord> lots,
                  const Troubles& troubles, const Made& made,
                  std::span<const SignatureLine> signatures) {
    const Period period = night_of(night, site.zone);
    const LocalTimes times{site.zone, period};
    const std::vector<const LotRecord*> order = in_order(lots);
    Sheet sheet;
    sheet.title = fmt::format(msg::night_of, to_text(night));
    sheet.running = fmt::format(msg::night_running, shown(site.name), to_text(night));

    // A night without lots has nothing that could be met.
    const Verdict overall = order.empty() ? Verdict::not_shown : order.front()->judged.overall;
    sheet.made_at = to_utc_text(whole_seconds(made.at));
    sheet.software = shown(made.software);
    sheet.lang = msg::language;

    Section opening;
    opening.blocks.emplace_back(VerdictLine{overall, verdict_title(overall),
                                            order.empty() ? msg::no_lots : lots_tally(order)});
    opening.blocks.emplace_back(head_facts(site, times, {}));
    sheet.sections.push_back(std::move(opening));

    if (!order.empty()) {
        Section all{.heading = msg::lots};
        all.blocks.emplace_back(lots_table(site, order, times));
        if (order.size() > 1) {
            all.blocks.emplace_back(small_charts(site, order, period));
        }
        sheet.sections.push_back(std::move(all));
    }

    Section todo{.heading = msg::what_to_do};
    for (const LotRecord* lot : order) {
        for (Action& action : actions(*lot, times, shown(lot->history.name))) {
            todo.blocks.emplace_back(std::move(action));
        }
    }
    if (todo.blocks.empty()) {
        const bool asked = std::ranges::any_of(
            order, [](const LotRecord* lot) { return !lot->judged.flags.empty(); });
        todo.blocks.emplace_back(Paragraph{asked ? msg::all_answered
                                           : overall == Verdict::met || overall == Verdict::ended
                                               ? msg::nothing_asked
                                               : msg::no_lot_advice});
    }
    sheet.sections.push_back(std::move(todo));
    sheet.sections.push_back(signatures_section(signatures, times));

    for (const LotRecord* lot : order) {
        sheet.sections.push_back(one_lot(site, *lot, times));
    }
    sheet.sections.push_back(troubles_section(troubles, times));
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
