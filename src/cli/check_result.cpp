#include <holdwarden/cli/check_result.hpp>

#include <algorithm>

namespace holdwarden::cli {

CheckResult check_lots(std::vector<records::LotHistory> lots, codes::Pack pack,
                       const judge::Settings& settings) {
    CheckResult result{
        .packs = {}, .settings = settings, .zone_named = false, .lots = {}, .file = std::nullopt};
    for (records::LotHistory& lot : lots) {
        judge::mark_suspects(lot);
        judge::LotJudgement judgement = judge::judge_lot(lot, pack, settings);
        result.lots.push_back({std::move(lot), std::move(judgement)});
    }
    std::string id = pack.id;
    result.packs.emplace(std::move(id), std::move(pack));
    return result;
}

std::vector<judge::JudgedBy> judged_by(const CheckResult& result) {
    std::vector<judge::JudgedBy> all;
    for (const CheckedLot& lot : result.lots) {
        for (const judge::JudgedBy& by : lot.judgement.judged_by) {
            const bool known = std::ranges::any_of(all, [&](const judge::JudgedBy& other) {
                return other.id == by.id && other.largest_interval == by.largest_interval;
            });
            if (!known) {
                all.push_back(by);
            }
        }
    }
    return all;
}

const codes::Pack& present_pack(const CheckResult& result, const CheckedLot& lot) {
    return result.packs.at(lot.judgement.judged_by.back().id);
}

judge::Verdict overall(const CheckResult& result) noexcept {
    judge::Verdict worst = judge::Verdict::ended;
    for (const CheckedLot& lot : result.lots) {
        worst = judge::worse(worst, lot.judgement.overall);
    }
    return result.lots.empty() ? judge::Verdict::not_shown : worst;
}

std::optional<judge::Verdict> house_overall(const CheckResult& result) noexcept {
    std::optional<judge::Verdict> worst;
    for (const CheckedLot& lot : result.lots) {
        if (const auto house = lot.judgement.house_overall) {
            worst = worst ? judge::worse(*worst, *house) : *house;
        }
    }
    return worst;
}

judge::Verdict worst(const CheckResult& result) noexcept {
    const judge::Verdict code = overall(result);
    const auto house = house_overall(result);
    return house ? judge::worse(code, *house) : code;
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
