#pragma once

#include <holdwarden/records/corrections.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Corrections in the store's own database.
class SqliteCorrections final : public records::Corrections {
public:
    explicit SqliteCorrections(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
