#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/pin.hpp>

#include <sodium.h>

#include <algorithm>
#include <array>
#include <stdexcept>

namespace holdwarden::seal {
namespace {

void start_library() {
    if (sodium_init() < 0) {
        throw std::runtime_error{"the cryptographic library cannot start"};
    }
}

/// Whether each character is `step` after the one before.
bool is_run(std::string_view pin, int step) {
    for (std::size_t i = 1; i < pin.size(); ++i) {
        if (pin[i] - pin[i - 1] != step) {
            return false;
        }
    }
    return true;
}

} // namespace

std::string pin_hash(std::string_view pin) {
    start_library();
    std::array<char, crypto_pwhash_STRBYTES> text{};
    if (crypto_pwhash_str_alg(
            text.data(), pin.data(), pin.size(), crypto_pwhash_OPSLIMIT_INTERACTIVE,
            crypto_pwhash_MEMLIMIT_INTERACTIVE, crypto_pwhash_ALG_ARGON2ID13) != 0) {
        throw Error{ErrorKind::store,
                    {.what = "the PIN cannot be kept: 64 MiB of memory are needed for a moment",
                     .where = "",
                     .fix = "close other programs and try again"}};
    }
    return text.data();
}

bool is_pin(std::string_view pin, const std::string& hash) {
    start_library();
    return crypto_pwhash_str_verify(hash.c_str(), pin.data(), pin.size()) == 0;
}

void wipe(std::string& secret) noexcept {
    sodium_memzero(secret.data(), secret.size());
    secret.clear();
}

void check_pin(std::string_view pin) {
    const auto refused = [](const char* what) {
        return Error{ErrorKind::bad_input,
                     {.what = what,
                      .where = "PIN",
                      .fix = "choose at least four characters that nobody would try first"}};
    };
    const auto characters = std::count_if(pin.begin(), pin.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    });
    if (characters < 4) {
        throw refused("is too short");
    }
    if (pin.size() > 64) {
        throw refused("is longer than 64 bytes");
    }
    if (!is_utf8(pin) || for_display(pin) != pin) {
        throw refused("holds characters that cannot be typed everywhere");
    }
    if (is_run(pin, 0) || is_run(pin, 1) || is_run(pin, -1)) {
        throw refused("is among the first that anybody would try");
    }
}

} // namespace holdwarden::seal
