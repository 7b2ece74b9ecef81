#pragma once

#include <holdwarden/records/keeping.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Keeping in the store's own database.
class SqliteKeeping final : public records::Keeping {
public:
    explicit SqliteKeeping(SqliteStore& store) : store_{store} {}

    void choose(const records::RetentionChoice& choice, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::RetentionChoiceId, records::RetentionChoice>>
    choices() const override;
    std::vector<records::Recorded<records::PurgeId, records::Purge>> purges() const override;

private:
    SqliteStore& store_;
};

} // namespace holdwarden::store
