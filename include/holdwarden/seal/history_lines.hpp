#pragma once

// A leaf of the history as a line of JSON, with the record it stands for: enough to work its hash
// out anew without a store. docs/formats/packet.md.

#include <holdwarden/seal/digest.hpp>
#include <holdwarden/seal/leaf.hpp>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::seal {

/// A row's fields: the first is "table", then its columns that are not null.
using HistoryRow = std::vector<LeafField>;

struct HistoryLeaf {
    std::uint64_t number = 0; ///< from 1
    std::string what;         ///< "entry", "batch" or "reject"
    std::int64_t ref = 0;
    Sha256 hash{};
    std::string left_out; ///< why the record is not here; empty: it is

    HistoryRow own;               ///< the row of table `entry` or `batch`; none for rejects
    std::vector<HistoryRow> rows; ///< an entry's rows, a batch's conflicts, the rejects
    std::int64_t readings = 0;    ///< of a batch
    Sha256 readings_sha256{};
};

/// Takes apart what Leaves wrote. `rows`: of a batch or of rejects, which its data has only as
/// digests. Throws Error{bad_input}.
HistoryLeaf leaf_of_entry(std::uint64_t number, std::int64_t ref, std::string_view data);
HistoryLeaf leaf_of_batch(std::uint64_t number, std::int64_t ref, std::string_view data,
                          const std::vector<std::string>& rows);
HistoryLeaf leaf_of_rejects(std::uint64_t number, std::int64_t ref,
                            const std::vector<std::string>& rows);

/// The leaf's data, made from its record again: docs/formats/history.md.
std::string leaf_data(const HistoryLeaf& leaf);

/// One line, without its end.
std::string to_json_line(const HistoryLeaf& leaf);
/// Throws Error{bad_input} for anything that is not such a line.
HistoryLeaf parse_history_line(std::string_view line);

/// A row's table; "" when it has none.
std::string table_of(const HistoryRow& row);

} // namespace holdwarden::seal
