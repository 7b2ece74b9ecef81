#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/signed_text.hpp>

#include <algorithm>
#include <cassert>

namespace holdwarden::seal {
namespace {

constexpr std::string_view kDigest = "sha256\t";
constexpr std::string_view kKey = "key\t";
constexpr std::string_view kSignature = "signature\t";

[[noreturn]] void fail(const std::string& why) {
    throw Error{ErrorKind::bad_input,
                {.what = "has no seal that holds: " + why,
                 .where = "",
                 .fix = "get it again from where it came; it was changed or cut off on the way"}};
}

/// Takes the last line off the text: what stands behind `name`.
std::string last_line(std::string_view& text, std::string_view name) {
    if (text.empty() || text.back() != '\n') {
        fail("its end is missing");
    }
    const std::size_t before = text.substr(0, text.size() - 1).rfind('\n');
    const std::size_t begin = before == std::string_view::npos ? 0 : before + 1;
    const std::string_view line = text.substr(begin, text.size() - 1 - begin);
    if (!line.starts_with(name)) {
        fail("its last lines are not those of a seal");
    }
    text = text.substr(0, begin);
    const auto bytes = from_hex(line.substr(name.size()));
    if (!bytes) {
        fail("its last lines are not those of a seal");
    }
    return *bytes;
}

std::string_view bytes_of(const PublicKey& key) {
    return {reinterpret_cast<const char*>(key.bytes.data()), key.bytes.size()};
}

std::string hex_of(std::string_view bytes) {
    return hex({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

} // namespace

std::string with_seal(std::string_view body, const SigningKey& key) {
    assert(!body.empty() && body.back() == '\n');
    std::string text{body};
    text += std::string{kDigest} + hex(sha256(body)) + "\n";
    text += std::string{kKey} + hex_of(bytes_of(key.public_key())) + "\n";
    const Signature signature = key.sign(text);
    text += std::string{kSignature} + hex_of(to_bytes(signature)) + "\n";
    return text;
}

SealedText open_seal(std::string_view text) {
    std::string_view rest = text;
    const std::string signature = last_line(rest, kSignature);
    const std::string_view is_signed_text = rest;
    const std::string key = last_line(rest, kKey);
    const std::string digest = last_line(rest, kDigest);
    SealedText sealed{.body = rest, .key = {}};
    if (key.size() != sealed.key.bytes.size() || signature.size() != Signature{}.bytes.size()) {
        fail("its key or signature has another length");
    }
    std::copy(key.begin(), key.end(), sealed.key.bytes.begin());
    if (rest.empty() || hex_of(digest) != hex(sha256(rest))) {
        fail("what it says is not what was signed");
    }
    if (!is_signed(is_signed_text, signature_from_bytes(signature), sealed.key)) {
        fail("its signature is not by the key that it names");
    }
    return sealed;
}

} // namespace holdwarden::seal
