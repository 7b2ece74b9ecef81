#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/records/ids.hpp>

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace holdwarden::records {

/// What identifies an import: the source's own bytes and how its columns were read.
struct ImportSource {
    std::string name{};                    ///< file name, for people
    std::array<std::uint8_t, 32> sha256{}; ///< of the whole source
    std::uint64_t bytes = 0;               ///< its length
    std::string mapping{};                 ///< how columns were mapped, in a canonical text
};

/// What became of a source's rows. `added + duplicates + conflicts` readings were accepted.
struct ImportCounts {
    std::uint64_t rows = 0;       ///< data rows seen
    std::uint64_t added = 0;      ///< readings new to the store
    std::uint64_t duplicates = 0; ///< the same probe, instant and value was there already
    std::uint64_t conflicts = 0;  ///< another value was there already: both are kept
    std::uint64_t rejected = 0;   ///< rows or cells refused, each kept with its reason
    std::uint64_t out_of_order = 0;
    friend bool operator==(const ImportCounts&, const ImportCounts&) = default;
};

/// One logged reading on its way into a store.
struct ImportRow {
    ProbeId probe;
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
};

/// A row or cell that was refused.
struct Reject {
    std::uint64_t line = 0; ///< 1-based
    std::string text{};     ///< the raw row, cut at 500 bytes
    std::string reason{};
};

/// An import under way. Rows become durable in blocks as they are added; an import that is broken
/// off (destroyed, or the process killed) leaves whole blocks behind and no end, and importing the
/// same source again adds exactly what is missing.
class Importing {
public:
    Importing() = default;
    Importing(const Importing&) = delete;
    Importing& operator=(const Importing&) = delete;
    virtual ~Importing() = default;

    virtual void add(const ImportRow& row) = 0;
    virtual void reject(const Reject& reject) = 0;
    /// Writes what is left and the import's end, durably. `rows` and `out_of_order` are the
    /// reader's own counts. Nothing may be added afterwards (asserted).
    virtual ImportCounts finish(std::uint64_t rows, std::uint64_t out_of_order) = 0;
};

/// An import as it is on record.
struct ImportSummary {
    ImportSource source;
    bool finished = false; ///< false: broken off; the counts are zero
    ImportCounts counts;
};

/// Two values for one probe and instant; the first is in the readings.
struct ReadingConflict {
    ProbeId probe;
    Instant at;
    Temperature first = Temperature::of_thousandths(0, Scale::celsius);
    Temperature other = Temperature::of_thousandths(0, Scale::celsius);
};

} // namespace holdwarden::records
