#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>

#include <cstdint>

namespace holdwarden::records {

/// How a reading came in.
enum class Origin : std::uint8_t {
    logged, ///< by an instrument: stands for an instant
    typed,  ///< by a person with a hand probe: stands for what the probe settled to
};

/// One reading of one probe. Small on purpose: a year of a kitchen has tens of millions.
struct Reading {
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
    std::uint32_t probe = 0;     ///< index into the list of probes it came with
    std::uint32_t line = 0;      ///< 1-based line of its file, 0 when typed
    std::uint16_t watched_s = 0; ///< a typed entry may state for how many seconds it was watched
    Origin origin = Origin::logged;
    bool suspect = false; ///< counts against the food, never for it, until a person confirms it
    /// How many readings between the one before and this one were left out (records/keeper.hpp):
    /// none of them says anything that the kept ones do not. 0 in a whole record.
    std::uint32_t left_out : 31 = 0;
    std::uint32_t flat : 1 = 0; ///< those that were left out all showed this very value

    friend bool operator==(const Reading&, const Reading&) noexcept = default;
};

/// The widest readings taken for a food or its surroundings; outside it they are rejected, not
/// judged.
inline constexpr Temperature kLowestCelsius = Temperature::of_degrees(-80, Scale::celsius);
inline constexpr Temperature kHighestCelsius = Temperature::of_degrees(500, Scale::celsius);
bool plausible(Temperature value) noexcept;

} // namespace holdwarden::records
