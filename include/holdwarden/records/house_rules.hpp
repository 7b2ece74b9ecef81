#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// The limits a site sets itself, its approved variances and its target bands. A part of the Store,
/// under the Store's rules: append-only, durable when a write returns, refused entries leave
/// everything as it was.
class HouseRules {
public:
    HouseRules() = default;
    HouseRules(const HouseRules&) = delete;
    HouseRules& operator=(const HouseRules&) = delete;
    virtual ~HouseRules() = default;
};

} // namespace holdwarden::records
