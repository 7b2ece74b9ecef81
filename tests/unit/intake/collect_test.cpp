#include "text_rows.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

#include <cstring>

using namespace holdwarden;
using namespace holdwarden::intake;

TEST_CASE("late rows are sorted and counted", "[intake][TIM-4]") {
    const Collected got =
        read_text("time,probe,temp_f\n"
                  "2026-11-01T00:02:00Z,core,138\n2026-11-01T00:00:00Z,core,140\n"
                  "2026-11-01T00:01:00Z,core,139\n2026-11-01T00:03:00Z,core,137\n");
    CHECK(got.summary.out_of_order == 1);
    const auto& readings = got.lots.at(0).series.at(0).readings;
    REQUIRE(readings.size() == 4);
    CHECK(readings[0].line == 3);
    CHECK(readings[1].line == 4);
    CHECK(readings[2].line == 2);
}

TEST_CASE("repeats are dropped and counted, conflicting values both stay", "[intake]") {
    const Collected got =
        read_text("time,probe,temp_f\n"
                  "2026-11-01T00:00:00Z,core,140\n2026-11-01T00:00:00Z,core,140.0\n"
                  "2026-11-01T00:00:00Z,core,134\n2026-11-01T00:00:00Z,flat,140\n"
                  "2026-11-01T00:00:00Z,core,140\n");
    CHECK(got.summary.rows == 5);
    CHECK(got.summary.accepted == 3);
    CHECK(got.summary.duplicates == 2);
    CHECK(got.summary.conflicts == 1);
    CHECK(got.lots.at(0).series.at(0).readings.size() == 2);
}

TEST_CASE("a boundary listed under both stages keeps one reading and both stages", "[intake]") {
    const Collected got = read_text("time,probe,temp_f,stage\n"
                                    "2026-11-01T00:00:00Z,core,150,resting\n"
                                    "2026-11-01T01:00:00Z,core,141,resting\n"
                                    "2026-11-01T01:00:00Z,core,141,hot-holding\n"
                                    "2026-11-01T02:00:00Z,core,140,hot-holding\n");
    CHECK(got.lots.at(0).series.at(0).readings.size() == 3);
    REQUIRE(got.lots[0].marks.size() == 2);
    CHECK(got.lots[0].marks[1].stage == Stage::hot_holding);
    CHECK(got.lots[0].marks[1].at == Instant::from_unix_s(1793494800)); // 2026-11-01T01:00:00Z
}

TEST_CASE("a list of rejects that was cut short says so", "[intake]") {
    std::string text = "time,probe,temp_f\n";
    for (std::size_t i = 0; i <= kMostRejectsKept; ++i) {
        text += "x\n";
    }
    const Collected got = read_text(text);
    CHECK(got.rejects.size() == kMostRejectsKept);
    CHECK(got.summary.rejected == kMostRejectsKept + 1);
    REQUIRE(got.summary.notes.size() == 1);
    CHECK_THAT(got.summary.notes[0], Catch::Contains("only the first"));
}

TEST_CASE("lots keep their readings apart", "[intake]") {
    const Collected got = read_text("time,lot,core_f\n"
                                    "2026-11-01T00:00:00Z,a,140\n2026-11-01T00:00:00Z,b,141\n"
                                    "2026-11-01T00:01:00Z,a,139\n");
    REQUIRE(got.lots.size() == 2);
    CHECK(got.lots[0].name == "a");
    CHECK(got.lots[0].series.at(0).readings.size() == 2);
    CHECK(got.lots[1].series.at(0).readings.size() == 1);
}

namespace {

class CountingSink final : public RowSink {
public:
    void series(std::uint32_t, const std::string&, const std::string&) override {}
    void rows(std::span<const Row> batch) override {
        largest = std::max(largest, batch.size());
        count += batch.size();
    }
    void reject(const Reject&) override { ++rejects; }

    std::size_t largest = 0;
    std::size_t count = 0;
    std::size_t rejects = 0;
};

} // namespace

TEST_CASE("memory does not grow with the file", "[intake]") {
    // A made-up file of 64 MiB: the reader must never ask for more than its one buffer holds, nor
    // hand on more than a batch.
    const std::string row = "2026-11-01T00:00:00Z,core,140.5\n";
    std::string block = "time,probe,temp_f\n";
    std::size_t left = 2'000'000;
    std::size_t largest_room = 0;
    const Source source = [&](char* into, std::size_t room) {
        largest_room = std::max(largest_room, room);
        while (block.size() < room && left > 0) {
            block += row;
            --left;
        }
        const std::size_t n = std::min(room, block.size());
        std::memcpy(into, block.data(), n);
        block.erase(0, n);
        return n;
    };
    CountingSink sink;
    const Summary summary = read_csv(source, {}, sink);
    CHECK(summary.accepted == 2'000'000);
    CHECK(sink.count == 2'000'000);
    CHECK(sink.largest <= 4096);
    CHECK(largest_room <= 1'048'576);
}

TEST_CASE("a source that gives a byte at a time is read alike", "[intake]") {
    const std::string text =
        "\xEF\xBB\xBFtime,probe,temp_f\r\n2026-11-01T00:00:00Z,\"a\r\n\"\"b\",140"
        "\r\n\r\n2026-11-01T00:01:00Z,core,139.5";
    std::size_t at = 0;
    const Source source = [&](char* into, std::size_t) -> std::size_t {
        if (at == text.size()) {
            return 0;
        }
        *into = text[at++];
        return 1;
    };
    const Collected got = collect_csv(source, {});
    CHECK(got.summary.accepted == 2);
    CHECK(got.lots.at(0).series.at(0).probe == "a\r\n\"b");
    CHECK(got.lots.at(0).series.at(1).readings.at(0).line == 5);
}

TEST_CASE("a stage's row that comes late, into the middle of another, ends that one where it was") {
    // The hold is left at 00:05 and taken up again at 00:06, in whatever order the rows come.
    const std::string ascending = "2026-11-01T00:01:00Z,p,140,hot-holding\n"
                                  "2026-11-01T00:02:00Z,p,140,hot-holding\n"
                                  "2026-11-01T00:06:00Z,p,140,hot-holding\n"
                                  "2026-11-01T00:07:00Z,p,140,hot-holding\n"
                                  "2026-11-01T00:10:00Z,p,140,hot-holding\n"
                                  "2026-11-01T00:05:00Z,p,140,reheating\n";
    const auto got = read_text("time,probe,temp_f,stage\n" + ascending);
    REQUIRE(got.lots.size() == 1);
    REQUIRE(got.lots[0].marks.size() == 3);
    CHECK(got.lots[0].marks[1].stage == Stage::reheating);
    CHECK(got.lots[0].marks[2].at == Instant::from_unix_s(1793491560)); // 2026-11-01T00:06:00Z
}
