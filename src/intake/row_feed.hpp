#pragma once
// Cuts a byte stream into CSV rows: the only file of the module that knows about buffers.

#include <holdwarden/intake/csv.hpp>

#include <string_view>
#include <vector>

namespace holdwarden::intake {

/// One row as it stands in the file, without its line end. The text lives until the next call.
struct RawRow {
    std::string_view text;
    std::uint32_t line = 0;
    bool plain = true;             ///< ASCII without quotes: may be cut at every separator
    bool has_line_end = true;      ///< false only for the last row of a file
    const char* problem = nullptr; ///< why it cannot be read, if it cannot
};

/// Reads through one buffer of fixed size. A quoted field may hold line ends (RFC 4180, section 2,
/// rule 6); a quote that does not close within the longest row spoils its own line only.
class RowFeed {
public:
    /// A row may be read past its end by so many bytes.
    static constexpr std::size_t kReadAhead = 8;

    RowFeed(const Source& source, std::size_t longest_row_bytes);

    /// The next row, blank ones included; false at the end.
    bool next(RawRow& row);

    /// For the quote-aware reading: told once the header line has shown it.
    void set_separator(char separator) noexcept { separator_ = separator; }

private:
    enum class Found { yes, more_needed, never };
    struct End {
        Found found;
        std::size_t at;             ///< offset of the line end, or of the end of the bytes
        std::uint32_t lines_inside; ///< line ends inside quotes
    };

    bool fill();
    void note_special(std::size_t from);
    End row_end() const;
    bool unclosed(RawRow& row);
    bool overlong(RawRow& row);
    bool finish(RawRow& row, std::size_t end, std::uint32_t lines);

    const Source& source_;
    std::size_t longest_;
    std::vector<char> buffer_;
    std::size_t begin_ = 0;
    std::size_t end_ = 0;
    std::size_t special_end_ = 0; ///< no quote, NUL or non-ASCII byte at or after this offset
    bool at_end_ = false;
    std::uint32_t line_ = 1;
    char separator_ = ',';
    std::vector<char> kept_; ///< the start of an overlong row
};

} // namespace holdwarden::intake
