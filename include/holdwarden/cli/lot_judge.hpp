#pragma once

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/judge.hpp>
#include <holdwarden/sheets/facts.hpp>

#include <map>
#include <optional>
#include <string>

namespace holdwarden::cli {

/// Judges lots of an open store, by the pack and the largest interval in force when each began
/// (its first stage). Every command that shows a stored lot's verdict
/// asks here, so that they agree: what the store knows that bears on a judgement is added here.
class LotJudge {
public:
    /// What takes the place of the site's own settings.
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

    /// What `record` judges a lot with such a history by.
    const codes::Pack& pack_for(const records::LotHistory& history);
    judge::Settings settings_for(const records::LotHistory& history) const;

private:
    records::SettingsInForce in_force(const records::LotHistory& history) const;

    const OpenStore& store_;
    const Context& context_;
    Instant as_of_;
    Asked asked_;
    std::vector<records::SiteSetting> settings_;
    std::map<std::string, codes::Pack> packs_; ///< by id or path, as they were asked for
};

} // namespace holdwarden::cli
