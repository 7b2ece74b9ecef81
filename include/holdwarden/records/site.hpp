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

/// What holds at `at`. `settings` in the order of entry. The first, which the store was made with,
/// holds from the beginning of time, whatever its date: food recorded before the site said what it
/// follows is judged by what it said first. Of the later ones that hold from `at` or earlier, the
/// latest of each field takes its place (of two that hold from the same instant, the one entered
/// later), be it dated before or after the making of the store.
struct SettingsInForce {
    std::optional<std::string> code{};
    std::optional<Span> largest_interval{};
};
SettingsInForce settings_at(std::span<const SiteSetting> settings, Instant at);

} // namespace holdwarden::records
