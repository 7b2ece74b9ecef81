#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// Checks of thermometers: made, due and missed. A part of the Store, under the Store's rules:
/// append-only, durable when a write returns, refused entries leave everything as it was.
class Checks {
public:
    Checks() = default;
    Checks(const Checks&) = delete;
    Checks& operator=(const Checks&) = delete;
    virtual ~Checks() = default;
};

} // namespace holdwarden::records
