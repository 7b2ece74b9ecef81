#include <holdwarden/records/site.hpp>

#include <algorithm>

namespace holdwarden::records {
namespace {

template <class Field>
auto in_force(std::span<const SiteSetting> settings, Instant at, Field SiteSetting::*field) {
    const SiteSetting* held = nullptr;
    for (const SiteSetting& setting : settings) {
        if (!(setting.*field)) {
            continue;
        }
        if (setting.from <= at && (held == nullptr || held->from <= setting.from)) {
            held = &setting;
        }
    }
    return held != nullptr ? held->*field : std::nullopt;
}

} // namespace

SettingsInForce settings_at(std::span<const SiteSetting> settings, Instant at) {
    if (!settings.empty()) {
        at = std::max(at, std::ranges::min_element(settings, {}, &SiteSetting::from)->from);
    }
    return {.code = in_force(settings, at, &SiteSetting::code),
            .largest_interval = in_force(settings, at, &SiteSetting::largest_interval)};
}

} // namespace holdwarden::records
