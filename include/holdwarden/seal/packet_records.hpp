#pragma once

// The records in a packet: written leaf by leaf, and worked out anew by whoever gets it.
// docs/formats/packet.md.

#include <holdwarden/base/instant.hpp>
#include <holdwarden/seal/checkpoint.hpp>
#include <holdwarden/seal/history_lines.hpp>

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::seal {

// Places in a packet's folder.
inline constexpr const char* kHistoryFile = "records/history.jsonl";
inline constexpr const char* kReadingsFile = "records/readings.csv";
inline constexpr const char* kTablesFolder = "tables";

/// A logged reading, as a line of readings.csv tells it.
struct PacketReading {
    std::int64_t batch = 0;
    std::int64_t probe = 0;
    Instant at{};
    std::int64_t steps = 0; ///< of the batch
};

/// What a reading's line needs of its batch and probe; filled leaf by leaf.
class ReadingLines {
public:
    void add(const HistoryLeaf& leaf);
    static std::string heading();
    /// Throws Error{bad_input} if the batch is not there or is out of range.
    std::string line(const PacketReading& reading) const;

private:
    struct Batch {
        std::int64_t step = 0; ///< thousandths of a degree
        std::string scale;
    };
    std::map<std::int64_t, Batch> batches_;
    std::map<std::int64_t, std::string> probes_;
};

/// The readings of a line. Throws Error{bad_input} unless ReadingLines would write it.
PacketReading parse_reading_line(const std::string& line, const ReadingLines& lines);

/// Calls `each` for every leaf of the file, in order. Throws Error{bad_input} naming the line.
void read_history(const std::filesystem::path& file,
                  const std::function<void(const HistoryLeaf&)>& each);
/// The same for readings.
void read_readings(const std::filesystem::path& file, const ReadingLines& lines,
                   const std::function<void(const PacketReading&)>& each);

struct RecordsReport {
    std::uint64_t leaves = 0;
    std::uint64_t left_out = 0; ///< of them: known by their hash alone
    std::uint64_t readings = 0;
    Sha256 root{}; ///< worked out anew
    std::vector<std::string> problems;
};

/// Works out every leaf whose record is there, the readings' digests, the tree and the tables, and
/// compares them with what the packet says and with the checkpoint.
RecordsReport check_records(const std::filesystem::path& folder,
                            const std::optional<Checkpoint>& checkpoint);

} // namespace holdwarden::seal
