// How flags were answered, and who signed.
#include "messages.hpp"
#include "parts.hpp"

#include <holdwarden/sheets/words.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::sheets {
namespace {

using judge::AnsweredFlag;
using judge::AnswerState;

const char* state_title(AnswerState state) {
    switch (state) {
    case AnswerState::unanswered:
        return msg::answer_unanswered;
    case AnswerState::incomplete:
        return msg::answer_incomplete;
    case AnswerState::answered:
        return msg::answer_answered;
    case AnswerState::closed:
        return msg::answer_closed;
    case AnswerState::not_raised:
        break;
    }
    return msg::answer_not_raised;
}

const char* meaning_title(records::Meaning meaning) {
    switch (meaning) {
    case records::Meaning::made:
        return msg::meaning_made;
    case records::Meaning::reviewed:
        return msg::meaning_reviewed;
    case records::Meaning::approved:
        return msg::meaning_approved;
    case records::Meaning::verified:
        return msg::meaning_verified;
    case records::Meaning::released:
        break;
    }
    return msg::meaning_released;
}

std::string food_of(const records::Action& action) {
    std::string text = action.amount ? shown(records::to_text(*action.amount)) : "";
    if (action.disposition) {
        text += text.empty() ? "" : ": ";
        text += disposition_title(*action.disposition);
    }
    return text.empty() ? msg::not_said : text;
}

} // namespace

std::string disposition_title(records::Disposition disposition) {
    switch (disposition) {
    case records::Disposition::reheated:
        return msg::disposition_reheated;
    case records::Disposition::cooled_again:
        return msg::disposition_cooled_again;
    case records::Disposition::served:
        return msg::disposition_served;
    case records::Disposition::discarded:
        return msg::disposition_discarded;
    case records::Disposition::held:
        break;
    }
    return msg::disposition_held;
}

std::string answer_title(const AnsweredFlag& answer) {
    std::string title = state_title(answer.state);
    return answer.overdue ? fmt::format(msg::answer_overdue, title) : title;
}

std::string lacks_words(const AnsweredFlag& answer, const LocalTimes& times) {
    std::string text;
    for (const judge::Missing& m : answer.missing) {
        text += fmt::format("{}{}{}", text.empty() ? "" : "; ", shown(m.says),
                            m.at ? fmt::format(" ({})", times.full(*m.at)) : "");
    }
    return text;
}

const AnsweredFlag* answer_to(const LotRecord& lot, std::size_t flag) {
    const auto found = std::ranges::find(lot.answers, std::optional{flag}, &AnsweredFlag::flag);
    return found == lot.answers.end() ? nullptr : &*found;
}

const AnsweredFlag* answer_to_finding(const LotRecord& lot, std::size_t finding) {
    for (std::size_t i = 0; i < lot.judged.flags.size(); ++i) {
        if (lot.judged.flags[i].finding == finding) {
            return answer_to(lot, i);
        }
    }
    return nullptr;
}

std::string told_of(const AnsweredFlag& answer, const records::StoredAction& stored,
                    const LocalTimes& times) {
    const records::Action& action = stored.facts;
    std::string text = shown(action.done);
    const auto add = [&](const char* label, const std::string& said) {
        text += said.empty() ? "" : fmt::format(". {}: {}", label, shown(said));
    };
    add(msg::answer_cause, action.cause);
    add(msg::answer_control, action.control);
    add(msg::answer_prevention, action.prevention);
    add(msg::answer_held_apart, action.held_apart);
    add(msg::answer_acceptability, action.acceptability);
    add(msg::answer_reassessment, action.reassessment);
    if (&stored == &answer.actions.back() && !answer.missing.empty()) {
        text += ". " + fmt::format(msg::answer_lacks, lacks_words(answer, times));
    }
    return text;
}

std::string verified_words(const AnsweredFlag& answer, const records::StoredAction& action,
                           const LocalTimes& times) {
    for (const records::StoredVerification& v : answer.verified) {
        if (v.facts.action == action.id) {
            const std::string who = shown(v.stamp.by);
            return fmt::format("{} {}{}",
                               v.facts.accepted ? fmt::format(msg::accepted_by, who)
                                                : fmt::format(msg::wanting_by, who),
                               times.full(whole_seconds(v.stamp.entered_at)),
                               v.facts.alone.empty() ? "" : ", " + shown(v.facts.alone));
        }
    }
    return msg::not_verified;
}

std::string flag_title(const LotRecord& lot, const AnsweredFlag& answer) {
    if (!answer.flag) {
        const records::Action& first = answer.actions.front().facts;
        return shown(first.deviation.empty() ? answer.id : first.deviation);
    }
    const judge::Finding& finding = lot.judged.findings[lot.judged.flags[*answer.flag].finding];
    return fmt::format("{} ({}{}{})", requirement_title(finding.requirement),
                       stage_title(finding.stage), finding.point.empty() ? "" : ", ",
                       shown(finding.point));
}

std::optional<Table> answers_table(const LotRecord& lot, const LocalTimes& times) {
    Table table{.caption = msg::corrective_actions,
                .columns = {{msg::answer_to_what},
                            {msg::answer_state},
                            {msg::answer_done},
                            {msg::answer_food},
                            {msg::done_by_and_when},
                            {msg::verified_by}}};
    for (const AnsweredFlag& answer : lot.answers) {
        for (const records::StoredAction& stored : answer.actions) {
            const records::Action& action = stored.facts;
            table.rows.push_back(
                {{flag_title(lot, answer)},
                 {answer_title(answer)},
                 {told_of(answer, stored, times)},
                 {food_of(action)},
                 {fmt::format("{}, {}", shown(action.person), times.full(action.at))},
                 {verified_words(answer, stored, times)}});
        }
    }
    return table.rows.empty() ? std::nullopt : std::optional{std::move(table)};
}

std::optional<Table> signatures_table(std::span<const SignatureLine> signatures,
                                      const LocalTimes& times) {
    Table table{.caption = msg::signed_on_record,
                .columns = {{msg::meaning},
                            {msg::name_in_print},
                            {msg::date_and_time},
                            {msg::signature_stands},
                            {msg::signature_remarks}}};
    for (const SignatureLine& s : signatures) {
        std::string remarks = shown(s.alone);
        if (!s.unready.empty()) {
            remarks += (remarks.empty() ? "" : "; ") +
                       fmt::format(msg::released_unready, shown(s.unready));
        }
        if (s.pin_reset) {
            remarks += (remarks.empty() ? "" : "; ") +
                       fmt::format(msg::pin_set_anew, times.full(whole_seconds(s.pin_reset->at)),
                                   shown(s.pin_reset->by), shown(s.pin_reset->why));
        }
        table.rows.push_back({{meaning_title(s.meaning)},
                              {shown(s.name)},
                              {times.full(whole_seconds(s.at))},
                              {s.stands ? msg::stands : msg::superseded},
                              {remarks}});
    }
    return table.rows.empty() ? std::nullopt : std::optional{std::move(table)};
}

} // namespace holdwarden::sheets
