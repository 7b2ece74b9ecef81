#pragma once

#include "row_feed.hpp"

#include <bit>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::intake {

/// The fields of one row. Blanks around an unquoted field do not belong to it; a quoted field is
/// taken as it stands, doubled quotes undone. The texts live as long as the raw row and the next
/// call.
class Fields {
public:
    explicit Fields(char separator) noexcept : separator_{separator} {}

    /// nullptr, or why the row cannot be cut.
    const char* cut(const RawRow& row);

    std::size_t size() const noexcept { return fields_.size(); }
    std::string_view operator[](std::size_t i) const noexcept { return fields_[i]; }

private:
    void cut_plain(std::string_view text);
    const char* cut_quoted(std::string_view text);

    char separator_;
    std::vector<std::string_view> fields_;
    std::string undone_; ///< bytes of quoted fields that held doubled quotes
};

/// `text` without blanks and tabs around it; quicker than `trimmed` where there are none.
inline std::string_view without_blanks(std::string_view text) noexcept {
    const auto blank = [](char c) { return c == ' ' || c == '\t'; };
    while (!text.empty() && blank(text.front())) {
        text.remove_prefix(1);
    }
    while (!text.empty() && blank(text.back())) {
        text.remove_suffix(1);
    }
    return text;
}

/// A set high bit for each byte of `word` that equals `c`; exact.
inline std::uint64_t bytes_equal(std::uint64_t word, char c) noexcept {
    constexpr std::uint64_t kOnes = 0x0101010101010101U;
    constexpr std::uint64_t kLow = 0x7F7F7F7F7F7F7F7FU;
    const std::uint64_t x = word ^ (kOnes * static_cast<unsigned char>(c));
    return ~(((x & kLow) + kLow) | x | kLow);
}

/// Eight bytes at a time. Plain rows lie in the feed's buffer, which has kReadAhead bytes of slack.
inline void Fields::cut_plain(std::string_view text) {
    static_assert(RowFeed::kReadAhead >= sizeof(std::uint64_t));
    static_assert(std::endian::native == std::endian::little, "the first byte is the lowest");
    fields_.clear();
    const char* start = text.data();
    const char* const end = start + text.size();
    const auto add = [&](const char* to) {
        fields_.push_back(without_blanks({start, static_cast<std::size_t>(to - start)}));
    };
    for (const char* p = start; p < end; p += sizeof(std::uint64_t)) {
        std::uint64_t word = 0;
        std::memcpy(&word, p, sizeof word);
        for (std::uint64_t hits = bytes_equal(word, separator_); hits != 0; hits &= hits - 1) {
            const char* const hit = p + std::countr_zero(hits) / 8;
            if (hit >= end) {
                break;
            }
            add(hit);
            start = hit + 1;
        }
    }
    add(end);
}

inline const char* Fields::cut(const RawRow& row) {
    if (row.plain) {
        cut_plain(row.text);
        return nullptr;
    }
    return cut_quoted(row.text);
}

} // namespace holdwarden::intake
