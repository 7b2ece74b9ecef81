// The register of deviations and corrective actions: 21 CFR 114.100(c).
#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

namespace holdwarden::sheets {
namespace {

using judge::AnsweredFlag;

struct Tally {
    std::size_t flags = 0;
    std::size_t waiting = 0;
};

/// What went wrong, against which limit, and what the record shows of it.
std::string deviation_text(const SiteFacts& site, const LotRecord& lot, const AnsweredFlag& answer,
                           const LocalTimes& times) {
    const std::string title = flag_title(lot, answer);
    if (!answer.flag) {
        return title;
    }
    const judge::Finding& finding = lot.judged.findings[lot.judged.flags[*answer.flag].finding];
    const std::string shows = record_shows(site, lot, finding, times);
    return fmt::format("{}: {}; {}", title, limit_and_clause(finding),
                       shows.empty() ? msg::no_reading_decides : shows);
}

void add_rows(Table& table, const SiteFacts& site, const LotRecord& lot, const LocalTimes& times,
              Tally& tally) {
    const std::string name = shown(lot.history.name);
    for (const AnsweredFlag& answer : lot.answers) {
        ++tally.flags;
        tally.waiting += answer.state <= judge::AnswerState::incomplete ? 1U : 0U;
        if (answer.actions.empty()) {
            table.rows.push_back({{name},
                                  {deviation_text(site, lot, answer, times)},
                                  {answer_title(answer)},
                                  {msg::not_said},
                                  {msg::not_said},
                                  {msg::not_said},
                                  {msg::not_said},
                                  {msg::not_verified}});
        }
        for (const records::StoredAction& action : answer.actions) {
            const auto& amount = action.facts.amount;
            const auto& disposition = action.facts.disposition;
            table.rows.push_back(
                {{name},
                 {deviation_text(site, lot, answer, times)},
                 {answer_title(answer)},
                 {amount ? shown(records::to_text(*amount)) : msg::not_said},
                 {told_of(answer, action, times)},
                 {disposition ? disposition_title(*disposition) : msg::not_said},
                 {fmt::format("{}, {}", shown(action.facts.person), times.full(action.facts.at))},
                 {verified_words(answer, action, times)}});
        }
    }
}

} // namespace

Sheet actions_sheet(const SiteFacts& site, const Period& period, std::span<const LotRecord> lots,
                    const Made& made) {
    const LocalTimes times{site.zone, period};
    Sheet sheet = begun(site, msg::actions_register, made);
    sheet.running =
        fmt::format("{}, {}", sheet.running,
                    fmt::format(msg::from_to, to_text(date_of(site.zone.wall(period.from))),
                                to_text(date_of(site.zone.wall(period.to)))));

    Table table{.caption = msg::deviations_and_actions,
                .columns = {{msg::lot},
                            {msg::answer_to_what},
                            {msg::answer_state},
                            {msg::portion_affected},
                            {msg::answer_done},
                            {msg::disposition},
                            {msg::done_by_and_when},
                            {msg::verified_by}}};
    Tally tally;
    for (const LotRecord& lot : lots) {
        add_rows(table, site, lot, times, tally);
    }
    Section opening;
    opening.blocks.emplace_back(head_facts(site, times, {}));
    opening.blocks.emplace_back(
        Paragraph{tally.flags == 0 ? msg::no_deviation
                                   : fmt::format(msg::register_deviations_are,
                                                 counted(tally.flags, msg::register_deviation_one,
                                                         msg::register_deviation_many),
                                                 tally.waiting)});
    sheet.sections.push_back(std::move(opening));
    if (!table.rows.empty()) {
        Section all{.heading = msg::register_deviations};
        all.blocks.emplace_back(std::move(table));
        sheet.sections.push_back(std::move(all));
    }
    sheet.sections.push_back(signatures_section());
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
