#pragma once

#include <holdwarden/records/day_book.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::DayBook in the store's own database.
class SqliteDayBook final : public records::DayBook {
public:
    explicit SqliteDayBook(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
