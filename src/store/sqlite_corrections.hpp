#pragma once

#include "sqlite.hpp"

#include <holdwarden/records/corrections.hpp>

#include <span>

namespace holdwarden::store {

class SqliteStore;

/// records::Corrections in the store's own database.
class SqliteCorrections final : public records::Corrections {
public:
    explicit SqliteCorrections(SqliteStore& store) : store_{store} {}

    std::vector<records::KeptReading> readings_of(records::LotId lot) const override;
    std::vector<records::KeptReading> readings_of(records::UnitId unit) const override;
    std::vector<records::KeptStage> stages_of(records::LotId lot) const override;
    records::KeptLot facts_of(records::LotId lot) const override;
    std::optional<records::KeptEnd> end_of(records::LotId lot) const override;
    std::vector<records::KeptPlacement> placements_of(records::ProbeId probe) const override;

    void amend(records::TypedReadingId reading, const records::TypedReading& now,
               std::string_view why, const records::Stamp& stamp) override;
    void void_reading(records::TypedReadingId reading, std::string_view why,
                      const records::Stamp& stamp) override;
    void amend(records::StageEntryId stage, const records::NewStage& now, std::string_view why,
               const records::Stamp& stamp) override;
    void void_stage(records::StageEntryId stage, std::string_view why,
                    const records::Stamp& stamp) override;
    void amend(records::LotId lot, const records::Lot& now, std::string_view why,
               const records::Stamp& stamp) override;
    void amend(records::LotEndId end, const records::EndFacts& now, std::string_view why,
               const records::Stamp& stamp) override;
    void void_end(records::LotEndId end, std::string_view why,
                  const records::Stamp& stamp) override;
    void amend(records::PlacementId placement, const records::Placement& now, std::string_view why,
               const records::Stamp& stamp) override;
    void void_placement(records::PlacementId placement, std::string_view why,
                        const records::Stamp& stamp) override;

    records::MarkId mark(records::MarkKind kind, const records::MarkedReadings& readings,
                         std::string_view why, const records::Stamp& stamp) override;
    void verify(records::MarkId mark, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::MarkId, records::Mark>> marks() const override;

    std::vector<records::StoryEntry> story(const records::StoryWanted& wanted) const override;

    /// Adds to a history how the record came to say so: amendments, marks, remarks, and what it
    /// said at first.
    void tell(records::LotId lot, Instant as_of, records::LotHistory& history) const;

private:
    const Database& database() const;
    records::KeptReading reading(records::TypedReadingId id) const;
    records::KeptStage stage(records::StageEntryId id) const;
    records::KeptEnd end(records::LotEndId id) const;
    records::KeptPlacement placement(records::PlacementId id) const;
    std::vector<records::KeptPlacement> placements_in(records::LotId lot) const;
    void write(const records::KeptReading& kept, const records::TypedReading& now, bool voided,
               std::string_view why, const records::Stamp& stamp);
    void write(const records::KeptStage& kept, const records::NewStage& now, bool voided,
               std::string_view why, const records::Stamp& stamp);
    void write(const records::KeptEnd& kept, const records::EndFacts& now, bool voided,
               std::string_view why, const records::Stamp& stamp);
    void write(const records::KeptPlacement& kept, const records::Placement& now, bool voided,
               std::string_view why, const records::Stamp& stamp);
    std::string unit_name(const std::optional<records::UnitId>& unit) const;
    std::string probe_name(const std::optional<records::ProbeId>& probe) const;
    std::vector<records::Amendment> amendments_of(records::LotId lot) const;
    std::vector<records::EntryRemark> remarks_of(records::LotId lot) const;
    /// What the store holds of the stretch and did not hold yet when the mark was entered.
    std::vector<records::Shown> came_later(const records::LoggedSpan& logged,
                                           records::EntryId mark) const;
    std::vector<records::ReadingMark> marks_on(const records::LotHistory& history,
                                               std::span<const records::LotId> lots) const;

    SqliteStore& store_;
};

} // namespace holdwarden::store
