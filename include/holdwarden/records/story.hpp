#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::records {

/// Which entries a story tells. Empty: all.
struct StoryWanted {
    std::optional<LotId> lot{};
    std::optional<ProbeId> probe{};
    std::optional<UnitId> unit{};
    std::string person{};          ///< who made the entry, or whom it was made for
    std::optional<Instant> from{}; ///< entered, or happened, then or later
    std::optional<Instant> to{};   ///< ... and before this
};

/// One fact of an entry: a time, or text.
struct StoryFact {
    std::string name{}; ///< "lot", "value", "from"
    std::string text{};
    std::optional<Instant> at{};
    friend bool operator==(const StoryFact&, const StoryFact&) = default;
};

/// What an amendment changed.
struct StoryChange {
    StoryFact was;
    StoryFact now;
};

struct StoryEntry {
    EntryId entry;
    Stamp stamp;
    std::string kind{}; ///< the table of the store that holds it
    std::optional<Instant>
        happened_at{}; ///< when the thing happened; nullopt: an entry is all it is
    bool late = false;
    std::vector<StoryFact> facts{};
    std::string why{};
    bool voids = false;          ///< what it amends counts for nothing from here on
    std::optional<EntryId> of{}; ///< the entry that it amends, lifts, marks, verifies or ends
    std::vector<StoryChange> changes{}; ///< of an amendment
};

} // namespace holdwarden::records
