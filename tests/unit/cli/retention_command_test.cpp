#include "kitchen.hpp"
#include "schema_walk.hpp"

#include <nlohmann/json.hpp>
#include <sqlite3.h>

using namespace kitchen;
using Catch::Matchers::Contains;

namespace {

/// Brisket-1 and a night's readings in October 2026, pork-9 three years later.
void two_years(Kitchen& kitchen) {
    kitchen.open_for_business();
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00"});
    kitchen.good({"place", "p1", "brisket-1", "--at", "2026-10-31 18:00"});
    const auto import = [&](const char* row) {
        std::ofstream{kitchen.folder() / "night.csv"} << "time,p1_f\n" << row << ",141.0\nx,1\n";
        kitchen.says({"import", (kitchen.folder() / "night.csv").string()});
    };
    import("2026-10-31T18:00:00-06:00");
    for (const char* lot : {"brisket-1", "brisket-2", "beans-1"}) {
        kitchen.good({"stage", lot, "discarded", "--at", "2026-11-01 05:00"});
    }
    kitchen.set_clock("2029-11-08T06:00:00-07:00");
    kitchen.good({"lot", "open", "pork-9", "--at", "2029-11-07 17:00"});
    kitchen.good({"place", "p1", "pork-9", "--at", "2029-11-07 18:00"});
    import("2029-11-07T18:00:00-07:00");
}

void behind_its_back(Kitchen& kitchen, const std::string& sql) {
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open((kitchen.folder() / "kitchen.db").c_str(), &handle) == SQLITE_OK);
    char* message = nullptr;
    sqlite3_exec(handle, sql.c_str(), nullptr, nullptr, &message);
    INFO((message == nullptr ? "" : message));
    CHECK(message == nullptr);
    sqlite3_free(message);
    sqlite3_close(handle);
}

} // namespace

TEST_CASE("REC-17: purging before a record's time is refused, after it leaves a tombstone") {
    Kitchen kitchen;
    two_years(kitchen);
    // 21 CFR 114.100(e): 3 years. The longest rule holds where the site chose none.
    CHECK_THAT(kitchen.good({"retention"}), Contains("36 months"));
    const Answer early = kitchen.says({"purge", "--before", "2029-11-01", "--yes"});
    CHECK(early.status == cli::kFailed);
    CHECK_THAT(early.err, Contains("21 CFR 114.100(e)"));
    // The boundary itself: 36 calendar months before 8 November 2029.
    CHECK(kitchen.says({"purge", "--before", "2026-11-09", "--yes"}).status == cli::kFailed);
    const std::string planned = kitchen.good({"purge", "--before", "2026-11-08"});
    CHECK_THAT(planned, Contains("Would remove 3 lots"));
    CHECK_THAT(kitchen.good({"lot", "list", "--all"}), Contains("brisket-1"));

    const std::string before = kitchen.good({"verify"});
    const std::string done =
        kitchen.good({"purge", "--before", "2026-11-08", "--yes", "--by", "RK"});
    CHECK_THAT(done, Contains("Removed 3 lots"));
    CHECK_THAT(done, Contains("signed tombstone"));
    CHECK_THAT(kitchen.good({"lot", "list", "--all"}), !Contains("brisket-1"));
    CHECK_THAT(kitchen.good({"lot", "list", "--all"}), Contains("pork-9"));
    const std::string after = kitchen.good({"verify"});
    CHECK_THAT(after, Contains("signed tombstones stand for them"));
    CHECK_THAT(kitchen.good({"retention"}), Contains("by RK"));
    // Work goes on: new records join the history, a second purge finds nothing.
    kitchen.good({"log", "pork-9", "150F"});
    kitchen.good({"verify"});
    CHECK_THAT(kitchen.says({"purge", "--before", "2026-11-08", "--yes"}).err,
               Contains("nothing was over"));
    // And a packet says what was purged.
    const std::string packet = (kitchen.folder() / "packet").string();
    kitchen.good({"packet", "-o", packet});
    kitchen.good({"verify", packet});
}

TEST_CASE("REC-17: each record is kept by the longest rule that is about it") {
    // 9 CFR 417.5(e) is about meat and poultry, 21 CFR 123.9(b) about fish and fishery products.
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
    kitchen.good({"lot", "open", "trout-1", "--food", "fish", "--at", "2026-10-31 05:00"});
    for (const char* lot : {"brisket-1", "brisket-2", "beans-1", "trout-1"}) {
        kitchen.good({"stage", lot, "discarded", "--at", "2026-11-01 05:00"});
    }
    kitchen.good({"retention", "choose", "fda-123-refrigerated", "usda-417-shelf-stable"});
    const auto json = nlohmann::json::parse(kitchen.good({"retention", "--format", "json"}));
    for (const auto& lot : json["lots"]) {
        INFO(lot["food"]);
        CHECK(lot["months"] == (lot["food"] == "fish" ? 12 : 24));
    }
    const std::vector<std::string> cut{"purge", "--before", "2026-11-02", "--yes"};
    const auto refused = [&](const char* clock) {
        kitchen.set_clock(clock);
        const Answer answer = kitchen.says(cut);
        CHECK(answer.status == cli::kFailed);
        return answer.err;
    };
    // Not even the fish: 12 calendar months from the day after the last entry, 1 November 2026.
    CHECK_THAT(refused("2027-11-01T23:59:00-06:00"), Contains("21 CFR 123.9(b)"));
    const std::string early = refused("2027-11-03T00:00:00-06:00");
    CHECK_THAT(early, Contains("brisket-1 (intact-roast)") && Contains("usda-417-shelf-stable") &&
                          Contains("9 CFR 417.5(e)") && Contains("from 2028-11-02 on") &&
                          Contains("2 more"));
    auto rest = cut;
    rest.emplace_back("--leave-kept");
    const std::string done = kitchen.good(rest);
    CHECK_THAT(done, Contains("Left: lot brisket-1") && Contains("Removed 1 lots"));
    const std::string lots = kitchen.good({"lot", "list", "--all"});
    CHECK_THAT(lots, Contains("brisket-1") && Contains("beans-1") && !Contains("trout-1"));
    kitchen.good({"verify"});
    CHECK_THAT(refused("2028-11-01T23:59:00-06:00"), Contains("9 CFR 417.5(e)"));
    kitchen.set_clock("2028-11-02T00:00:00-06:00");
    CHECK_THAT(kitchen.good(cut), Contains("Removed 3 lots"));
    kitchen.good({"verify"});
}

TEST_CASE("REC-17: what is entered about a lot later is kept for its own months") {
    // 21 CFR 114.100(e), the longest without a choice: 3 years.
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
    kitchen.good({"stage", "beans-1", "discarded", "--at", "2026-11-01 05:00"});
    kitchen.set_clock("2026-12-24T06:00:00-07:00");
    kitchen.good({"amend", "lot", "beans-1", "--description", "with bacon", "--why", "forgotten",
                  "--by", "RK"});
    kitchen.set_clock("2029-12-24T06:00:00-07:00");
    const Answer answer = kitchen.says({"purge", "--before", "2026-11-02", "--yes"});
    CHECK(answer.status == cli::kFailed);
    CHECK_THAT(answer.err, Contains("beans-1") && Contains("from 2029-12-25 on"));
    kitchen.set_clock("2029-12-25T06:00:00-07:00");
    kitchen.good({"purge", "--before", "2026-11-02", "--yes"});
}

TEST_CASE("REC-2: nothing is removed before its time, and a purge alone removes") {
    Kitchen kitchen;
    two_years(kitchen);
    kitchen.good({"retention", "choose", "food-code-rop", "fda-117", "--by", "RK"});
    CHECK_THAT(kitchen.good({"retention"}), Contains("24 months")); // the longest that applies
    const auto json = nlohmann::json::parse(kitchen.good({"retention", "--format", "json"}));
    std::ifstream schema{fs::path{HOLDWARDEN_SOURCE_DIR} /
                         "schema/json/holdwarden-retention-1.schema.json"};
    CHECK(test::schema_faults(nlohmann::json::parse(schema), json).empty());
    CHECK(json["purge_before"] == "2027-11-08T07:00:00Z");
    CHECK(kitchen.says({"purge", "--before", "2027-11-09", "--yes"}).status == cli::kFailed);
    kitchen.good({"purge", "--before", "2027-11-08", "--yes"});
    // The guards are back, word for word.
    sqlite3* handle = nullptr;
    sqlite3_open((kitchen.folder() / "kitchen.db").c_str(), &handle);
    char* message = nullptr;
    CHECK(sqlite3_exec(handle, "delete from entry", nullptr, nullptr, &message) != SQLITE_OK);
    CHECK_THAT((message == nullptr ? "" : message), Contains("never removed"));
    sqlite3_free(message);
    sqlite3_close(handle);
}

TEST_CASE("a tombstone that is forged, altered or taken away is found") {
    Kitchen kitchen;
    two_years(kitchen);
    const std::string purge_guard =
        "create trigger purge_no_update before update on purge\nbegin\n    select raise(abort, "
        "'records are never changed');\nend;";
    const std::string lot_guard = "create trigger lot_no_delete before delete on lot\nbegin\n    "
                                  "select raise(abort, 'records are never removed');\nend;";
    std::string words;
    SECTION("a lot removed, its leaf said to be purged") {
        behind_its_back(kitchen,
                        "drop trigger lot_no_delete; pragma foreign_keys = off; delete from "
                        "lot where name = 'beans-1'; insert into purged_leaf (entry, leaf) "
                        "values (1, (select id from history where what = 'entry' and ref = "
                        "8)); " +
                            lot_guard);
    }
    SECTION("the date of a purge altered") {
        kitchen.good({"purge", "--before", "2026-11-08", "--yes"});
        behind_its_back(kitchen, "drop trigger purge_no_update; update purge set before_at = "
                                 "before_at - 1000; " +
                                     purge_guard);
    }
    SECTION("a purge signed with a key of one's own, hashes and all") {
        // The whole tail may be rewritten; without the key, the signature cannot be.
        kitchen.good({"purge", "--before", "2026-11-08", "--yes"});
        behind_its_back(kitchen, "drop trigger purge_no_update; update purge set signature = "
                                 "zeroblob(64); " +
                                     purge_guard);
    }
    const Answer answer = kitchen.says({"verify"});
    CHECK(answer.status == cli::kFailed);
    CHECK_THAT(answer.out, Contains("DOES NOT FIT"));
}
