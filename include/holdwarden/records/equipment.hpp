#pragma once

#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace holdwarden::records {

/// What a unit is.
enum class UnitKind { smoker, oven, cabinet, insulated_chest, walk_in, blast_chiller };
std::string_view to_name(UnitKind kind) noexcept;
std::optional<UnitKind> unit_kind_named(std::string_view name) noexcept;
std::span<const UnitKind> all_unit_kinds() noexcept;

/// A piece of equipment that food is in.
struct Unit {
    std::string name{};
    UnitKind kind = UnitKind::cabinet;
    std::optional<OvenKind> oven{}; ///< how it heats, where that is known
    std::string note{};
};

/// One thermometer or channel, as it was described when it was taken into use.
struct Thermometer {
    std::string name{};
    std::optional<TemperatureDelta> accuracy{};     ///< stated: plus or minus
    std::optional<TemperatureDelta> display_step{}; ///< what its last digit counts
    std::string note{};
};

} // namespace holdwarden::records
