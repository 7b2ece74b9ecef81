#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/records/measures.hpp>

#include <optional>
#include <span>
#include <string>

namespace holdwarden::records {

/// One kitchen.
struct Site {
    std::string name{};
    std::string zone{}; ///< IANA name
    std::optional<Altitude> altitude{};
    Scale scale = Scale::fahrenheit; ///< what a bare number is read in
};

/// Something a site adopted, and the instant from which it holds. A field left empty stays as it
/// was.
struct SiteSetting {
    Instant from{};
    std::optional<std::string> code{};      ///< id of the code pack
    std::optional<Span> largest_interval{}; ///< between two good readings of a hold
    std::string why{};                      ///< empty: not said
    std::string by{};                       ///< who set it; told when read, the stamp says it
};

/// What holds at `at`: of the settings that hold from then or earlier, the latest one of each field
/// (of two that hold from the same instant, the one entered later). Before the first, as at the
/// first: food recorded before the site said what it follows is judged by what it said first.
/// `settings` in the order of entry.
struct SettingsInForce {
    std::optional<std::string> code{};
    std::optional<Span> largest_interval{};
};
SettingsInForce settings_at(std::span<const SiteSetting> settings, Instant at);

} // namespace holdwarden::records
