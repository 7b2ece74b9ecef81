#include "messages.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/judge/answers.hpp>
#include <holdwarden/judge/words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <tuple>

namespace holdwarden::judge {
namespace {

using records::Action;
using records::Disposition;
using records::StoredAction;
using records::StoredVerification;

struct Needed {
    const char* field;
    const char* says;
    std::string Action::*text;
};
/// 9 CFR 417.3(a); NACMCF 1997, principle 5.
constexpr std::array<Needed, 3> kNeeded{
    {{"cause", msg::needed_cause, &Action::cause},
     {"control", msg::needed_control, &Action::control},
     {"prevention", msg::needed_prevention, &Action::prevention}}};
/// 9 CFR 417.3(b).
constexpr std::array<Needed, 3> kNeededUnforeseen{
    {{"held-apart", msg::needed_held_apart, &Action::held_apart},
     {"acceptability", msg::needed_acceptability, &Action::acceptability},
     {"reassessment", msg::needed_reassessment, &Action::reassessment}}};

/// What the finding's last trouble is, if it can come back: the first wrong reading of the last
/// excursion, the beginning of the last gap.
std::optional<Instant> last_onset(const Finding& f) {
    std::optional<Instant> last;
    for (const Excursion& e : f.excursions) {
        last = std::max(last, e.from.latest);
    }
    for (const Gap& gap : f.gaps) {
        last = std::max(last, std::optional{gap.from});
    }
    return last;
}

/// When the flag could first be seen.
Instant raised_at(const Finding& f) {
    std::optional<Instant> first;
    const auto take = [&](const std::optional<Instant>& at) {
        first = !first ? at : at ? std::min(first, at) : first;
    };
    for (const Excursion& e : f.excursions) {
        take(e.from.latest);
    }
    for (const Gap& gap : f.gaps) {
        take(gap.to);
    }
    if (!first) {
        for (const records::Reading& r : f.evidence) {
            first = std::max(first, std::optional{r.at});
        }
    }
    return first.value_or(f.stage_from);
}

/// A stage judged anew: the worst of its findings of one kind.
struct Redone {
    Instant from;
    Instant to;
    Verdict worst = Verdict::met;
};

std::vector<Redone> redone(const records::LotHistory& lot, const LotJudgement& judged,
                           std::string_view requirement, Instant as_of) {
    std::vector<Redone> stages;
    for (const Finding& f : judged.findings) {
        if (!f.counts || f.source != "code" || !f.requirement.starts_with(requirement)) {
            continue;
        }
        const auto same = std::ranges::find(stages, f.stage_from, &Redone::from);
        if (same != stages.end()) {
            same->worst = worse(same->worst, f.verdict);
            continue;
        }
        Instant to = lot.end ? lot.end->at : as_of;
        for (const records::StageEntry& stage : lot.stages) {
            to = stage.from > f.stage_from ? std::min(to, stage.from) : to;
        }
        stages.push_back({.from = f.stage_from, .to = to, .worst = f.verdict});
    }
    return stages;
}

/// What the record lacks to show that the food was reheated, or cooled again, as the action says.
std::optional<Missing> unproven(const Action& action, const records::LotHistory& lot,
                                const LotJudgement& judged, const Instant after, Instant as_of) {
    const bool reheat = action.disposition == Disposition::reheated;
    if (!reheat && action.disposition != Disposition::cooled_again) {
        return std::nullopt;
    }
    const char* what = reheat ? "reheating" : "cooling";
    const Span window = reheat ? Span::hours(2) : Span::hours(6);
    std::optional<Redone> best;
    for (const Redone& stage : redone(lot, judged, what, as_of)) {
        const bool meant = action.shown_from
                               ? stage.from == *action.shown_from
                               : stage.from <= action.at + window && stage.to >= action.at - window;
        if (meant && stage.from > after &&
            (!best || worse(stage.worst, best->worst) == best->worst)) {
            best = stage;
        }
    }
    if (!best) {
        return Missing{"shown", reheat ? msg::needed_reheating_stage : msg::needed_cooling_stage,
                       action.shown_from};
    }
    if (best->worst != Verdict::met) {
        return Missing{"shown",
                       either(reheat, msg::reheating_is, msg::cooling_is, to_words(best->worst)),
                       best->from};
    }
    return std::nullopt;
}

/// Whether the food's own readings show that it came back to the right side of a cold limit after
/// the trouble began, within the 6 h that the codes allow a cooling.
bool back_in_cold(const Finding& f, const records::LotHistory& lot, const Action& action) {
    const auto onset = last_onset(f);
    const auto right = [&](const records::Reading& r) {
        const auto& limit =
            r.value.scale() == Scale::fahrenheit ? f.limit.fahrenheit : f.limit.celsius;
        return !r.suspect && limit && onset && r.at > *onset &&
               r.at <= action.at + Span::hours(6) && r.value.thousandths() <= limit->thousandths();
    };
    return std::ranges::any_of(lot.points, [&](const records::PointSeries& series) {
        return (f.point.empty() || f.point == series.point) &&
               std::ranges::any_of(series.readings, right);
    });
}

/// Whether what the actions say became of the food contradicts how the lot's record ends.
bool contradicts_end(const std::vector<StoredAction>& actions, const records::LotHistory& lot) {
    if (!lot.end) {
        return false;
    }
    const Disposition end =
        lot.end->outcome == Outcome::served ? Disposition::served : Disposition::discarded;
    bool says_an_end = false;
    for (const StoredAction& action : actions) {
        const auto& said = action.facts.disposition;
        if (said == end) {
            return false;
        }
        says_an_end |= said == Disposition::served || said == Disposition::discarded;
    }
    return says_an_end;
}

class Answering {
public:
    Answering(const records::LotHistory& lot, const LotJudgement& judged,
              std::span<const StoredAction> actions, std::span<const StoredVerification> verified,
              Instant as_of)
        : lot_{lot}, judged_{judged}, standing_{records::current(actions)}, verified_{verified},
          as_of_{as_of} {}

    AnsweredFlag raised(std::size_t index) const {
        const Flag& flag = judged_.flags[index];
        const Finding& finding = judged_.findings[flag.finding];
        AnsweredFlag answer{.id = flag.id, .flag = index, .planned = flag.planned};
        answer.due = flag.by.value_or(raised_at(finding) + kAnswerWithin);
        settle(answer, &finding);
        return answer;
    }

    /// What was answered and is not among the flags now.
    std::vector<AnsweredFlag> others() const {
        std::vector<AnsweredFlag> all;
        for (const StoredAction* action : standing_) {
            const std::string& id = action->facts.flag;
            if (std::ranges::find(judged_.flags, id, &Flag::id) != judged_.flags.end() ||
                std::ranges::find(all, id, &AnsweredFlag::id) != all.end()) {
                continue;
            }
            AnsweredFlag answer{.id = id};
            answer.due = action->facts.at + kAnswerWithin;
            answer.planned = !id.starts_with(kUnforeseen);
            settle(answer, nullptr);
            if (answer.planned) {
                answer.state = AnswerState::not_raised;
                answer.overdue = false;
                answer.missing.clear();
            }
            all.push_back(std::move(answer));
        }
        return all;
    }

private:
    /// `finding`: nullptr where no finding raises it.
    void settle(AnsweredFlag& answer, const Finding* finding) const {
        for (const StoredAction* action : standing_) {
            if (action->facts.flag == answer.id) {
                answer.actions.push_back(*action);
            }
        }
        bool all_verified = true;
        for (const StoredAction& action : answer.actions) {
            all_verified &= check(action, finding, answer);
        }
        if (!answer.actions.empty()) {
            check_together(answer, finding == nullptr ? std::nullopt : last_onset(*finding));
        }
        answer.state = answer.actions.empty()    ? AnswerState::unanswered
                       : !answer.missing.empty() ? AnswerState::incomplete
                       : all_verified            ? AnswerState::closed
                                                 : AnswerState::answered;
        answer.overdue = answer.state <= AnswerState::incomplete && as_of_ > answer.due;
    }

    /// Notes what one action lacks; whether it is verified.
    bool check(const StoredAction& stored, const Finding* finding, AnsweredFlag& answer) const {
        const Action& action = stored.facts;
        const auto need = [&](const auto& needed) {
            for (const Needed& n : needed) {
                if (trimmed(action.*n.text).empty()) {
                    answer.missing.push_back({n.field, n.says, {}});
                }
            }
        };
        if (!action.amount) {
            answer.missing.push_back({"amount", msg::needed_amount, {}});
        }
        if (!action.disposition) {
            answer.missing.push_back({"disposition", msg::needed_disposition, {}});
        } else if (action.disposition == Disposition::held) {
            answer.missing.push_back({"disposition", msg::needed_decision, {}});
        }
        need(kNeeded);
        if (!answer.planned) {
            need(kNeededUnforeseen);
        }
        const Instant after =
            finding == nullptr ? action.at - Span::hours(24) : finding->stage_from;
        auto lacks = unproven(action, lot_, judged_, after, as_of_);
        const bool cooled_in_place = action.disposition == Disposition::cooled_again &&
                                     finding != nullptr && finding->requirement == "cold-holding" &&
                                     back_in_cold(*finding, lot_, action);
        if (lacks && !cooled_in_place) {
            answer.missing.push_back(std::move(*lacks));
        }
        const StoredVerification* last = nullptr;
        for (const StoredVerification& v : verified_) {
            last = v.facts.action == stored.id ? &v : last;
        }
        if (last == nullptr) {
            return false;
        }
        answer.verified.push_back(*last);
        if (!last->facts.accepted) {
            answer.missing.push_back(
                {"verification",
                 fmt::format(msg::found_wanting, last->stamp.by, last->facts.note),
                 {}});
        }
        return last->facts.accepted;
    }

    void check_together(AnsweredFlag& answer, std::optional<Instant> onset) const {
        if (contradicts_end(answer.actions, lot_)) {
            answer.missing.push_back(
                {"disposition",
                 fmt::format(msg::needed_fitting_disposition, to_words(lot_.end->outcome)),
                 lot_.end->at});
        }
        const bool after_all = std::ranges::all_of(
            answer.actions, [&](const StoredAction& a) { return onset && a.facts.at < *onset; });
        if (after_all) {
            answer.missing.push_back({"done", msg::needed_after_return, onset});
        }
    }

    const records::LotHistory& lot_;
    const LotJudgement& judged_;
    std::vector<const StoredAction*> standing_;
    std::span<const StoredVerification> verified_;
    Instant as_of_;
};

constexpr std::array<std::string_view, 5> kWords{msg::answer_none, msg::answer_incomplete,
                                                 msg::answer_given, msg::answer_closed,
                                                 msg::answer_no_longer_raised};
constexpr std::array<std::string_view, 5> kNames{"unanswered", "incomplete", "answered", "closed",
                                                 "no-longer-raised"};

} // namespace

std::string_view to_words(AnswerState state) noexcept {
    return kWords[static_cast<std::size_t>(state)];
}

std::string_view to_name(AnswerState state) noexcept {
    return kNames[static_cast<std::size_t>(state)];
}

std::string unforeseen_id(Instant at) {
    return std::string{kUnforeseen} + to_utc_text(at);
}

std::string handle(std::string_view lot, std::string_view flag) {
    std::uint64_t hash = 0xcbf29ce484222325U; // FNV-1a, 64 bits (RFC draft; constants from memory)
    const auto add = [&](std::string_view bytes) {
        for (const char c : bytes) {
            hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3U;
        }
    };
    add(lot);
    add("/");
    add(flag);
    return fmt::format("{:06x}", (hash ^ (hash >> 32U)) & 0xFFFFFFU);
}

std::vector<AnsweredFlag> answered_flags(const records::LotHistory& lot, const LotJudgement& judged,
                                         std::span<const StoredAction> actions,
                                         std::span<const StoredVerification> verifications,
                                         Instant as_of) {
    const Answering answering{lot, judged, actions, verifications, as_of};
    std::vector<AnsweredFlag> all;
    for (std::size_t i = 0; i < judged.flags.size(); ++i) {
        all.push_back(answering.raised(i));
    }
    std::ranges::move(answering.others(), std::back_inserter(all));
    const auto urgency = [&](const AnsweredFlag& a) {
        const bool missed =
            a.flag && judged.findings[judged.flags[*a.flag].finding].verdict == Verdict::not_met;
        return std::tuple{a.state, !a.overdue, a.flag && !missed};
    };
    std::ranges::stable_sort(all, {}, urgency);
    return all;
}

bool all_closed(std::span<const AnsweredFlag> flags) noexcept {
    return std::ranges::all_of(
        flags, [](const AnsweredFlag& flag) { return flag.state >= AnswerState::closed; });
}

} // namespace holdwarden::judge
