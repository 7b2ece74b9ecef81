#include "sqlite_day_book.hpp"

#include "rows.hpp"
#include "sqlite_store.hpp"

#include <holdwarden/records/entry_rules.hpp>

namespace holdwarden::store {

using namespace records;

namespace {

std::string text_at(const Statement& row, int column) {
    return std::string{row.text(column)};
}

template <class Tag>
std::optional<std::int64_t> number(const std::optional<Id<Tag>>& id) {
    return id ? std::optional{id->value()} : std::nullopt;
}

template <class AnyId>
std::optional<AnyId> id_at(const Statement& row, int column) {
    return row.is_null(column) ? std::nullopt : std::optional{AnyId::of(row.integer(column))};
}

/// That the entry to be put right is there (`exists` counts it) and stands.
void check_instead(const Database& database, const char* what, const std::string& exists,
                   const std::string& replaced, std::int64_t id) {
    Statement there{database, exists};
    if (!there.run(id)) {
        throw Error{ErrorKind::not_found,
                    {.what = std::string{what} + " " + std::to_string(id) + " is not in the store",
                     .where = "--instead-of",
                     .fix = "see the numbers with `holdwarden day`"}};
    }
    Statement gone{database, replaced};
    if (gone.run(id)) {
        throw Error{ErrorKind::conflict,
                    {.what = std::string{what} + " " + std::to_string(id) +
                             " was put right already, by " + std::to_string(gone.integer(0)),
                     .where = "--instead-of",
                     .fix = "name that one"}};
    }
}

} // namespace

ReceiptId SqliteDayBook::add(const Receipt& receipt, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        const Database& database = store_.database();
        check_receipt(receipt);
        check_not_future("the delivery", receipt.at, stamp.entered_at,
                         Zone::named(store_.site().zone));
        if (receipt.instead_of) {
            check_instead(database, "receipt", "select 1 from receipt where id = ?",
                          "select id from receipt where instead_of = ?",
                          receipt.instead_of->value());
        }
        const auto& amount = receipt.amount;
        store_.database().run(
            "insert into receipt (entry, at, supplier, supplier_lot, product, received_as, value, "
            "scale, probe, frozen_solid, amount, amount_unit, accepted, reason, note, instead_of, "
            "why) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            store_.enter("receipt", stamp), receipt.at.unix_ms(), receipt.supplier,
            receipt.supplier_lot, receipt.product, to_name(receipt.as),
            thousandths_of(receipt.value), scale_of(receipt.value), number(receipt.probe),
            receipt.frozen_solid ? std::optional{std::int64_t{*receipt.frozen_solid}}
                                 : std::nullopt,
            amount ? std::optional{amount->thousandths} : std::nullopt,
            amount ? std::optional<std::string_view>{amount->unit} : std::nullopt,
            std::int64_t{receipt.accepted}, receipt.reason, receipt.note,
            number(receipt.instead_of), receipt.why);
        id = database.last_id();
    });
    return ReceiptId::of(id);
}

std::vector<StoredReceipt> SqliteDayBook::receipts() const {
    Statement row{store_.database(),
                  "select r.id, r.at, r.supplier, r.supplier_lot, r.product, r.received_as, "
                  "r.value, r.scale, r.probe, r.frozen_solid, r.amount, r.amount_unit, r.accepted, "
                  "r.reason, r.note, r.instead_of, r.why, e.id, e.entered_at, p.name "
                  "from receipt r join entry e on e.id = r.entry "
                  "left join person p on p.id = e.by order by r.id"};
    std::vector<StoredReceipt> all;
    for (bool more = row.run(); more; more = row.step()) {
        Receipt receipt{.at = instant_at(row, 1),
                        .supplier = text_at(row, 2),
                        .supplier_lot = text_at(row, 3),
                        .product = text_at(row, 4),
                        .as = word_at(row, 5, received_as_named),
                        .value = degrees_at<Temperature>(row, 6),
                        .probe = id_at<ProbeId>(row, 8),
                        .accepted = row.integer(12) != 0,
                        .reason = text_at(row, 13),
                        .note = text_at(row, 14),
                        .instead_of = id_at<ReceiptId>(row, 15),
                        .why = text_at(row, 16)};
        if (!row.is_null(9)) {
            receipt.frozen_solid = row.integer(9) != 0;
        }
        if (!row.is_null(10)) {
            receipt.amount = Amount{.thousandths = row.integer(10), .unit = text_at(row, 11)};
        }
        all.push_back(recorded(row, 17, ReceiptId::of(row.integer(0)), std::move(receipt)));
    }
    return all;
}

WasteId SqliteDayBook::add(const Waste& waste, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        const Database& database = store_.database();
        check_waste(waste);
        check_not_future("throwing it away", waste.at, stamp.entered_at,
                         Zone::named(store_.site().zone));
        if (waste.instead_of) {
            check_instead(database, "entry of the bin", "select 1 from waste where id = ?",
                          "select id from waste where instead_of = ?", waste.instead_of->value());
        }
        store_.database().run("insert into waste (entry, at, lot, product, amount, amount_unit, "
                              "reason, instead_of, why) values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                              store_.enter("waste", stamp), waste.at.unix_ms(), number(waste.lot),
                              waste.product, waste.amount.thousandths, waste.amount.unit,
                              waste.reason, number(waste.instead_of), waste.why);
        id = database.last_id();
    });
    return WasteId::of(id);
}

std::vector<StoredWaste> SqliteDayBook::waste() const {
    Statement row{store_.database(),
                  "select w.id, w.at, w.lot, w.product, w.amount, w.amount_unit, w.reason, "
                  "w.instead_of, w.why, e.id, e.entered_at, p.name from waste w "
                  "join entry e on e.id = w.entry left join person p on p.id = e.by order by w.id"};
    std::vector<StoredWaste> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(
            recorded(row, 9, WasteId::of(row.integer(0)),
                     Waste{.at = instant_at(row, 1),
                           .lot = id_at<LotId>(row, 2),
                           .product = text_at(row, 3),
                           .amount = Amount{.thousandths = row.integer(4), .unit = text_at(row, 5)},
                           .reason = text_at(row, 6),
                           .instead_of = id_at<WasteId>(row, 7),
                           .why = text_at(row, 8)}));
    }
    return all;
}

WorkingCheckId SqliteDayBook::add(const WorkingCheck& check, const Stamp& stamp) {
    std::int64_t id = 0;
    store_.atomically([&] {
        check_not_future("the check", check.at, stamp.entered_at, Zone::named(store_.site().zone));
        if (trimmed(stamp.by).empty() || trimmed(check.signer).empty()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "nobody is named who saw it",
                         .where = "",
                         .fix = "give --by with your name or initials"}};
        }
        if (!check.working && trimmed(check.note).empty()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "a system that does not work needs a note of what was done",
                         .where = "",
                         .fix = "give --note"}};
        }
        check_text("note", check.note);
        check_text("printed name", check.signer);
        if (check.shown) {
            check_plausible(*check.shown);
        }
        store_.database().run("insert into working_check (entry, at, unit, working, value, scale, "
                              "note, signer) values (?, ?, ?, ?, ?, ?, ?, ?)",
                              store_.enter("working_check", stamp), check.at.unix_ms(),
                              check.unit.value(), std::int64_t{check.working},
                              thousandths_of(check.shown), scale_of(check.shown), check.note,
                              check.signer);
        id = store_.database().last_id();
    });
    return WorkingCheckId::of(id);
}

std::vector<StoredWorkingCheck> SqliteDayBook::working_checks() const {
    Statement row{store_.database(),
                  "select c.id, c.at, c.unit, c.working, c.value, c.scale, c.note, c.signer, "
                  "e.id, e.entered_at, p.name from working_check c "
                  "join entry e on e.id = c.entry left join person p on p.id = e.by order by c.id"};
    std::vector<StoredWorkingCheck> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(recorded(row, 8, WorkingCheckId::of(row.integer(0)),
                               WorkingCheck{.at = instant_at(row, 1),
                                            .unit = UnitId::of(row.integer(2)),
                                            .working = row.integer(3) != 0,
                                            .shown = degrees_at<Temperature>(row, 4),
                                            .note = text_at(row, 6),
                                            .signer = text_at(row, 7)}));
    }
    return all;
}

int SqliteDayBook::keep(const Paper& paper, const Stamp& stamp) {
    std::int64_t version = 1;
    store_.atomically([&] {
        check_paper(paper);
        Statement last{store_.database(), "select version, kind, title, text from paper "
                                          "where name = ? order by version desc limit 1"};
        if (last.run(paper.name)) {
            if (last.text(1) == to_name(paper.kind) && last.text(2) == paper.title &&
                last.text(3) == paper.text) {
                throw Error{ErrorKind::conflict,
                            {.what = "version " + std::to_string(last.integer(0)) +
                                     " of the paper '" + for_display(paper.name) +
                                     "' says the same",
                             .where = "",
                             .fix = "nothing is to be done"}};
            }
            version = last.integer(0) + 1;
        }
        last.reset();
        store_.database().run("insert into paper (entry, name, version, kind, title, text) "
                              "values (?, ?, ?, ?, ?, ?)",
                              store_.enter("paper", stamp), paper.name, version,
                              to_name(paper.kind), paper.title, paper.text);
    });
    return static_cast<int>(version);
}

std::vector<StoredPaper> SqliteDayBook::papers() const {
    Statement row{store_.database(),
                  "select a.id, a.name, a.version, a.kind, a.title, a.text, e.id, e.entered_at, "
                  "p.name from paper a join entry e on e.id = a.entry "
                  "left join person p on p.id = e.by order by a.id"};
    std::vector<StoredPaper> all;
    for (bool more = row.run(); more; more = row.step()) {
        all.push_back(recorded(row, 6, PaperId::of(row.integer(0)),
                               Paper{.name = text_at(row, 1),
                                     .kind = word_at(row, 3, paper_kind_named),
                                     .title = text_at(row, 4),
                                     .text = text_at(row, 5),
                                     .version = static_cast<int>(row.integer(2))}));
    }
    return all;
}

} // namespace holdwarden::store
