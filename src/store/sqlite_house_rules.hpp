#pragma once

#include <holdwarden/records/house_rules.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::HouseRules in the store's own database.
class SqliteHouseRules final : public records::HouseRules {
public:
    explicit SqliteHouseRules(SqliteStore& store) : store_{store} {}

    records::HouseLimitId add(const records::HouseLimit& limit,
                              const records::Stamp& stamp) override;
    records::TargetBandId add(const records::TargetBand& band,
                              const records::Stamp& stamp) override;
    void withdraw(records::HouseLimitId limit, const records::Withdrawal& withdrawal,
                  const records::Stamp& stamp) override;
    void withdraw(records::TargetBandId band, const records::Withdrawal& withdrawal,
                  const records::Stamp& stamp) override;
    std::vector<records::Dated<records::HouseLimitId, records::HouseLimit>> limits() const override;
    std::vector<records::Dated<records::TargetBandId, records::TargetBand>> bands() const override;

private:
    SqliteStore& store_;
};

} // namespace holdwarden::store
