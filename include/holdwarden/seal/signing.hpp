#pragma once

// Ed25519 (RFC 8032) keys and signatures. Keys are kept as PEM (RFC 8410), so that ordinary tools
// read them. The private key never goes into a store or a packet.

#include <holdwarden/seal/digest.hpp>

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>

namespace holdwarden::seal {

struct PublicKey {
    std::array<std::uint8_t, 32> bytes{};
    friend bool operator==(const PublicKey&, const PublicKey&) = default;
};

struct Signature {
    std::array<std::uint8_t, 64> bytes{};
    friend bool operator==(const Signature&, const Signature&) = default;
};

/// A private key. Its memory is wiped when it goes.
class SigningKey {
public:
    using Seed = std::array<std::uint8_t, 32>;

    /// Makes a new random key and keeps it in `file`, readable and writable by its owner alone;
    /// missing folders are made so too. Throws Error{conflict} if the file is there already,
    /// Error{store} if it cannot be written.
    static SigningKey create(const std::filesystem::path& file);
    /// Throws Error{not_found} if there is no such file, Error{bad_input} if it is a link, belongs
    /// to somebody else, is open to others than its owner, or holds no Ed25519 private key.
    static SigningKey load(const std::filesystem::path& file);
    /// The key that grows from these 32 bytes (RFC 8032, 5.1.5).
    static SigningKey from_seed(const Seed& seed);

    SigningKey(SigningKey&& other) noexcept;
    SigningKey& operator=(SigningKey&&) = delete;
    SigningKey(const SigningKey&) = delete;
    SigningKey& operator=(const SigningKey&) = delete;
    ~SigningKey();

    PublicKey public_key() const noexcept;
    Signature sign(std::string_view message) const;

private:
    SigningKey() = default;
    std::array<std::uint8_t, 64> secret_{}; // seed, then public key
};

/// Whether the owner of the key signed exactly this message.
bool is_signed(std::string_view message, const Signature& signature, const PublicKey& key) noexcept;

/// The key's name: the SHA-256 of its DER form, as `openssl pkey -pubin -outform DER | sha256sum`
/// prints it.
Sha256 fingerprint(const PublicKey& key);

/// "-----BEGIN PUBLIC KEY-----" ...
std::string to_pem(const PublicKey& key);
/// Throws Error{bad_input} unless the text is an Ed25519 public key in PEM.
PublicKey public_key_from_pem(std::string_view text);
/// Throws Error{bad_input} unless there are 64 bytes.
Signature signature_from_bytes(std::string_view bytes);
std::string to_bytes(const Signature& signature);

} // namespace holdwarden::seal
