// Completed days kept as packed blocks: what it would bring. Reads the rows of a store
// and writes beside them, into FILE.blocks, one block for each probe and day; then holds each hour
// of a year against a limit by the blocks' least and greatest values, opening those that leave a
// doubt. Usage: bench_blocks FILE. docs/decisions/0091-days-as-packed-blocks.md has the figures.
#include <sqlite3.h>

#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

namespace {

constexpr int kInstantBits = 42;
constexpr std::int64_t kDayMs = 86'400'000;

double now() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

sqlite3* open(const std::string& file) {
    sqlite3* handle = nullptr;
    if (sqlite3_open(file.c_str(), &handle) != SQLITE_OK) {
        std::fprintf(stderr, "%s: %s\n", file.c_str(), sqlite3_errmsg(handle));
        std::exit(1);
    }
    return handle;
}

sqlite3_stmt* prepared(sqlite3* handle, const char* sql) {
    sqlite3_stmt* statement = nullptr;
    if (sqlite3_prepare_v2(handle, sql, -1, &statement, nullptr) != SQLITE_OK) {
        std::fprintf(stderr, "%s\n", sqlite3_errmsg(handle));
        std::exit(1);
    }
    return statement;
}

void put(std::vector<std::uint8_t>& bytes, std::int64_t n) {
    auto zigzag = (static_cast<std::uint64_t>(n) << 1) ^ static_cast<std::uint64_t>(n >> 63);
    for (; zigzag >= 0x80; zigzag >>= 7) {
        bytes.push_back(static_cast<std::uint8_t>(zigzag | 0x80));
    }
    bytes.push_back(static_cast<std::uint8_t>(zigzag));
}

std::int64_t take(const std::uint8_t*& at) {
    std::uint64_t zigzag = 0;
    for (int shift = 0;; shift += 7) {
        const std::uint8_t byte = *at++;
        zigzag |= static_cast<std::uint64_t>(byte & 0x7F) << shift;
        if (byte < 0x80) {
            return static_cast<std::int64_t>(zigzag >> 1) ^ -static_cast<std::int64_t>(zigzag & 1);
        }
    }
}

/// The readings of one probe's day: how the distance to the one before changed, and the value.
struct Block {
    std::int64_t probe = 0;
    std::int64_t day = -1;
    std::int64_t first = 0;
    std::int64_t last = 0;
    std::int64_t step = 0;
    std::int64_t value = 0;
    std::int64_t least = 0;
    std::int64_t greatest = 0;
    std::int64_t gap = 0;
    std::int64_t count = 0;
    std::vector<std::uint8_t> bytes;

    void add(std::int64_t at, std::int64_t v) {
        if (count == 0) {
            first = at;
            least = greatest = v;
            put(bytes, v);
        } else {
            const std::int64_t now_step = at - last;
            put(bytes, now_step - step);
            put(bytes, v - value);
            step = now_step;
            gap = std::max(gap, now_step);
            least = std::min(least, v);
            greatest = std::max(greatest, v);
        }
        last = at;
        value = v;
        ++count;
    }
};

} // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "usage: bench_blocks FILE\n");
        return 2;
    }
    const std::string file = argv[1];
    sqlite3* store = open(file);
    std::filesystem::remove(file + ".blocks");
    sqlite3* packed = open(file + ".blocks");
    sqlite3_exec(packed,
                 "pragma journal_mode = wal; create table block (probe, first, last, least, "
                 "greatest, gap, count, bytes blob, primary key (probe, first)) without rowid;"
                 "create table summary (probe, first, last, least, greatest, gap, count, primary "
                 "key (probe, first)) without rowid; begin",
                 nullptr, nullptr, nullptr);

    double begin = now();
    sqlite3_stmt* sum = prepared(store, "select sum(value), count(*) from reading");
    sqlite3_step(sum);
    const double rows = static_cast<double>(sqlite3_column_int64(sum, 1));
    sqlite3_stmt* bare_sum = prepared(store, "select sum(value) from reading");
    begin = now();
    sqlite3_step(bare_sum);
    const double bare = now() - begin;

    begin = now();
    sqlite3_stmt* row = prepared(store, "select key, value from reading order by key");
    sqlite3_stmt* insert = prepared(packed, "insert into block values (?,?,?,?,?,?,?,?)");
    sqlite3_stmt* index = prepared(packed, "insert into summary values (?,?,?,?,?,?,?)");
    Block block;
    std::int64_t blocks = 0;
    double packing = 0;
    const auto write = [&] {
        const double from = now();
        for (sqlite3_stmt* into : {insert, index}) {
            int i = 0;
            for (const std::int64_t n : {block.probe, block.first, block.last, block.least,
                                         block.greatest, block.gap, block.count}) {
                sqlite3_bind_int64(into, ++i, n);
            }
            if (into == insert) {
                sqlite3_bind_blob(into, ++i, block.bytes.data(),
                                  static_cast<int>(block.bytes.size()), SQLITE_TRANSIENT);
            }
            sqlite3_step(into);
            sqlite3_reset(into);
        }
        ++blocks;
        packing += now() - from;
    };
    while (sqlite3_step(row) == SQLITE_ROW) {
        const std::int64_t key = sqlite3_column_int64(row, 0);
        const std::int64_t at = key & ((std::int64_t{1} << kInstantBits) - 1);
        const std::int64_t probe = key >> kInstantBits;
        if (block.count > 0 && (probe != block.probe || at / kDayMs != block.day)) {
            write();
            block = {};
        }
        block.probe = probe;
        block.day = at / kDayMs;
        block.add(at, sqlite3_column_int64(row, 1));
    }
    write();
    sqlite3_exec(packed, "commit; pragma wal_checkpoint(truncate)", nullptr, nullptr, nullptr);
    const double all = now() - begin;
    std::printf("%.0f rows, %.1f bytes a row; select sum(): %.2f s\n", rows,
                static_cast<double>(std::filesystem::file_size(file)) / rows, bare);
    std::printf("%lld blocks, %.2f bytes a reading (summaries beside the rows included); read and "
                "packed in %.2f s, of that written in %.2f s\n",
                static_cast<long long>(blocks),
                static_cast<double>(std::filesystem::file_size(file + ".blocks")) / rows, all,
                packing);

    // By the summaries alone, and opening those whose values lie on both sides of 135.0 °F.
    begin = now();
    sqlite3_stmt* few = prepared(packed, "select least, greatest, gap, count from summary");
    std::int64_t doubtful = 0;
    while (sqlite3_step(few) == SQLITE_ROW) {
        doubtful += sqlite3_column_int64(few, 0) < 1350 && sqlite3_column_int64(few, 1) >= 1350;
    }
    const double summaries = now() - begin;
    begin = now();
    sqlite3_stmt* open_those =
        prepared(packed, "select bytes, count from block where least < 1350 and greatest >= 1350");
    std::int64_t below = 0;
    std::int64_t opened = 0;
    while (sqlite3_step(open_those) == SQLITE_ROW) {
        const auto* at = static_cast<const std::uint8_t*>(sqlite3_column_blob(open_those, 0));
        const std::int64_t count = sqlite3_column_int64(open_those, 1);
        std::int64_t value = take(at);
        below += value < 1350;
        for (std::int64_t i = 1; i < count; ++i) {
            take(at);
            value += take(at);
            below += value < 1350;
        }
        opened += count;
    }
    const double opening = now() - begin;
    std::printf("by summaries: %.4f s (%.4f of the bare sum), %lld doubtful; those opened: %lld "
                "readings in %.2f s (%.3f of the bare sum), %lld below\n",
                summaries, summaries / bare, static_cast<long long>(doubtful),
                static_cast<long long>(opened), opening, opening / bare,
                static_cast<long long>(below));
    return 0;
}
