#include "lines.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/seal/encoding.hpp>

#include <charconv>

namespace holdwarden::seal {

LineReader::LineReader(std::string_view text, std::string_view format, std::string_view what)
    : left_{text}, what_{what} {
    if (left_.empty() || line() != format) {
        fail("its first line is not '" + std::string{format} + "'");
    }
}

std::string_view LineReader::line() {
    ++line_;
    const std::size_t end = left_.find('\n');
    if (end == std::string_view::npos) {
        fail(left_.empty() ? "it ends too early" : "its last line has no end");
    }
    const std::string_view taken = left_.substr(0, end);
    left_.remove_prefix(end + 1);
    return taken;
}

bool LineReader::next_is(std::string_view name) const noexcept {
    return left_.size() > name.size() && left_.substr(0, name.size()) == name &&
           left_[name.size()] == ' ';
}

std::string_view LineReader::value(std::string_view name) {
    const bool named = next_is(name);
    const std::string_view taken = line();
    if (!named || taken.size() == name.size() + 1) {
        fail("'" + std::string{name} + "' is missing");
    }
    return taken.substr(name.size() + 1);
}

bool read_number(std::string_view text, std::uint64_t& into) noexcept {
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), into);
    return error == std::errc{} && end == text.data() + text.size() &&
           (text.size() == 1 || text.front() != '0');
}

std::uint64_t LineReader::number(std::string_view name) {
    std::uint64_t n = 0;
    if (!read_number(value(name), n)) {
        fail("'" + std::string{name} + "' is not a count");
    }
    return n;
}

Sha256 LineReader::digest(std::string_view name) {
    const auto digest = sha256_from_hex(value(name));
    if (!digest) {
        fail("'" + std::string{name} + "' is not 64 hexadecimal digits");
    }
    return *digest;
}

Instant LineReader::instant(std::string_view name) {
    const std::string_view text = value(name);
    const auto at = parse_rfc3339(text);
    if (!at || to_utc_text(*at) != text) {
        fail("'" + std::string{name} + "' is not a time such as 2026-11-02T14:00:00Z");
    }
    return *at;
}

void LineReader::fail(const std::string& why) const {
    throw Error{ErrorKind::bad_input,
                {.what = "is not a " + what_ + ": " + why,
                 .where = "line " + std::to_string(line_),
                 .fix = "get the file again from whoever made it, and keep this one"}};
}

} // namespace holdwarden::seal
