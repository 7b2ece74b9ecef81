#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/dated_rules.hpp>
#include <holdwarden/cli/sheet_material.hpp>
#include <holdwarden/judge/adopted.hpp>
#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/day_book.hpp>
#include <holdwarden/seal/digest.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace holdwarden::cli {
namespace {

using records::LotId;

/// The time a cell of a raw row gives, if one does.
std::optional<Instant> time_in(const std::string& row, const Zone& zone) {
    std::string_view rest = row;
    while (!rest.empty()) {
        const auto end = std::min(rest.find_first_of(",;\t"), rest.size());
        std::string_view cell = trimmed(rest.substr(0, end));
        if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"') {
            cell = cell.substr(1, cell.size() - 2);
        }
        if (const auto at = parse_rfc3339(cell)) {
            return at;
        }
        if (const auto wall = parse_wall(cell)) {
            const Resolved resolved = zone.resolve(*wall);
            if (const auto* once = std::get_if<Once>(&resolved)) {
                return once->at;
            }
            if (const auto* twice = std::get_if<Twice>(&resolved)) {
                return twice->first;
            }
            return std::get<Never>(resolved).after;
        }
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return std::nullopt;
}

std::vector<sheets::Reject> rejects_between(const OpenStore& store, Instant from, Instant to) {
    std::vector<sheets::Reject> found;
    for (const auto& import : store->imports()) {
        const Instant entered = import.stamp.entered_at;
        const bool soon = entered >= from && entered < to + Span::hours(48);
        for (const records::Reject& reject : store->rejects(import.id)) {
            const auto at = time_in(reject.text, store.zone());
            if (at ? *at >= from && *at < to : soon) {
                found.push_back({.file = import.facts.source.name,
                                 .line = static_cast<std::uint32_t>(reject.line),
                                 .text = reject.text,
                                 .reason = reject.reason});
            }
        }
    }
    return found;
}

std::string lot_name(const std::vector<records::Recorded<LotId, records::Lot>>& lots, LotId id) {
    const auto found = std::ranges::find(lots, id, [](const auto& lot) { return lot.id; });
    return found == lots.end() ? "" : found->facts.name;
}

} // namespace

namespace {

/// The house limits in force in `time`, its ends included, each with a time in which it was.
std::vector<sheets::HouseLimitInForce> house_limits_in(const OpenStore& store,
                                                       const sheets::Period& time) {
    const std::vector<AdoptedRules> rules = adopted_rules(*store);
    std::vector<sheets::HouseLimitInForce> found;
    for (const auto& limit : store->house_rules().limits()) {
        for (const InForce& one : in_force(rules, limit.set.id)) {
            if (one.from <= time.to && (!one.until || *one.until > time.from)) {
                found.push_back(
                    {.limit = house_limit_of(limit), .from = one.from, .until = one.until});
            }
        }
    }
    return found;
}

/// A line for each that rests on an approved plan or variance.
std::vector<std::string> variances_among(const OpenStore& store,
                                         const std::vector<sheets::HouseLimitInForce>& limits) {
    std::vector<std::string> texts;
    for (const auto& [limit, from, until] : limits) {
        if (!limit.variance.empty()) {
            const std::string what = shown(records::HouseLimit{
                .requirement = limit.requirement, .at = limit.at, .within = limit.within});
            texts.push_back(fmt::format(
                "{}: {}, from {}{}, entered by {} ({})", limit.variance, what, store.shown(from),
                until ? " until " + store.shown(*until) : "", limit.who, limit.why));
        }
    }
    return texts;
}

} // namespace

sheets::SiteFacts site_facts(const OpenStore& store, const codes::Pack& pack, Span largest_interval,
                             const sheets::Period& time, Instant as_of) {
    const store::Head head = store::head(*store);
    std::vector<sheets::HouseLimitInForce> limits = house_limits_in(store, time);
    std::vector<std::string> variances = variances_among(store, limits);
    return {
        .name = store.site().name,
        .zone = store.zone(),
        .altitude = store.site().altitude,
        .scale = store.site().scale,
        .pack_id = pack.id,
        .pack_title = pack.title,
        .pack_edition = pack.edition,
        .pack_caution = pack.caution,
        .rule = judge::DecisionRule::as_read,
        .largest_interval = largest_interval,
        .as_of = as_of,
        .house_limits = std::move(limits),
        .variances = std::move(variances),
        .history = sheets::HistoryHead{.leaves = head.size,
                                       .root = seal::hex(head.root),
                                       .elsewhere = store::leaves_elsewhere(*store)},
    };
}

sheets::Period life_of(std::span<const sheets::LotRecord> lots, sheets::Period time) {
    for (const sheets::LotRecord& lot : lots) {
        const std::vector<Instant> starts = judge::stage_starts(lot.history);
        if (!starts.empty()) {
            time.from = std::min(time.from, starts.front());
        }
    }
    return time;
}

std::vector<LotId> lots_between(const OpenStore& store, Instant from, Instant to) {
    std::vector<LotId> found;
    for (const auto& lot : store->lots()) {
        const auto stages = store->stages(lot.id);
        const Instant first = stages.empty() ? lot.facts.opened_at
                                             : std::min(stages.front().from, lot.facts.opened_at);
        const auto end = store->end(lot.id);
        if (first < to && (!end || end->at >= from)) {
            found.push_back(lot.id);
        }
    }
    return found;
}

std::vector<sheets::Answered> answered_flags(const OpenStore& store, LotId lot) {
    std::vector<sheets::Answered> answered;
    for (const auto& action : store->answers().actions(lot)) {
        if (!action.facts.flag.empty()) {
            answered.push_back(
                {.flag = action.facts.flag, .at = action.facts.at, .cause = action.facts.cause});
        }
    }
    return answered;
}

sheets::CheckRecords checks_between(const OpenStore& store, Instant from, Instant to) {
    sheets::CheckRecords found;
    const auto checks = store->checks().checks();
    const auto missed = store->checks().missed();
    for (const auto& probe : store->probes()) {
        sheets::CheckRecords::Unchecked unchecked{.probe = probe.facts.name};
        bool checked = false;
        for (const auto& check : checks) {
            if (check.facts.probe != probe.id || check.facts.at >= to) {
                continue;
            }
            if (check.facts.at >= from) {
                checked = true;
                const auto paper = store->day_book().paper_of(check.entry);
                found.checks.push_back({probe.facts.name, check.facts, check.stamp.by,
                                        paper ? paper->kept_at : std::string{}});
            } else {
                unchecked.last = check.facts.at;
            }
        }
        for (const auto& one : missed) {
            if (one.facts.probe == probe.id && one.facts.due >= from && one.facts.due < to) {
                found.missed.push_back({probe.facts.name, one.facts.due});
            }
        }
        if (!checked) {
            found.unchecked.push_back(std::move(unchecked));
        }
    }
    std::ranges::stable_sort(found.checks, {},
                             [](const sheets::CheckRecord& record) { return record.check.at; });
    std::ranges::stable_sort(found.missed, {}, &sheets::CheckRecords::Missed::due);
    return found;
}

sheets::Troubles troubles_between(const OpenStore& store, const std::vector<LotId>& lots,
                                  Instant from, Instant to) {
    sheets::Troubles troubles{.rejects = rejects_between(store, from, to), .conflicts = {}};
    const auto all_lots = store->lots();
    for (const auto& placement : store->placements()) {
        const auto* spot = std::get_if<records::LotPoint>(&placement.facts.target);
        if (spot == nullptr || std::ranges::find(lots, spot->lot) == lots.end()) {
            continue;
        }
        const Instant begin = std::max(from, placement.facts.from);
        const Instant end = std::min(to, placement.facts.to.value_or(to));
        if (begin >= end) {
            continue;
        }
        for (const auto& conflict : store->conflicts(placement.facts.probe, begin, end)) {
            troubles.conflicts.push_back({.lot = lot_name(all_lots, spot->lot),
                                          .point = spot->point,
                                          .at = conflict.at,
                                          .first = conflict.first,
                                          .second = conflict.other});
        }
    }
    std::ranges::stable_sort(troubles.conflicts, {}, &sheets::Conflict::at);
    return troubles;
}

} // namespace holdwarden::cli
