#pragma once

#include "sqlite_answers.hpp"
#include "sqlite_checks.hpp"
#include "sqlite_corrections.hpp"
#include "sqlite_day_book.hpp"
#include "sqlite_house_rules.hpp"
#include "sqlite_keeping.hpp"
#include "sqlite_parts.hpp"
#include "sqlite_people.hpp"

namespace holdwarden::store {

/// The books of a store: each keeps one matter in tables of its own.
struct Books {
    explicit Books(SqliteStore& store)
        : people{store}, checks{store}, answers{store}, corrections{store},
          house_rules{store}, parts{store}, day_book{store}, keeping{store} {}

    SqlitePeople people;
    SqliteChecks checks;
    SqliteAnswers answers;
    SqliteCorrections corrections;
    SqliteHouseRules house_rules;
    SqliteParts parts;
    SqliteDayBook day_book;
    SqliteKeeping keeping;
};

} // namespace holdwarden::store
