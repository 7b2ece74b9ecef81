#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/packs.hpp>

#include <utility>

namespace holdwarden::cli {

LotJudge::LotJudge(const OpenStore& store, const Context& context, Instant as_of)
    : LotJudge{store, context, as_of, Asked{}} {}

LotJudge::LotJudge(const OpenStore& store, const Context& context, Instant as_of, Asked asked)
    : store_{store}, context_{context}, as_of_{as_of}, asked_{std::move(asked)} {
    rules_ = adopted_rules(*store);
    for (const auto& band : store->house_rules().bands()) {
        const records::TargetBand& facts = band.set.facts;
        const bool of_unit = std::holds_alternative<records::UnitId>(facts.of);
        const std::string holder = band_holder(*store, facts);
        bands_.push_back(
            {.lot = of_unit ? "" : holder,
             .band = {.low = facts.low,
                      .high = facts.high,
                      .unit = of_unit ? holder : "",
                      .from = facts.since,
                      .to = band.withdrawn ? std::optional{band.withdrawn->from} : std::nullopt}});
    }
}

const codes::Pack& LotJudge::pack_named(const std::string& id_or_path) {
    auto found = packs_.find(id_or_path);
    if (found == packs_.end()) {
        found = packs_.emplace(id_or_path, load_named_pack(context_, id_or_path)).first;
    }
    return found->second;
}

std::map<std::string, codes::Pack> LotJudge::packs() const {
    std::map<std::string, codes::Pack> by_id;
    for (const auto& [asked, pack] : packs_) {
        by_id.emplace(pack.id, pack);
    }
    return by_id;
}

const AdoptedRules& LotJudge::rules_for(const records::LotHistory& history) const {
    const std::vector<Instant> starts = judge::stage_starts(history);
    return rules_at(rules_, starts.empty() ? as_of_ : starts.front());
}

const codes::Pack& LotJudge::pack_for(const records::LotHistory& history) {
    return pack_named(asked_.code.value_or(rules_for(history).code));
}

judge::Settings LotJudge::settings_for(const records::LotHistory& history) const {
    return {.as_of = as_of_,
            .largest_interval =
                asked_.largest_interval.value_or(rules_for(history).largest_interval),
            .rule = asked_.rule,
            .tolerance = asked_.tolerance,
            .zone = store_.zone()};
}

/// From the first stage's on to the last's.
std::vector<judge::Adopted> LotJudge::adopted_for(const records::LotHistory& history) {
    const std::vector<Instant> starts = judge::stage_starts(history);
    const Instant last = starts.empty() ? as_of_ : starts.back();
    std::vector<judge::Adopted> adopted;
    for (const AdoptedRules* rules = &rules_for(history);
         rules != rules_.data() + rules_.size() && (adopted.empty() || rules->from <= last);
         ++rules) {
        adopted.push_back(
            {.from = rules->from,
             .pack = &pack_named(asked_.code.value_or(rules->code)),
             .largest_interval = asked_.largest_interval.value_or(rules->largest_interval),
             .house = asked_.code ? std::vector<codes::HouseLimit>{} : rules->house});
    }
    return adopted;
}

judge::LotJudgement LotJudge::judge(const records::LotHistory& history) {
    const judge::Settings settings = settings_for(history);
    judge::LotJudgement judged = judge::judge_adopted(history, adopted_for(history), settings);
    std::vector<judge::Band> bands;
    for (const HeldBand& held : bands_) {
        if (!held.band.unit.empty() || held.lot == history.name) {
            bands.push_back(held.band);
        }
    }
    judge::add_band_notes(judged, history, bands, settings);
    return judged;
}

sheets::LotRecord LotJudge::record(records::LotId lot) {
    sheets::LotRecord record{.history = store_->lot_history(lot, as_of_), .judged = {}};
    judge::mark_suspects(record.history);
    record.judged = judge(record.history);
    const auto actions = store_->answers().actions(lot);
    const auto verifications = store_->answers().verifications(lot);
    record.answers =
        judge::answered_flags(record.history, record.judged, actions, verifications, as_of_);
    return record;
}

} // namespace holdwarden::cli
