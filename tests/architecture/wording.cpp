#include "wording.hpp"

#include <regex>

namespace architecture {
namespace {

/// The index after what is no code at `i`: a comment, a preprocessor line, a character literal, a
/// raw string; `i` itself when code stands there.
std::size_t after_no_code(std::string_view s, std::size_t i) {
    const auto find_end = [&](std::string_view end, std::size_t from) {
        const auto at = s.find(end, from);
        return at == std::string_view::npos ? s.size() : at + end.size();
    };
    if (s.substr(i, 2) == "//") {
        return find_end("\n", i);
    }
    if (s.substr(i, 2) == "/*") {
        return find_end("*/", i + 2);
    }
    if (s[i] == '#') {
        return find_end("\n", i);
    }
    if (s[i] == '\'') {
        return find_end("'", i + (s.substr(i + 1, 1) == "\\" ? 3 : 1));
    }
    if (s.substr(i, 2) == "R\"") {
        const auto open = s.find('(', i);
        const std::string end = ")" + std::string{s.substr(i + 2, open - i - 2)} + "\"";
        return find_end(end, open);
    }
    return i;
}

bool is_digit_separator(std::string_view s, std::size_t i) {
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    return s[i] == '\'' && i > 0 && i + 1 < s.size() && is_digit(s[i - 1]) && is_digit(s[i + 1]);
}

} // namespace

std::vector<std::string> literals(std::string_view s) {
    std::vector<std::string> found;
    for (std::size_t i = 0; i < s.size();) {
        if (is_digit_separator(s, i)) {
            ++i;
            continue;
        }
        if (const auto after = after_no_code(s, i); after != i) {
            i = after;
            continue;
        }
        if (s[i] != '"') {
            ++i;
            continue;
        }
        std::string text;
        for (++i; i < s.size() && s[i] != '"'; ++i) {
            if (s[i] == '\\') {
                text += s[i++];
            }
            text += s[i];
        }
        ++i;
        found.push_back(std::move(text));
    }
    return found;
}

bool could_be_wording(std::string_view literal) {
    static const std::regex kMarkup{
        R"(\{\{|\}\}|<[^>]*>?|[a-z-]+=\\"[^"]*\\"|\\[a-zA-Z]|\{[^}]*\})"};
    const std::string rest = std::regex_replace(std::string{literal}, kMarkup, " ");
    static const std::regex kLetters{"[A-Za-z]{3}"};
    return std::regex_search(rest, kLetters);
}

} // namespace architecture
