#pragma once

// Texts of one "name value" pair a line, behind a first line that names the format. Internal to the
// seal. There is one way to write each text, so that what is signed has one form.

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/instant.hpp>
#include <holdwarden/seal/digest.hpp>

#include <cstdint>
#include <string>
#include <string_view>

namespace holdwarden::seal {

class LineReader {
public:
    /// Takes the first line, which must be `format`. `what` names such a text in messages.
    LineReader(std::string_view text, std::string_view format, std::string_view what);

    bool done() const noexcept { return left_.empty(); }
    /// Whether the next line bears this name.
    bool next_is(std::string_view name) const noexcept;
    /// The value on the next line, which must bear this name.
    std::string_view value(std::string_view name);
    std::uint64_t number(std::string_view name);
    Sha256 digest(std::string_view name);
    Instant instant(std::string_view name);
    /// The next line, without its end.
    std::string_view line();

    [[noreturn]] void fail(const std::string& why) const;

private:
    std::string_view left_;
    std::string what_;
    unsigned line_ = 0;
};

/// 0 to 2^64 - 1 in decimal digits without leading zeros.
bool read_number(std::string_view text, std::uint64_t& into) noexcept;

} // namespace holdwarden::seal
