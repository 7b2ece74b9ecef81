#include "books.hpp"

#include "sqlite_store.hpp"

namespace holdwarden::store {

SqliteStore::SqliteStore(Database database)
    : database_{std::move(database)}, books_{std::make_unique<Books>(*this)} {}
SqliteStore::~SqliteStore() = default;

records::People& SqliteStore::people() {
    return books_->people;
}
const records::People& SqliteStore::people() const {
    return books_->people;
}
records::Checks& SqliteStore::checks() {
    return books_->checks;
}
const records::Checks& SqliteStore::checks() const {
    return books_->checks;
}
records::Answers& SqliteStore::answers() {
    return books_->answers;
}
const records::Answers& SqliteStore::answers() const {
    return books_->answers;
}
records::Corrections& SqliteStore::corrections() {
    return books_->corrections;
}
const records::Corrections& SqliteStore::corrections() const {
    return books_->corrections;
}
records::HouseRules& SqliteStore::house_rules() {
    return books_->house_rules;
}
const records::HouseRules& SqliteStore::house_rules() const {
    return books_->house_rules;
}
records::Parts& SqliteStore::parts() {
    return books_->parts;
}
const records::Parts& SqliteStore::parts() const {
    return books_->parts;
}
records::DayBook& SqliteStore::day_book() {
    return books_->day_book;
}
const records::DayBook& SqliteStore::day_book() const {
    return books_->day_book;
}
records::Keeping& SqliteStore::keeping() {
    return books_->keeping;
}
const records::Keeping& SqliteStore::keeping() const {
    return books_->keeping;
}

} // namespace holdwarden::store
