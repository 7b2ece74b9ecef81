#include "parts.hpp"

#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

constexpr std::size_t kMostTroubleRows = 200;

std::string setting_text(const records::StageEntry& stage) {
    std::string text = stage.setting ? to_text(*stage.setting) : "";
    if (stage.oven) {
        text += fmt::format("{}{}", text.empty() ? "" : ", ", to_name(*stage.oven));
    }
    return text;
}

} // namespace

Instant whole_seconds(Instant at) noexcept {
    return Instant::from_unix_s(at.unix_ms() / 1000);
}

std::string code_text(const SiteFacts& site) {
    return fmt::format("{}, edition {} ({})", shown(site.pack_title), shown(site.pack_edition),
                       shown(site.pack_id));
}

Facts head_facts(const SiteFacts& site, const LocalTimes& times, std::vector<Fact> more) {
    Facts head;
    head.facts.push_back({"Site", name_shown(site.name)});
    std::ranges::move(more, std::back_inserter(head.facts));
    head.facts.push_back({"Period", times.range(times.period().from, times.period().to)});
    head.facts.push_back({"Time zone", site.zone.name()});
    head.facts.push_back({"Judged by", code_text(site)});
    head.facts.push_back({"Decision rule", rule_words(site.rule)});
    for (const std::string& note : times.day_notes()) {
        head.facts.push_back({"Clocks", note});
    }
    return head;
}

Table stages_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    Table table{
        .caption = "What was done to the lot",
        .columns = {{"Stage"}, {"From"}, {"To"}, {"Lasted"}, {"Unit and setting"}, {"Entered by"}}};
    const auto& stages = lot.history.stages;
    for (std::size_t i = 0; i < stages.size(); ++i) {
        const records::StageEntry& stage = stages[i];
        if (stage.from > site.as_of) {
            continue;
        }
        const Instant end = stage_end(lot.history, i, site.as_of);
        const bool ended = i + 1 < stages.size() || lot.history.end || lot.history.closes;
        std::string unit = name_shown(stage.unit);
        const std::string setting = setting_text(stage);
        unit += setting.empty() ? "" : fmt::format("{}{}", unit.empty() ? "" : ", ", setting);
        table.rows.push_back({{fmt::format("{} {}", i + 1, stage_title(stage.stage))},
                              {times.full(stage.from)},
                              {ended ? times.full(end) : "still going on " + times.full(end)},
                              {to_text(end - stage.from)},
                              {unit.empty() ? "not said" : unit},
                              {stage.by.empty() ? "not said" : name_shown(stage.by)}});
    }
    if (const auto& end = lot.history.end; end && end->at <= site.as_of) {
        table.rows.push_back({{std::string{to_name(end->outcome)}},
                              {times.full(end->at)},
                              {""},
                              {""},
                              {""},
                              {end->by.empty() ? "not said" : name_shown(end->by)}});
    }
    return table;
}

Table probes_table(const LotRecord& lot, const LocalTimes& times) {
    Table table{.caption = "Thermometers used",
                .columns = {{"Probe"}, {"Stated accuracy"}, {"Last check"}}};
    for (const records::Probe& probe : lot.history.probes) {
        std::string accuracy = "not stated";
        if (probe.accuracy) {
            accuracy = to_text(*probe.accuracy);
            accuracy = "±" + accuracy.substr(accuracy.front() == '+' ? 1 : 0);
        }
        table.rows.push_back(
            {{name_shown(probe.name)},
             {accuracy},
             {probe.last_check ? times.full(*probe.last_check) : "never checked"}});
    }
    return table;
}

Section troubles_section(const Troubles& troubles, const LocalTimes& times) {
    Section section{.heading = "Entries not taken, and conflicts"};
    if (troubles.rejects.empty()) {
        section.blocks.emplace_back(Paragraph{"No entry of this period was rejected."});
    } else {
        Table table{.caption = "Rejected entries",
                    .columns = {{"File"}, {"Line", true}, {"Entry"}, {"Why it was not taken"}}};
        for (const Reject& reject : troubles.rejects) {
            if (table.rows.size() == kMostTroubleRows) {
                break;
            }
            table.rows.push_back({{reject.file.empty() ? "typed" : name_shown(reject.file)},
                                  {reject.line == 0 ? "" : fmt::format("{}", reject.line)},
                                  {shown(reject.text)},
                                  {shown(reject.reason)}});
        }
        const std::size_t left = troubles.rejects.size() - table.rows.size();
        section.blocks.emplace_back(std::move(table));
        if (left > 0) {
            section.blocks.emplace_back(
                Paragraph{fmt::format("{} more; the record holds them all.",
                                      counted(left, "rejected entry", "rejected entries")),
                          Tone::note});
        }
    }
    if (troubles.conflicts.empty()) {
        section.blocks.emplace_back(
            Paragraph{"No point has two different values for one instant."});
        return section;
    }
    Table table{
        .caption = "Two values for one point and instant: the worse counts",
        .columns = {{"Lot"}, {"Point"}, {"Time"}, {"First value", true}, {"Second value", true}}};
    for (const Conflict& conflict : troubles.conflicts) {
        if (table.rows.size() == kMostTroubleRows) {
            break;
        }
        table.rows.push_back({{name_shown(conflict.lot)},
                              {name_shown(conflict.point)},
                              {times.row(conflict.at)},
                              {to_text(conflict.first)},
                              {to_text(conflict.second)}});
    }
    const std::size_t left = troubles.conflicts.size() - table.rows.size();
    section.blocks.emplace_back(std::move(table));
    if (left > 0) {
        section.blocks.emplace_back(Paragraph{fmt::format("{} more; the record holds them all.",
                                                          counted(left, "conflict", "conflicts")),
                                              Tone::note});
    }
    return section;
}

std::optional<Section> forecast_section(const LotRecord& lot) {
    if (lot.forecasts.empty()) {
        return std::nullopt;
    }
    Section section{.heading = "Forecast"};
    section.blocks.emplace_back(Paragraph{
        "An estimate. It never changes a verdict: the thermometer in the food, your local "
        "code and your regulator decide.",
        Tone::caution});
    Bullets lines;
    for (const std::string& line : lot.forecasts) {
        lines.items.push_back(shown(line));
    }
    section.blocks.emplace_back(std::move(lines));
    return section;
}

Section signatures_section() {
    Section section{.heading = "Signatures"};
    section.blocks.emplace_back(SignLines{
        .roles = {"Person in charge", "Verified by a second person"},
        .lines = {"Name in print", "Signature", "Date and time"},
    });
    return section;
}

Section about_section(const SiteFacts& site, const Made& made, const LocalTimes& times) {
    Section section{.heading = "About this sheet"};
    section.blocks.emplace_back(Paragraph{
        "This sheet compares recorded readings with the limits named on it. It is no advice on a "
        "particular food and replaces neither the local food code nor the regulator nor licensed "
        "practice: where they say otherwise, they decide. When in doubt, do not serve. An estimate "
        "shown here informs; it never makes a verdict milder.",
        Tone::caution});
    if (!site.pack_caution.empty()) {
        section.blocks.emplace_back(Paragraph{shown(site.pack_caution), Tone::caution});
    }
    Facts facts;
    facts.facts = {
        {"Made by", made.by.empty() ? "not said" : name_shown(made.by)},
        {"Made at", times.full(whole_seconds(made.at))},
        {"Judged as of", times.full(site.as_of)},
        {"Software", shown(made.software)},
        {"Code pack", code_text(site)},
        {"Decision rule", rule_words(site.rule)},
        {"Largest interval",
         fmt::format("{} between two good readings of a hold", to_text(site.largest_interval))},
        {"Site altitude", site.altitude ? to_text(*site.altitude) : "not said"},
        {"Times", fmt::format("local times of {}; lengths are true lengths, also where the clocks "
                              "change",
                              site.zone.name())},
        {"Temperatures", "as measured, each compared with the figure printed for its own scale"},
    };
    section.blocks.emplace_back(std::move(facts));
    return section;
}

} // namespace holdwarden::sheets
