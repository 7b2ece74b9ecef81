#pragma once

// One function per kind of rule; judge.cpp calls them in the order the food lived.

#include "case.hpp"
#include "intervals.hpp"

#include <functional>

namespace holdwarden::judge {

/// The stages one pack judges: those that began in [from, until).
struct Part {
    std::optional<Instant> from{};
    std::optional<Instant> until{};
    bool whole() const noexcept { return !from && !until; }
    bool holds(Instant began) const noexcept {
        return (!from || *from <= began) && (!until || began < *until);
    }
};
/// The whole life of a lot judged by one pack, and of that what belongs to `part`.
LotJudgement judge_part(const records::LotHistory& lot, const codes::Pack& pack,
                        const Settings& settings, const Part& part);
void note_nothing_judged(LotJudgement& j);

/// What people said of readings, and what was amended, as it bears on the verdicts: `judge` judges
/// one telling of the record, and is asked for each that must be compared.
LotJudgement judge_as_told(const records::LotHistory& lot, const Settings& settings,
                           const std::function<LotJudgement(const records::LotHistory&)>& judge);

/// Between readings at or above a temperature a longer gap ends the time it was kept: nothing
/// vouches for what happened in between.
inline constexpr Span kLongestGapInRun = Span::minutes(10);

/// What a table of "reach and keep" rows gives for one series in one stage.
struct Dwell {
    Verdict verdict = Verdict::not_met;
    const codes::TableRow* row = nullptr; ///< the row met; else the row that came nearest
    SpanBracket kept;                     ///< at or above that row's temperature
    std::optional<Instant> kept_from{}; ///< if met: the first reading of the first run that kept it
    std::vector<records::Reading> evidence;
    /// What the margin is of, and the row it is from: of the rows that are met the one met by the
    /// widest margin. The coldest of the run that kept the row longest; the hottest where it is to
    /// be reached only, or kept for seconds. Never a suspect reading.
    std::optional<records::Reading> telling{};
    const codes::TableRow* telling_row = nullptr;
};
/// How far the telling reading lies from the row, and the chance that it does.
void tell_margin(const Case& c, Finding& f, const Dwell& dwell);
Dwell judge_rows(const Case& c, const std::vector<codes::TableRow>& rows, Readings readings,
                 const StageSpan& stage);
/// Adds to what the rows of `rule` give what its ovens do.
void add_oven(const Case& c, const codes::TableRule& rule, const StageSpan& stage, Finding& f);
/// What the oven lacks for the rows of `rule`; empty: nothing.
std::string oven_lacks(const Case& c, const codes::TableRule& rule, const StageSpan& stage);
/// What rows and ovens of `rule` come to together; `rows`: what the rows alone do.
Verdict with_oven(const Case& c, const codes::TableRule& rule, const StageSpan& stage,
                  Verdict rows);
/// The readings that would have shown the row kept.
std::string would_show_kept(const codes::TableRow& row);

/// The longest time per row and the integrated lethality of each cook: LotJudgement::cooks.
void note_cooks(const Case& c, const Part& part, LotJudgement& judgement);
/// Of two tellings of the same readings, the lesser of each claim.
void take_lesser_claims(std::vector<CookNote>& into, const std::vector<CookNote>& other);

void judge_cooking(const Case& c, const StageSpan& stage, std::vector<Finding>& findings);

/// Whether a cook is shown to meet its table or one of its alternatives.
bool cook_met(const std::vector<Finding>& findings, const StageSpan& stage);

/// First heatings of food cooked in two steps, and the full cook each of them still asks for.
/// `findings`: those of the cooks.
void judge_part_cook(const Case& c, std::vector<Finding>& findings);
/// Whether stage `i` is the full cook of food that was heated in part before, shown to meet its
/// table: what cooling came before it is behind, and the next one starts anew.
bool cook_in_full(const Case& c, std::size_t i, const std::vector<Finding>& findings);
/// When food that was only ever heated in part before stage `before` was first heated; nullopt
/// where it was hot on record in another way. It was not hot before that instant.
std::optional<Instant> first_heated(const Case& c, std::size_t before) noexcept;

/// How long the food took to come up to cooking temperature. `findings`: those of the cooks, which
/// say whether a cook before ended the clock.
void judge_come_up(const Case& c, std::vector<Finding>& findings);

/// Why the roast exception stands or not.
struct RoastCook {
    bool earned = false;
    std::string why; ///< what is missing, for a finding's note
    Instant until{}; ///< if earned: when the first cook that earned it ended
};
RoastCook roast_cook(const Case& c, const std::vector<Finding>& findings);
/// What of it holds in one stage: none before the cook, nor after slicing or pulling.
RoastCook roast_in(const Case& c, const RoastCook& roast, const StageSpan& stage);

/// The hot-holding requirement that binds with what holds of the roast exception; nullptr: none.
const codes::Requirement* hot_requirement(const Case& c, const RoastCook& roast);
void judge_hot_hold(const Case& c, std::size_t i, const RoastCook& cook,
                    std::vector<Finding>& findings);
/// Cold holding; `from` per series: when the limit begins to bind (the end of cooling), nullopt
/// while it does not yet.
void judge_cold_hold(const Case& c, std::size_t i, const std::vector<std::optional<Instant>>& from,
                     std::vector<Finding>& findings);
/// Food that stays in a cooling stage once it is cold: a silence longer than the largest interval
/// leaves it unproven that it was kept so. Nothing is added where there is none.
void judge_left_in_cooling(const Case& c, std::size_t i, std::vector<Finding>& findings);
/// Food that was hot in a cook or a reheat, is read below the hot limit in it later, and is not hot
/// again within the largest interval: not heated any more, and not shown to be held. Heatings that
/// follow each other, but for what is prepared in between and after them, are one; stage `i` is
/// its first, else nothing is judged.
void judge_left_in_heating(const Case& c, std::size_t i, const RoastCook& cook,
                           std::vector<Finding>& findings);
/// How long food may be prepared between two holds of one sort and leave nothing unproven (common
/// practice, no source; the model code names no figure, Washington's WAC 246-215 caps active
/// preparation at two hours).
inline constexpr Span kLongestPreparing = Span::hours(2);
/// Hot food that is prepared and held hot again without a reheat, or cold food that is prepared and
/// held cold again: where it is not shown to keep to the limit for longer than kLongestPreparing
/// meanwhile, the hold is not shown. What is prepared in several entries is one; stage `i` is its
/// first, else nothing is judged.
void judge_left_in_preparing(const Case& c, std::size_t i, const RoastCook& cook,
                             std::vector<Finding>& findings);
/// Food held by time under a code that has no rule for it was to be kept hot or cold all the same,
/// which nothing shows.
void judge_time_without_rule(const Case& c, std::size_t i, std::vector<Finding>& findings);
/// Time below the hot limit over every rest and hold, at the worst point: from one wrong reading to
/// the next at least; at most also next to them and to doubtful ones, and in every silence.
SpanBracket time_below_hot_limit(const Case& c, const RoastCook& cook);

/// Time between the cold and the hot limit over the lot's whole life, whatever the stage, bracketed
/// in the same way. A silence in the freezer does not count.
SpanBracket time_between_limits(const Case& c);

/// One reheat of the lot (or cold food put to hot holding without one), all its findings.
void judge_reheat(const Case& c, const StageSpan& stage, const RoastCook& roast,
                  std::vector<Finding>& findings);
/// Where a pack caps how often a lot may be reheated, the reheats beyond it are missed.
void cap_reheats(const Case& c, std::vector<Finding>& reheats);
/// Where nobody can tell whether the food was cold, no reheat is missed for certain.
void doubt_reheats(const Case& c, std::vector<Finding>& reheats);
/// Whether food was put to a hot hold cold, without a reheat: after a cold stage; after a cooling
/// in which it was read below the hot limit, or perhaps, not read often enough to tell; or read
/// cold before anything was done to it.
enum class ColdIn { no, perhaps, yes };
ColdIn put_in_cold(const Case& c, std::size_t i);
/// When readings of any point show the food on the right side of the limit, in order, apart.
std::vector<Interval> shown_right(const Case& c, const codes::TemperatureLimit& limit);
/// Whether the food is shown hot all the time: no reading below the hot limit, and no silence
/// longer than the largest interval from the last good reading by `from` to the first since `to`.
bool stays_hot(const Case& c, Instant from, Instant to);
/// Whether any point was read hot by `at`.
bool read_hot_by(const Case& c, Instant at);

/// Whether the code has times for cooling this food.
bool has_cooling_times(const Case& c);
/// All cooling attempts of the lot. Returns, per cold-holding stage and series, from when its limit
/// binds.
std::vector<std::vector<std::optional<Instant>>>
judge_cooling(const Case& c, const std::vector<Finding>& reheats, std::vector<Finding>& findings);

void judge_time_control(const Case& c, std::vector<Finding>& findings);
void judge_date_mark(const Case& c, std::vector<Finding>& findings);

/// Stays the same as readings arrive: the requirement, when its stage began, and the point.
std::string flag_id(const Finding& finding);
std::vector<Flag> flags_for(const Case& c, const LotJudgement& judgement);

} // namespace holdwarden::judge
