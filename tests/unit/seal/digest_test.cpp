#include <holdwarden/seal/digest.hpp>

#include <catch2/catch.hpp>

using namespace holdwarden::seal;

TEST_CASE("SHA-256 gives the published digests") {
    // FIPS 180-4 example values (NIST, "SHA256" examples file): one block, two blocks; and the
    // empty message (from memory; `printf '' | sha256sum` prints it).
    CHECK(hex(sha256("abc")) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(hex(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")) ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(hex(sha256("")) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("a digest does not depend on how the bytes arrive") {
    Sha256Stream stream;
    stream.add("a");
    stream.add("");
    stream.add("bc");
    CHECK(stream.finish() == sha256("abc"));
}
