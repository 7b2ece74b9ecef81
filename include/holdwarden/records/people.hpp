#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// Who works here: names, roles, and what they sign with. A part of the Store, under the Store's
/// rules: append-only, durable when a write returns, refused entries leave everything as it was.
class People {
public:
    People() = default;
    People(const People&) = delete;
    People& operator=(const People&) = delete;
    virtual ~People() = default;
};

} // namespace holdwarden::records
