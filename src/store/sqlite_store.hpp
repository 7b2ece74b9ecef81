#pragma once

#include "history.hpp"
#include "sqlite.hpp"

#include <holdwarden/base/zone.hpp>
#include <holdwarden/records/store.hpp>

#include <map>
namespace holdwarden::store {

/// Probe and instant as one number: probe * 2^42 + milliseconds since 1970 (till the year 2109).
inline constexpr unsigned kInstantBits = 42;
inline std::int64_t reading_key(records::ProbeId probe, Instant at) noexcept {
    return probe.value() * (std::int64_t{1} << kInstantBits) + at.unix_ms();
}

struct Books;
class Gatherer;

/// records::Store over one connection. One object belongs to one thread.
class SqliteStore final : public records::Store {
public:
    explicit SqliteStore(Database database);
    ~SqliteStore() override;
    SqliteStore(const SqliteStore&) = delete; // its history refers to its own database
    SqliteStore& operator=(const SqliteStore&) = delete;

    /// The first entries of a new store.
    void found(const records::Site& site, const records::SiteSetting& adopted,
               const records::Stamp& stamp);

    void add_checkpoint(std::string_view text, Blob signature, Blob public_key,
                        const records::Stamp& stamp);

    const Database& database() const noexcept { return database_; }

    /// Writes the entry that a record of table `kind` belongs to, and the person's own on first
    /// sight. Only inside `atomically`.
    std::int64_t enter(std::string_view kind, const records::Stamp& stamp);

    /// Whatever the outermost one brought joins the history before it is committed.
    void atomically(const std::function<void()>& work) override;

    records::People& people() override;
    const records::People& people() const override;
    records::Checks& checks() override;
    const records::Checks& checks() const override;
    records::Answers& answers() override;
    const records::Answers& answers() const override;
    records::Corrections& corrections() override;
    const records::Corrections& corrections() const override;
    records::HouseRules& house_rules() override;
    const records::HouseRules& house_rules() const override;
    records::Parts& parts() override;
    const records::Parts& parts() const override;
    records::DayBook& day_book() override;
    const records::DayBook& day_book() const override;
    records::Keeping& keeping() override;
    const records::Keeping& keeping() const override;

    records::Site site() const override;
    void set(const records::SiteSetting& setting, const records::Stamp& stamp) override;
    std::vector<records::SiteSetting> settings() const override;

    records::UnitId add_unit(const records::Unit& unit, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::UnitId, records::Unit>> units() const override;
    records::ProbeId add_probe(const records::Thermometer& probe,
                               const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::ProbeId, records::Thermometer>> probes() const override;

    records::LotId open_lot(const records::Lot& lot, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::LotId, records::Lot>> lots(Which which) const override;
    void enter_stage(const records::NewStage& stage, const records::Stamp& stamp) override;
    void end_lot(records::LotId lot, Outcome outcome, Instant at,
                 const records::Stamp& stamp) override;
    std::vector<records::StageEntry> stages(records::LotId lot) const override;
    std::optional<records::LotEnd> end(records::LotId lot) const override;

    records::PlacementId place(const records::Placement& placement,
                               const records::Stamp& stamp) override;
    std::optional<records::Recorded<records::PlacementId, records::Placement>>
    open_placement(records::ProbeId probe) const override;
    void lift(records::PlacementId placement, Instant at, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::PlacementId, records::Placement>>
    placements() const override;

    records::Added log(const records::TypedReading& reading, const records::Stamp& stamp) override;
    std::optional<records::ImportCounts>
    finished_import(const records::ImportSource& source) const override;
    std::unique_ptr<records::Importing> begin_import(const records::ImportSource& source,
                                                     const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::ImportId, records::ImportSummary>>
    imports() const override;
    std::vector<records::Reject> rejects(records::ImportId import) const override;
    std::vector<records::ReadingConflict> conflicts(records::ProbeId probe, Instant from,
                                                    Instant to) const override;

    records::LotHistory lot_history(records::LotId lot, Instant as_of) const override;
    records::LotHistory lot_history(records::LotId lot, Instant as_of,
                                    const records::KeeperMaker& keeper) const override;
    Air unit_air(records::UnitId unit, Instant from, Instant to) const override;

    /// Records with their amendments, or as they were first entered.
    enum class Told { as_amended, first };
    /// The table or view that tells so.
    static std::string table(std::string name, Told told) {
        return told == Told::as_amended ? name + "_now" : name;
    }

private:
    friend class SqliteImport;
    friend class SqliteCorrections;
    friend class SqliteAnswers;

    std::optional<records::LotEnd> end_told(records::LotId lot, Told told) const;
    records::LotHistory history_told(records::LotId lot, Instant as_of, Told told,
                                     const records::KeeperMaker& keeper) const;
    void refuse_taken_instant(const records::NewStage& stage) const;

    std::vector<records::StageEntry> own_stages(records::LotId lot,
                                                Told told = Told::as_amended) const;
    records::LotHistory life_of(records::LotId lot, Instant until, Gatherer& gatherer) const;
    /// The readings of each point of the lot's own life.
    void gather_points(records::LotId lot, Instant as_of,
                       const std::vector<records::StageEntry>& stages, Gatherer& gatherer,
                       std::map<std::string, std::vector<records::Reading>>& points) const;
    /// Puts what a lot came from before or beside its own life.
    void add_origin(records::LotId lot, Instant until, records::LotHistory& history,
                    Gatherer& gatherer) const;
    /// Puts what the kitchen it came from tells before its own life.
    void add_taken_in(records::LotId lot, Instant until, records::LotHistory& history,
                      Gatherer& gatherer) const;
    /// A lot that became others takes no reading from then on. Throws Error{conflict}.
    void check_still_itself(records::LotId lot, Instant at) const;
    Zone zone() const { return Zone::named(site().zone); }
    std::string lot_name(records::LotId lot) const;
    std::string probe_name(records::ProbeId probe) const;
    std::string describe(const records::Target& target) const;
    std::vector<records::Recorded<records::PlacementId, records::Placement>>
    placements_where(std::string_view condition, std::optional<std::int64_t> value,
                     Told told = Told::as_amended) const;

    Database database_;
    History history_{database_};
    int depth_ = 0; ///< of atomically
    std::unique_ptr<Books> books_;
};

/// The database of a store that store::open or store::create made (asserted).
const Database& database_of(const records::Store& store) noexcept;

} // namespace holdwarden::store
