#include <holdwarden/base/text.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace std::string_literals;

TEST_CASE("the first and last code point of each length is well-formed UTF-8") {
    // RFC 3629 (2003), section 3: one byte to U+007F, two to U+07FF, three to U+FFFF, four to
    // U+10FFFF.
    for (const std::string& bytes : {"\x00"s, "\x7F"s, "\xC2\x80"s, "\xDF\xBF"s, "\xE0\xA0\x80"s,
                                     "\xEF\xBF\xBF"s, "\xF0\x90\x80\x80"s, "\xF4\x8F\xBF\xBF"s}) {
        CHECK(is_utf8(bytes));
    }
    // Section 7, examples: "A<NOT IDENTICAL TO><ALPHA>." and the Korean word for the Korean
    // language.
    CHECK(is_utf8("\x41\xE2\x89\xA2\xCE\x91\x2E"));
    CHECK(is_utf8("\xED\x95\x9C\xEA\xB5\xAD\xEC\x96\xB4"));
    // The neighbours of the surrogates.
    CHECK(is_utf8("\xED\x9F\xBF\xEE\x80\x80"));
    CHECK(is_utf8(""));
}

TEST_CASE("what section 4 of RFC 3629 leaves out is ill-formed") {
    for (const std::string& bytes : {
             "\x80"s,
             "\xBF"s, // a continuation alone
             "\xC0\x80"s,
             "\xC1\xBF"s, // overlong, two bytes
             "\xE0\x80\x80"s,
             "\xE0\x9F\xBF"s, // overlong, three bytes
             "\xF0\x80\x80\x80"s,
             "\xF0\x8F\xBF\xBF"s, // overlong, four bytes
             "\xED\xA0\x80"s,
             "\xED\xBF\xBF"s, // surrogates
             "\xF4\x90\x80\x80"s,
             "\xF5\x80\x80\x80"s, // above U+10FFFF
             "\xFE"s,
             "\xFF"s, // never used
             "\xC2"s,
             "\xE2\x82"s,
             "\xF0\x90\x80"s, // cut short
             "\xC2\x41"s,
             "\xE2\x28\xA1"s, // broken by another byte
         }) {
        CHECK_FALSE(is_utf8(bytes));
        CHECK_FALSE(is_utf8("ok" + bytes));
    }
}

TEST_CASE("text is shown without what could move a cursor, hide or turn it") {
    CHECK(for_display("brisket-1") == "brisket-1");
    CHECK(for_display("139.5 °F") == "139.5 °F");
    CHECK(for_display("a\x1B[2Jb\n") == "a\\x1B[2Jb\\x0A");
    CHECK(for_display("a\xFF") == "a\\xFF");
    CHECK(for_display("\xE2\x80\xAE") == "\\u{202E}"); // right-to-left override
    CHECK(for_display("\xD8\x9C") == "\\u{061C}");     // Arabic letter mark, also of direction
    CHECK(for_display("\xEF\xBB\xBF") == "\\u{FEFF}");
    CHECK(for_display("\xC2\x85") == "\\x85");
    CHECK(for_display("\xC2\xAD") == "\\xAD"); // soft hyphen, which shows nothing
}

TEST_CASE("a long text is shown cut") {
    CHECK(for_display(std::string(10, 'a'), 10) == std::string(10, 'a'));
    CHECK(for_display(std::string(11, 'a'), 10) == std::string(10, 'a') + "…");
    CHECK(for_display(std::string(1'000'000, 'a')).size() < 300);
}

TEST_CASE("blanks around a text fall away, inside it stay") {
    CHECK(trimmed(" \t a b\r\n") == "a b");
    CHECK(trimmed(" \t\r\n").empty());
    CHECK(trimmed("").empty());
}

TEST_CASE("a list is read as a sentence") {
    CHECK(listed({}).empty());
    CHECK(listed({"a"}) == "a");
    CHECK(listed({"a", "b"}) == "a and b");
    CHECK(listed({"a", "b", "c"}) == "a, b and c");
}
