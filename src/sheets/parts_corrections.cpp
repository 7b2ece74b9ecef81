// What was amended, marked or entered late: the old value beside the new one, and a footnote with
// who, when and why.
#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <tuple>

namespace holdwarden::sheets {
namespace {

using records::Amendment;
using records::EntryRemark;
using records::FactChange;
using records::MarkKind;
using records::ReadingMark;

std::string footnote(std::size_t index) {
    return fmt::format("[{}]", index + 1);
}

std::string was_text(const FactChange& change, const LocalTimes& times) {
    return change.was_at ? times.full(*change.was_at) : subject_title(change.was);
}

std::string now_text(const FactChange& change, const LocalTimes& times) {
    return change.now_at ? times.full(*change.now_at) : subject_title(change.now);
}

std::string who(const std::string& by) {
    return by.empty() ? msg::not_said : shown(by);
}

Table amendments_table(const LotRecord& lot, const LocalTimes& times) {
    Table table{.caption = msg::amendments_caption,
                .columns = {{msg::number},
                            {msg::entry},
                            {msg::now_reads},
                            {msg::struck_out},
                            {msg::amended_by},
                            {msg::why}}};
    const auto& all = lot.history.amendments;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const Amendment& made = all[i];
        std::vector<std::string> now;
        Cell was;
        for (const FactChange& change : made.changes) {
            const std::string old = was_text(change, times);
            if (!made.voided) {
                const std::string value = now_text(change, times);
                now.push_back(fmt::format("{} {}", change.field,
                                          value.empty() ? std::string{msg::not_said} : value));
            }
            was.text += was.text.empty() ? "" : ", ";
            was.text += old.empty() ? std::string{msg::not_said} : old;
            if (!old.empty()) {
                was.struck.push_back(old);
            }
        }
        const std::string at = made.at ? " " + times.full(*made.at) : "";
        table.rows.push_back(
            {{footnote(i)},
             {subject_title(made.subject) + at},
             {made.voided ? std::string{msg::void_entry} : fmt::format("{}", fmt::join(now, ", "))},
             was,
             {fmt::format("{}, {}", who(made.by), times.full(whole_seconds(made.made_at)))},
             {shown(made.why)}});
    }
    return table;
}

Table marks_table(const LotRecord& lot, const LocalTimes& times) {
    Table table{.caption = msg::marks_caption,
                .columns = {{msg::readings_marked},
                            {msg::mark_says},
                            {msg::marked_by},
                            {msg::verified},
                            {msg::why}}};
    for (const ReadingMark& mark : lot.history.marks) {
        const auto& probes = lot.history.probes;
        std::string what =
            mark.origin == records::Origin::typed
                ? shown(mark.series)
                : shown(mark.probe < probes.size() ? probes[mark.probe].name : std::string{});
        what += mark.value ? " " + to_text(*mark.value) : "";
        what +=
            " " + (mark.from == mark.to ? times.full(mark.from) : times.range(mark.from, mark.to));
        std::string verified;
        if (mark.kind == MarkKind::set_aside) {
            verified =
                mark.verified_by.empty() ? std::string{msg::nobody_yet} : who(mark.verified_by);
            if (mark.verified_at) {
                verified += ", " + times.full(whole_seconds(*mark.verified_at));
            }
            if (!mark.verified_by.empty() && mark.verified_by == mark.by) {
                verified += std::string{"; "} + msg::same_person;
            }
        }
        table.rows.push_back(
            {{what},
             {mark.kind == MarkKind::confirmed ? msg::confirmed : msg::set_aside},
             {fmt::format("{}, {}", who(mark.by), times.full(whole_seconds(mark.made_at)))},
             {verified},
             {shown(mark.why)}});
    }
    return table;
}

/// One row for all that one person entered late in one go and for one reason.
Table remarks_table(const LotRecord& lot, const LocalTimes& times) {
    Table table{.caption = msg::late_caption,
                .columns = {{msg::happened}, {msg::entered}, {msg::entered_by}, {msg::why}}};
    using Key = std::tuple<Instant, std::string, std::string, std::string, std::string, bool>;
    std::map<Key, std::vector<const EntryRemark*>> groups;
    for (const EntryRemark& remark : lot.history.remarks) {
        constexpr std::int64_t kHour = 3'600'000;
        const Instant hour = Instant::from_unix_ms(remark.entered_at.unix_ms() / kHour * kHour);
        groups[{hour, remark.by, remark.taken_by, remark.paper, remark.why_late, remark.late}]
            .push_back(&remark);
    }
    for (const auto& [key, entries] : groups) {
        const EntryRemark& first = *entries.front();
        std::vector<std::string> what;
        for (const EntryRemark* entry : entries) {
            what.push_back(subject_title(entry->subject) + " " + times.full(entry->happened_at));
        }
        const std::string by = first.taken_by.empty() ? who(first.by)
                                                      : fmt::format(msg::entered_for, who(first.by),
                                                                    shown(first.taken_by));
        table.rows.push_back(
            {{fmt::format("{}", fmt::join(what, "; "))},
             {times.full(whole_seconds(entries.back()->entered_at)) +
              (first.late ? std::string{", "} + msg::late : std::string{})},
             {by},
             {!first.paper.empty()
                  ? fmt::format(msg::paper_kept, shown(first.taken_by), shown(first.paper))
              : !first.why_late.empty() ? shown(first.why_late)
              : first.late              ? std::string{msg::no_reason}
                                        : std::string{}}});
    }
    return table;
}

bool is_of(const Amendment& made, const std::string& point, const records::Reading& reading) {
    return made.of == Amendment::Of::reading && reading.origin == records::Origin::typed &&
           made.point == point && made.at == reading.at && made.value == reading.value;
}

} // namespace

void strike(Cell& cell, const LotRecord& lot, const std::string& point,
            const records::Reading& reading) {
    const auto& all = lot.history.amendments;
    std::vector<std::string> struck;
    for (std::size_t i = all.size(); i-- > 0;) {
        if (!is_of(all[i], point, reading)) {
            continue;
        }
        const auto value = std::ranges::find(all[i].changes, "value", &FactChange::field);
        if (value != all[i].changes.end()) {
            cell.text += fmt::format(msg::was_value, shown(value->was));
            cell.struck.push_back(shown(value->was));
        }
        cell.text += " " + footnote(i);
    }
}

void strike(Cell& stage, Cell& from, Cell& unit, const LotRecord& lot, Instant began,
            const LocalTimes& times) {
    const auto& all = lot.history.amendments;
    for (std::size_t i = all.size(); i-- > 0;) {
        if (all[i].of != Amendment::Of::stage || all[i].at != began || all[i].voided) {
            continue;
        }
        for (const FactChange& change : all[i].changes) {
            Cell& cell = change.field == "stage" ? stage : change.field == "from" ? from : unit;
            std::string old = was_text(change, times);
            old = old.empty() ? std::string{msg::not_said} : old;
            cell.text += fmt::format(msg::was_value, old);
            cell.struck.push_back(old);
        }
        stage.text += " " + footnote(i);
    }
}

std::vector<VoidReading> void_readings(const LotRecord& lot) {
    std::vector<VoidReading> found;
    const auto& all = lot.history.amendments;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].of == Amendment::Of::reading && all[i].voided && all[i].stands && all[i].at &&
            all[i].value) {
            const std::string old = to_text(*all[i].value);
            found.push_back({.at = *all[i].at,
                             .point = all[i].point,
                             .cell = {.text = fmt::format("{} {}", fmt::format(msg::void_was, old),
                                                          footnote(i)),
                                      .struck = {old}}});
        }
    }
    return found;
}

std::vector<std::string> correction_remarks(const LotRecord& lot, const std::string& point,
                                            const records::Reading& reading) {
    std::vector<std::string> parts;
    if (const ReadingMark* mark = judge::mark_on(lot.history, point, reading)) {
        parts.emplace_back(mark->kind == MarkKind::confirmed ? msg::confirmed
                           : mark->verified_by.empty()       ? msg::set_aside_unverified
                                                             : msg::set_aside);
    }
    if (reading.origin == records::Origin::typed) {
        // An amended value or time still belongs to the entry that it was first made by.
        Instant at = reading.at;
        std::string value = to_text(reading.value);
        const auto& amendments = lot.history.amendments;
        for (auto made = amendments.rbegin(); made != amendments.rend(); ++made) {
            for (const FactChange& change : made->changes) {
                if (is_of(*made, point, reading) && change.field == "value") {
                    value = change.was;
                }
                if (is_of(*made, point, reading) && change.field == "time" && change.was_at) {
                    at = *change.was_at;
                }
            }
        }
        for (const EntryRemark& remark : lot.history.remarks) {
            const bool same = remark.point == point && remark.happened_at == at && remark.value &&
                              to_text(*remark.value) == value;
            if (same && remark.late) {
                parts.emplace_back(msg::entered_late);
            }
            if (same && !remark.paper.empty()) {
                parts.push_back(fmt::format(msg::from_paper_by, shown(remark.taken_by)));
            } else if (same && !remark.taken_by.empty()) {
                parts.push_back(fmt::format(msg::taken_by, shown(remark.taken_by)));
            }
        }
    }
    return parts;
}

std::string lot_footnotes(const LotRecord& lot) {
    std::string text;
    const auto& all = lot.history.amendments;
    for (std::size_t i = 0; i < all.size(); ++i) {
        text += all[i].of == Amendment::Of::lot ? " " + footnote(i) : "";
    }
    return text;
}

std::optional<Paragraph> both_verdicts(const LotRecord& lot) {
    const auto& aside = lot.judged.set_aside;
    if (!aside) {
        return std::nullopt;
    }
    return Paragraph{
        fmt::format(fmt::runtime(aside->verified ? msg::both_verified : msg::both_unverified),
                    counted(aside->readings, msg::reading_one, msg::reading_many),
                    verdict_title(aside->as_recorded), verdict_title(aside->left_out)),
        Tone::caution};
}

std::optional<Section> corrections_section(const LotRecord& lot, const LocalTimes& times) {
    Section section{.heading = msg::corrections};
    if (!lot.history.amendments.empty()) {
        section.blocks.emplace_back(amendments_table(lot, times));
    }
    if (!lot.history.marks.empty()) {
        section.blocks.emplace_back(marks_table(lot, times));
    }
    if (!lot.history.remarks.empty()) {
        section.blocks.emplace_back(remarks_table(lot, times));
    }
    return section.blocks.empty() ? std::nullopt : std::optional{std::move(section)};
}

} // namespace holdwarden::sheets
