#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/pin.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::seal;

TEST_CASE("a PIN is known by its hash, and two hashes of one PIN differ") {
    const std::string hash = pin_hash("7294");
    // RFC 9106, section 3.1 names the variant; the text form is the one of its reference code.
    CHECK(hash.starts_with("$argon2id$v=19$m=65536,t=2,p=1$"));
    CHECK(is_pin("7294", hash));
    CHECK_FALSE(is_pin("7295", hash));
    CHECK_FALSE(is_pin("", hash));
    CHECK(pin_hash("7294") != hash);
    CHECK(hash.find("7294") == std::string::npos);
}

TEST_CASE("a text that is no hash fits no PIN") {
    CHECK_FALSE(is_pin("7294", ""));
    CHECK_FALSE(is_pin("7294", "7294"));
    CHECK_FALSE(is_pin("7294", "$argon2id$v=19$m=65536,t=2,p=1$"));
}

TEST_CASE("a PIN that anybody would try first is refused") {
    for (const char* pin : {"", "729", "0000", "1234", "4321", "abcd", "72\n94"}) {
        INFO(pin);
        CHECK_THROWS_AS(check_pin(pin), Error);
    }
    CHECK_THROWS_AS(check_pin(std::string(65, 'x') + "y"), Error);
    CHECK_THROWS_AS(check_pin("72\xff"
                              "94"),
                    Error);
    CHECK_NOTHROW(check_pin("7294"));
    CHECK_NOTHROW(check_pin("étoiles"));
    CHECK_NOTHROW(check_pin("1235"));
}

TEST_CASE("a wiped secret is empty") {
    std::string secret = "7294";
    wipe(secret);
    CHECK(secret.empty());
}
