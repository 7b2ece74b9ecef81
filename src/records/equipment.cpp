#include <holdwarden/records/equipment.hpp>

#include <algorithm>
#include <array>
#include <utility>

namespace holdwarden::records {
namespace {

constexpr std::array<UnitKind, 6> kKinds{UnitKind::smoker,  UnitKind::oven,
                                         UnitKind::cabinet, UnitKind::insulated_chest,
                                         UnitKind::walk_in, UnitKind::blast_chiller};
constexpr std::array<std::string_view, 6> kNames{"smoker",          "oven",    "cabinet",
                                                 "insulated-chest", "walk-in", "blast-chiller"};

} // namespace

std::string_view to_name(UnitKind kind) noexcept {
    return kNames[static_cast<std::size_t>(kind)];
}

std::optional<UnitKind> unit_kind_named(std::string_view name) noexcept {
    const auto* const found = std::find(kNames.begin(), kNames.end(), name);
    if (found == kNames.end()) {
        return std::nullopt;
    }
    return kKinds[static_cast<std::size_t>(found - kNames.begin())];
}

std::span<const UnitKind> all_unit_kinds() noexcept {
    return kKinds;
}

} // namespace holdwarden::records
