#pragma once

#include <string>
#include <string_view>

namespace holdwarden::seal {

/// What keeps a PIN: Argon2id with a salt of its own (RFC 9106), 64 MiB of memory and two passes,
/// as libsodium's text "$argon2id$...". The text says nothing of the PIN but to one who tries; a
/// short PIN does not stand against whoever holds the text, so it stays in the store. Takes about a
/// tenth of a second. Throws Error{store} when the memory for it is not there.
std::string pin_hash(std::string_view pin);

/// Whether `hash` was made from this PIN. False for a text that is no such hash.
bool is_pin(std::string_view pin, const std::string& hash);

/// Overwrites the text in memory, then empties it.
void wipe(std::string& secret) noexcept;

/// Throws Error{bad_input} for a PIN that is shorter than four characters, longer than 64 bytes,
/// not UTF-8, one character over and over, or a run up or down such as 1234.
void check_pin(std::string_view pin);

} // namespace holdwarden::seal
