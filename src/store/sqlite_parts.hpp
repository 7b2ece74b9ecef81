#pragma once

#include <holdwarden/records/lot.hpp>
#include <holdwarden/records/parts.hpp>

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
    records::TemplateId save(const records::LotTemplate& usual,
                             const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::TemplateId, records::LotTemplate>>
    templates() const override;
    std::optional<records::ProbeId> last_hand_probe(Instant since) const override;

private:
    std::optional<records::Recorded<records::PartingId, records::Parting>>
    parting_with(records::LotId lot, std::string_view side) const;
    records::Lot lot_facts(records::LotId lot) const;
    void check_no_reading_after(records::LotId lot, Instant at) const;
    void write(const records::Parting& parting, std::int64_t entry);

    SqliteStore& store_;
};

} // namespace holdwarden::store
