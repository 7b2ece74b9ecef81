#include "parts.hpp"

#include "messages.hpp"

#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

constexpr std::size_t kMostTroubleRows = 200;

std::string setting_text(const records::StageEntry& stage) {
    std::string text = stage.setting ? to_text(*stage.setting) : "";
    if (stage.oven) {
        text += fmt::format("{}{}", text.empty() ? "" : ", ", oven_title(*stage.oven));
    }
    return text;
}

std::string house_limit_text(const HouseLimitInForce& one, const LocalTimes& times) {
    const codes::HouseLimit& limit = one.limit;
    std::string figure = limit.at ? to_text(*limit.at) : "";
    if (limit.within) {
        figure += figure.empty() ? "" : " ";
        figure += fmt::format(msg::code_time, to_text(*limit.within));
    }
    const std::string title = requirement_title(limit.requirement);
    const std::string held =
        one.until ? fmt::format(msg::house_limit_until, title, figure, times.full(one.from),
                                times.full(*one.until))
                  : fmt::format(msg::house_limit_since, title, figure, times.full(one.from));
    const std::string text =
        fmt::format(msg::house_limit_set_by, held, shown(limit.who), shown(limit.why));
    return limit.variance.empty()
               ? text
               : fmt::format(msg::house_limit_variance, text, shown(limit.variance));
}

/// The site's own limits and variances; says so when there are none.
void add_house_facts(std::vector<Fact>& facts, const SiteFacts& site, const LocalTimes& times) {
    for (const HouseLimitInForce& limit : site.house_limits) {
        facts.push_back({msg::house_limits, house_limit_text(limit, times)});
    }
    if (site.house_limits.empty()) {
        facts.push_back({msg::house_limits, msg::none_on_record});
    }
    for (const std::string& variance : site.variances) {
        facts.push_back({msg::variances, shown(variance)});
    }
    if (site.variances.empty()) {
        facts.push_back({msg::variances, msg::none_on_record});
    }
}

} // namespace

Instant whole_seconds(Instant at) noexcept {
    return Instant::from_unix_s(at.unix_ms() / 1000);
}

std::string code_text(const SiteFacts& site) {
    return fmt::format(msg::code_edition, shown(site.pack_title), shown(site.pack_edition),
                       shown(site.pack_id));
}

Facts head_facts(const SiteFacts& site, const LocalTimes& times, std::vector<Fact> more) {
    Facts head;
    head.facts.push_back({msg::site, shown(site.name)});
    std::ranges::move(more, std::back_inserter(head.facts));
    head.facts.push_back({msg::period, times.range(times.period().from, times.period().to)});
    head.facts.push_back({msg::time_zone, site.zone.name()});
    head.facts.push_back({msg::judged_by, code_text(site)});
    for (const std::string& note : times.day_notes()) {
        head.facts.push_back({msg::clocks, note});
    }
    return head;
}

std::vector<std::string> followed(const SiteFacts& site, const LotRecord& lot,
                                  const LocalTimes& times) {
    std::vector<std::string> texts;
    for (const judge::JudgedBy& by : lot.judged.judged_by) {
        if (by.from || by.id != site.pack_id || by.largest_interval != site.largest_interval) {
            const std::string interval = to_text(by.largest_interval);
            texts.push_back(by.from ? fmt::format(msg::stages_judged_by, times.full(*by.from),
                                                  shown(by.title), shown(by.edition), shown(by.id),
                                                  interval)
                                    : fmt::format(msg::lot_judged_by, shown(by.title),
                                                  shown(by.edition), shown(by.id), interval));
        }
    }
    if (lot.judged.house_overall) {
        texts.push_back(fmt::format(msg::house_beside, judge::to_words(*lot.judged.house_overall)));
    }
    return texts;
}

Table stages_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times) {
    Table table{.caption = msg::what_was_done,
                .columns = {{msg::stage},
                            {msg::from},
                            {msg::to},
                            {msg::lasted},
                            {msg::unit_and_setting},
                            {msg::entered_by}}};
    const auto& stages = lot.history.stages;
    for (std::size_t i = 0; i < stages.size(); ++i) {
        const records::StageEntry& stage = stages[i];
        if (stage.from > site.as_of) {
            continue;
        }
        const Instant end = stage_end(lot.history, i, site.as_of);
        const bool ended = i + 1 < stages.size() || lot.history.end || lot.history.closes;
        std::string unit = shown(stage.unit);
        const std::string setting = setting_text(stage);
        unit += setting.empty() ? "" : fmt::format("{}{}", unit.empty() ? "" : ", ", setting);
        table.rows.push_back(
            {{fmt::format("{} {}", i + 1, stage_title(stage.stage))},
             {times.full(stage.from)},
             {ended ? times.full(end) : fmt::format(msg::still_going_on, times.full(end))},
             {to_text(end - stage.from)},
             {unit.empty() ? msg::not_said : unit},
             {stage.by.empty() ? msg::not_said : shown(stage.by)}});
        auto& row = table.rows.back();
        strike(row[0], row[1], row[4], lot, stage.from, times);
    }
    if (const auto& end = lot.history.end; end && end->at <= site.as_of) {
        table.rows.push_back({{outcome_title(end->outcome)},
                              {times.full(end->at)},
                              {""},
                              {""},
                              {""},
                              {end->by.empty() ? msg::not_said : shown(end->by)}});
    }
    return table;
}

namespace {

/// Failed checks and overdue ones that bear on the lot: none before the last good check from before
/// it began.
std::string failed_or_overdue(const LotRecord& lot, const records::Probe& probe,
                              const LocalTimes& times) {
    const Instant begin = records::first_stage(lot.history).value_or(Instant::from_unix_ms(0));
    Instant since = Instant::from_unix_ms(0);
    for (const records::CheckPoint& check : probe.checks) {
        since = check.passed && check.at <= begin ? check.at : since;
    }
    std::string text;
    const auto add = [&](const std::string& one) { text += (text.empty() ? "" : "; ") + one; };
    for (const records::CheckPoint& check : probe.checks) {
        if (!check.passed && check.at >= since) {
            add(fmt::format(msg::check_failed_at, times.full(whole_seconds(check.at))));
        }
    }
    for (const records::OverdueStretch& stretch : probe.overdue) {
        const std::string from = times.full(whole_seconds(stretch.from));
        if (!stretch.to) {
            add(fmt::format(msg::check_overdue_since, from));
        } else if (*stretch.to > begin) {
            add(fmt::format(msg::check_overdue_between, from,
                            times.full(whole_seconds(*stretch.to))));
        }
    }
    return text.empty() ? msg::no_check_failed : text;
}

} // namespace

Table probes_table(const LotRecord& lot, const LocalTimes& times) {
    Table table{
        .caption = msg::thermometers_used,
        .columns = {
            {msg::probe}, {msg::stated_accuracy}, {msg::last_check}, {msg::failed_or_overdue}}};
    for (const records::Probe& probe : lot.history.probes) {
        std::string accuracy = msg::not_stated;
        if (probe.accuracy) {
            accuracy = to_text(*probe.accuracy);
            accuracy = "±" + accuracy.substr(accuracy.front() == '+' ? 1 : 0);
        }
        table.rows.push_back(
            {{shown(probe.name)},
             {accuracy},
             {probe.last_check ? times.full(*probe.last_check) : msg::never_checked},
             {failed_or_overdue(lot, probe, times)}});
    }
    return table;
}

Section troubles_section(const Troubles& troubles, const LocalTimes& times) {
    Section section{.heading = msg::troubles};
    if (troubles.rejects.empty()) {
        section.blocks.emplace_back(Paragraph{msg::no_rejects});
    } else {
        Table table{
            .caption = msg::rejected_entries,
            .columns = {{msg::file}, {msg::line, true}, {msg::entry}, {msg::why_not_taken}}};
        for (const Reject& reject : troubles.rejects) {
            if (table.rows.size() == kMostTroubleRows) {
                break;
            }
            table.rows.push_back({{reject.file.empty() ? msg::typed : shown(reject.file)},
                                  {reject.line == 0 ? "" : fmt::format("{}", reject.line)},
                                  {shown(reject.text)},
                                  {shown(reject.reason)}});
        }
        const std::size_t left = troubles.rejects.size() - table.rows.size();
        section.blocks.emplace_back(std::move(table));
        if (left > 0) {
            section.blocks.emplace_back(
                Paragraph{fmt::format(msg::record_holds_all,
                                      counted(left, msg::rejected_one, msg::rejected_many)),
                          Tone::note});
        }
    }
    if (troubles.conflicts.empty()) {
        section.blocks.emplace_back(Paragraph{msg::no_conflicts});
        return section;
    }
    Table table{.caption = msg::conflicts,
                .columns = {{msg::lot},
                            {msg::point},
                            {msg::time},
                            {msg::first_value, true},
                            {msg::second_value, true}}};
    for (const Conflict& conflict : troubles.conflicts) {
        if (table.rows.size() == kMostTroubleRows) {
            break;
        }
        table.rows.push_back({{shown(conflict.lot)},
                              {shown(conflict.point)},
                              {times.row(conflict.at)},
                              {to_text(conflict.first)},
                              {to_text(conflict.second)}});
    }
    const std::size_t left = troubles.conflicts.size() - table.rows.size();
    section.blocks.emplace_back(std::move(table));
    if (left > 0) {
        section.blocks.emplace_back(
            Paragraph{fmt::format(msg::record_holds_all,
                                  counted(left, msg::conflict_one, msg::conflict_many)),
                      Tone::note});
    }
    return section;
}

std::optional<Section> forecast_section(const LotRecord& lot) {
    if (lot.forecasts.empty()) {
        return std::nullopt;
    }
    Section section{.heading = msg::forecast};
    section.blocks.emplace_back(Paragraph{msg::forecast_caution, Tone::caution});
    Bullets lines;
    for (const std::string& line : lot.forecasts) {
        lines.items.push_back(shown(line));
    }
    section.blocks.emplace_back(std::move(lines));
    return section;
}

Section signatures_section() {
    Section section{.heading = msg::signatures};
    section.blocks.emplace_back(SignLines{
        .roles = {msg::person_in_charge, msg::verified_by},
        .lines = {msg::name_in_print, msg::signature, msg::date_and_time},
    });
    return section;
}

Section signatures_section(std::span<const SignatureLine> signatures, const LocalTimes& times) {
    Section section = signatures_section();
    if (auto table = signatures_table(signatures, times)) {
        section.blocks.insert(section.blocks.begin(), std::move(*table));
    }
    return section;
}

Section about_section(const SiteFacts& site, const Made& made, const LocalTimes& times) {
    Section section{.heading = msg::about};
    section.blocks.emplace_back(Paragraph{msg::caution, Tone::caution});
    if (!site.pack_caution.empty()) {
        section.blocks.emplace_back(Paragraph{shown(site.pack_caution), Tone::caution});
    }
    if (site.history && site.history->elsewhere > 0) {
        section.blocks.emplace_back(
            Paragraph{fmt::format(msg::part_only, site.history->elsewhere, site.history->leaves),
                      Tone::caution});
    }
    Facts facts;
    facts.facts = {
        {msg::made_by, made.by.empty() ? msg::not_said : shown(made.by)},
        {msg::made_at, times.full(whole_seconds(made.at))},
        {msg::judged_as_of, times.full(site.as_of)},
        {msg::software, shown(made.software)},
        {msg::code_pack, code_text(site)},
        {msg::decision_rule, rule_words(site.rule)},
        {msg::history,
         site.history ? fmt::format(msg::history_head, site.history->root, site.history->leaves)
                      : msg::no_history},
        {msg::largest_interval,
         fmt::format(msg::between_good_readings, to_text(site.largest_interval))},
        {msg::site_altitude, site.altitude ? to_text(*site.altitude) : msg::not_said},
        {msg::times, fmt::format(msg::local_times_of, site.zone.name())},
        {msg::temperatures, msg::as_measured},
    };
    add_house_facts(facts.facts, site, times);
    section.blocks.emplace_back(std::move(facts));
    return section;
}

} // namespace holdwarden::sheets
