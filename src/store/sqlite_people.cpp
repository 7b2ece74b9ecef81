#include "sqlite_people.hpp"

#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>

namespace holdwarden::store {

using namespace records;

PersonId SqlitePeople::describe(const Person& person, const Stamp& stamp) {
    const Database& database = store_.database();
    std::int64_t id = 0;
    store_.atomically([&] {
        check_name("person", person.name);
        check_text("printed name", person.printed_name, kLongestName);
        const std::int64_t entry = store_.enter("person_fact", stamp);
        Statement known{database, "select id from person where name = ?"};
        if (known.run(person.name)) {
            id = known.integer(0);
        } else {
            const std::int64_t first = store_.enter("person", stamp);
            database.run("insert into person (entry, name) values (?, ?)", first, person.name);
            id = database.last_id();
        }
        const auto has = [&](Role role) { return std::int64_t{person.has(role)}; };
        database.run("insert into person_fact (entry, person, printed_name, logger, "
                     "person_in_charge, reviewer, active) values (?, ?, ?, ?, ?, ?, ?)",
                     entry, id, person.printed_name, has(Role::logger), has(Role::person_in_charge),
                     has(Role::reviewer), std::int64_t{person.active});
    });
    return PersonId::of(id);
}

std::vector<Recorded<PersonId, Person>> SqlitePeople::list() const {
    Statement row{store_.database(),
                  "select p.id, p.name, f.printed_name, f.logger, f.person_in_charge, f.reviewer, "
                  "f.active, e.id, e.entered_at, b.name from person_fact f "
                  "join person p on p.id = f.person join entry e on e.id = f.entry "
                  "left join person b on b.id = e.by where f.id = (select max(id) from person_fact "
                  "where person = f.person) order by (select min(id) from person_fact where "
                  "person = f.person)"};
    std::vector<Recorded<PersonId, Person>> all;
    for (bool more = row.run(); more; more = row.step()) {
        Person person{.name = std::string{row.text(1)},
                      .printed_name = std::string{row.text(2)},
                      .roles = {},
                      .active = row.integer(6) != 0};
        for (std::size_t i = 0; i < all_roles().size(); ++i) {
            if (row.integer(3 + static_cast<int>(i)) != 0) {
                person.roles.push_back(all_roles()[i]);
            }
        }
        all.push_back(recorded(row, 7, PersonId::of(row.integer(0)), std::move(person)));
    }
    return all;
}

void SqlitePeople::set_pin(PersonId person, std::string_view hash, const Stamp& stamp) {
    store_.atomically([&] {
        store_.database().run("insert into person_pin (entry, person, hash) values (?, ?, ?)",
                              store_.enter("person_pin", stamp), person.value(), hash);
    });
}

std::optional<std::string> SqlitePeople::pin_hash(PersonId person) const {
    Statement row{store_.database(),
                  "select hash from person_pin where person = ? order by id desc limit 1"};
    if (!row.run(person.value())) {
        return std::nullopt;
    }
    return std::string{row.text(0)};
}

void SqlitePeople::note_attempt(PersonId person, const PinAttempt& attempt, const Stamp& stamp) {
    store_.atomically([&] {
        store_.database().run(
            "insert into pin_attempt (entry, person, is_right, purpose) values (?, ?, ?, ?)",
            store_.enter("pin_attempt", stamp), person.value(), std::int64_t{attempt.right},
            attempt.purpose);
    });
}

std::vector<PinAttempt> SqlitePeople::attempts(PersonId person) const {
    Statement row{store_.database(),
                  "select e.entered_at, a.is_right, a.purpose from pin_attempt a join entry e on "
                  "e.id = a.entry where a.person = ?1 and a.entry > coalesce((select max(entry) "
                  "from person_pin where person = ?1), 0) order by a.id"};
    std::vector<PinAttempt> all;
    for (bool more = row.run(person.value()); more; more = row.step()) {
        all.push_back({.at = instant_at(row, 0),
                       .right = row.integer(1) != 0,
                       .purpose = std::string{row.text(2)}});
    }
    return all;
}

void SqlitePeople::set_one_person(const OnePersonSite& setting, const Stamp& stamp) {
    store_.atomically([&] {
        if (trimmed(setting.why).empty()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "no reason is given",
                         .where = "",
                         .fix = "say why with --why; sheets print it"}};
        }
        check_text("reason", setting.why);
        store_.database().run("insert into one_person (entry, alone, why) values (?, ?, ?)",
                              store_.enter("one_person", stamp), std::int64_t{setting.alone},
                              setting.why);
    });
}

std::vector<Recorded<EntryId, OnePersonSite>> SqlitePeople::one_person_settings() const {
    Statement row{store_.database(),
                  "select o.alone, o.why, e.id, e.entered_at, p.name from one_person o join entry "
                  "e on e.id = o.entry left join person p on p.id = e.by order by o.id"};
    std::vector<Recorded<EntryId, OnePersonSite>> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(
            recorded(row, 2, EntryId::of(row.integer(2)),
                     OnePersonSite{.alone = row.integer(0) != 0, .why = std::string{row.text(1)}}));
    }
    return all;
}

} // namespace holdwarden::store
