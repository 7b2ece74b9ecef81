#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// Lots split, merged, handed on and taken in. A part of the Store, under the Store's rules:
/// append-only, durable when a write returns, refused entries leave everything as it was.
class Parts {
public:
    Parts() = default;
    Parts(const Parts&) = delete;
    Parts& operator=(const Parts&) = delete;
    virtual ~Parts() = default;
};

} // namespace holdwarden::records
