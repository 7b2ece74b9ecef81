#include <holdwarden/records/site.hpp>

namespace holdwarden::records {
namespace {

/// Of the settings of one field. The first of all, which the store was made with, holds from the
/// beginning of time, whatever its date.
template <class Field>
auto in_force(std::span<const SiteSetting> settings, Instant at, Field SiteSetting::*field) {
    Field held = settings.empty() ? Field{} : settings.front().*field;
    std::optional<Instant> since;
    for (const SiteSetting& setting : settings.subspan(settings.empty() ? 0 : 1)) {
        if (setting.*field && setting.from <= at && (!since || *since <= setting.from)) {
            held = setting.*field;
            since = setting.from;
        }
    }
    return held;
}

} // namespace

SettingsInForce settings_at(std::span<const SiteSetting> settings, Instant at) {
    return {.code = in_force(settings, at, &SiteSetting::code),
            .largest_interval = in_force(settings, at, &SiteSetting::largest_interval)};
}

} // namespace holdwarden::records
