#pragma once

#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::judge {

/// How far a flag was answered, worst first. Nothing closes by silence.
enum class AnswerState {
    unanswered,
    incomplete, ///< answered, but something is missing that 9 CFR 417.3 asks for
    answered,   ///< complete; no second person has verified it yet
    closed,     ///< complete and verified
    not_raised, ///< the record no longer raises the flag: an amendment, a late reading
};
/// "no longer raised" for people; "no-longer-raised" for programs.
std::string_view to_words(AnswerState state) noexcept;
std::string_view to_name(AnswerState state) noexcept;

/// What an answer still lacks.
struct Missing {
    std::string field;           ///< "cause": what the record calls it
    std::string says;            ///< "the cause"
    std::optional<Instant> at{}; ///< which instant it is about
};

/// A flag and its answer; also one that was answered and is no longer raised, and a deviation that
/// no limit tells.
struct AnsweredFlag {
    std::string id;
    std::optional<std::size_t> flag{}; ///< index into the judgement's flags
    AnswerState state = AnswerState::unanswered;
    bool overdue = false; ///< past `due`, and unanswered or incomplete
    Instant due{};
    std::vector<Missing> missing{};
    std::vector<records::StoredAction> actions{}; ///< those that stand, in the order of entry
    std::vector<records::StoredVerification>
        verified{};      ///< the last one of each, where there is one
    bool planned = true; ///< false: 9 CFR 417.3(b) asks for more
};

/// How soon a flag that says "at once" is answered: common practice, no source.
inline constexpr Span kAnswerWithin = Span::hours(1);

/// What the id of a deviation begins with that a person enters and no limit tells.
inline constexpr std::string_view kUnforeseen = "unforeseen@";
std::string unforeseen_id(Instant at);

/// A short handle for people, the same as long as the flag's id is: six hexadecimal digits of the
/// FNV-1a hash of "LOT/ID". Two flags may share one; whoever looks one up must say so.
std::string handle(std::string_view lot, std::string_view flag);

/// The flags of a judged lot with their answers, unanswered and worst first.
///
/// An action closes a flag when it says how much of the food is concerned, what became of it, the
/// cause, how control was regained and what is done against its coming back; when a reheat or a
/// cooling it names is itself shown by the record: by findings that are met, of a stage that began
/// after the flag's and was going on within the time that the codes allow for it (2 h, 6 h) of the
/// action, or at `shown_from`; when it does not contradict the lot's end; when nothing went wrong
/// again after it; and when a second person verified it. `held` never closes.
/// `actions` and `verifications` are those of this lot, in the order of entry.
std::vector<AnsweredFlag> answered_flags(const records::LotHistory& lot, const LotJudgement& judged,
                                         std::span<const records::StoredAction> actions,
                                         std::span<const records::StoredVerification> verifications,
                                         Instant as_of);

/// Whether nothing is left to be done about any of them.
bool all_closed(std::span<const AnsweredFlag> flags) noexcept;

} // namespace holdwarden::judge
