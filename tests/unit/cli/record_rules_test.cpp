#include "kitchen.hpp"

#include <sqlite3.h>

#include <memory>

// Numbers as in docs/what-records-must-do.md, which names the documents.

using namespace kitchen;
using Catch::Matchers::Contains;

namespace {

std::string contents(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

} // namespace

TEST_CASE("REC-3: the time of an entry is the program's clock, whatever time is typed") {
    Kitchen kitchen;
    kitchen.open_for_business(); // the clock stands at 2026-11-01T13:00:00Z
    kitchen.environment()["HOME"] = kitchen.folder().string();
    kitchen.good({"key", "new"});
    kitchen.good({"log", "brisket-1", "150F", "--at", "2026-10-31 18:00"});
    const fs::path packet = kitchen.folder() / "packet";
    kitchen.good({"packet", "-o", packet.string()});
    // 1793538000000 ms is 2026-11-01T13:00:00Z (date -u -d @1793538000).
    std::istringstream entries{contents(packet / "tables/entry.csv")};
    int lines = 0;
    for (std::string line; std::getline(entries, line);) {
        if (line.find("typed_reading") != std::string::npos) {
            ++lines;
            CHECK_THAT(line, Contains(",1793538000000,"));
        }
    }
    CHECK(lines == 1);
    CHECK_THAT(contents(packet / "tables/typed_reading.csv"), Contains(",1793491200000,"));
}

TEST_CASE("REC-5: an entry tells place, time, person, lot, instrument and the limit in force") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"stage", "brisket-1", "hot-holding", "--at", "2026-10-31 18:00"});
    kitchen.good(
        {"log", "brisket-1", "150F", "--at", "2026-10-31 18:00", "--probe", "p1", "--by", "RK"});
    const std::string sheet = kitchen.good({"sheet", "brisket-1"});
    for (const char* told : {"Larkspur Yard Smokehouse", "2026-10-31", "18:00", "RK", "brisket-1",
                             "p1", "FDA Food Code", "2022", "135"}) {
        INFO(told);
        CHECK_THAT(sheet, Contains(told));
    }
}

TEST_CASE("TIM-6: a time in the future is refused with its reason") {
    Kitchen kitchen;
    kitchen.open_for_business();
    const Answer answer =
        kitchen.says({"log", "brisket-1", "150F", "--at", "2026-11-02T06:00:00-07:00"});
    CHECK(answer.status == cli::kFailed);
    CHECK_THAT(answer.err, Contains("future"));
}

TEST_CASE("TIM-7: a local time that came twice or never is refused with both readings") {
    // IANA time zone data: America/Denver goes back at 02:00 on 2026-11-01 and forward at 02:00 on
    // 2026-03-08.
    Kitchen kitchen;
    kitchen.open_for_business();
    const Answer twice = kitchen.says({"log", "brisket-1", "150F", "--at", "2026-11-01 01:30"});
    CHECK(twice.status == cli::kWrongUsage);
    CHECK_THAT(twice.err,
               Contains("2026-11-01T01:30:00-06:00") && Contains("2026-11-01T01:30:00-07:00"));
    const Answer never = kitchen.says({"log", "brisket-1", "150F", "--at", "2026-03-08 02:30"});
    CHECK(never.status == cli::kWrongUsage);
    CHECK_THAT(never.err, Contains("2026-03-08T03:00:00-06:00"));
}

TEST_CASE("names that would mislead a reader are refused or written out") {
    Kitchen kitchen;
    kitchen.open_for_business();
    for (const std::string& name :
         {std::string{"\x1B[2Jwiped"}, std::string{"\u202Egnp.brisket"}, std::string{"a\nb"},
          std::string{"\xFF\xFE"}, std::string(10'000, 'x')}) {
        for (const std::vector<std::string>& command :
             {std::vector<std::string>{"lot", "open", name},
              {"probe", "add", name},
              {"unit", "add", name, "--kind", "cabinet"},
              {"log", "brisket-1", "150F", "--by", name},
              {"sheet", name},
              {"check", name}}) {
            const Answer answer = kitchen.says(command);
            for (const std::string& text : {answer.out, answer.err}) {
                CHECK(text.find('\x1B') == std::string::npos);
                CHECK(text.find("\u202E") == std::string::npos);
                CHECK(text.find('\xFF') == std::string::npos);
                CHECK(text.size() < 5000);
            }
        }
    }
}

TEST_CASE("a name that a store was given by another program is cut and written out") {
    Kitchen kitchen;
    kitchen.open_for_business();
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open((kitchen.folder() / "kitchen.db").c_str(), &handle) == SQLITE_OK);
    const std::unique_ptr<sqlite3, decltype(&sqlite3_close)> other{handle, &sqlite3_close};
    const auto alter = [&](const std::string& sql) {
        REQUIRE(sqlite3_exec(handle, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    };
    alter("drop trigger lot_no_update");
    for (const char* name : {"printf('%.*c', 1000000, 'x')", "char(27) || '[2J' || char(0x202E)"}) {
        alter("update lot set name = " + std::string{name} + " where id = 1");
        const Answer answer = kitchen.says({"lot", "list"});
        CHECK(answer.out.size() < 5000);
        CHECK(answer.out.find('\x1B') == std::string::npos);
        CHECK(answer.out.find("\u202E") == std::string::npos);
    }
}

TEST_CASE("a clock stepped an hour forward and back loses no entry and keeps their order") {
    Kitchen kitchen;
    kitchen.open_for_business();
    kitchen.good({"log", "brisket-1", "150F", "--at", "2026-10-31 18:00"});
    kitchen.set_clock("2026-11-01T07:00:00-07:00");
    kitchen.good({"log", "brisket-1", "151F", "--at", "2026-10-31 18:10"});
    kitchen.set_clock("2026-11-01T05:00:00-07:00"); // an hour before the first entries
    kitchen.good({"log", "brisket-1", "152F", "--at", "2026-10-31 18:20"});
    kitchen.set_clock("2026-11-01T06:10:00-07:00");
    kitchen.good({"log", "brisket-1", "153F", "--at", "2026-10-31 18:30"});
    kitchen.good({"verify"});
    const std::string lot = kitchen.good({"sheet", "brisket-1"});
    for (const char* value : {"150", "151", "152", "153"}) {
        CHECK_THAT(lot, Contains(value));
    }
}

TEST_CASE("REC-18: a step is not taken before what it follows") {
    // 21 CFR 11.10(f).
    Kitchen k;
    k.open_for_business();
    const auto refused = [&](const std::vector<std::string>& step) {
        INFO(step.front());
        const std::string before = k.store_bytes();
        CHECK(k.says(step).status == cli::kFailed);
        CHECK(k.store_bytes() == before);
    };
    refused({"lift", "p1"});
    refused({"verify-action", "1", "--by", "QM"});
    refused({"set-aside", "verify", "1", "--by", "QM"});
    k.good({"stage", "beans-1", "hot-holding", "--at", "2026-10-31 18:30", "--why", "busy"});
    k.good({"log", "beans-1", "150F", "--at", "2026-10-31 18:30", "--why", "busy", "--sure"});
    refused({"stage", "beans-1", "cooking", "--at", "2026-10-31 18:10", "--why", "busy"});

    // Food that goes hot into cold holding skipped no step of its cooling: that is judged there.
    k.good({"stage", "beans-1", "cold-holding", "--at", "2026-10-31 19:00", "--why", "busy"});
    for (const char* at : {"2026-10-31 23:00", "2026-11-01 04:30"}) {
        k.good({"log", "beans-1", "75F", "--at", at, "--why", "busy", "--sure"});
    }
    CHECK_THAT(k.says({"check", "beans-1"}).out, Contains("cooling-first-window"));
    k.good({"stage", "beans-1", "discarded", "--at", "2026-11-01 05:00"});
    refused({"stage", "beans-1", "reheating", "--at", "2026-11-01 05:30"});
}
