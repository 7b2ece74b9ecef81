// What is left to do: flags that are not closed, and records that wait for a review.
#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace holdwarden::sheets {
namespace {

using judge::AnsweredFlag;

struct Item {
    const LotRecord* lot;
    const AnsweredFlag* answer;
};

std::vector<Item> open_flags(std::span<const LotRecord> lots) {
    std::vector<Item> items;
    for (const LotRecord& lot : lots) {
        for (const AnsweredFlag& answer : lot.answers) {
            if (answer.state < judge::AnswerState::closed) {
                items.push_back({&lot, &answer});
            }
        }
    }
    std::ranges::stable_sort(items, {}, [](const Item& item) {
        return std::tuple{item.answer->state, !item.answer->overdue, item.answer->due};
    });
    return items;
}

std::string asked_of(const Item& item, const LocalTimes& times) {
    if (!item.answer->missing.empty()) {
        return fmt::format(msg::answer_lacks, lacks_words(*item.answer, times));
    }
    if (item.answer->state == judge::AnswerState::answered) {
        return msg::second_person_wanted;
    }
    std::string text;
    if (item.answer->flag) {
        for (const std::string& act : item.lot->judged.flags[*item.answer->flag].act) {
            text += (text.empty() ? "" : " ") + shown(act);
        }
    }
    return text;
}

Table flags_table(const std::vector<Item>& items, const LocalTimes& times) {
    Table table{.caption = msg::open_flags,
                .columns = {{msg::lot},
                            {msg::answer_to_what},
                            {msg::answer_state},
                            {msg::item_due},
                            {msg::item_asked}}};
    for (const Item& item : items) {
        table.rows.push_back({{shown(item.lot->history.name)},
                              {flag_title(*item.lot, *item.answer)},
                              {answer_title(*item.answer)},
                              {times.full(whole_seconds(item.answer->due))},
                              {asked_of(item, times)}});
    }
    return table;
}

Table checks_table(std::span<const CheckWanted> checks, const LocalTimes& times) {
    Table table{.caption = msg::checks_wanted,
                .columns = {{msg::thermometer}, {msg::item_due}, {msg::item_asked}}};
    for (const CheckWanted& check : checks) {
        std::string asked = check.failed ? fmt::format(msg::check_failed_wanted,
                                                       times.full(whole_seconds(*check.failed)))
                                         : std::string{msg::check_wanted};
        table.rows.push_back(
            {{shown(check.probe)},
             {check.due ? times.full(whole_seconds(*check.due)) : msg::check_at_once},
             {std::move(asked)}});
    }
    return table;
}

Table reviews_table(std::span<const ReviewDue> reviews, const LocalTimes& times) {
    Table table{.caption = msg::reviews_wanted,
                .columns = {{msg::lot}, {msg::item_due}, {msg::answer_state}}};
    for (const ReviewDue& review : reviews) {
        table.rows.push_back({{shown(review.lot)},
                              {review.due ? times.full(*review.due) : msg::no_review_rule},
                              {review.overdue ? msg::review_overdue : msg::review_waits}});
    }
    return table;
}

} // namespace

Sheet open_items_sheet(const SiteFacts& site, const Period& period, std::span<const LotRecord> lots,
                       std::span<const CheckWanted> checks, std::span<const ReviewDue> reviews,
                       const Made& made) {
    const LocalTimes times{site.zone, period};
    Sheet sheet = begun(site, msg::open_items, made);
    sheet.running = fmt::format("{}, {}", sheet.running, local_text(site.as_of, site.zone));

    const std::vector<Item> items = open_flags(lots);
    Section opening;
    opening.blocks.emplace_back(head_facts(site, times, {}));
    opening.blocks.emplace_back(Paragraph{
        items.empty() && checks.empty() && reviews.empty()
            ? msg::nothing_open
            : fmt::format(msg::open_are, counted(items.size(), msg::flag_one, msg::flag_many),
                          counted(checks.size(), msg::thermometer_one, msg::thermometer_many),
                          counted(reviews.size(), msg::review_one, msg::review_many))});
    sheet.sections.push_back(std::move(opening));
    Section all{.heading = msg::to_be_done};
    if (!items.empty()) {
        all.blocks.emplace_back(flags_table(items, times));
    }
    if (!checks.empty()) {
        all.blocks.emplace_back(checks_table(checks, times));
    }
    if (!reviews.empty()) {
        all.blocks.emplace_back(reviews_table(reviews, times));
    }
    if (!all.blocks.empty()) {
        sheet.sections.push_back(std::move(all));
    }
    sheet.sections.push_back(signatures_section({}, times));
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
