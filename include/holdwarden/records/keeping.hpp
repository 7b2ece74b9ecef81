#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// How long records are kept, and what was purged after that. A part of the Store, under the
/// Store's rules: append-only, durable when a write returns, refused entries leave everything as it
/// was.
class Keeping {
public:
    Keeping() = default;
    Keeping(const Keeping&) = delete;
    Keeping& operator=(const Keeping&) = delete;
    virtual ~Keeping() = default;
};

} // namespace holdwarden::records
