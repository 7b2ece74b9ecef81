#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/packs.hpp>

#include <utility>

namespace holdwarden::cli {

LotJudge::LotJudge(const OpenStore& store, const Context& context, Instant as_of)
    : LotJudge{store, context, as_of, Asked{}} {}

LotJudge::LotJudge(const OpenStore& store, const Context& context, Instant as_of, Asked asked)
    : store_{store}, context_{context}, as_of_{as_of}, asked_{std::move(asked)},
      settings_{store->settings()} {}

records::SettingsInForce LotJudge::in_force(const records::LotHistory& history) const {
    return records::settings_at(settings_, records::first_stage(history).value_or(as_of_));
}

const codes::Pack& LotJudge::pack_for(const records::LotHistory& history) {
    const std::string id =
        asked_.code ? *asked_.code : in_force(history).code.value_or(kDefaultPack);
    auto found = packs_.find(id);
    if (found == packs_.end()) {
        found = packs_.emplace(id, load_named_pack(context_, id)).first;
    }
    return found->second;
}

judge::Settings LotJudge::settings_for(const records::LotHistory& history) const {
    return {.as_of = as_of_,
            .largest_interval = asked_.largest_interval
                                    ? *asked_.largest_interval
                                    : in_force(history).largest_interval.value_or(Span::hours(2)),
            .rule = asked_.rule,
            .tolerance = asked_.tolerance,
            .zone = store_.zone()};
}

sheets::LotRecord LotJudge::record(records::LotId lot) {
    sheets::LotRecord record{.history = store_->lot_history(lot, as_of_), .judged = {}};
    judge::mark_suspects(record.history);
    record.judged =
        judge::judge_lot(record.history, pack_for(record.history), settings_for(record.history));
    const auto actions = store_->answers().actions(lot);
    const auto verifications = store_->answers().verifications(lot);
    record.answers =
        judge::answered_flags(record.history, record.judged, actions, verifications, as_of_);
    return record;
}

} // namespace holdwarden::cli
