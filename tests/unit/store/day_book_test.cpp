#include "fixture.hpp"

#include <holdwarden/records/day_book.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using namespace holdwarden::records;

namespace {

Receipt flats() {
    return {.at = kNight,
            .supplier = "Yard Farms",
            .supplier_lot = "4411",
            .product = "brisket flats",
            .as = ReceivedAs::cold,
            .value = f(38),
            .amount = Amount{.thousandths = 40'000, .unit = "kg"},
            .note = "packages whole"};
}

} // namespace

TEST_CASE("a delivery reads back as it was entered") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "hand-1"}, by("RK"));
    Receipt first = flats();
    first.probe = probe;
    const ReceiptId id = store->day_book().add(first, by("RK"));
    Receipt second{.at = kNight,
                   .supplier = "Yard Farms",
                   .product = "peas",
                   .as = ReceivedAs::frozen,
                   .frozen_solid = false,
                   .accepted = false,
                   .reason = "thawed"};
    store->day_book().add(second, by("QM"));
    const auto all = store->day_book().receipts();
    REQUIRE(all.size() == 2);
    CHECK(all[0].id == id);
    CHECK(all[0].facts.at == kNight);
    CHECK(all[0].facts.supplier == "Yard Farms");
    CHECK(all[0].facts.supplier_lot == "4411");
    CHECK(all[0].facts.product == "brisket flats");
    CHECK(all[0].facts.as == ReceivedAs::cold);
    CHECK(all[0].facts.value == f(38));
    CHECK(all[0].facts.probe == probe);
    CHECK(all[0].facts.amount == first.amount);
    CHECK(all[0].facts.accepted);
    CHECK(all[0].facts.note == "packages whole");
    CHECK_FALSE(all[0].facts.frozen_solid);
    CHECK(all[0].stamp.by == "RK");
    CHECK(all[1].facts.frozen_solid == std::optional{false});
    CHECK_FALSE(all[1].facts.value);
    CHECK_FALSE(all[1].facts.amount);
    CHECK_FALSE(all[1].facts.accepted);
    CHECK(all[1].facts.reason == "thawed");
}

TEST_CASE("an entry that puts another right leaves it readable, and stands in its place") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    DayBook& book = store->day_book();
    const ReceiptId id = book.add(flats(), by("RK"));
    Receipt right = flats();
    right.value = f(40);
    right.instead_of = id;
    right.why = "read from the wrong line";
    const ReceiptId later = book.add(right, by("QM"));
    const auto all = book.receipts();
    CHECK(all.size() == 2);
    const auto left = standing(all);
    REQUIRE(left.size() == 1);
    CHECK(left[0]->id == later);

    ErrorKind kind{};
    CHECK(refusal([&] { book.add(right, by("QM")); }, kind).what ==
          "receipt 1 was put right already, by 2");
    CHECK(kind == ErrorKind::conflict);
    right.instead_of = ReceiptId::of(99);
    CHECK(refusal([&] { book.add(right, by("QM")); }, kind).what ==
          "receipt 99 is not in the store");
    right.instead_of = later;
    right.why = " ";
    refusal([&] { book.add(right, by("QM")); }, kind);
    CHECK(kind == ErrorKind::bad_input);
    right.instead_of.reset();
    right.why = "no reason";
    refusal([&] { book.add(right, by("QM")); }, kind);
    CHECK(kind == ErrorKind::bad_input);
    CHECK(book.receipts().size() == 2);
}

TEST_CASE("a delivery that cannot be is refused") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto what = [&](void (*spoil)(Receipt&)) {
        Receipt receipt = flats();
        spoil(receipt);
        ErrorKind kind{};
        std::string text = refusal([&] { store->day_book().add(receipt, by("RK")); }, kind).what;
        CHECK(kind == ErrorKind::bad_input);
        return text;
    };
    CHECK(what([](Receipt& r) { r.product = " "; }) == "the product is not said");
    CHECK(what([](Receipt& r) { r.supplier.clear(); }) == "the supplier is not said");
    CHECK(what([](Receipt& r) { r.accepted = false; }) ==
          "a delivery that was refused needs a reason");
    CHECK(what([](Receipt& r) { r.frozen_solid = true; }) ==
          "only food that is to arrive frozen is found frozen or thawed");
    CHECK(what([](Receipt& r) { r.probe = ProbeId::of(1), r.value.reset(); }) ==
          "a thermometer is named, but no temperature");
    CHECK(what([](Receipt& r) {
              r.at = kNight + Span::hours(1);
          }).starts_with("the delivery lies in the future"));
    CHECK_FALSE(what([](Receipt& r) { r.note = "a\nb"; }).empty());
    CHECK_FALSE(what([](Receipt& r) { r.value = f(2000); }).empty());
    CHECK(store->day_book().receipts().empty());
}

TEST_CASE("what went into the bin is of a lot or a product, with amount and reason") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto lot = store->open_lot({.name = "brisket-1", .opened_at = kNight}, by("RK"));
    DayBook& book = store->day_book();
    const Waste dry{.at = kNight,
                    .lot = lot,
                    .amount = {.thousandths = 2'000, .unit = "kg"},
                    .reason = "dried out"};
    const WasteId id = book.add(dry, by("RK"));
    const Waste sauce{.at = kNight,
                      .product = "sauce",
                      .amount = {.thousandths = 1'000, .unit = "pan"},
                      .reason = "spilt",
                      .instead_of = id,
                      .why = "it was sauce"};
    book.add(sauce, by("QM"));
    const auto all = book.waste();
    REQUIRE(all.size() == 2);
    CHECK(all[0].facts.lot == lot);
    CHECK(all[0].facts.amount == dry.amount);
    CHECK(all[0].facts.reason == "dried out");
    CHECK_FALSE(all[1].facts.lot);
    CHECK(all[1].facts.product == "sauce");
    CHECK(standing(all).size() == 1);

    ErrorKind kind{};
    Waste bad = dry;
    bad.reason.clear();
    CHECK(refusal([&] { book.add(bad, by("RK")); }, kind).what == "the reason is not said");
    bad = dry;
    bad.amount.thousandths = 0;
    CHECK(refusal([&] { book.add(bad, by("RK")); }, kind).what == "an amount is more than nothing");
    bad = dry;
    bad.lot.reset();
    CHECK(refusal([&] { book.add(bad, by("RK")); }, kind).what == "the product is not said");
    CHECK(book.waste().size() == 2);
}

TEST_CASE("REC-20: a system that records by itself has its looks as signed entries of their own") {
    // FDA Food Code 2022, 3-502.12(D)(2)(f) (from memory): checked by eye twice a day.
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    const auto store = make(file);
    const auto unit = store->add_unit({.name = "walk-in", .kind = UnitKind::walk_in}, by("RK"));
    DayBook& book = store->day_book();
    book.add(WorkingCheck{.at = kNight - Span::hours(12),
                          .unit = unit,
                          .shown = f(38),
                          .signer = "Rowan Kestrel"},
             by("RK"));
    book.add(WorkingCheck{.at = kNight,
                          .unit = unit,
                          .working = false,
                          .note = "cable out; put back",
                          .signer = "Quill Marsh"},
             by("QM"));
    const auto all = book.working_checks();
    REQUIRE(all.size() == 2);
    CHECK(all[0].entry != all[1].entry);
    CHECK(all[0].facts.unit == unit);
    CHECK(all[0].facts.working);
    CHECK(all[0].facts.shown == f(38));
    CHECK(all[0].facts.signer == "Rowan Kestrel");
    CHECK(all[0].stamp.by == "RK");
    CHECK_FALSE(all[1].facts.working);
    CHECK(all[1].facts.note == "cable out; put back");
    // They are no readings of the unit's air.
    CHECK(store->unit_air(unit, kNight - Span::hours(24), kNight).readings.empty());

    ErrorKind kind{};
    CHECK(
        refusal([&] { book.add(WorkingCheck{.at = kNight, .unit = unit, .signer = "x"}, by("")); },
                kind)
            .what == "nobody is named who saw it");
    CHECK(
        refusal([&] { book.add(WorkingCheck{.at = kNight, .unit = unit}, by("RK")); }, kind).what ==
        "nobody is named who saw it");
    CHECK(refusal(
              [&] {
                  book.add(
                      WorkingCheck{.at = kNight, .unit = unit, .working = false, .signer = "x"},
                      by("RK"));
              },
              kind)
              .what == "a system that does not work needs a note of what was done");
    CHECK(book.working_checks().size() == 2);
}

TEST_CASE("a paper's versions count up and stay readable") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    DayBook& book = store->day_book();
    Paper paper{.name = "time-control",
                .kind = PaperKind::time_control_procedure,
                .title = "Brisket at the counter",
                .text = "1. Mark the pan.\n2. Four hours, then out.\n"};
    CHECK(book.keep(paper, by("RK")) == 1);
    ErrorKind kind{};
    CHECK(refusal([&] { book.keep(paper, by("RK")); }, kind).what ==
          "version 1 of the paper 'time-control' says the same");
    CHECK(kind == ErrorKind::conflict);
    paper.text += "3. Sign.\n";
    CHECK(book.keep(paper, by("QM")) == 2);
    paper.name = "cooling";
    paper.kind = PaperKind::cooling_method;
    CHECK(book.keep(paper, by("QM")) == 1);
    const auto all = book.papers();
    REQUIRE(all.size() == 3);
    CHECK(all[0].facts.version == 1);
    CHECK(all[0].facts.text == "1. Mark the pan.\n2. Four hours, then out.\n");
    CHECK(all[1].facts.version == 2);
    CHECK(all[2].facts.kind == PaperKind::cooling_method);

    for (const char* text : {"", " \n ", "a\x01b", "bad \xff byte"}) {
        paper.text = text;
        refusal([&] { book.keep(paper, by("QM")); }, kind);
        CHECK(kind == ErrorKind::bad_input);
    }
    paper.text = std::string(kLongestPaper + 1, 'a');
    CHECK_FALSE(refusal([&] { book.keep(paper, by("QM")); }, kind).what.empty());
    CHECK(book.papers().size() == 3);
    for (const PaperKind one : kPaperKinds) {
        CHECK(paper_kind_named(to_name(one)) == one);
    }
    CHECK_FALSE(paper_kind_named("napkin"));
}

TEST_CASE("ACC-6: rows of a form filled in by pen are readings marked as transcribed") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto lot = store->open_lot({.name = "brisket-1", .opened_at = kNight}, by("RK"));
    DayBook& book = store->day_book();
    const auto row = [&](int number, int minutes, int degrees) {
        return TranscribedRow{.row = number,
                              .record = TypedReading{.target = LotPoint{lot},
                                                     .at = kNight - Span::minutes(minutes),
                                                     .value = f(degrees)},
                              .written_by = number == 2 ? "QM" : "",
                              .words = "row " + std::to_string(number)};
    };
    store->log({.target = LotPoint{lot}, .at = kNight - Span::minutes(30), .value = f(140)},
               by("RK"));
    FilledForm sheet{.form = "holding", .written_by = "Quill Marsh", .kept_at = "folder 3"};
    sheet.sha256[0] = 7;
    const auto counts =
        book.transcribe(sheet, {row(1, 60, 141), row(2, 30, 140), row(3, 30, 139)}, by("RK"));
    CHECK(counts.added == 1);
    CHECK(counts.already_there == 1);
    CHECK(counts.conflicts == 1);
    const auto all = book.filled_forms();
    REQUIRE(all.size() == 1);
    CHECK(all[0].facts.kept_at == "folder 3");
    CHECK(all[0].facts.written_by == "Quill Marsh");
    CHECK(all[0].facts.sha256 == sheet.sha256);
    CHECK(all[0].stamp.by == "RK"); // who typed it is another
    const auto rows = book.rows_of(all[0].id);
    REQUIRE(rows.size() == 3);
    CHECK(rows[0].words == "row 1");
    CHECK(rows[1].written_by == "QM");
    CHECK(rows[1].record < all[0].entry); // the reading was on record before
    CHECK(rows[0].record > all[0].entry);
    CHECK(rows[2].record > rows[0].record);
    CHECK(book.transcribed_readings(lot) == 3);
    // The times are the paper's.
    CHECK(store->lot_history(lot, kNight).points.front().readings.front().at ==
          kNight - Span::minutes(60));

    // The same rows again, a row that cannot be, and nobody named: nothing is written.
    ErrorKind kind{};
    CHECK(refusal([&] { book.transcribe(sheet, {row(1, 60, 141)}, by("RK")); }, kind).what ==
          "these rows were entered before, as filled form 1");
    sheet.sha256[0] = 8;
    refusal([&] { book.transcribe(sheet, {row(1, 50, 141), row(2, -60, 141)}, by("RK")); }, kind);
    CHECK(kind == ErrorKind::bad_input);
    refusal([&] { book.transcribe(sheet, {}, by("RK")); }, kind);
    CHECK(kind == ErrorKind::bad_input);
    sheet.written_by.clear();
    refusal([&] { book.transcribe(sheet, {row(1, 50, 141)}, by("RK")); }, kind);
    CHECK(kind == ErrorKind::bad_input);
    sheet.written_by = "QM";
    sheet.kept_at = " ";
    refusal([&] { book.transcribe(sheet, {row(1, 50, 141)}, by("RK")); }, kind);
    CHECK(kind == ErrorKind::bad_input);
    CHECK(book.filled_forms().size() == 1);
    CHECK(store->lot_history(lot, kNight).points.front().readings.size() == 3);
}
