#pragma once

#include "row_feed.hpp"

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

inline void Fields::cut_plain(std::string_view text) {
    fields_.clear();
    const char* start = text.data();
    const char* const end = start + text.size();
    for (const char* p = start; p != end; ++p) {
        if (*p == separator_) {
            fields_.push_back(without_blanks({start, static_cast<std::size_t>(p - start)}));
            start = p + 1;
        }
    }
    fields_.push_back(without_blanks({start, static_cast<std::size_t>(end - start)}));
}

inline const char* Fields::cut(const RawRow& row) {
    if (row.plain) {
        cut_plain(row.text);
        return nullptr;
    }
    return cut_quoted(row.text);
}

} // namespace holdwarden::intake
