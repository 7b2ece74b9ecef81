#pragma once

// Writing a packet's folder. Internal to the packet command.

#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/store/export.hpp>

#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// A new file that only its owner may read, written in parts.
class OwnFile {
public:
    /// Makes missing folders. Throws Error{store}.
    explicit OwnFile(std::filesystem::path file);
    void write(std::string_view bytes);
    /// Call once, when all is written.
    void close();

private:
    [[noreturn]] void fail(int reason) const;
    std::filesystem::path file_;
    std::ofstream out_;
};

void write_own_file(const std::filesystem::path& file, std::string_view bytes);

/// What went into a packet's records.
struct PacketRecords {
    std::uint64_t leaves = 0;
    std::uint64_t left_out = 0;
    std::map<std::string, std::uint64_t> rows; ///< of each table
    std::uint64_t readings = 0;
    std::optional<Instant> first_entry;
    std::optional<Instant> last_entry;
    std::optional<Instant> first_reading;
    std::optional<Instant> last_reading;
};

/// records/, tables/ and rejected/ of the packet.
PacketRecords write_records(const std::filesystem::path& folder, store::HistoryExport& history);

} // namespace holdwarden::cli
