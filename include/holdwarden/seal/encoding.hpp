#pragma once

#include <holdwarden/seal/digest.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace holdwarden::seal {

/// The digest that 64 lower-case hexadecimal digits spell; nullopt for anything else.
std::optional<Sha256> sha256_from_hex(std::string_view text) noexcept;

/// The bytes that lower-case hexadecimal digits spell; nullopt for anything else, an odd number
/// too.
std::optional<std::string> from_hex(std::string_view text);

/// Base64 with padding (RFC 4648, section 4), in one line.
std::string to_base64(std::string_view bytes);

/// nullopt unless `text` is canonical Base64 with padding; line ends in it are passed over.
std::optional<std::string> from_base64(std::string_view text);

} // namespace holdwarden::seal
