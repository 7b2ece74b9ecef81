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

void add_rows(Table& table, const LotRecord& lot, const LocalTimes& times, Tally& tally) {
    const std::string name = shown(lot.history.name);
    for (const AnsweredFlag& answer : lot.answers) {
        ++tally.flags;
        tally.waiting += answer.state <= judge::AnswerState::incomplete ? 1U : 0U;
        if (answer.actions.empty()) {
            table.rows.push_back({{name},
                                  {flag_title(lot, answer)},
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
                 {flag_title(lot, answer)},
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
    Sheet sheet;
    sheet.title = msg::actions_register;
    sheet.running = fmt::format("{}, {}, {}", shown(site.name), msg::actions_register,
                                times.range(period.from, period.to));
    sheet.made_at = to_utc_text(whole_seconds(made.at));
    sheet.software = shown(made.software);
    sheet.lang = msg::language;

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
        add_rows(table, lot, times, tally);
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
