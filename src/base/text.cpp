#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <cstdint>
#include <optional>

namespace holdwarden {
namespace {

struct CodePoint {
    std::uint32_t value;
    std::size_t bytes;
};

/// The code point at the front of `bytes`, nullopt if ill-formed. RFC 3629, section 4 (from
/// memory).
std::optional<CodePoint> first_code_point(std::string_view bytes) noexcept {
    const auto at = [&](std::size_t i) { return static_cast<unsigned char>(bytes[i]); };
    const unsigned lead = at(0);
    if (lead < 0x80) {
        return CodePoint{lead, 1};
    }
    const std::size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || bytes.size() < length) {
        return std::nullopt;
    }
    std::uint32_t value = lead & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i) {
        if ((at(i) & 0xC0U) != 0x80U) {
            return std::nullopt;
        }
        value = (value << 6U) | (at(i) & 0x3FU);
    }
    const bool overlong = (length == 3 && value < 0x800) || (length == 4 && value < 0x10000);
    const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (overlong || surrogate || value > 0x10FFFF) {
        return std::nullopt;
    }
    return CodePoint{value, length};
}

/// Characters that would move the cursor, hide text or turn its direction.
bool hostile(std::uint32_t c) noexcept {
    return c < 0x20 || (c >= 0x7F && c < 0xA0) || c == 0xAD || c == 0x61C ||
           (c >= 0x200B && c <= 0x200F) || (c >= 0x2028 && c <= 0x202E) ||
           (c >= 0x2066 && c <= 0x2069) || c == 0xFEFF;
}

} // namespace

std::string_view trimmed(std::string_view text) noexcept {
    constexpr std::string_view kBlank = " \t\r\n";
    const auto first = text.find_first_not_of(kBlank);
    if (first == std::string_view::npos) {
        return {};
    }
    return text.substr(first, text.find_last_not_of(kBlank) - first + 1);
}

bool is_utf8(std::string_view bytes) noexcept {
    while (!bytes.empty()) {
        const auto point = first_code_point(bytes);
        if (!point) {
            return false;
        }
        bytes.remove_prefix(point->bytes);
    }
    return true;
}

std::string for_display(std::string_view text, std::size_t most_bytes) {
    std::string shown;
    while (!text.empty()) {
        if (shown.size() >= most_bytes) {
            return shown + "…";
        }
        const auto point = first_code_point(text);
        if (!point) {
            shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(text.front()));
            text.remove_prefix(1);
            continue;
        }
        if (!hostile(point->value)) {
            shown += text.substr(0, point->bytes);
        } else if (point->value < 0x100) {
            shown += fmt::format("\\x{:02X}", point->value);
        } else {
            shown += fmt::format("\\u{{{:04X}}}", point->value);
        }
        text.remove_prefix(point->bytes);
    }
    return shown;
}

std::string listed(const std::vector<std::string>& items) {
    std::string text;
    for (std::size_t i = 0; i < items.size(); ++i) {
        text += i == 0 ? "" : i + 1 == items.size() ? " and " : ", ";
        text += items[i];
    }
    return text;
}

} // namespace holdwarden
