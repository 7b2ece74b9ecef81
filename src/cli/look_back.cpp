#include <holdwarden/cli/look_back.hpp>
#include <holdwarden/cli/lot_judge.hpp>

#include <algorithm>

namespace holdwarden::cli {
namespace {

/// A session may have checked both ends: what was good a moment before is part of this one.
std::optional<Instant> last_good(const records::Checks& checks, records::ProbeId probe,
                                 Instant before) {
    std::optional<Instant> last;
    for (const auto& one : checks.checks(probe)) {
        if (one.facts.at < before && usable_after(one.facts)) {
            last = one.facts.at;
        }
    }
    return last;
}

/// Counts the readings that the probe of that name took in (since, until].
void count(const records::LotHistory& history, const std::string& probe,
           const std::optional<Instant>& since, Instant until, AffectedLot& into) {
    const auto see = [&](const records::Reading& reading) {
        const bool is_its =
            reading.probe < history.probes.size() && history.probes[reading.probe].name == probe;
        if (!is_its || reading.at > until || (since && reading.at <= *since)) {
            return;
        }
        into.first = into.readings == 0 ? reading.at : std::min(into.first, reading.at);
        into.last = into.readings == 0 ? reading.at : std::max(into.last, reading.at);
        ++into.readings;
    };
    for (const auto& point : history.points) {
        std::for_each(point.readings.begin(), point.readings.end(), see);
    }
    for (const auto& air : history.air) {
        std::for_each(air.readings.begin(), air.readings.end(), see);
    }
}

} // namespace

LookBack::LookBack(const OpenStore& store, const Context& context, records::ProbeId probe,
                   const records::ProbeCheck& check)
    : store_{store}, context_{context}, since_{last_good(store->checks(), probe, check.at)} {
    std::string name;
    for (const auto& one : store->probes()) {
        name = one.id == probe ? one.facts.name : name;
    }
    LotJudge judge{store, context, store.now()};
    for (const auto& lot : store->lots()) {
        const auto end = store->end(lot.id);
        if (lot.facts.opened_at > check.at || (end && since_ && end->at < *since_)) {
            continue;
        }
        AffectedLot affected{.lot = lot.id, .name = lot.facts.name};
        count(store->lot_history(lot.id, check.at), name, since_, check.at, affected);
        if (affected.readings > 0) {
            affected.before = judge.record(lot.id).judged.overall;
            lots_.push_back(std::move(affected));
        }
    }
}

std::vector<AffectedLot> LookBack::lots() {
    LotJudge judge{store_, context_, store_.now()};
    for (AffectedLot& affected : lots_) {
        affected.after = judge.record(affected.lot).judged.overall;
    }
    return lots_;
}

} // namespace holdwarden::cli
