#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

namespace holdwarden::records {

/// What a kitchen notes beside its lots: receiving, waste, papers kept on file, usual lots. A part
/// of the Store, under the Store's rules: append-only, durable when a write returns, refused
/// entries leave everything as it was.
class DayBook {
public:
    DayBook() = default;
    DayBook(const DayBook&) = delete;
    DayBook& operator=(const DayBook&) = delete;
    virtual ~DayBook() = default;
};

} // namespace holdwarden::records
