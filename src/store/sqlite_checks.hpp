#pragma once

#include <holdwarden/records/checks.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Checks in the store's own database.
class SqliteChecks final : public records::Checks {
public:
    explicit SqliteChecks(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
