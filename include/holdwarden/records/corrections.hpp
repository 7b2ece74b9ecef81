#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/lot.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/records/story.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace holdwarden::records {

using TypedReadingId = Id<struct TypedReadingTag>;
using StageEntryId = Id<struct StageEntryTag>;
using LotEndId = Id<struct LotEndTag>;
using MarkId = Id<struct MarkTag>;

/// What a record says, from one entry to the next that amends it.
template <class Facts>
struct Version {
    Facts facts;
    bool voided = false; ///< from here on it counts for nothing, and still shows
    EntryId entry;
    Stamp stamp;
    std::string why{}; ///< empty: the first
};

/// A record and all it ever said, the first version in front; the last one holds.
template <class RecordId, class Facts>
struct Kept {
    RecordId id;
    std::vector<Version<Facts>> versions;
    const Version<Facts>& first() const { return versions.front(); }
    const Version<Facts>& now() const { return versions.back(); }
    bool amended() const { return versions.size() > 1; }
};

using KeptReading = Kept<TypedReadingId, TypedReading>;
using KeptStage = Kept<StageEntryId, NewStage>;
using KeptLot = Kept<LotId, Lot>;
using KeptPlacement = Kept<PlacementId, Placement>;

struct EndFacts {
    LotId lot;
    Outcome outcome = Outcome::served;
    Instant at;
};
using KeptEnd = Kept<LotEndId, EndFacts>;

/// Which readings a mark is on: one typed reading, or what a probe logged in [from, to].
struct LoggedSpan {
    ProbeId probe;
    Instant from;
    Instant to;
};
using MarkedReadings = std::variant<TypedReadingId, LoggedSpan>;

struct Mark {
    MarkKind kind = MarkKind::confirmed;
    MarkedReadings readings;
    std::string why{};
    std::optional<Stamp> verified{}; ///< a second person agreed
};

/// What was amended, confirmed or set aside, and why. A part of the Store, under the Store's rules:
/// append-only, durable when a write returns, refused entries leave everything as it was.
///
/// Every write needs a person in its stamp and a reason that is not blank, else Error{bad_input};
/// the state it leads to keeps all rules of a first entry (records/entry_rules.hpp). An amendment
/// gives the whole of what is true now. One that changes nothing is Error{bad_input}. What was
/// voided is brought back by amending it. To retract an amendment, amend again.
class Corrections {
public:
    Corrections() = default;
    Corrections(const Corrections&) = delete;
    Corrections& operator=(const Corrections&) = delete;
    virtual ~Corrections() = default;

    // What is on record, with all its versions.

    /// The typed readings that are or ever were of this lot, by the time they now have.
    virtual std::vector<KeptReading> readings_of(LotId lot) const = 0;
    /// The same for the air of a unit.
    virtual std::vector<KeptReading> readings_of(UnitId unit) const = 0;
    /// By the time they now have, voided ones too.
    virtual std::vector<KeptStage> stages_of(LotId lot) const = 0;
    virtual KeptLot facts_of(LotId lot) const = 0;
    virtual std::optional<KeptEnd> end_of(LotId lot) const = 0;
    /// In the order of entry.
    virtual std::vector<KeptPlacement> placements_of(ProbeId probe) const = 0;

    // Amendments.

    /// A reading may not come to stand at an instant at which its target has another one.
    virtual void amend(TypedReadingId reading, const TypedReading& now, std::string_view why,
                       const Stamp& stamp) = 0;
    virtual void void_reading(TypedReadingId reading, std::string_view why, const Stamp& stamp) = 0;
    /// A stage stays between its neighbours, and in its lot (asserted).
    virtual void amend(StageEntryId stage, const NewStage& now, std::string_view why,
                       const Stamp& stamp) = 0;
    virtual void void_stage(StageEntryId stage, std::string_view why, const Stamp& stamp) = 0;
    /// Food, description, mass, thickness, container, made_from_ambient, made_on; the rest of `now`
    /// is not looked at.
    virtual void amend(LotId lot, const Lot& now, std::string_view why, const Stamp& stamp) = 0;
    /// Probes that were lifted at the lot's end follow it.
    virtual void amend(LotEndId end, const EndFacts& now, std::string_view why,
                       const Stamp& stamp) = 0;
    /// The lot has not ended. Its probes stay lifted.
    virtual void void_end(LotEndId end, std::string_view why, const Stamp& stamp) = 0;
    /// From when to when; an empty `to` leaves the lift as it is. What it reads stays (asserted):
    /// void the placement and make another.
    virtual void amend(PlacementId placement, const Placement& now, std::string_view why,
                       const Stamp& stamp) = 0;
    virtual void void_placement(PlacementId placement, std::string_view why,
                                const Stamp& stamp) = 0;

    // Marks on readings. Of several on one reading the last holds.

    /// Throws Error{not_found} when the probe logged nothing then.
    virtual MarkId mark(MarkKind kind, const MarkedReadings& readings, std::string_view why,
                        const Stamp& stamp) = 0;
    /// Of a mark that sets readings aside. Throws Error{conflict} when it was verified already or
    /// by whoever made it.
    virtual void verify(MarkId mark, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<MarkId, Mark>> marks() const = 0;

    /// Every entry that touches what is wanted, in the order of entry: a lot's own, those of its
    /// readings, stages and probes' placements, what amends or marks them, and the imports that
    /// brought its readings. Never a PIN's hash.
    virtual std::vector<StoryEntry> story(const StoryWanted& wanted) const = 0;
};

} // namespace holdwarden::records
