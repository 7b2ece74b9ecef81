#pragma once

#include <holdwarden/records/parts.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Parts in the store's own database.
class SqliteParts final : public records::Parts {
public:
    explicit SqliteParts(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
