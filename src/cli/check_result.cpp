#include <holdwarden/cli/check_result.hpp>

#include <algorithm>

namespace holdwarden::cli {

CheckResult check_lots(std::vector<records::LotHistory> lots, codes::Pack pack,
                       const judge::Settings& settings) {
    CheckResult result{.pack = std::move(pack),
                       .settings = settings,
                       .zone_named = false,
                       .lots = {},
                       .file = std::nullopt};
    for (records::LotHistory& lot : lots) {
        judge::mark_suspects(lot);
        judge::LotJudgement judgement = judge::judge_lot(lot, result.pack, settings);
        result.lots.push_back({std::move(lot), std::move(judgement)});
    }
    return result;
}

judge::Verdict overall(const CheckResult& result) noexcept {
    judge::Verdict worst = judge::Verdict::ended;
    for (const CheckedLot& lot : result.lots) {
        worst = judge::worse(worst, lot.judgement.overall);
    }
    return result.lots.empty() ? judge::Verdict::not_shown : worst;
}

int exit_status(judge::Verdict verdict) noexcept {
    switch (verdict) {
    case judge::Verdict::not_met:
        return kNotMet;
    case judge::Verdict::not_shown:
        return kNotShown;
    case judge::Verdict::open:
        return kOpen;
    case judge::Verdict::met:
    case judge::Verdict::ended:
        return kDone;
    }
    return kNotShown;
}

} // namespace holdwarden::cli
