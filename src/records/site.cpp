#include <holdwarden/records/site.hpp>

namespace holdwarden::records {
namespace {

template <class Field>
auto in_force(std::span<const SiteSetting> settings, Instant at, Field SiteSetting::*field) {
    const SiteSetting* held = nullptr;
    const SiteSetting* first = nullptr;
    for (const SiteSetting& setting : settings) {
        if (!(setting.*field)) {
            continue;
        }
        if (setting.from <= at && (held == nullptr || held->from <= setting.from)) {
            held = &setting;
        }
        if (first == nullptr || setting.from < first->from) {
            first = &setting;
        }
    }
    const SiteSetting* chosen = held != nullptr ? held : first;
    return chosen != nullptr ? chosen->*field : Field{};
}

} // namespace

SettingsInForce settings_at(std::span<const SiteSetting> settings, Instant at) {
    return {.code = in_force(settings, at, &SiteSetting::code),
            .largest_interval = in_force(settings, at, &SiteSetting::largest_interval)};
}

} // namespace holdwarden::records
