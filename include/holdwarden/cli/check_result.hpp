#pragma once

#include <holdwarden/cli/run.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/intake/csv.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <iosfwd>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// One lot, as recorded and as judged.
struct CheckedLot {
    records::LotHistory lot;
    judge::LotJudgement judgement;
};

/// What reading a file came to; not there when the lots come from a store.
struct CheckedFile {
    std::string name;
    intake::Summary summary;
    std::vector<intake::Reject> rejects; ///< the first of them
};

/// What a check answers, however the lots were gathered.
struct CheckResult {
    std::map<std::string, codes::Pack> packs; ///< by id; those that judged any of the lots
    judge::Settings settings; ///< the largest interval is each lot's own: LotJudgement::judged_by
    bool zone_named = false;  ///< false: times are shown in UTC, with Z
    std::vector<CheckedLot> lots;
    std::optional<CheckedFile> file;
};

/// Marks suspect readings and judges each lot.
CheckResult check_lots(std::vector<records::LotHistory> lots, codes::Pack pack,
                       const judge::Settings& settings);

/// Each pack and largest interval that judged any of the lots, once.
std::vector<judge::JudgedBy> judged_by(const CheckResult& result);
/// The pack in force when the lot's last stage began.
const codes::Pack& present_pack(const CheckResult& result, const CheckedLot& lot);

/// The worst of the lots' verdicts by the code.
judge::Verdict overall(const CheckResult& result) noexcept;
/// The worst by the house's limits; nullopt where none apply.
std::optional<judge::Verdict> house_overall(const CheckResult& result) noexcept;
/// The worse of the two.
judge::Verdict worst(const CheckResult& result) noexcept;
/// kDone, kNotMet, kNotShown or kOpen.
int exit_status(judge::Verdict verdict) noexcept;

/// For people, 80 columns: the verdict and what to do first, then why.
void print_check_text(std::ostream& out, const CheckResult& result);
/// For programs: schema/json/holdwarden-check-1.schema.json.
void print_check_json(std::ostream& out, const CheckResult& result);

/// One record under several codes: their verdicts side by side, then each as above.
void print_checks_text(std::ostream& out, const std::vector<CheckResult>& results);
/// schema/json/holdwarden-checks-1.schema.json.
void print_checks_json(std::ostream& out, const std::vector<CheckResult>& results);

} // namespace holdwarden::cli
