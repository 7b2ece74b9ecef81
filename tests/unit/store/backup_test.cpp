#include "fixture.hpp"

#include <holdwarden/store/backup.hpp>

#include <catch2/catch.hpp>

using namespace fixture;
using Catch::Matchers::Contains;

namespace {

void open_lot(records::Store& store, const char* name) {
    store.open_lot({.name = name, .opened_at = kNight}, by("RK"));
}

std::size_t files_in(const Folder& folder) {
    return static_cast<std::size_t>(
        std::distance(fs::directory_iterator{folder.path()}, fs::directory_iterator{}));
}

ErrorText restore_refused(const fs::path& store, const fs::path& from) {
    ErrorKind kind{};
    return refusal([&] { store::restore(options(store), from); }, kind);
}

/// Another program changes a record and puts the guard back.
void tamper(const fs::path& file) {
    const std::string guard = "create trigger lot_no_update before update on lot\nbegin\n"
                              "    select raise(abort, 'records are never changed');\nend";
    REQUIRE(raw_sql(file, "drop trigger lot_no_update; update lot set opened_at = opened_at + 1; " +
                              guard)
                .empty());
}

} // namespace

TEST_CASE("a backup of a store in use holds what was confirmed and comes to the same root") {
    const Folder folder;
    const auto store = make(folder / "live.db");
    open_lot(*store, "brisket-1");
    const auto report = store::back_up(options(folder / "live.db"), folder / "copy.db");
    CHECK(report.problems.empty());
    CHECK(report.head == store::head(*store));
    open_lot(*store, "brisket-2"); // goes on
    CHECK(reopen(folder / "copy.db", store::Access::read)->lots().size() == 1);
    // Only its owner may read it; it is one plain file, without companions.
    CHECK(fs::status(folder / "copy.db").permissions() ==
          (fs::perms::owner_read | fs::perms::owner_write));
    CHECK_FALSE(fs::exists(folder / "copy.db-wal"));
    CHECK_FALSE(fs::exists(folder / "copy.db.part"));
}

TEST_CASE("a backup replaces nothing and leaves nothing when it fails") {
    const Folder folder;
    make(folder / "live.db");
    std::ofstream{folder / "copy.db"} << "mine";
    ErrorKind kind{};
    const auto text =
        refusal([&] { store::back_up(options(folder / "live.db"), folder / "copy.db"); }, kind);
    CHECK(kind == ErrorKind::conflict);
    CHECK_THAT(text.where, Contains("copy.db"));
    CHECK(bytes_of(folder / "copy.db") == "mine");
    const auto files = files_in(folder);
    refusal([&] { store::back_up(options(folder / "none.db"), folder / "new.db"); }, kind);
    CHECK(kind == ErrorKind::store);
    refusal([&] { store::back_up(options(folder / "live.db"), folder / "no/such/new.db"); }, kind);
    CHECK(kind == ErrorKind::store);
    CHECK(files_in(folder) == files);
}

TEST_CASE("a backup of a store changed behind its back is made and says so") {
    const Folder folder;
    open_lot(*make(folder / "live.db"), "brisket-1");
    tamper(folder / "live.db");
    const auto report = store::back_up(options(folder / "live.db"), folder / "copy.db");
    REQUIRE_FALSE(report.problems.empty());
    CHECK_THAT(report.problems.front(), Contains("not as it was written"));
    CHECK(fs::exists(folder / "copy.db"));
}

TEST_CASE("a restore brings the copy back and keeps what was there") {
    const Folder folder;
    const fs::path live = folder / "live.db";
    store::Head copied;
    store::Head later;
    {
        const auto store = make(live);
        open_lot(*store, "brisket-1");
        copied = store::back_up(options(live), folder / "copy.db").head;
        open_lot(*store, "brisket-2");
        later = store::head(*store);
    }
    const auto report = store::restore(options(live), folder / "copy.db");
    CHECK(report.head == copied);
    CHECK(store::head(*reopen(live)) == copied);
    REQUIRE(report.aside);
    CHECK(report.aside_head == later);
    CHECK(report.is_beginning);
    CHECK(store::head(*reopen(*report.aside)) == later);
    // And goes on from there.
    open_lot(*reopen(live), "brisket-3");
    CHECK(store::verify(*reopen(live)).problems.empty());
    // A second restore takes another name for what it finds.
    CHECK(store::restore(options(live), folder / "copy.db").aside != report.aside);
}

TEST_CASE("a restore says when the store set aside had another history") {
    const Folder folder;
    make(folder / "other.db");
    open_lot(*reopen(folder / "other.db"), "pork-1");
    store::back_up(options(folder / "other.db"), folder / "copy.db");
    open_lot(*make(folder / "live.db"), "brisket-1");
    const auto report = store::restore(options(folder / "live.db"), folder / "copy.db");
    CHECK(report.aside_head);
    CHECK_FALSE(report.is_beginning);
}

TEST_CASE("a copy that is damaged, tampered with or no store is refused, and nothing is touched") {
    const Folder folder;
    const fs::path live = folder / "live.db";
    {
        const auto store = make(live);
        open_lot(*store, "brisket-1");
        store::back_up(options(live), folder / "copy.db");
    }
    const std::string before = dump(live);
    const auto files = files_in(folder);
    SECTION("cut off") {
        fs::resize_file(folder / "copy.db", fs::file_size(folder / "copy.db") - 4096);
        CHECK_THAT(restore_refused(live, folder / "copy.db").what, Contains("cut off"));
    }
    SECTION("a record changed") {
        tamper(folder / "copy.db");
        const auto text = restore_refused(live, folder / "copy.db");
        CHECK_THAT(text.what, Contains("does not fit its own history"));
        CHECK_THAT(text.where, Contains("copy.db"));
    }
    SECTION("the guards taken off") {
        raw_sql(folder / "copy.db", "drop trigger lot_no_delete");
        CHECK_THAT(restore_refused(live, folder / "copy.db").what, Contains("behind the program"));
    }
    SECTION("a shopping list") {
        std::ofstream{folder / "copy.db"} << std::string(300, 'x');
        CHECK_THAT(restore_refused(live, folder / "copy.db").what, Contains("not a holdwarden"));
    }
    SECTION("the store itself") {
        CHECK_THAT(restore_refused(live, live).what, Contains("itself"));
    }
    SECTION("missing") {
        CHECK_THAT(restore_refused(live, folder / "none.db").what, Contains("no such file"));
    }
    CHECK(dump(live) == before);
    CHECK(files_in(folder) == files);
}

TEST_CASE("a damaged or missing store is replaced by its copy, the damaged one kept") {
    const Folder folder;
    const fs::path live = folder / "live.db";
    open_lot(*make(live), "brisket-1");
    const auto copied = store::back_up(options(live), folder / "copy.db").head;
    SECTION("scribbled over") {
        std::fstream{live} << std::string(200, '?');
        const auto report = store::restore(options(live), folder / "copy.db");
        REQUIRE(report.aside);
        CHECK_FALSE(report.aside_head);
        CHECK(bytes_of(*report.aside).starts_with("????"));
    }
    SECTION("damaged inside") {
        std::fstream file{live};
        file.seekp(4096 + 10);
        file << std::string(3000, '?');
        file.close();
        CHECK(store::restore(options(live), folder / "copy.db").aside);
    }
    SECTION("gone") {
        fs::remove(live);
        CHECK_FALSE(store::restore(options(live), folder / "copy.db").aside);
    }
    CHECK(store::head(*reopen(live)) == copied);
    CHECK(fs::status(live).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
}

TEST_CASE("a store that another process has open is not restored over") {
    const Folder folder;
    const fs::path live = folder / "live.db";
    const auto store = make(live);
    open_lot(*store, "brisket-1");
    store::back_up(options(live), folder / "copy.db");
    const auto text = restore_refused(live, folder / "copy.db");
    CHECK_THAT(text.what, Contains("locked by another process"));
    open_lot(*store, "brisket-2"); // undisturbed
    CHECK(store->lots().size() == 2);
}

TEST_CASE("a copy of an older version is brought to this one on its way") {
    const Folder folder;
    REQUIRE(raw_sql(folder / "old.db",
                    bytes_of(kSchema / "0001-records.sql") +
                        "pragma application_id = 0x484F4C44; pragma user_version = 1;"
                        "insert into entry values (1, 'site', 0, null);"
                        "insert into site values (1, 1, 'Larkspur Yard Smokehouse', "
                        "'America/Denver', null, null, 'F');")
                .empty());
    const std::string before = bytes_of(folder / "old.db");
    const auto report = store::restore(options(folder / "live.db"), folder / "old.db");
    CHECK(report.notices.size() == 1);
    CHECK(reopen(folder / "live.db")->site().name == kSite.name);
    CHECK(bytes_of(folder / "old.db") == before);
    for (const auto& file : fs::directory_iterator{folder.path()}) {
        const std::string name = file.path().filename().string();
        INFO(name); // nothing but the two, and what SQLite keeps beside them
        CHECK((name.starts_with("old.db") || name.starts_with("live.db")));
        CHECK(name.find(".v") == std::string::npos);
        CHECK(name.find(".restoring") == std::string::npos);
    }
}
