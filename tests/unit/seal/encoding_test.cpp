#include <holdwarden/seal/encoding.hpp>

#include <catch2/catch.hpp>
#include <rapidcheck.h>
#include <rapidcheck/catch.h>

using namespace holdwarden::seal;

TEST_CASE("Base64 gives the test vectors of its RFC") {
    // RFC 4648, section 10.
    const std::vector<std::pair<std::string, std::string>> vectors{{"", ""},
                                                                   {"f", "Zg=="},
                                                                   {"fo", "Zm8="},
                                                                   {"foo", "Zm9v"},
                                                                   {"foob", "Zm9vYg=="},
                                                                   {"fooba", "Zm9vYmE="},
                                                                   {"foobar", "Zm9vYmFy"}};
    for (const auto& [bytes, text] : vectors) {
        CHECK(to_base64(bytes) == text);
        CHECK(from_base64(text) == bytes);
    }
    CHECK(from_base64("Zm9v\nYmFy\n") == "foobar");
}

TEST_CASE("Base64 that nobody writes is refused") {
    for (const char* text : {"Zg=", "Zg", "Zh==", "Zm9v!", "Z", "Zg==x", "=", "Zm 9v"}) {
        CHECK_FALSE(from_base64(text).has_value());
    }
}

TEST_CASE("hexadecimal digits are read back, and nothing else is") {
    rc::prop("round trip", [](const std::string& bytes) {
        RC_ASSERT(from_hex(hex({reinterpret_cast<const std::uint8_t*>(bytes.data()),
                                bytes.size()})) == bytes);
    });
    const std::string digest = hex(sha256("abc"));
    CHECK(sha256_from_hex(digest) == sha256("abc"));
    CHECK_FALSE(sha256_from_hex(digest.substr(1)).has_value());
    CHECK_FALSE(sha256_from_hex(digest + "0").has_value());
    CHECK_FALSE(sha256_from_hex(std::string(64, 'g')).has_value());
    CHECK_FALSE(sha256_from_hex(std::string(64, 'A')).has_value()); // one way to write it
    CHECK_FALSE(from_hex("abc").has_value());
    CHECK_FALSE(from_hex("0x").has_value());
}
