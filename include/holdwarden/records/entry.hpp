#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/records/ids.hpp>

#include <string>

namespace holdwarden::records {

/// What an entry is stamped with. The time is the program's clock, never typed: when something
/// happened is a field of the record itself.
struct Stamp {
    Instant entered_at{};
    std::string by{};       ///< who made the entry; empty: not said
    std::string taken_by{}; ///< who did the thing, where that was somebody else
    std::string why_late{}; ///< why it was entered so long after it happened
};

/// A stored record: its id, what it says, and the entry that brought it.
template <class RecordId, class Facts>
struct Recorded {
    RecordId id;
    Facts facts;
    EntryId entry;
    Stamp stamp;
};

} // namespace holdwarden::records
