#include "pin_reset.hpp"

#include "elsewhere.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/store/pin_reset.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::store {
namespace {

/// What the signature is over.
std::string statement_of(const std::string& site, const PinReset& reset, const seal::Sha256& key) {
    return fmt::format("holdwarden-pin-reset/1\nsite {}\nperson {}\nwhy {}\nat {}\nby {}\nkey {}\n",
                       for_display(site), for_display(reset.person), for_display(reset.why, 2000),
                       reset.stamp.entered_at.unix_ms(), for_display(reset.stamp.by),
                       seal::hex(key));
}

/// Columns: person's name, why, entered at, by.
PinReset reset_in(const Statement& row) {
    return {.person = std::string{row.text(0)},
            .why = std::string{row.text(1)},
            .stamp = {.entered_at = instant_at(row, 2), .by = std::string{row.text(3)}}};
}

constexpr const char* kResets =
    "select p.name, r.why, e.entered_at, coalesce(b.name, ''), r.id, r.entry, r.public_key, "
    "r.signature, s.name from pin_reset r join person p on p.id = r.person join entry e on e.id = "
    "r.entry left join person b on b.id = e.by, site s order by r.id";

/// A key made and used only now is nobody's authority. `before`: the entry of the PIN replaced.
bool is_the_sites(const Database& database, Blob key, std::int64_t before) {
    Statement known{database,
                    "select 1 from checkpoint where public_key = ?1 and (entry < ?2 or id = "
                    "(select min(id) from checkpoint)) union all select 1 from made_from_packet "
                    "where public_key = ?1"};
    return known.run(key, before);
}

} // namespace

void reset_pin(records::Store& store, records::PersonId person, std::string_view hash,
               const std::string& why, const seal::SigningKey& key, const records::Stamp& stamp) {
    auto& sqlite = dynamic_cast<SqliteStore&>(store);
    const Database& database = sqlite.database();
    if (trimmed(stamp.by).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "nobody is named who sets the PIN",
                     .where = "",
                     .fix = "say who with --by or HOLDWARDEN_BY"}};
    }
    if (trimmed(why).empty()) {
        throw Error{ErrorKind::bad_input,
                    {.what = "no reason is given",
                     .where = "",
                     .fix = "say why with --why; the history keeps it"}};
    }
    records::check_text("reason", why);
    const seal::PublicKey public_key = key.public_key();
    store.atomically([&] {
        Statement last{database, "select coalesce(max(entry), 0) from person_pin where person = ?"};
        last.run(person.value());
        if (!is_the_sites(database, Blob{public_key.bytes}, last.integer(0))) {
            throw Error{ErrorKind::conflict,
                        {.what = "this key (" + seal::hex(seal::fingerprint(public_key)) +
                                 ") is not the one that signs for this store, so it sets no PIN",
                         .where = "",
                         .fix = "name the site's own key with --key: that of its first "
                                "checkpoint"}};
        }
        Statement name{database, "select name from person where id = ?"};
        name.run(person.value());
        const PinReset reset{.person = std::string{name.text(0)}, .why = why, .stamp = stamp};
        const std::string text =
            statement_of(store.site().name, reset, seal::fingerprint(public_key));
        database.run("insert into pin_reset (entry, person, why, public_key, signature) values "
                     "(?, ?, ?, ?, ?)",
                     sqlite.enter("pin_reset", stamp), person.value(), std::string_view{why},
                     Blob{public_key.bytes}, Blob{key.sign(text).bytes});
        store.people().set_pin(person, hash, stamp);
    });
}

std::vector<PinReset> pin_resets(const records::Store& store) {
    Statement row{database_of(store), kResets};
    std::vector<PinReset> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(reset_in(row));
    }
    return all;
}

bool pins_stayed_behind(const records::Store& store) {
    Statement row{database_of(store), "select 1 from kept_elsewhere where why = ? limit 1"};
    return row.run(std::string_view{kSecret});
}

void check_pin_resets(const Database& database, const std::function<void(std::string)>& problem) {
    Statement row{database, kResets};
    for (bool more = row.run(); more; more = row.step()) {
        const std::string name = fmt::format("the PIN reset of entry {}", row.integer(5));
        seal::PublicKey key;
        seal::Signature signature;
        const Blob key_bytes = row.blob(6);
        const Blob signature_bytes = row.blob(7);
        std::copy_n(key_bytes.begin(), std::min(key_bytes.size(), key.bytes.size()),
                    key.bytes.begin());
        std::copy_n(signature_bytes.begin(),
                    std::min(signature_bytes.size(), signature.bytes.size()),
                    signature.bytes.begin());
        const std::string text =
            statement_of(std::string{row.text(8)}, reset_in(row), seal::fingerprint(key));
        if (!seal::is_signed(text, signature, key)) {
            problem(name + " was not signed with the key that it names");
        } else if (!is_the_sites(database, key_bytes, row.integer(5))) {
            problem(name + " was signed with a key that was not the site's");
        }
    }
}

} // namespace holdwarden::store
