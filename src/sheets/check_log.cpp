#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <set>

namespace holdwarden::sheets {
namespace {

using judge::Verdict;
using records::CheckMethod;
using records::ProbeCheck;

std::string method_text(const ProbeCheck& check) {
    const std::string other =
        check.reference.empty() ? msg::another_thermometer : shown(check.reference);
    switch (check.method) {
    case CheckMethod::ice_point:
        return msg::ice_point;
    case CheckMethod::boiling_point:
        return msg::boiling_point;
    case CheckMethod::reference:
        return check.certificate.empty()
                   ? fmt::format(msg::reference, other)
                   : fmt::format(msg::reference_certificate, other, shown(check.certificate));
    case CheckMethod::side_by_side:
        return fmt::format(msg::side_by_side_with, other);
    }
    return "";
}

/// As found; side by side proves neither.
std::optional<Verdict> verdict_of(const ProbeCheck& check) {
    if (check.method == CheckMethod::side_by_side) {
        return std::nullopt;
    }
    return records::passed(check) ? Verdict::met : Verdict::not_met;
}

std::string result_text(const ProbeCheck& check) {
    const std::string error = to_text(records::error_found(check));
    if (check.method == CheckMethod::side_by_side) {
        return fmt::format(msg::check_difference, error);
    }
    std::string tolerance = to_text(check.tolerance);
    tolerance.erase(0, tolerance.front() == '+' ? 1 : 0);
    std::string text = records::passed(check) ? fmt::format(msg::check_within, tolerance, error)
                                              : fmt::format(msg::check_outside, tolerance, error);
    if (check.left) {
        text = fmt::format(msg::check_adjusted, text, to_text(*check.left));
    }
    return text;
}

Table checks_table(const CheckRecords& records, const LocalTimes& times) {
    Table table{.caption = msg::checks_made,
                .columns = {{msg::time},
                            {msg::thermometer},
                            {msg::method},
                            {msg::found, true},
                            {msg::expected, true},
                            {msg::result},
                            {msg::made_by_whom}}};
    for (const CheckRecord& record : records.checks) {
        const std::string& by =
            record.check.person.empty() ? record.entered_by : record.check.person;
        table.rows.push_back(
            {{times.row(record.check.at)},
             {shown(record.probe)},
             {method_text(record.check)},
             {to_text(record.check.found)},
             {to_text(record.check.expected)},
             {result_text(record.check), verdict_of(record.check)},
             {(by.empty() ? msg::not_said : shown(by)) +
              (record.paper.empty()
                   ? std::string{}
                   : "; " + fmt::format(msg::paper_kept, shown(by), shown(record.paper)))}});
    }
    return table;
}

std::string checks_tally(const CheckRecords& records) {
    std::set<std::string> probes;
    std::size_t within = 0;
    std::size_t outside = 0;
    for (const CheckRecord& record : records.checks) {
        probes.insert(record.probe);
        const auto verdict = verdict_of(record.check);
        within += verdict == Verdict::met ? 1 : 0;
        outside += verdict == Verdict::not_met ? 1 : 0;
    }
    return fmt::format(msg::checks_are,
                       counted(records.checks.size(), msg::check_one, msg::check_many),
                       counted(probes.size(), msg::thermometer_one, msg::thermometer_many), within,
                       outside, records.checks.size() - within - outside, records.missed.size());
}

} // namespace

Sheet check_log(const SiteFacts& site, const Nights& nights, const CheckRecords& records,
                const Made& made) {
    const LocalTimes times{site.zone, period_of(nights, site.zone)};
    Sheet sheet = begun(site, fmt::format(msg::check_log, nights_text(nights)), made);
    Section opening;
    opening.blocks.emplace_back(
        Paragraph{records.checks.empty() ? msg::no_checks : checks_tally(records)});
    opening.blocks.emplace_back(head_facts(site, times, {}));
    if (!records.checks.empty()) {
        opening.blocks.emplace_back(checks_table(records, times));
    }
    if (!records.missed.empty()) {
        Table missed{.caption = msg::checks_missed, .columns = {{msg::due}, {msg::thermometer}}};
        for (const CheckRecords::Missed& one : records.missed) {
            missed.rows.push_back({{times.full(one.due)}, {shown(one.probe)}});
        }
        opening.blocks.emplace_back(std::move(missed));
    }
    if (!records.unchecked.empty()) {
        Table unchecked{.caption = msg::not_checked,
                        .columns = {{msg::thermometer}, {msg::last_check}}};
        for (const CheckRecords::Unchecked& one : records.unchecked) {
            unchecked.rows.push_back(
                {{shown(one.probe)}, {one.last ? times.full(*one.last) : msg::never_checked}});
        }
        opening.blocks.emplace_back(std::move(unchecked));
    }
    opening.blocks.emplace_back(Paragraph{msg::check_note, Tone::note});
    sheet.sections.push_back(std::move(opening));
    sheet.sections.push_back(signatures_section({}, times));
    sheet.sections.push_back(about_section(site, made, times));
    return sheet;
}

} // namespace holdwarden::sheets
