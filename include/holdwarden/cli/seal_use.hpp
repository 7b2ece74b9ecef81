#pragma once

#include <holdwarden/cli/command.hpp>
#include <holdwarden/seal/signing.hpp>

#include <filesystem>
#include <optional>
#include <string>

namespace holdwarden::cli {

/// Declares "--key FILE" of a command that signs.
void declare_signing_key(Arguments& arguments, std::string& into);

/// `named`, else HOLDWARDEN_KEY, else holdwarden/key.pem in the user's folder for settings
/// (XDG_CONFIG_HOME, else ~/.config). Throws Error{usage} when nothing names a place.
std::filesystem::path signing_key_file(const std::string& named, const Context& context);

/// The key that a person trusts: a fingerprint of 64 hexadecimal digits (blanks between them are
/// passed over), or a file with the public key in PEM. nullopt: `text` is empty. Throws
/// Error{usage} for anything else.
std::optional<seal::Sha256> trusted_key(const std::string& text,
                                        const std::string& option = "--key");

/// A fingerprint in groups of four digits, which people can compare.
std::string grouped(const seal::Sha256& fingerprint);

} // namespace holdwarden::cli
