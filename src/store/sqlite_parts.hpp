#pragma once

#include <holdwarden/records/lot.hpp>
#include <holdwarden/records/parts.hpp>

#include <map>
#include <memory>
#include <string_view>

namespace holdwarden::store {

class SqliteStore;

/// records::Parts in the store's own database.
class SqliteParts final : public records::Parts {
public:
    explicit SqliteParts(SqliteStore& store) : store_{store} {}

    std::vector<records::LotId> split(const records::NewSplit& split,
                                      const records::Stamp& stamp) override;
    records::LotId merge(const records::NewMerge& merge, const records::Stamp& stamp) override;
    std::optional<records::Recorded<records::PartingId, records::Parting>>
    origin_of(records::LotId lot) const override;
    std::optional<records::Recorded<records::PartingId, records::Parting>>
    fate_of(records::LotId lot) const override;
    void hand_on(records::LotId lot, const records::HandedOn& to,
                 const records::Stamp& stamp) override;
    std::optional<records::HandedOn> handed_on(records::LotId lot) const override;
    void take_in(const records::TakenIn& taken, const records::Stamp& stamp) override;
    std::optional<records::TakenIn> taken_in(records::LotId lot) const override;
    std::optional<records::LotId> brought_by(std::string_view sha256) const override;
    records::TemplateId save(const records::LotTemplate& usual,
                             const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::TemplateId, records::LotTemplate>>
    templates() const override;
    std::optional<records::ProbeId> last_hand_probe(Instant since) const override;

    /// What the file of a lot that was taken in tells, marked as of its kitchen, this taking in
    /// last among LotHistory::came_from; null: it was not taken in.
    std::shared_ptr<const records::HandedLot> told_there(records::LotId lot) const;

private:
    std::optional<records::Recorded<records::PartingId, records::Parting>>
    parting_with(records::LotId lot, std::string_view side) const;
    records::Lot lot_facts(records::LotId lot) const;
    void check_no_reading_after(records::LotId lot, Instant at) const;
    void write(const records::Parting& parting, std::int64_t entry);

    SqliteStore& store_;
    /// Records never change, so that a file is read once.
    mutable std::map<std::int64_t, std::shared_ptr<const records::HandedLot>> told_there_;
};

} // namespace holdwarden::store
