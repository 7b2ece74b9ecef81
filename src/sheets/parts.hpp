#pragma once

#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/facts.hpp>
#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/sheet.hpp>

#include <optional>
#include <span>
#include <string>
#include <vector>

// Parts that several sheets share.
namespace holdwarden::sheets {

/// Indices of the findings, worst first: those that count before notes, in the order found among
/// equals.
std::vector<std::size_t> worst_first(const judge::LotJudgement& judged);

/// The finding that says most about the lot: the worst; of a lot that is met, the one nearest to
/// its limit. There must be one.
const judge::Finding& telling(const judge::LotJudgement& judged);

/// "2 not met, 1 not shown, 3 met", of the findings that count.
std::string tally(const judge::LotJudgement& judged);

/// "not met", with what `acts_as_missed` adds.
std::string verdict_words(const judge::Finding& finding);

/// The figures the record gives for a finding: worst reading and excursions, or the time taken.
std::string record_shows(const SiteFacts& site, const LotRecord& lot, const judge::Finding& finding,
                         const LocalTimes& times);

/// All findings of a lot in one table, worst first.
Table findings_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times);

/// Why, with the deciding readings, for each finding that is not met, not shown or open; then what
/// is noted of the others.
std::vector<Section> details(const LotRecord& lot, const LocalTimes& times);

/// What the lot's flags ask for, most urgent first, with lines to sign. `of_lot` goes before each
/// heading where a sheet has several lots.
std::vector<Action> actions(const LotRecord& lot, const LocalTimes& times,
                            const std::string& of_lot);

/// How a flag of the lot was answered; nullptr: nothing is known of answers (no store).
const judge::AnsweredFlag* answer_to(const LotRecord& lot, std::size_t flag);
const judge::AnsweredFlag* answer_to_finding(const LotRecord& lot, std::size_t finding);
/// "unanswered, overdue".
std::string answer_title(const judge::AnsweredFlag& answer);
/// "the cause; how control was regained".
std::string lacks_words(const judge::AnsweredFlag& answer, const LocalTimes& times);
std::string disposition_title(records::Disposition disposition);
/// "Hot holding (hot holding, core)", or what went wrong in a person's words.
std::string flag_title(const LotRecord& lot, const judge::AnsweredFlag& answer);
/// What was done, with cause, control and prevention, and what the answer still lacks behind its
/// last action (`stored` must be one of the answer's own).
std::string told_of(const judge::AnsweredFlag& answer, const records::StoredAction& stored,
                    const LocalTimes& times);
/// "verified by QM 2026-11-01 06:00 -07:00", "not verified".
std::string verified_words(const judge::AnsweredFlag& answer, const records::StoredAction& action,
                           const LocalTimes& times);
/// The actions that were entered, unanswered and worst first; nothing when there are none.
std::optional<Table> answers_table(const LotRecord& lot, const LocalTimes& times);
/// Who signed what on record; nothing when nobody did.
std::optional<Table> signatures_table(std::span<const SignatureLine> signatures,
                                      const LocalTimes& times);

/// What judged the lot where that is not what the head of the sheet says, and what the house's own
/// limits say: sentences.
std::vector<std::string> followed(const SiteFacts& site, const LotRecord& lot,
                                  const LocalTimes& times);

/// Tables of what was done to the lot and of its thermometers.
Table stages_table(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times);
Table probes_table(const LotRecord& lot, const LocalTimes& times);

/// Every reading while they fill a few pages at most; beyond that lowest and highest per interval.
Section readings_section(const SiteFacts& site, const LotRecord& lot, const LocalTimes& times);

/// Rejected rows and conflicts; says so when there are none.
Section troubles_section(const Troubles& troubles, const LocalTimes& times);

/// Adds to the cell of a reading what it was before it was amended, and the footnotes.
void strike(Cell& cell, const LotRecord& lot, const std::string& point,
            const records::Reading& reading);
/// The same for the cells of the stage that now begins at `began`.
void strike(Cell& stage, Cell& from, Cell& unit, const LotRecord& lot, Instant began,
            const LocalTimes& times);

/// A reading that was voided: it still shows.
struct VoidReading {
    Instant at;
    std::string point;
    Cell cell;
};
std::vector<VoidReading> void_readings(const LotRecord& lot);

/// "set aside", "confirmed", "entered late", "taken by TM".
std::vector<std::string> correction_remarks(const LotRecord& lot, const std::string& point,
                                            const records::Reading& reading);

/// " [2]" for each amendment of the lot's own facts.
std::string lot_footnotes(const LotRecord& lot);

/// Both verdicts, where readings are set aside.
std::optional<Paragraph> both_verdicts(const LotRecord& lot);

/// What was amended, confirmed, set aside or entered late, with who, when and why; nullopt:
/// nothing.
std::optional<Section> corrections_section(const LotRecord& lot, const LocalTimes& times);

/// What the readings so far foretell, marked as an estimate; nothing when there is no forecast.
std::optional<Section> forecast_section(const LotRecord& lot);

/// Lines to sign on paper; before them what is signed on record.
Section signatures_section();
Section signatures_section(std::span<const SignatureLine> signatures, const LocalTimes& times);

/// How the sheet was made, and the caution.
Section about_section(const SiteFacts& site, const Made& made, const LocalTimes& times);

/// Site, period, code and rule, for the top of a sheet.
Facts head_facts(const SiteFacts& site, const LocalTimes& times, std::vector<Fact> more);

/// A sheet's title, running line and makers.
Sheet begun(const SiteFacts& site, const std::string& title, const Made& made);

/// A stage of a lot on a log, and what was found of it.
struct LoggedStage {
    const LotRecord* lot;
    std::size_t stage;
    std::vector<const judge::Finding*> findings;
    judge::Verdict verdict; ///< the worst of them; not shown where there is none

    const records::StageEntry& entry() const { return lot->history.stages[stage]; }
};
/// The findings that count, of requirements whose ids begin so.
LoggedStage logged_stage(const LotRecord& lot, std::size_t stage, std::string_view requirements);

/// The top of a log: the worst verdict (not shown where there is none: nothing could be met), what
/// the log holds, and the head.
Section log_opening(const SiteFacts& site, const LocalTimes& times,
                    std::span<const judge::Verdict> verdicts, const std::string& says);

/// A value without its sign where that is the site's: the heading says it.
std::string degrees_text(const SiteFacts& site, Temperature value);

/// "135 °F to 70 °F within 2 h, 3-501.14(A)(1)".
std::string limit_and_clause(const judge::Finding& finding);

/// "2026-10-31", "2026-10-01 to 2026-10-31".
std::string nights_text(const Nights& nights);

/// "brisket-1 (whole cut)".
std::string lot_and_food(const records::LotHistory& lot);

/// "01:30", with its offset where the wall clock shows that time twice.
std::string clock_shown(Instant at, const Zone& zone);

/// "2 not met, 1 met", worst first; "" of none.
std::string tally_of(std::span<const judge::Verdict> verdicts);

/// Nobody reads milliseconds of when a sheet was made.
Instant whole_seconds(Instant at) noexcept;

/// "FDA Food Code, edition 2022 (us-fda-2022)".
std::string code_text(const SiteFacts& site);

} // namespace holdwarden::sheets
