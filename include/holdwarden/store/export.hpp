#pragma once

// A store's records on their way out: leaf by leaf, so that whoever gets them can work the history
// out anew. docs/formats/packet.md. Stores given here must come from store::open or store::create.

#include <holdwarden/records/store.hpp>
#include <holdwarden/seal/history_lines.hpp>

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::store {

/// The time that matters: [from, to). Either end may be open.
struct Extent {
    std::optional<Instant> from{};
    std::optional<Instant> to{};
    bool whole() const noexcept { return !from && !to; }
};

struct ExportedReading {
    std::int64_t batch = 0;
    std::int64_t probe = 0;
    Instant at{};
    std::int64_t steps = 0;
};

struct ExportedColumn {
    std::string name;
    std::string type;      ///< SQL's
    std::string refers_to; ///< a table; or empty
    std::string meaning;   ///< what the schema says beside it; or empty
};
struct ExportedTable {
    std::string name;
    std::vector<ExportedColumn> columns;
};

/// Reads the first `size` leaves. What bears on the extent is in, and whatever is not shown to be
/// of another time: left out are lots that lived wholly outside it, entries about nothing but them,
/// batches of logged readings without one in it, and the imports and rejected rows that go with
/// these; and always what keeps PINs. Left out means that the leaf's hash is there and its record
/// is not.
class HistoryExport {
public:
    /// `store` must outlive it.
    HistoryExport(const records::Store& store, const Extent& extent, std::uint64_t size);
    HistoryExport(const HistoryExport&) = delete;
    HistoryExport& operator=(const HistoryExport&) = delete;
    ~HistoryExport();

    /// In order. Throws Error{store} at the first record that is not as it was written.
    void leaves(const std::function<void(const seal::HistoryLeaf&)>& each);
    /// The readings of the batches that are in, ascending by probe and instant.
    void readings(const std::function<void(const ExportedReading&)>& each);
    /// Every table that leaves are made of, by name.
    std::vector<ExportedTable> tables() const;

private:
    struct Choice;
    const records::Store& store_;
    std::uint64_t size_;
    std::unique_ptr<Choice> choice_;
};

} // namespace holdwarden::store
