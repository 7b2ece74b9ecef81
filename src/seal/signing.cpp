#include "plain_file.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/signing.hpp>

#include <sodium.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <stdexcept>

namespace holdwarden::seal {
namespace {

namespace fs = std::filesystem;
using namespace std::string_view_literals;

// The DER of RFC 8410 up to the 32 bytes that follow: section 4 (public) and 7 (private), both with
// the algorithm 1.3.101.112.
constexpr std::string_view kPublicPrefix = "\x30\x2a\x30\x05\x06\x03\x2b\x65\x70\x03\x21\x00"sv;
constexpr std::string_view kPrivatePrefix =
    "\x30\x2e\x02\x01\x00\x30\x05\x06\x03\x2b\x65\x70\x04\x22\x04\x20"sv;

constexpr std::size_t kMostKeyBytes = 4096;

/// Text that is wiped when it goes.
struct Secret {
    std::string text;
    Secret() = default;
    Secret(const Secret&) = delete;
    Secret& operator=(const Secret&) = delete;
    ~Secret() { sodium_memzero(text.data(), text.size()); }
};

void start_library() {
    if (sodium_init() < 0) {
        throw std::runtime_error{"the cryptographic library cannot start"};
    }
}

std::string pem(std::string_view label, std::string_view der) {
    std::string text = "-----BEGIN ";
    text.append(label).append("-----\n");
    text.append(to_base64(der)); // 64 characters at most: one line
    text.append("\n-----END ").append(label).append("-----\n");
    return text;
}

/// The 32 bytes after `prefix` in a PEM of that label; empty if it is not one.
std::string from_pem(std::string_view text, std::string_view label, std::string_view prefix) {
    const std::string begin = "-----BEGIN " + std::string{label} + "-----";
    const std::string end = "-----END " + std::string{label} + "-----";
    text = trimmed(text);
    if (text.size() < begin.size() + end.size() || text.substr(0, begin.size()) != begin ||
        text.substr(text.size() - end.size()) != end) {
        return {};
    }
    const auto der =
        from_base64(text.substr(begin.size(), text.size() - begin.size() - end.size()));
    if (!der || der->size() != prefix.size() + 32 || der->compare(0, prefix.size(), prefix) != 0) {
        return {};
    }
    return der->substr(prefix.size());
}

Error bad_key(const fs::path& file, std::string what, std::string fix) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what),
                  .where = "signing key " + for_display(file.string()),
                  .fix = std::move(fix)}};
}

void check_owner(const PlainFile& in, const fs::path& file) {
    struct stat facts {};
    if (::fstat(in.handle(), &facts) != 0) {
        throw bad_key(file, "cannot be looked at", "see whether the disk is in order");
    }
    if (facts.st_uid != ::geteuid()) {
        throw bad_key(file, "belongs to another user",
                      "sign as the user who owns it, or make a key of your own");
    }
    if ((facts.st_mode & 077U) != 0) {
        throw bad_key(file, "may be used by others than its owner",
                      "take their rights away: chmod 600 " + for_display(file.string()) +
                          "; if somebody may have copied it, make a new key");
    }
}

void make_folder_of(const fs::path& file) {
    const fs::path folder = file.parent_path();
    if (folder.empty() || fs::exists(folder)) {
        return;
    }
    std::error_code code;
    if (fs::create_directories(folder, code)) {
        fs::permissions(folder, fs::perms::owner_all, code);
    }
    if (code) {
        throw Error{ErrorKind::store,
                    {.what = "cannot be made: " + code.message(),
                     .where = "folder " + for_display(folder.string()),
                     .fix = "name a place for the key where you may write"}};
    }
}

} // namespace

SigningKey::SigningKey(SigningKey&& other) noexcept : secret_{other.secret_} {
    sodium_memzero(other.secret_.data(), other.secret_.size());
}

SigningKey::~SigningKey() {
    sodium_memzero(secret_.data(), secret_.size());
}

SigningKey SigningKey::from_seed(const Seed& seed) {
    start_library();
    SigningKey key;
    PublicKey ignored;
    crypto_sign_seed_keypair(ignored.bytes.data(), key.secret_.data(), seed.data());
    return key;
}

SigningKey SigningKey::create(const fs::path& file) {
    start_library();
    make_folder_of(file);
    Secret der;
    der.text = kPrivatePrefix;
    der.text.resize(kPrivatePrefix.size() + 32);
    randombytes_buf(der.text.data() + kPrivatePrefix.size(), 32);
    Secret text;
    text.text = pem("PRIVATE KEY", der.text);
    write_new_file(file, text.text, 0600);
    return load(file);
}

SigningKey SigningKey::load(const fs::path& file) {
    const PlainFile in{file};
    check_owner(in, file);
    Secret text;
    text.text.resize(kMostKeyBytes);
    text.text.resize(in.read(text.text));
    Secret seed_bytes;
    seed_bytes.text = from_pem(text.text, "PRIVATE KEY", kPrivatePrefix);
    if (seed_bytes.text.empty()) {
        throw bad_key(file, "is not an Ed25519 private key in PEM",
                      "name the right file, or make a key with `holdwarden key new`");
    }
    Seed seed{};
    std::copy(seed_bytes.text.begin(), seed_bytes.text.end(), seed.begin());
    SigningKey key = from_seed(seed);
    sodium_memzero(seed.data(), seed.size());
    return key;
}

PublicKey SigningKey::public_key() const noexcept {
    PublicKey key;
    std::copy_n(secret_.begin() + 32, key.bytes.size(), key.bytes.begin());
    return key;
}

Signature SigningKey::sign(std::string_view message) const {
    Signature signature;
    crypto_sign_detached(signature.bytes.data(), nullptr,
                         reinterpret_cast<const unsigned char*>(message.data()), message.size(),
                         secret_.data());
    return signature;
}

bool is_signed(std::string_view message, const Signature& signature,
               const PublicKey& key) noexcept {
    return crypto_sign_verify_detached(signature.bytes.data(),
                                       reinterpret_cast<const unsigned char*>(message.data()),
                                       message.size(), key.bytes.data()) == 0;
}

namespace {

std::string der_of(const PublicKey& key) {
    std::string der{kPublicPrefix};
    der.append(key.bytes.begin(), key.bytes.end());
    return der;
}

} // namespace

Sha256 fingerprint(const PublicKey& key) {
    return sha256(der_of(key));
}

std::string to_pem(const PublicKey& key) {
    return pem("PUBLIC KEY", der_of(key));
}

PublicKey public_key_from_pem(std::string_view text) {
    const std::string bytes = from_pem(text, "PUBLIC KEY", kPublicPrefix);
    if (bytes.empty()) {
        throw Error{ErrorKind::bad_input,
                    {.what = "is not an Ed25519 public key in PEM",
                     .where = "",
                     .fix = "get the file again from whoever made the packet"}};
    }
    PublicKey key;
    std::copy(bytes.begin(), bytes.end(), key.bytes.begin());
    return key;
}

Signature signature_from_bytes(std::string_view bytes) {
    Signature signature;
    if (bytes.size() != signature.bytes.size()) {
        throw Error{ErrorKind::bad_input,
                    {.what = "is not a signature: it has " + std::to_string(bytes.size()) +
                             " bytes, not 64",
                     .where = "",
                     .fix = "get the file again from whoever made it"}};
    }
    std::copy(bytes.begin(), bytes.end(), signature.bytes.begin());
    return signature;
}

std::string to_bytes(const Signature& signature) {
    return {signature.bytes.begin(), signature.bytes.end()};
}

} // namespace holdwarden::seal
