#include <holdwarden/sheets/markup.hpp>

#include <fmt/format.h>

namespace holdwarden::sheets {
namespace {

/// The code point that begins at `i`, which moves past it. `text` is well-formed UTF-8.
unsigned next_code_point(std::string_view text, std::size_t& i) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
    unsigned value = length == 1 ? lead : lead & (0x7Fu >> length);
    for (std::size_t k = 1; k < length && i + k < text.size(); ++k) {
        value = (value << 6u) | (static_cast<unsigned char>(text[i + k]) & 0x3Fu);
    }
    i += length;
    return value;
}

bool plain_in_css(unsigned c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           std::string_view{" .,:-+"}.find(static_cast<char>(c)) != std::string_view::npos;
}

} // namespace

std::string escaped(std::string_view text) {
    std::string out;
    out.reserve(text.size() + text.size() / 16);
    for (const char c : text) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\'':
            out += "&#39;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string css_string(std::string_view text) {
    std::string out = "\"";
    for (std::size_t i = 0; i < text.size();) {
        const unsigned c = next_code_point(text, i);
        if (c < 0x80 && plain_in_css(c)) {
            out += static_cast<char>(c);
        } else {
            out += fmt::format("\\{:06X}", c);
        }
    }
    return out + "\"";
}

} // namespace holdwarden::sheets
