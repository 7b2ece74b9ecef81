#include <holdwarden/seal/digest.hpp>

#include <sodium.h>

#include <stdexcept>

namespace holdwarden::seal {

struct Sha256Stream::State {
    crypto_hash_sha256_state hash;
};

Sha256Stream::Sha256Stream() : state_{std::make_unique<State>()} {
    if (sodium_init() < 0) {
        throw std::runtime_error{"the cryptographic library cannot start"};
    }
    crypto_hash_sha256_init(&state_->hash);
}

Sha256Stream::~Sha256Stream() = default;

void Sha256Stream::add(std::string_view bytes) {
    crypto_hash_sha256_update(&state_->hash, reinterpret_cast<const unsigned char*>(bytes.data()),
                              bytes.size());
}

Sha256 Sha256Stream::finish() {
    Sha256 digest{};
    crypto_hash_sha256_final(&state_->hash, digest.data());
    return digest;
}

Sha256 sha256(std::string_view bytes) {
    Sha256Stream stream;
    stream.add(bytes);
    return stream.finish();
}

std::string hex(std::span<const std::uint8_t> bytes) {
    constexpr std::string_view kDigits = "0123456789abcdef";
    std::string text;
    text.reserve(bytes.size() * 2);
    for (const std::uint8_t byte : bytes) {
        text += kDigits[byte >> 4U];
        text += kDigits[byte & 15U];
    }
    return text;
}

} // namespace holdwarden::seal
