#pragma once

#include <holdwarden/records/keeping.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Keeping in the store's own database.
class SqliteKeeping final : public records::Keeping {
public:
    explicit SqliteKeeping(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
