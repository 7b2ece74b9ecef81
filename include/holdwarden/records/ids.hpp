#pragma once

#include <compare>
#include <cstdint>

namespace holdwarden::records {

/// The number a store gave to a record. Ids of different kinds do not mix.
template <class Tag>
class Id {
public:
    static constexpr Id of(std::int64_t value) noexcept { return Id{value}; }
    constexpr std::int64_t value() const noexcept { return value_; }
    friend constexpr auto operator<=>(Id, Id) noexcept = default;

private:
    explicit constexpr Id(std::int64_t value) noexcept : value_{value} {}
    std::int64_t value_;
};

/// Every record belongs to one entry; entries are numbered in the order in which they were made.
using EntryId = Id<struct EntryTag>;
using LotId = Id<struct LotTag>;
using ProbeId = Id<struct ProbeTag>;
using UnitId = Id<struct UnitTag>;
using PlacementId = Id<struct PlacementTag>;
using ImportId = Id<struct ImportTag>;

} // namespace holdwarden::records
