#include "failing_disk.hpp"
#include "fixture.hpp"

#include <holdwarden/store/backup.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <new>

using namespace fixture;

namespace {

std::string lot(int n) {
    return "brisket-" + std::to_string(n);
}

/// Opens the store and a lot, then another; how many were acknowledged. Throws Error{store}
/// only.
int work(const fs::path& file, int& acknowledged) {
    const auto store = reopen(file);
    for (int n = 1; n <= 2; ++n) {
        store->open_lot({.name = lot(n), .opened_at = kNight}, by("RK"));
        ++acknowledged;
    }
    return acknowledged;
}

void check_nothing_lost(const fs::path& file, int acknowledged) {
    const auto store = reopen(file);
    CHECK(store::verify(*store).problems.empty());
    const auto lots = store->lots();
    CHECK(static_cast<int>(lots.size()) >= acknowledged);
    // One more than was said at most: the entry under way, whole or not at all.
    CHECK(static_cast<int>(lots.size()) <= acknowledged + 1);
    for (int n = 1; n <= acknowledged; ++n) {
        CHECK(lots[static_cast<std::size_t>(n - 1)].facts.name == lot(n));
    }
}

} // namespace

TEST_CASE("a disk that fails at any call loses nothing that was acknowledged") {
    // Every n until a run passes: SQLite's own tests do the same (sqlite.org/testing.html, 4.2).
    const Folder made;
    const fs::path template_file = made / "kitchen.db";
    make(template_file);
    for (const auto way :
         {FailingDisk::Way::error, FailingDisk::Way::half_written, FailingDisk::Way::full}) {
        constexpr int kMost = 2000;
        const int step = way == FailingDisk::Way::error ? 1 : 5; // every n with one way will do
        int n = 0;
        for (bool passed = false; !passed && n < kMost; n += step) {
            const Folder folder;
            const fs::path file = folder / "kitchen.db";
            fs::copy_file(template_file, file);
            int acknowledged = 0;
            {
                const FailingDisk disk{n, way};
                try {
                    work(file, acknowledged);
                    passed = !disk.has_failed();
                } catch (const Error& error) {
                    INFO(n << " " << error.text().what);
                    CHECK(error.kind() == ErrorKind::store);
                    CHECK_FALSE(error.text().fix.empty());
                }
            }
            INFO("call " << n);
            check_nothing_lost(file, acknowledged);
        }
        CHECK(n > 10); // it did fail in between
        CHECK(n < kMost);
    }
}

TEST_CASE("a disk that fails while a store is copied leaves the store as it was, and no copy") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    int acknowledged = 0;
    make(file);
    work(file, acknowledged);
    const std::string before = dump(file);
    constexpr int kMost = 2000;
    int n = 0;
    for (bool passed = false; !passed && n < kMost; n += 3) {
        const FailingDisk disk{n, FailingDisk::Way::error};
        try {
            store::back_up(options(file), folder / "copy.db");
            passed = !disk.has_failed();
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::store);
            CHECK_FALSE(fs::exists(folder / "copy.db"));
        }
    }
    CHECK(n < kMost);
    CHECK(dump(file) == before);
}

TEST_CASE("memory that runs out at any point loses nothing that was acknowledged") {
    const Folder folder;
    const fs::path file = folder / "kitchen.db";
    make(file);
    int most = 0;
    // From far too little to enough, in steps that end inside every phase of the work.
    for (sqlite3_int64 limit = 60'000; limit < 4'000'000; limit += limit / 3) {
        const Folder own;
        fs::copy_file(file, own / "kitchen.db");
        int acknowledged = 0;
        sqlite3_hard_heap_limit64(limit);
        try {
            work(own / "kitchen.db", acknowledged);
        } catch (const std::bad_alloc&) {
            // what the program says as "out of memory"
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::store);
        }
        sqlite3_hard_heap_limit64(0);
        check_nothing_lost(own / "kitchen.db", acknowledged);
        most = std::max(most, acknowledged);
    }
    CHECK(most == 2);
}
