#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace holdwarden {

/// `text` without leading and trailing blanks, tabs and line ends.
std::string_view trimmed(std::string_view text) noexcept;

/// Whether the bytes are well-formed UTF-8 (RFC 3629): no overlong forms, surrogates or stray
/// bytes.
bool is_utf8(std::string_view bytes) noexcept;

/// `text` made safe to show on a terminal or in a message: control characters, bidirectional
/// overrides and ill-formed bytes become `\xNN` or `\u{NNNN}`; more than `most_bytes` bytes end in
/// "…".
std::string for_display(std::string_view text, std::size_t most_bytes = 200);

/// "a, b and c".
std::string listed(const std::vector<std::string>& items);

} // namespace holdwarden
