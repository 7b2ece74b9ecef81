#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// What was amended, confirmed or set aside, and why. A part of the Store, under the Store's rules:
/// append-only, durable when a write returns, refused entries leave everything as it was.
class Corrections {
public:
    Corrections() = default;
    Corrections(const Corrections&) = delete;
    Corrections& operator=(const Corrections&) = delete;
    virtual ~Corrections() = default;
};

} // namespace holdwarden::records
