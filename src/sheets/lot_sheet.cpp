#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/judge/words.hpp>
#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

using judge::Verdict;

/// For the verdict: the tally; of the worst finding limit, clause and reason.
std::string verdict_says(const judge::LotJudgement& judged) {
    if (judged.findings.empty()) {
        return msg::nothing_judged;
    }
    const judge::Finding& worst = judged.findings[worst_first(judged).front()];
    std::string text = fmt::format(msg::findings_are, tally(judged));
    const bool good = worst.verdict == Verdict::met || worst.verdict == Verdict::ended;
    if (!good) {
        text += fmt::format(" {}: {}. {}", requirement_title(worst.requirement),
                            limit_and_clause(worst), shown(worst.reason));
    }
    return text;
}

std::string nothing_to_do(Verdict verdict) {
    switch (verdict) {
    case Verdict::met:
    case Verdict::ended:
        return msg::nothing_asked;
    case Verdict::open:
        return msg::go_on_measuring;
    default:
        return msg::no_advice;
    }
}

std::string lot_line(const records::LotHistory& lot) {
    std::string text = food_title(lot.food);
    if (!lot.description.empty()) {
        text = fmt::format("{} ({})", shown(lot.description), text);
    }
    if (lot.raw_mass_g) {
        text = fmt::format(msg::raw_mass, text, static_cast<double>(*lot.raw_mass_g) / 1000,
                           static_cast<double>(*lot.raw_mass_g) / 453.59237);
    }
    return text;
}

/// The kitchens that the food, or what was merged into it, came from; each once.
void add_kitchens(std::vector<Fact>& facts, const records::LotHistory& history,
                  const LocalTimes& times) {
    for (const records::CameFrom& from : history.came_from) {
        Fact fact{msg::came_from,
                  fmt::format(msg::came_from_kitchen, shown(from.kitchen),
                              times.full(whole_seconds(from.handed_on)),
                              times.full(whole_seconds(from.taken_in)), from.sha256, from.signer)};
        if (std::ranges::none_of(facts, [&](const Fact& f) { return f.value == fact.value; })) {
            facts.push_back(std::move(fact));
        }
    }
    for (const records::LotHistory& source : history.sources) {
        add_kitchens(facts, source, times);
    }
}

} // namespace

Sheet lot_sheet(const SiteFacts& site, const LotRecord& lot, const Troubles& troubles,
                const Made& made) {
    const Extent extent = extent_of(lot.history, site.as_of);
    const LocalTimes times{site.zone, {extent.from, extent.to}};
    const std::string name = shown(lot.history.name);
    Sheet sheet;
    sheet.title = fmt::format(msg::lot_named, name);
    sheet.running =
        fmt::format(msg::lot_running, shown(site.name), name, local_text(extent.from, site.zone));

    sheet.made_at = to_utc_text(whole_seconds(made.at));
    sheet.software = shown(made.software);
    sheet.lang = msg::language;

    Section opening;
    opening.blocks.emplace_back(VerdictLine{lot.judged.overall, verdict_title(lot.judged.overall),
                                            verdict_says(lot.judged)});
    if (auto both = both_verdicts(lot)) {
        opening.blocks.emplace_back(std::move(*both));
    }
    std::vector<Fact> about{{msg::food, lot_line(lot.history) + lot_footnotes(lot)}};
    add_kitchens(about, lot.history, times);
    opening.blocks.emplace_back(head_facts(site, times, std::move(about)));
    sheet.sections.push_back(std::move(opening));

    Section todo{.heading = msg::what_to_do};
    for (Action& action : actions(lot, times, "")) {
        todo.blocks.emplace_back(std::move(action));
    }
    if (todo.blocks.empty()) {
        todo.blocks.emplace_back(Paragraph{
            lot.judged.flags.empty() ? nothing_to_do(lot.judged.overall) : msg::all_answered});
    }
    if (auto answers = answers_table(lot, times)) {
        todo.blocks.emplace_back(std::move(*answers));
    }
    if (auto forecast = forecast_section(lot)) {
        todo.parts.push_back(std::move(*forecast));
    }
    sheet.sections.push_back(std::move(todo));

    Section why{.heading = msg::why};
    why.blocks.emplace_back(findings_table(site, lot, times));
    for (const std::string& text : followed(site, lot, times)) {
        why.blocks.emplace_back(Paragraph{text});
    }
    if (const std::string below = bracket_text(lot.judged.below_hot_limit); !below.empty()) {
        why.blocks.emplace_back(Paragraph{fmt::format(msg::below_hot_together, below)});
    }
    if (const std::string between = bracket_text(lot.judged.between_limits); !between.empty()) {
        why.blocks.emplace_back(Paragraph{fmt::format(msg::between_limits, between)});
    }
    for (const judge::CookNote& note : lot.judged.cooks) {
        why.blocks.emplace_back(
            Paragraph{fmt::format(msg::cook_of_point, shown(note.point),
                                  times.full(note.stage_from), shown(judge::cook_text(note))),
                      Tone::note});
    }
    for (const std::string& note : lot.judged.notes) {
        why.blocks.emplace_back(Paragraph{shown(note), Tone::note});
    }
    sheet.sections.push_back(std::move(why));

    Section evidence{.heading = msg::evidence};
    Chart chart = lot_chart(lot.history, lot.judged, site.zone, site.scale, site.largest_interval,
                            site.as_of);
    add_forecasts(chart, lot.bands);
    evidence.blocks.emplace_back(std::move(chart));
    sheet.sections.push_back(std::move(evidence));

    // So that the signatures stand on the first page, what is read after them follows them.
    sheet.sections.push_back(signatures_section(lot.signatures, times));

    Section detail{.heading = msg::in_detail};
    detail.parts = details(lot, times);
    if (!detail.parts.empty()) {
        sheet.sections.push_back(std::move(detail));
    }

    Section record{.heading = msg::the_record};
    record.blocks.emplace_back(stages_table(site, lot, times));
    if (!lot.history.probes.empty()) {
        record.blocks.emplace_back(probes_table(lot, times));
    }
    record.parts.push_back(readings_section(site, lot, times));
    if (auto corrections = corrections_section(lot, times)) {
        record.parts.push_back(std::move(*corrections));
    }
    record.parts.push_back(troubles_section(troubles, times));
    sheet.sections.push_back(std::move(record));
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
