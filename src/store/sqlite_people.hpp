#pragma once

#include <holdwarden/records/people.hpp>

namespace holdwarden::store {

class SqliteStore;

/// records::People in the store's own database.
class SqlitePeople final : public records::People {
public:
    explicit SqlitePeople(SqliteStore& store) : store_{store} {}

    records::PersonId describe(const records::Person& person, const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::PersonId, records::Person>> list() const override;
    void set_pin(records::PersonId person, std::string_view hash,
                 const records::Stamp& stamp) override;
    std::optional<std::string> pin_hash(records::PersonId person) const override;
    void note_attempt(records::PersonId person, const records::PinAttempt& attempt,
                      const records::Stamp& stamp) override;
    std::vector<records::PinAttempt> attempts(records::PersonId person) const override;
    void set_one_person(const records::OnePersonSite& setting,
                        const records::Stamp& stamp) override;
    std::vector<records::Recorded<records::EntryId, records::OnePersonSite>>
    one_person_settings() const override;

private:
    SqliteStore& store_;
};

} // namespace holdwarden::store
