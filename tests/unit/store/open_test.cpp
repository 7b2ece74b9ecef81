#include "fixture.hpp"

#include <holdwarden/seal/digest.hpp>
#include <holdwarden/store/history.hpp>

#include <catch2/catch.hpp>
#include <sys/stat.h>

using namespace fixture;
using Catch::Matchers::Contains;

namespace {

/// Opening must fail and leave the file's bytes alone.
void check_refused(const fs::path& file, const std::string& saying, const char* fix) {
    const std::string before = bytes_of(file);
    for (const auto access : {store::Access::read, store::Access::write}) {
        ErrorKind kind{};
        const ErrorText text = refusal([&] { store::open(options(file, access)); }, kind);
        CHECK(kind == ErrorKind::store);
        CHECK_THAT(text.what, Contains(saying));
        CHECK_THAT(text.where, Contains(file.filename().string()));
        CHECK_THAT(text.fix, Contains(fix));
        CHECK(bytes_of(file) == before);
    }
}

} // namespace

TEST_CASE("a new store is its owner's alone and says what it is") {
    const Folder folder;
    const fs::path file = folder / "new.db";
    {
        const auto store = make(file);
        for (const char* suffix : {"", "-wal", "-shm"}) {
            struct stat info {};
            INFO(suffix);
            REQUIRE(stat(fs::path{file}.concat(suffix).c_str(), &info) == 0);
            CHECK((info.st_mode & 0777U) == 0600U);
        }
    }
    // SQLite file format, section 1.3: the application id is at offset 68, big-endian.
    CHECK(bytes_of(file).substr(68, 4) == "HOLD");
    const auto store = reopen(file, store::Access::read);
    CHECK(store->site().name == "Larkspur Yard Smokehouse");
    CHECK(store->site().zone == "America/Denver");
    CHECK(store->site().altitude == kSite.altitude);
    CHECK(store->site().scale == Scale::fahrenheit);
}

// Guards a file against growing old; that a changed schema is refused is tested below it.
TEST_CASE("the digest kept beside the migrations is that of what they make") {
    const Folder folder;
    const fs::path file = folder / "new.db";
    make(file);
    std::string all;
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &handle) == SQLITE_OK);
    sqlite3_exec(
        handle,
        "select type, name, tbl_name, coalesce(sql, '') from sqlite_schema where name not like "
        "'sqlite_stat%' order by 1, 2",
        [](void* into, int n, char** values, char**) {
            for (int i = 0; i < n; ++i) {
                *static_cast<std::string*>(into) += std::string{values[i]} + '\x1f';
            }
            return 0;
        },
        &all, nullptr);
    sqlite3_close(handle);
    std::ifstream kept{fs::path{HOLDWARDEN_SOURCE_DIR} / "schema/sql/schema.sha256"};
    std::string digest;
    kept >> digest;
    INFO("after a new migration write the figure on the right into schema/sql/schema.sha256");
    CHECK(digest == seal::hex(seal::sha256(all)));
}

TEST_CASE("making a store never touches a file that is there") {
    const Folder folder;
    const fs::path file = folder / "taken.db";
    std::ofstream{file} << "a shopping list\n";
    ErrorKind kind{};
    const ErrorText text = refusal([&] { make(file); }, kind);
    CHECK(kind == ErrorKind::conflict);
    CHECK_THAT(text.fix, Contains("--store"));
    CHECK(bytes_of(file) == "a shopping list\n");
}

TEST_CASE("a store that cannot be made leaves nothing behind") {
    const Folder folder;
    const fs::path file = folder / "bad.db";
    records::Site site = kSite;
    site.name = "";
    CHECK_THROWS_AS(store::create(options(file), site, kAdopted, by("RK")), Error);
    CHECK(fs::is_empty(folder.path()));
    CHECK_THROWS_AS(store::create(options(folder / "no/such/folder.db"), kSite, kAdopted, by("RK")),
                    Error);
}

TEST_CASE("what is not a store is refused and left as it is") {
    const Folder folder;
    SECTION("no file") {
        ErrorKind kind{};
        const ErrorText text = refusal([&] { store::open(options(folder / "none.db")); }, kind);
        CHECK(kind == ErrorKind::store);
        CHECK_THAT(text.fix, Contains("init"));
        CHECK(fs::is_empty(folder.path()));
    }
    SECTION("a folder") {
        ErrorKind kind{};
        refusal([&] { store::open(options(folder.path())); }, kind);
        CHECK(kind == ErrorKind::store);
    }
    SECTION("an empty file") {
        std::ofstream{folder / "empty.db"};
        check_refused(folder / "empty.db", "is empty", "init");
    }
    SECTION("text") {
        std::ofstream{folder / "text.db"} << std::string(5000, 'x');
        check_refused(folder / "text.db", "not a holdwarden store", "--store");
    }
    SECTION("another program's database") {
        raw_sql(folder / "other.db", "create table t (a); insert into t values (1)");
        check_refused(folder / "other.db", "not a holdwarden store", "--store");
    }
    SECTION("a newer store") {
        make(folder / "newer.db");
        raw_sql(folder / "newer.db", "pragma user_version = 9999");
        check_refused(folder / "newer.db", "newer", "newer program");
    }
    SECTION("a store without a version") {
        make(folder / "none.db");
        raw_sql(folder / "none.db", "pragma user_version = 0");
        check_refused(folder / "none.db", "no tables", "backup");
    }
    SECTION("a store cut off anywhere") {
        make(folder / "cut.db");
        const auto size = fs::file_size(folder / "cut.db");
        for (const std::uintmax_t left : {size - 1, size / 2, std::uintmax_t{4096}}) {
            fs::resize_file(folder / "cut.db", left);
            check_refused(folder / "cut.db", "is cut off", "backup");
        }
        fs::resize_file(folder / "cut.db", 50);
        check_refused(folder / "cut.db", "not a holdwarden store", "--store");
    }
    SECTION("a store whose guards were taken off") {
        make(folder / "open.db");
        raw_sql(folder / "open.db", "drop trigger reading_no_update");
        check_refused(folder / "open.db", "behind the program's back", "evidence");
    }
    SECTION("a store with a table too many") {
        make(folder / "more.db");
        raw_sql(folder / "more.db", "create view lots as select 1");
        check_refused(folder / "more.db", "behind the program's back", "evidence");
    }
}

TEST_CASE("random damage to a page is an error or is not seen, never a crash") {
    const Folder folder;
    const fs::path file = folder / "whole.db";
    {
        const auto store = make(file);
        store->open_lot({.name = "brisket-1", .opened_at = kNight}, by("RK"));
    }
    const std::string whole = bytes_of(file);
    // A fixed stride, so that the test is the same each time and meets every kind of page.
    for (std::size_t at = 100; at < whole.size(); at += 997) {
        std::string damaged = whole;
        damaged[at] = static_cast<char>(damaged[at] ^ 0x55);
        std::ofstream{folder / "hurt.db", std::ios::binary | std::ios::trunc} << damaged;
        try {
            const auto store = reopen(folder / "hurt.db", store::Access::read);
            store->lots();
            store->site();
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::store);
        }
    }
}

TEST_CASE("an older store is copied, then migrated, and the copy named") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    REQUIRE(
        raw_sql(file, bytes_of(kSchema / "0001-records.sql") +
                          "pragma application_id = 0x484F4C44; pragma user_version = 1;"
                          "insert into entry values (1, 'site', 0, null), (2, 'lot', 0, null);"
                          "insert into site values (1, 1, 'Larkspur Yard Smokehouse', "
                          "'America/Denver', null, null, 'F');"
                          "insert into lot values (1, 2, 'brisket-1', 'intact-roast', '', null, "
                          "null, '', 0, null, 0);")
            .empty());
    const std::string before = dump(file);

    const store::Opened opened = store::open(options(file, store::Access::read));
    REQUIRE(opened.notices.size() == 1);
    CHECK_THAT(opened.notices[0], Contains("kitchen.db.v1.backup"));
    CHECK(opened.store->lots().size() == 1);
    // The tables of version 1 hold what they held, and are in the history from now on.
    CHECK(dump(file, {"history", "checkpoint"}) == before);
    CHECK(dump(folder / "kitchen.db.v1.backup") == before);
    CHECK(raw_sql(file, "delete from lot") == "records are never removed");
    CHECK(store::head(*opened.store).size == 2);
    CHECK(store::verify(*opened.store).problems.empty());

    const store::Opened again = store::open(options(file));
    CHECK(again.notices.empty());
}

TEST_CASE("a migration that fails leaves the store as it was") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    make(file);
    const fs::path next = folder.path() / "sql";
    fs::copy(kSchema, next);
    std::ofstream{next / "0098-gap.sql"} << "select 1;";
    store::OpenOptions with_gap = options(file);
    with_gap.migrations = next;
    CHECK_THROWS_WITH(store::open(with_gap), Contains("is missing"));
    fs::remove(next / "0098-gap.sql");
    std::size_t count = 0;
    for ([[maybe_unused]] const auto& item : fs::directory_iterator{kSchema}) {
        ++count;
    }
    const std::string number = std::to_string(count + 1);
    const std::string name = std::string(4 - number.size(), '0') + number + "-broken.sql";
    std::ofstream{next / name} << "create table extra (a integer) strict; no such statement;";
    const std::string before = dump(file);
    CHECK_THROWS_AS(store::open(with_gap), Error);
    CHECK(dump(file) == before);
    CHECK(reopen(file)->site().name == kSite.name);
}

TEST_CASE("a store that another process holds is said to be locked after a bounded wait") {
    const Folder folder;
    const fs::path file = folder / "busy.db";
    const auto store = make(file);
    sqlite3* other = nullptr;
    sqlite3_open(file.c_str(), &other);
    REQUIRE(sqlite3_exec(other, "begin immediate", nullptr, nullptr, nullptr) == SQLITE_OK);
    ErrorKind kind{};
    const ErrorText text = refusal([&] { store->add_probe({.name = "P1"}, by("RK")); }, kind);
    CHECK(kind == ErrorKind::store);
    CHECK_THAT(text.what, Contains("locked"));
    CHECK(store->probes().empty()); // a reader is not held up
    sqlite3_close(other);
    store->add_probe({.name = "P1"}, by("RK"));
    CHECK(store->probes().size() == 1);
}

TEST_CASE("a store opened to read cannot be written") {
    const Folder folder;
    const fs::path file = folder / "read.db";
    make(file);
    const auto store = reopen(file, store::Access::read);
    ErrorKind kind{};
    refusal([&] { store->add_probe({.name = "P1"}, by("RK")); }, kind);
    CHECK(kind == ErrorKind::store);
    CHECK(store->probes().empty());
}
