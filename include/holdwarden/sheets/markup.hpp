#pragma once

#include <string>
#include <string_view>

namespace holdwarden::sheets {

/// The one function that puts a text into HTML, SVG or one of their quoted attributes: & < > " '
/// become references (HTML Living Standard, 13.1.4).
std::string escaped(std::string_view text);

/// `text` as a CSS string with its quotes: all but ASCII letters, digits, blanks and . , : - + are
/// written as \HEX (CSS Syntax Level 3, 4.3.7), so that nothing in it can end the string or its
/// style element.
std::string css_string(std::string_view text);

} // namespace holdwarden::sheets
