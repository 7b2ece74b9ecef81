#pragma once

#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/equipment.hpp>
#include <holdwarden/records/ids.hpp>
#include <holdwarden/records/import.hpp>
#include <holdwarden/records/keeper.hpp>
#include <holdwarden/records/lot.hpp>
#include <holdwarden/records/lot_history.hpp>
#include <holdwarden/records/site.hpp>

#include <functional>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

namespace holdwarden::records {

class Answers;
class Checks;
class Corrections;
class DayBook;
class HouseRules;
class Keeping;
class Parts;
class People;

/// What keeps a site's records. Append-only: nothing here changes or removes what was written.
///
/// Each write is durable when it returns, and checks what it is given against what is there
/// (records/entry_rules.hpp), so that a refused entry leaves the store as it was. Writes take a
/// Stamp; instants in the records say when a thing happened, the stamp when it was entered. Nothing
/// may happen later than the stamp's time plus kClockTolerance.
///
/// All throw Error{store} when the medium fails, Error{conflict} when an entry contradicts the
/// records, Error{bad_input} when it is unusable by itself. Ids must come from the same store
/// (asserted where it is cheap). Lists are in the order of entry.
class Store {
public:
    Store() = default;
    Store(const Store&) = delete;
    Store& operator=(const Store&) = delete;
    virtual ~Store() = default;

    /// Runs `work` so that all its writes become durable together or, when it throws, none. May be
    /// nested.
    virtual void atomically(const std::function<void()>& work) = 0;

    // The books: each keeps one matter (records/people.hpp, ...).
    virtual People& people() = 0;
    virtual const People& people() const = 0;
    virtual Checks& checks() = 0;
    virtual const Checks& checks() const = 0;
    virtual Answers& answers() = 0;
    virtual const Answers& answers() const = 0;
    virtual Corrections& corrections() = 0;
    virtual const Corrections& corrections() const = 0;
    virtual HouseRules& house_rules() = 0;
    virtual const HouseRules& house_rules() const = 0;
    virtual Parts& parts() = 0;
    virtual const Parts& parts() const = 0;
    virtual DayBook& day_book() = 0;
    virtual const DayBook& day_book() const = 0;
    virtual Keeping& keeping() = 0;
    virtual const Keeping& keeping() const = 0;

    // The site.
    virtual Site site() const = 0;
    virtual void set(const SiteSetting& setting, const Stamp& stamp) = 0;
    virtual std::vector<SiteSetting> settings() const = 0;

    // Equipment.
    virtual UnitId add_unit(const Unit& unit, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<UnitId, Unit>> units() const = 0;
    virtual ProbeId add_probe(const Thermometer& probe, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<ProbeId, Thermometer>> probes() const = 0;

    // Lots.
    virtual LotId open_lot(const Lot& lot, const Stamp& stamp) = 0;
    enum class Which { all, living };
    /// `living`: those that have not ended.
    virtual std::vector<Recorded<LotId, Lot>> lots(Which which = Which::all) const = 0;
    virtual void enter_stage(const NewStage& stage, const Stamp& stamp) = 0;
    /// Ends the lot; its probes are lifted at the same instant.
    virtual void end_lot(LotId lot, Outcome outcome, Instant at, const Stamp& stamp) = 0;
    /// Ascending by `from`.
    virtual std::vector<StageEntry> stages(LotId lot) const = 0;
    virtual std::optional<LotEnd> end(LotId lot) const = 0;

    // What reads what.
    /// `placement.to` may be given when it is already over.
    virtual PlacementId place(const Placement& placement, const Stamp& stamp) = 0;
    /// The probe's placement that is still open; nullopt: it is nowhere.
    virtual std::optional<Recorded<PlacementId, Placement>> open_placement(ProbeId probe) const = 0;
    virtual void lift(PlacementId placement, Instant at, const Stamp& stamp) = 0;
    virtual std::vector<Recorded<PlacementId, Placement>> placements() const = 0;

    // Readings.
    virtual Added log(const TypedReading& reading, const Stamp& stamp) = 0;
    /// The import of the same bytes with the same mapping that came to its end, if there is one.
    virtual std::optional<ImportCounts> finished_import(const ImportSource& source) const = 0;
    virtual std::unique_ptr<Importing> begin_import(const ImportSource& source,
                                                    const Stamp& stamp) = 0;
    virtual std::vector<Recorded<ImportId, ImportSummary>> imports() const = 0;
    /// Ascending by line.
    virtual std::vector<Reject> rejects(ImportId import) const = 0;
    /// Logged readings that disagree, with instants in [from, to), ascending.
    virtual std::vector<ReadingConflict> conflicts(ProbeId probe, Instant from,
                                                   Instant to) const = 0;

    // What a judgement reads.
    /// The lot as the records tell it up to and including `as_of`: its stages; at each point the
    /// readings of the probes placed there and those typed; of each unit it was in, the air during
    /// the stages spent there (both ends included). Conflicting readings are neighbours.
    /// Reading::line is 0: a stored reading's file is that of its import. The probes carry all
    /// their checks, also those made later: a check tells of what was shown before it.
    virtual LotHistory lot_history(LotId lot, Instant as_of) const = 0;
    /// The same, but that each point's logged readings go through a keeper as they are read.
    virtual LotHistory lot_history(LotId lot, Instant as_of, const KeeperMaker& keeper) const = 0;
    /// A unit's air in [from, to], logged and typed; Reading::probe indexes the lists of `probes`.
    struct Air {
        std::vector<Reading> readings;
        std::vector<Probe> probes;
    };
    virtual Air unit_air(UnitId unit, Instant from, Instant to) const = 0;
};

} // namespace holdwarden::records
