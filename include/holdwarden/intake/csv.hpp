#pragma once

#include <holdwarden/base/instant.hpp>
#include <holdwarden/base/temperature.hpp>
#include <holdwarden/base/vocabulary.hpp>
#include <holdwarden/base/zone.hpp>

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace holdwarden::intake {

/// Which pass of an hour that the clocks showed twice, where the order of the rows does not tell.
enum class RepeatedHour { by_order, first, second };

/// The file calls a column `from`; it is to be read as if it were called `to`.
struct ColumnName {
    std::string from;
    std::string to;
};

struct CsvOptions {
    std::string name = "CSV";      ///< what messages call the file
    std::optional<Zone> zone;      ///< of local times; without it a local time is rejected
    std::optional<Scale> scale;    ///< of a column called `temp`
    std::optional<char> separator; ///< ',', ';' or tab; nullopt: told by the header line
    bool decimal_comma = false;
    std::vector<ColumnName> columns; ///< renamed before anything else is looked up
    /// Empty: RFC 3339 or "YYYY-MM-DD HH:MM[:SS[.fff]]", told by its form. "unix" and "unix-ms":
    /// whole seconds or milliseconds since 1970. Else a strftime pattern ("%d.%m.%Y %H:%M"); with
    /// %z it gives an instant, without it a local time.
    std::string time_format;
    RepeatedHour repeated_hour = RepeatedHour::by_order;
    std::size_t longest_row_bytes = 65'536; ///< a longer row is rejected
    std::size_t most_held_rows = 65'536;    ///< waiting for the order of a repeated hour to show
    std::size_t most_series = 10'000;       ///< rows of further probes are rejected
};

/// One reading, or one end of a lot (then `has_value` may be false).
struct Row {
    Instant at;
    Temperature value = Temperature::of_thousandths(0, Scale::celsius);
    std::uint32_t series = 0; ///< index, announced by RowSink::series before its first row
    std::uint32_t line = 0;   ///< 1-based line on which the row begins
    bool has_value = true;
    std::optional<Stage> stage;     ///< what the stage column says, if it says anything
    std::optional<Outcome> outcome; ///< `served` or `discarded` in the stage column
};

/// A row, or one cell of a wide row, that is not taken.
struct Reject {
    std::uint32_t line = 0;
    std::string text; ///< the row as it stands, at most 200 bytes, safe to show
    std::string reason;
};

/// Where rows go. Called in the order of the file, but for rows of a repeated hour, which come
/// later; the rows of one series keep their order among themselves.
class RowSink {
public:
    virtual ~RowSink() = default;
    /// A lot's probe is met for the first time. `lot` is empty when the file names none; `probe` is
    /// empty only for rows that end a lot without a reading.
    virtual void series(std::uint32_t index, const std::string& lot, const std::string& probe) = 0;
    /// At most a few thousand rows at a time, never none. Every accepted row, repeats included:
    /// telling duplicates and conflicts is the sink's matter, since it knows what is there already.
    virtual void rows(std::span<const Row> batch) = 0;
    virtual void reject(const Reject& reject) = 0;
};

/// Counts of one file. In long form rows = accepted + rejected (+ duplicates, once the sink has
/// moved them out of `accepted`). In wide form `accepted` counts readings, `rejected` whole rows
/// and single cells.
struct Summary {
    std::uint64_t rows = 0; ///< header and blank lines not counted
    std::uint64_t accepted = 0;
    std::uint64_t rejected = 0;
    std::uint64_t out_of_order = 0; ///< accepted, but earlier than the row of its series before it
    std::uint64_t duplicates = 0;   ///< same probe, instant and value: for the sink's owner to fill
    std::uint64_t conflicts = 0; ///< same probe and instant, another value: likewise; all are kept
    bool has_stage_column = false;
    bool has_lot_column = false;
    std::vector<std::string> notes; ///< ignored columns, hours placed by order, no last line end
};

/// Fills at most `room` bytes and returns how many; 0 at the end. Throws Error.
using Source = std::function<std::size_t(char* into, std::size_t room)>;

/// Reads a file. Throws Error{not_found} or Error{bad_input} when it cannot be opened or read.
Source file_source(const std::filesystem::path& path);
/// Reads a stream that outlives the source: standard input, or a text in memory.
Source stream_source(std::istream& in);

/// Reads CSV (RFC 4180, and the long and wide form of docs/csv.md) from `source` into `sink`.
/// Memory does not grow with the file. Throws Error{bad_input} when there is no header line that
/// can be used (empty file, no time column, no temperatures, a name twice, UTF-16); a bad row is a
/// reject, not an error.
Summary read_csv(const Source& source, const CsvOptions& options, RowSink& sink);

} // namespace holdwarden::intake
