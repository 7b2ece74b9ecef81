#pragma once

#include <holdwarden/records/answers.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::Answers in the store's own database.
class SqliteAnswers final : public records::Answers {
public:
    explicit SqliteAnswers(SqliteStore& store) : store_{store} {}

private:
    [[maybe_unused]] SqliteStore& store_;
};

} // namespace holdwarden::store
