#include "night.hpp"

#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/leaf.hpp>

#include <catch2/catch.hpp>

#include <algorithm>

using namespace fixture;
using Catch::Matchers::Contains;

namespace {

const seal::LeafField* field(const std::vector<seal::LeafField>& fields, const std::string& name) {
    const auto found = std::find_if(fields.begin(), fields.end(),
                                    [&](const seal::LeafField& f) { return f.name == name; });
    return found == fields.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("a store that nobody touched verifies, and counts what it holds") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    write_night(*make(file));
    const auto store = reopen(file, store::Access::read);
    const store::HistoryReport report = store::verify(*store);
    CHECK(report.problems == std::vector<std::string>{});
    CHECK(report.checkpoints == 2);
    CHECK(report.readings > 40);
    CHECK(report.head == store::head(*store));
    CHECK(report.head.size > report.entries);
}

TEST_CASE("every write lengthens the history, in the same transaction") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto size = [&] { return store::head(*store).size; };
    const std::uint64_t at_first = size();
    CHECK(at_first > 0); // the site
    const auto probe = store->add_probe({.name = "P1"}, by("RK"));
    CHECK(size() == at_first + 1);
    const store::Head before = store::head(*store);
    CHECK_THROWS_AS(store->atomically([&] {
        store->add_probe({.name = "P2"}, by("RK"));
        throw Error{ErrorKind::conflict, {.what = "changed our mind", .where = "", .fix = ""}};
    }),
                    Error);
    CHECK(store::head(*store) == before);
    store->add_probe({.name = "P2"}, by("RK"));
    CHECK(size() == at_first + 2);
    const auto import = store->begin_import(source(), by("RK"));
    CHECK(size() == at_first + 3);
    import->add({.probe = probe, .at = kNight, .value = f(141)});
    CHECK(size() == at_first + 3); // not durable yet, not in the history yet
    import->finish(1, 0);
    CHECK(size() == at_first + 5); // the import's end, the batch
    CHECK(store::verify(*store).problems.empty());
}

TEST_CASE("two programs that take turns write one history") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    const auto one = make(file);
    const auto two = reopen(file);
    for (int i = 0; i < 9; ++i) {
        (i % 3 == 1 ? one : two)->add_unit({.name = "unit " + std::to_string(i)}, by("RK"));
    }
    CHECK(store::verify(*one).problems.empty());
    CHECK(store::head(*one) == store::head(*two));
}

TEST_CASE("an import of several blocks is several batches, each with its own leaf") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "P1"}, by("RK"));
    const std::uint64_t before = store::head(*store).size;
    const auto import = store->begin_import(source(), by("RK"));
    constexpr int kRows = 110'000; // blocks have 50,000
    for (int i = 0; i < kRows; ++i) {
        import->add({.probe = probe, .at = kNight - Span::seconds(i), .value = f(140)});
    }
    import->finish(kRows, 0);
    CHECK(store::head(*store).size == before + 2 + 3);
    const store::HistoryReport report = store::verify(*store);
    CHECK(report.problems.empty());
    CHECK(report.readings == kRows);
}

TEST_CASE("a leaf is the digest of the record's fields") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "P1", .note = "long stem"}, by("RK"));
    const auto entry = store->probes().front().entry;
    const seal::InclusionProof proof = store::prove_entry(*store, entry);
    CHECK(seal::holds(proof));
    CHECK(proof.root == store::head(*store).root);
    const auto fields = seal::read_leaf(proof.leaf);
    CHECK(std::get<std::int64_t>(field(fields, "leaf")->value) ==
          static_cast<std::int64_t>(proof.index) + 1);
    CHECK(std::get<std::string>(field(fields, "kind")->value) == "probe");
    CHECK(std::get<std::int64_t>(field(fields, "entered_at")->value) == kNight.unix_ms());
    const auto row = seal::read_leaf(std::get<seal::LeafBytes>(field(fields, "row")->value).bytes);
    CHECK(std::get<std::string>(field(row, "table")->value) == "probe");
    CHECK(std::get<std::string>(field(row, "name")->value) == "P1");
    CHECK(std::get<std::string>(field(row, "note")->value) == "long stem");
    CHECK(std::get<std::int64_t>(field(row, "id")->value) == probe.value());
    CHECK(field(row, "accuracy") == nullptr); // empty columns are left out
}

TEST_CASE("a batch's leaf has the digest of its readings") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    const auto probe = store->add_probe({.name = "P1"}, by("RK"));
    const auto import = store->begin_import(source(), by("RK"));
    import->add({.probe = probe, .at = Instant::from_unix_ms(2), .value = f(141)});
    import->add({.probe = probe, .at = Instant::from_unix_ms(1), .value = f(140)});
    import->finish(2, 0);
    const seal::InclusionProof proof = store::prove_batch(*store, 1);
    CHECK(seal::holds(proof));
    const auto fields = seal::read_leaf(proof.leaf);
    CHECK(std::get<std::int64_t>(field(fields, "readings")->value) == 2);
    // docs/formats/history.md: key and value, eight bytes each, in the order of the keys. Keys:
    // probe 1 times 2^42, plus 1 and 2 ms after 1970. Values: tenths of a degree.
    REQUIRE(probe.value() == 1);
    const auto digest_of = [](const std::string& digits) {
        const seal::Sha256 hash = seal::sha256(seal::from_hex(digits).value());
        return std::string{hash.begin(), hash.end()};
    };
    CHECK(std::get<seal::LeafBytes>(field(fields, "readings-sha256")->value).bytes ==
          digest_of("0000040000000001"
                    "0000000000000578"
                    "0000040000000002"
                    "0000000000000582"));
}

TEST_CASE("checkpoints hold for ever after, and growth between any two is proved") {
    const Folder folder;
    const auto store = make(folder / "kitchen.db");
    std::vector<store::SignedCheckpoint> made;
    for (int i = 0; i < 6; ++i) {
        store->add_unit({.name = "unit " + std::to_string(i)}, by("RK"));
        made.push_back(store::make_checkpoint(*store, some_key(), by("RK")));
    }
    for (const store::SignedCheckpoint& one : made) {
        CHECK(seal::is_signed(one.text, one.signature, some_key().public_key()));
        CHECK(seal::parse_checkpoint(one.text) == one.checkpoint);
        CHECK(store::head_at(*store, one.checkpoint.size)->root == one.checkpoint.root);
        const seal::ConsistencyProof proof = store::prove_growth(*store, one.checkpoint.size);
        CHECK(seal::holds(proof));
        CHECK(proof.old_root == one.checkpoint.root);
        CHECK(proof.new_root == store::head(*store).root);
    }
    CHECK_FALSE(store::head_at(*store, 1000).has_value());
    CHECK_THROWS_AS(store::prove_growth(*store, 1000), Error);
    CHECK_THROWS_AS(store::prove_growth(*store, 0), Error);
    CHECK_THROWS_AS(store::prove_entry(*store, records::EntryId::of(1000)), Error);
    CHECK_THROWS_AS(store::prove_batch(*store, 1), Error);
}

TEST_CASE("verify names the first record that does not fit") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    write_night(*make(file));
    REQUIRE(first_problem(file).empty());
    // pork-1's readings begin a minute earlier: the lowest key is one of its batch.
    struct Case {
        const char* sql;
        const char* says;
    };
    for (const Case& c : {
             Case{"update lot set name = 'brisket-2' where name = 'brisket-1'", "(lot entered"},
             Case{"update typed_reading set value = value + 1 where id = 2",
                  "(typed_reading entered"},
             Case{"delete from typed_reading where id = 1", "(typed_reading entered"},
             Case{"update entry set entered_at = entered_at - 1 where kind = 'lot'", "entry"},
             Case{"delete from entry where id = 3", "entry 3 is gone"},
             Case{"update reading set value = value + 1 where key = (select min(key) from reading)",
                  "(of readings, from pork-1) is not as it was written"},
             Case{"delete from reading where key = (select max(key) from reading)",
                  "is not as it was written"},
             Case{"update reading set batch = 99 where key = (select max(key) from reading)",
                  "is not as it was written"},
             Case{"insert into reading values (5, 5, 99)", "belongs to no batch"},
             Case{"delete from reject where id = 3", "the block of rejected rows up to 4"},
             Case{"insert into reject values (9, 1, 1, x'', 'no')", "table reject has 5 rows"},
             Case{"insert into typed_reading select 99, 1000, lot, point, unit, at, value, scale, "
                  "probe, watched_s from typed_reading where id = 1",
                  "table typed_reading has 9 rows, of which the history knows 8"},
             Case{"insert into entry values (1000, 'lot', 0, null)",
                  "entry 1000 (lot entered 0) is in no leaf"},
             Case{"delete from history where id = 4", "leaf 4 of the history is missing"},
             Case{"delete from history where id = (select max(id) from history)",
                  "(checkpoint entered 1793512800000) is in no leaf"},
             Case{"update history set leaf = zeroblob(32) where id = 2", "entry 2"},
             Case{"update history set node = zeroblob(32) where id = 2", "leaf 2 of the history"},
             Case{"update checkpoint set signature = zeroblob(64) where id = 1",
                  "(checkpoint entered"},
         }) {
        INFO(c.sql);
        const fs::path copy = folder / "copy.db";
        fs::copy_file(file, copy, fs::copy_options::overwrite_existing);
        REQUIRE(behind_its_back(copy, c.sql).empty());
        CHECK_THAT(first_problem(copy), Contains(c.says));
    }
}

TEST_CASE("a store rewritten with its whole history is told by a head noted before") {
    const Folder folder;
    const auto told = make(folder / "a.db");
    told->add_unit({.name = "cabinet-1"}, by("RK"));
    told->add_unit({.name = "walk-in"}, by("RK"));
    const store::Head noted = store::head(*told);
    const auto rewritten = make(folder / "b.db");
    rewritten->add_unit({.name = "cabinet-2"}, by("RK"));
    rewritten->add_unit({.name = "walk-in"}, by("RK"));
    rewritten->add_unit({.name = "chiller"}, by("RK"));
    CHECK(store::verify(*rewritten).problems.empty()); // it fits by itself
    CHECK(store::head_at(*rewritten, noted.size)->root != noted.root);
}
