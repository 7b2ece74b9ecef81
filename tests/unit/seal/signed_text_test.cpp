#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/signed_text.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden;
using namespace holdwarden::seal;

namespace {

// RFC 8032, 7.1, test 1: the secret key whose public key is d75a9801...07511a.
SigningKey rfc_8032_key() {
    const std::string seed =
        *from_hex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60");
    SigningKey::Seed bytes{};
    std::copy(seed.begin(), seed.end(), bytes.begin());
    return SigningKey::from_seed(bytes);
}

const std::string kBody = "holdwarden-example/1\nlot\tbrisket-1\n";

} // namespace

TEST_CASE("a sealed text says its digest, its key and its signature in its last lines") {
    const std::string text = with_seal(kBody, rfc_8032_key());
    REQUIRE(text.starts_with(kBody));
    // printf 'holdwarden-example/1\nlot\tbrisket-1\n' | sha256sum (GNU coreutils 9.1)
    CHECK(text.find("sha256\t" + hex(sha256(kBody)) + "\n") == kBody.size());
    CHECK(text.find("key\td75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a\n") !=
          std::string::npos);
    const SealedText sealed = open_seal(text);
    CHECK(sealed.body == kBody);
    CHECK(sealed.key == rfc_8032_key().public_key());
}

TEST_CASE("a sealed text with any bit flipped, any byte added or its end cut off is refused") {
    const std::string text = with_seal(kBody, rfc_8032_key());
    for (std::size_t i = 0; i < text.size(); ++i) {
        for (int bit = 0; bit < 8; ++bit) {
            std::string flipped = text;
            flipped[i] = static_cast<char>(flipped[i] ^ (1 << bit));
            INFO("byte " << i << ", bit " << bit);
            CHECK_THROWS_AS(open_seal(flipped), Error);
        }
        INFO("cut at " << i);
        CHECK_THROWS_AS(open_seal(text.substr(0, i)), Error);
    }
    CHECK_THROWS_AS(open_seal(text + "\n"), Error);
    CHECK_THROWS_AS(open_seal("\n" + text), Error);
    CHECK_THROWS_AS(open_seal(text + text), Error);
}

TEST_CASE("a text that another key sealed again is another text with another key") {
    const std::string again = with_seal(kBody, SigningKey::from_seed({1}));
    CHECK(open_seal(again).body == kBody);
    CHECK_FALSE(open_seal(again).key == rfc_8032_key().public_key());
    // The seal of one text under another: refused.
    const std::string other = with_seal(kBody + "lot\tbrisket-2\n", rfc_8032_key());
    const std::string text = with_seal(kBody, rfc_8032_key());
    CHECK_THROWS_AS(open_seal(kBody + other.substr(other.find("sha256"))), Error);
    CHECK(open_seal(kBody + text.substr(text.find("sha256"))).body == kBody);
}
