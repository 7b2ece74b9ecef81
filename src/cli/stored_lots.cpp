#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/stored_lots.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>

namespace holdwarden::cli {
namespace {

using StoredLot = records::Recorded<records::LotId, records::Lot>;

std::vector<StoredLot> chosen(const OpenStore& store, const LotsWanted& wanted) {
    if (wanted.names.empty()) {
        return store->lots(wanted.all ? records::Store::Which::all : records::Store::Which::living);
    }
    std::vector<StoredLot> lots;
    for (const std::string& name : wanted.names) {
        StoredLot lot = records::lot_named(*store, name);
        const auto same = [&](const StoredLot& other) { return other.id == lot.id; };
        if (std::none_of(lots.begin(), lots.end(), same)) {
            lots.push_back(std::move(lot));
        }
    }
    return lots;
}

Error none_to_judge(bool all) {
    return Error{ErrorKind::not_found,
                 {.what = all ? "the store holds no lots" : "no lot of the store is open",
                  .where = "",
                  .fix = all ? "open one with `lot open NAME`"
                             : "name the lots, or give --all for those that have ended"}};
}

/// Puts `value` into `all`, or refuses it when another is there.
template <class T>
void must_agree(std::optional<T>& all, const T& value, const std::string& lot, const char* what,
                const char* option) {
    if (all && *all != value) {
        throw Error{
            ErrorKind::conflict,
            {.what = std::string{"the lots began under different "} + what,
             .where = "lot '" + lot + "'",
             .fix = std::string{"judge them one after the other, or all alike with "} + option}};
    }
    all = value;
}

} // namespace

std::vector<records::LotId> chosen_lots(const OpenStore& store, const LotsWanted& wanted) {
    std::vector<records::LotId> ids;
    for (const StoredLot& lot : chosen(store, wanted)) {
        ids.push_back(lot.id);
    }
    if (ids.empty()) {
        throw none_to_judge(wanted.all);
    }
    return ids;
}

StoredLots gather_lots(const OpenStore& store, const LotsWanted& wanted, Instant as_of,
                       const std::optional<std::string>& code,
                       const std::optional<Span>& largest_interval) {
    const std::vector<StoredLot> lots = chosen(store, wanted);
    if (lots.empty()) {
        throw none_to_judge(wanted.all);
    }
    const std::vector<records::SiteSetting> settings = store->settings();
    StoredLots gathered;
    std::optional<std::string> one_code = code;
    std::optional<Span> one_interval = largest_interval;
    for (const StoredLot& lot : lots) {
        records::LotHistory history = store->lot_history(lot.id, as_of);
        const Instant began = records::first_stage(history).value_or(lot.facts.opened_at);
        const records::SettingsInForce in_force = records::settings_at(settings, began);
        if (!code) {
            must_agree(one_code, in_force.code.value_or(kDefaultPack), lot.facts.name, "code packs",
                       "--code");
        }
        if (!largest_interval) {
            must_agree(one_interval, in_force.largest_interval.value_or(gathered.largest_interval),
                       lot.facts.name, "largest intervals", "--max-gap");
        }
        gathered.lots.push_back(std::move(history));
    }
    gathered.code = *one_code;
    gathered.largest_interval = *one_interval;
    return gathered;
}

} // namespace holdwarden::cli
