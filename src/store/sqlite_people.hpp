#pragma once

#include <holdwarden/records/people.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::People in the store's own database.
class SqlitePeople final : public records::People {
public:
    explicit SqlitePeople(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
