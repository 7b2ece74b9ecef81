#include "row_feed.hpp"

#include <holdwarden/base/text.hpp>

#include <algorithm>
#include <cstring>

namespace holdwarden::intake {
namespace {

constexpr std::size_t kReadBytes = 262'144;
constexpr std::size_t kBlock = 64;

bool is_special(char c) noexcept {
    return static_cast<unsigned char>(c) >= 0x80 || c == '\0' || c == '"';
}

/// Written so that the compiler makes wide instructions of it: no early exit.
bool any_special(const char* block) noexcept {
    unsigned found = 0;
    for (std::size_t i = 0; i < kBlock; ++i) {
        found |= static_cast<unsigned>(is_special(block[i]));
    }
    return found != 0;
}

} // namespace

RowFeed::RowFeed(const Source& source, std::size_t longest_row_bytes)
    : source_{source}, longest_{longest_row_bytes},
      buffer_(std::max(kReadBytes, 2 * longest_row_bytes + 2) + kReadAhead) {}

bool RowFeed::fill() {
    if (at_end_) {
        return false;
    }
    if (begin_ > 0) {
        std::memmove(buffer_.data(), buffer_.data() + begin_, end_ - begin_);
        special_end_ -= std::min(special_end_, begin_);
        end_ -= begin_;
        begin_ = 0;
    }
    const std::size_t old_end = end_;
    const std::size_t got = source_(buffer_.data() + end_, buffer_.size() - kReadAhead - end_);
    at_end_ = got == 0;
    end_ += got;
    note_special(old_end);
    return got > 0;
}

void RowFeed::note_special(std::size_t from) {
    std::size_t at = end_;
    while (at >= from + kBlock && !any_special(buffer_.data() + at - kBlock)) {
        at -= kBlock;
    }
    while (at > from && !is_special(buffer_[at - 1])) {
        --at;
    }
    if (at > from) {
        special_end_ = at;
    }
}

RowFeed::End RowFeed::row_end() const {
    const char* const data = buffer_.data();
    if (begin_ >= special_end_) {
        const void* hit = std::memchr(data + begin_, '\n', end_ - begin_);
        if (hit != nullptr) {
            return {Found::yes, static_cast<std::size_t>(static_cast<const char*>(hit) - data), 0};
        }
        return {at_end_ ? Found::yes : Found::more_needed, end_, 0};
    }
    bool quoted = false;
    bool may_open = true; // at the start of a field, or right behind a quote that closed
    std::uint32_t lines = 0;
    for (std::size_t i = begin_; i < end_; ++i) {
        const char c = data[i];
        if (quoted) {
            quoted = c != '"'; // a doubled quote closes and opens again at once
            may_open = !quoted;
            lines += c == '\n' ? 1 : 0;
        } else if (c == '"' && may_open) {
            quoted = true;
        } else if (c == '\n') {
            return {Found::yes, i, lines};
        } else {
            may_open = c == separator_;
        }
    }
    if (!at_end_) {
        return {Found::more_needed, end_, lines};
    }
    return {quoted ? Found::never : Found::yes, end_, lines};
}

bool RowFeed::next(RawRow& row) {
    row.problem = nullptr;
    if (begin_ == end_ && !fill()) {
        return false;
    }
    for (;;) {
        const End end = row_end();
        if (end.found == Found::never) {
            return unclosed(row);
        }
        if (end.found == Found::yes && end.at - begin_ <= longest_ + 1) {
            return finish(row, end.at, end.lines_inside);
        }
        if (end.at - begin_ > longest_ + 1) {
            return end.lines_inside > 0 ? unclosed(row) : overlong(row);
        }
        fill(); // at the end of the bytes the next look finds the row's end there
    }
}

bool RowFeed::finish(RawRow& row, std::size_t end, std::uint32_t lines) {
    const bool has_line_end = end < end_;
    row.line = line_;
    row.has_line_end = has_line_end;
    row.plain = begin_ >= special_end_;
    std::string_view text{buffer_.data() + begin_, end - begin_};
    if (!text.empty() && text.back() == '\r') {
        text.remove_suffix(1);
    }
    row.text = text;
    if (!row.plain) {
        if (text.find('\0') != std::string_view::npos) {
            row.problem = "the row holds a NUL byte";
        } else if (!is_utf8(text)) {
            row.problem = "the row is not well-formed UTF-8; save the file as UTF-8";
        }
    }
    begin_ = has_line_end ? end + 1 : end;
    line_ += lines + 1;
    return true;
}

bool RowFeed::unclosed(RawRow& row) {
    const void* hit = std::memchr(buffer_.data() + begin_, '\n', end_ - begin_);
    const std::size_t end =
        hit == nullptr ? end_
                       : static_cast<std::size_t>(static_cast<const char*>(hit) - buffer_.data());
    finish(row, end, 0);
    row.problem = "a quote opens and does not close";
    return true;
}

bool RowFeed::overlong(RawRow& row) {
    kept_.assign(buffer_.data() + begin_,
                 buffer_.data() + begin_ + std::min<std::size_t>(end_ - begin_, 200));
    row.line = line_;
    row.plain = false;
    row.has_line_end = true;
    row.problem = "the row is longer than any sensible one";
    row.text = {kept_.data(), kept_.size()};
    for (;;) {
        const void* hit = std::memchr(buffer_.data() + begin_, '\n', end_ - begin_);
        if (hit != nullptr) {
            begin_ = static_cast<std::size_t>(static_cast<const char*>(hit) - buffer_.data()) + 1;
            break;
        }
        begin_ = end_;
        if (!fill()) {
            row.has_line_end = false;
            break;
        }
    }
    ++line_;
    return true;
}

} // namespace holdwarden::intake
