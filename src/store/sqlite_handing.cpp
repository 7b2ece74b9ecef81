// Lots that go to another kitchen, and lots that come from one.
#include "books.hpp"
#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/seal/signed_text.hpp>

namespace holdwarden::store {

using namespace records;

namespace {

Blob bytes_of(const std::string& text) {
    return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

} // namespace

void SqliteParts::hand_on(LotId lot, const HandedOn& to, const Stamp& stamp) {
    store_.atomically([&] {
        check_text("kitchen", to.kitchen);
        const auto end = store_.end(lot);
        if (!end || end->outcome != Outcome::handed_on || end->at != to.at) {
            throw Error{ErrorKind::conflict,
                        {.what = "the lot has not ended as handed on",
                         .where = "lot '" + lot_facts(lot).name + "'",
                         .fix = "hand it on with `hand-on`"}};
        }
        check_no_reading_after(lot, to.at);
        store_.database().run(
            "insert into handed_on (entry, lot, kitchen, at, sha256, signer) values "
            "(?, ?, ?, ?, ?, ?)",
            store_.enter("handed_on", stamp), lot.value(), std::string_view{to.kitchen},
            to.at.unix_ms(), std::string_view{to.sha256}, std::string_view{to.signer});
    });
}

std::optional<HandedOn> SqliteParts::handed_on(LotId lot) const {
    Statement row{store_.database(),
                  "select kitchen, at, sha256, signer from handed_on where lot = ?"};
    if (!row.run(lot.value())) {
        return std::nullopt;
    }
    return HandedOn{.kitchen = std::string{row.text(0)},
                    .at = instant_at(row, 1),
                    .sha256 = std::string{row.text(2)},
                    .signer = std::string{row.text(3)}};
}

void SqliteParts::take_in(const TakenIn& taken, const Stamp& stamp) {
    store_.atomically([&] {
        const CameFrom& from = taken.from;
        check_name("kitchen", from.kitchen);
        check_not_future("the taking in", from.taken_in, stamp.entered_at,
                         Zone::named(store_.site().zone));
        if (from.taken_in < from.handed_on) {
            throw Error{
                ErrorKind::conflict,
                {.what = "the lot was handed on later than that: at " +
                         local_text_with_offset(from.handed_on, Zone::named(store_.site().zone)),
                 .where = "",
                 .fix = "give the time it was taken in with --at; see whether the two "
                        "kitchens' clocks agree"}};
        }
        Statement own{store_.database(), "select 1 from handed_on where sha256 = ?"};
        if (own.run(from.sha256)) {
            throw Error{ErrorKind::conflict,
                        {.what = "this kitchen itself handed the lot on with that file",
                         .where = "",
                         .fix = "if it never left, say `amend end LOT --void`"}};
        }
        if (brought_by(from.sha256)) {
            throw Error{ErrorKind::conflict,
                        {.what = "that file was taken in already", .where = "", .fix = ""}};
        }
        store_.database().run(
            "insert into taken_in (entry, lot, kitchen, zone, handed_on_at, at, sha256, signer, "
            "file) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("taken_in", stamp), taken.lot.value(), std::string_view{from.kitchen},
            std::string_view{from.zone}, from.handed_on.unix_ms(), from.taken_in.unix_ms(),
            std::string_view{from.sha256}, std::string_view{from.signer}, bytes_of(taken.file));
    });
}

std::optional<TakenIn> SqliteParts::taken_in(LotId lot) const {
    Statement row{store_.database(),
                  "select kitchen, zone, handed_on_at, at, sha256, signer from taken_in "
                  "where lot = ?"};
    if (!row.run(lot.value())) {
        return std::nullopt;
    }
    return TakenIn{.lot = lot,
                   .from = {.kitchen = std::string{row.text(0)},
                            .zone = std::string{row.text(1)},
                            .handed_on = instant_at(row, 2),
                            .taken_in = instant_at(row, 3),
                            .sha256 = std::string{row.text(4)},
                            .signer = std::string{row.text(5)}}};
}

std::optional<LotId> SqliteParts::brought_by(std::string_view sha256) const {
    Statement row{store_.database(), "select lot from taken_in where sha256 = ?"};
    return row.run(sha256) ? std::optional{LotId::of(row.integer(0))} : std::nullopt;
}

std::shared_ptr<const HandedLot> SqliteParts::told_there(LotId lot) const {
    if (const auto known = told_there_.find(lot.value()); known != told_there_.end()) {
        return known->second;
    }
    auto taken = taken_in(lot);
    if (!taken) {
        return nullptr;
    }
    Statement row{store_.database(), "select file from taken_in where lot = ?"};
    row.run(lot.value());
    const Blob file = row.blob(0);
    HandedLot there = handed_lot_from_text(
        seal::open_seal({reinterpret_cast<const char*>(file.data()), file.size()}).body);
    there.history = told_for(as_of_kitchen(std::move(there.history), there.from), lot);
    taken->from.rules = there.rules;
    there.history.came_from.push_back(std::move(taken->from));
    auto told = std::make_shared<const HandedLot>(std::move(there));
    told_there_.emplace(lot.value(), told);
    return told;
}

} // namespace holdwarden::store
