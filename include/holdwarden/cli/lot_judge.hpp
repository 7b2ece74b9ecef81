#pragma once

#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/adopted.hpp>
#include <holdwarden/judge/condense.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/sheets/facts.hpp>

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// Judges lots of an open store: each stage by the pack, the largest interval and the house limits
/// in force when it began. Every command that shows a stored lot's verdict asks here, so that they
/// agree: what the store knows that bears on a judgement is added here.
class LotJudge {
public:
    /// What takes the place of the site's own settings. With `code` the house limits are left
    /// out: they sharpen what the site follows.
    struct Asked {
        std::optional<std::string> code{}; ///< id or path of a pack
        std::optional<Span> largest_interval{};
        judge::DecisionRule rule = judge::DecisionRule::as_read;
        std::optional<TemperatureDelta> tolerance{};
    };

    /// `store` and `context` must outlive it.
    LotJudge(const OpenStore& store, const Context& context, Instant as_of);
    LotJudge(const OpenStore& store, const Context& context, Instant as_of, Asked asked);

    Instant as_of() const noexcept { return as_of_; }

    /// The lot's history up to as_of, suspect readings marked, its judgement, and how its flags
    /// were answered till now.
    sheets::LotRecord record(records::LotId lot);

    /// The verdict of `record`, word for word, for whoever does not show the readings: long holds
    /// are read without keeping every reading (Reading::left_out). A lot that lives on is told
    /// whole: what is to come of it is forecast by its readings.
    struct Brief {
        records::LotHistory history;
        judge::LotJudgement judged;
    };
    Brief brief(records::LotId lot);

    /// The packs that judged so far, by their own ids.
    std::map<std::string, codes::Pack> packs() const;

    /// The same for a history with its suspects marked, such as one cut short.
    judge::LotJudgement judge(const records::LotHistory& history);

    /// The pack that judges the first stage of such a history (without one: what is in force at
    /// as_of).
    const codes::Pack& pack_for(const records::LotHistory& history);
    judge::Settings settings_for(const records::LotHistory& history) const;

private:
    struct HeldBand {
        std::string lot; ///< empty: the band is a unit's
        judge::Band band;
    };
    using Kitchens = std::vector<records::CameFrom>;
    const AdoptedRules& rules_for(const records::LotHistory& history) const;
    const codes::Pack& pack_named(const std::string& id_or_path);
    std::vector<judge::Adopted> adopted_for(const records::LotHistory& history,
                                            const Kitchens& kitchens);
    std::vector<judge::Adopted> adopted_here(Instant from, Instant last);
    /// What another kitchen followed; a pack of the same bytes is looked for here.
    judge::Adopted adopted_there(const records::RulesThere& rules, const std::string& kitchen,
                                 const AdoptedRules& here);

    /// nullptr: no pack here has these bytes.
    const codes::Pack* pack_of_bytes(const std::string& id, const std::string& sha256);
    judge::Condensing all_told_apart() const;

    const OpenStore& store_;
    const Context& context_;
    Instant as_of_;
    Asked asked_;
    std::map<std::string, codes::Pack> packs_; ///< by id or path, as they were asked for
    std::map<std::string, const codes::Pack*> packs_there_;
    std::vector<AdoptedRules> rules_; ///< all the site ever followed
    std::vector<HeldBand> bands_;
    std::optional<judge::Condensing> condensing_; ///< nullopt: not asked for yet, or not possible
    bool may_condense_ = true;
};

} // namespace holdwarden::cli
