#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/judge/words.hpp>
#include <holdwarden/records/corrections.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <memory>
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
    // What another kitchen followed until it was taken in is no setting of this one.
    const Instant here = history.came_from.empty() ? Instant::from_unix_ms(INT64_MIN)
                                                   : history.came_from.back().taken_in;
    return rules_at(rules_, starts.empty() ? as_of_ : std::max(starts.front(), here));
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

/// From what is in force at `from` on to what is at `last`.
std::vector<judge::Adopted> LotJudge::adopted_here(Instant from, Instant last) {
    std::vector<judge::Adopted> adopted;
    for (const AdoptedRules* rules = &rules_at(rules_, from);
         rules != rules_.data() + rules_.size() && (adopted.empty() || rules->from <= last);
         ++rules) {
        adopted.push_back(
            {.from = adopted.empty() ? std::max(from, rules->from) : rules->from,
             .pack = &pack_named(asked_.code.value_or(rules->code)),
             .largest_interval = asked_.largest_interval.value_or(rules->largest_interval),
             .house = asked_.code ? std::vector<codes::HouseLimit>{} : rules->house});
    }
    return adopted;
}

judge::Adopted LotJudge::adopted_there(const records::RulesThere& rules, const std::string& kitchen,
                                       const AdoptedRules& here) {
    judge::Adopted adopted{.from = rules.from, .largest_interval = rules.largest_interval};
    if (const codes::Pack* same = pack_of_bytes(rules.code, rules.sha256)) {
        adopted.pack = same;
        for (const records::HouseLimitThere& limit : rules.house) {
            adopted.house.push_back({.requirement = limit.requirement,
                                     .at = limit.at,
                                     .within = limit.within,
                                     .since = limit.since,
                                     .who = limit.who + " @ " + kitchen,
                                     .why = limit.why,
                                     .variance = limit.variance});
        }
        return adopted;
    }
    adopted.pack = &pack_named(here.code);
    adopted.stands_in = fmt::format(
        "{} followed the code pack {} (SHA-256 {}...), which is not here: nothing of that time is "
        "shown.",
        for_display(kitchen), for_display(rules.code, 60), rules.sha256.substr(0, 16));
    return adopted;
}

const codes::Pack* LotJudge::pack_of_bytes(const std::string& id, const std::string& sha256) {
    const std::string key = id + " " + sha256;
    if (const auto known = packs_there_.find(key); known != packs_there_.end()) {
        return known->second;
    }
    const codes::Pack* found = nullptr;
    std::vector<std::string> names;
    if (id.find('/') == std::string::npos && !id.ends_with(".toml")) {
        names.push_back(id); // never a path on another kitchen's word
    }
    for (const AdoptedRules& rules : rules_) {
        names.push_back(rules.code);
    }
    for (const std::string& name : names) {
        if (found == nullptr && pack_digest(context_, name) == sha256 && !sha256.empty()) {
            found = &pack_named(name);
        }
    }
    packs_there_.emplace(key, found);
    return found;
}

/// From the first stage's on to the last's: what each kitchen followed while it had the food.
std::vector<judge::Adopted> LotJudge::adopted_for(const records::LotHistory& history,
                                                  const Kitchens& kitchens) {
    const std::vector<Instant> starts = judge::stage_starts(history);
    const Instant first = starts.empty() ? as_of_ : starts.front();
    const Instant last = starts.empty() ? as_of_ : starts.back();
    if (kitchens.empty() || asked_.code) {
        return adopted_here(first, last);
    }
    std::vector<judge::Adopted> adopted;
    Instant since = Instant::from_unix_ms(INT64_MIN);
    for (const records::CameFrom& there : kitchens) {
        for (const records::RulesThere& rules : there.rules) {
            if (rules.from < there.taken_in) {
                adopted.push_back(
                    adopted_there(rules, there.kitchen, rules_at(rules_, there.taken_in)));
                adopted.back().from = std::max(adopted.back().from, since);
            }
        }
        since = there.taken_in;
    }
    std::ranges::move(adopted_here(since, last), std::back_inserter(adopted));
    if (asked_.largest_interval) {
        for (judge::Adopted& one : adopted) {
            one.largest_interval = *asked_.largest_interval;
        }
    }
    return adopted;
}

namespace {

/// By which kitchens the food of a lot came here, each way once.
void add_ways(const records::LotHistory& lot, std::vector<records::CameFrom> after,
              std::vector<std::vector<records::CameFrom>>& ways) {
    after.insert(after.begin(), lot.came_from.begin(), lot.came_from.end());
    if (lot.sources.empty()) {
        const auto same = [&](const std::vector<records::CameFrom>& way) {
            return std::ranges::equal(way, after, {}, &records::CameFrom::sha256,
                                      &records::CameFrom::sha256);
        };
        if (std::ranges::none_of(ways, same)) {
            ways.push_back(std::move(after));
        }
        return;
    }
    for (const records::LotHistory& source : lot.sources) {
        add_ways(source, after, ways);
    }
}

} // namespace

judge::LotJudgement LotJudge::judge(const records::LotHistory& history) {
    const judge::Settings settings = settings_for(history);
    std::vector<Kitchens> ways;
    add_ways(history, {}, ways);
    judge::LotJudgement judged =
        judge::judge_adopted(history, adopted_for(history, ways.front()), settings);
    for (std::size_t i = 1; i < ways.size(); ++i) {
        judge::LotJudgement other =
            judge::judge_adopted(history, adopted_for(history, ways[i]), settings);
        if (judge::worse(judged.overall, other.overall) != judged.overall) {
            judged = std::move(other);
        }
    }
    if (ways.size() > 1) {
        judged.notes.emplace_back(
            "What was merged came by different kitchens: all of it was judged "
            "by what each of them followed, and the worst is shown.");
    }
    std::vector<judge::Band> bands;
    for (const HeldBand& held : bands_) {
        if (!held.band.unit.empty() || held.lot == history.name) {
            bands.push_back(held.band);
        }
    }
    judge::add_band_notes(judged, history, bands, settings);
    return judged;
}

/// By all that the site ever followed, and for every food: nothing needs to be known of a lot
/// before it is read. Throws for a pack that cannot be loaded.
judge::Condensing LotJudge::all_told_apart() const {
    judge::Settings settings{.as_of = as_of_, .rule = asked_.rule, .tolerance = asked_.tolerance};
    settings.largest_interval = asked_.largest_interval.value_or(rules_.front().largest_interval);
    judge::Condensing how{settings};
    for (const AdoptedRules& rules : rules_) {
        const codes::Pack pack = load_named_pack(context_, asked_.code.value_or(rules.code));
        if (!asked_.largest_interval) {
            how.at_least_every(rules.largest_interval);
        }
        for (const FoodKind food : all_foods()) {
            how.add(pack, food);
            for (const codes::HouseLimit& limit : rules.house) {
                if (limit.requirement == records::kLargestInterval) {
                    how.at_least_every(limit.within.value_or(rules.largest_interval));
                    continue;
                }
                try {
                    how.add(codes::house_requirement(limit, pack, food));
                } catch (const Error&) {
                    continue; // not judged either
                }
            }
        }
    }
    return how;
}

LotJudge::Brief LotJudge::brief(records::LotId lot) {
    const auto told = [&](const records::KeeperMaker& keeper) {
        records::LotHistory history = store_->lot_history(lot, as_of_, keeper);
        judge::mark_suspects(history);
        return history;
    };
    if (may_condense_ && !condensing_) {
        try {
            condensing_ = all_told_apart();
        } catch (const Error&) {
            may_condense_ = false; // whoever needs that pack will say so
        }
        may_condense_ = may_condense_ && bands_.empty(); // a band tells readings apart too
    }
    Brief brief;
    bool holds = false;
    const auto end = store_->end(lot);
    if (may_condense_ && end && end->at <= as_of_) {
        const FoodKind food = store_->corrections().facts_of(lot).now().facts.food;
        brief.history = told([&] {
            return std::make_unique<judge::Condenser>(*condensing_, judge::cooks_of(food));
        });
        holds = judge::links_hold(brief.history, settings_for(brief.history));
    }
    if (!holds) {
        brief.history = told({});
    }
    brief.judged = judge(brief.history);
    return brief;
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
