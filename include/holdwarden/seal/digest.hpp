#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace holdwarden::seal {

/// A SHA-256 digest (FIPS 180-4): what `sha256sum` prints, so that a person can check it with
/// ordinary tools.
using Sha256 = std::array<std::uint8_t, 32>;

/// The digest of bytes that arrive in parts.
class Sha256Stream {
public:
    Sha256Stream();
    ~Sha256Stream();
    Sha256Stream(const Sha256Stream&) = delete;
    Sha256Stream& operator=(const Sha256Stream&) = delete;

    void add(std::string_view bytes);
    /// Ends the stream; call once.
    Sha256 finish();

private:
    struct State;
    std::unique_ptr<State> state_;
};

Sha256 sha256(std::string_view bytes);

/// Lower-case hexadecimal.
std::string hex(std::span<const std::uint8_t> bytes);

} // namespace holdwarden::seal
