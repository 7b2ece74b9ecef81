#pragma once

#include <holdwarden/records/house_rules.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::HouseRules in the store's own database.
class SqliteHouseRules final : public records::HouseRules {
public:
    explicit SqliteHouseRules(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
