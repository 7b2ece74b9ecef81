#pragma once

// What a store's history was at a moment, in a text that is signed. docs/formats/checkpoint.md.

#include <holdwarden/base/instant.hpp>
#include <holdwarden/seal/signing.hpp>

#include <cstdint>
#include <string>
#include <string_view>

namespace holdwarden::seal {

struct Checkpoint {
    std::string origin;     ///< whose history: the site's name
    std::uint64_t size = 0; ///< leaves in the tree
    Sha256 root{};          ///< of the tree
    Instant time;           ///< when this was written, by the program's clock
    Sha256 key{};           ///< fingerprint of the key that signs it
    friend bool operator==(const Checkpoint&, const Checkpoint&) = default;
};

/// The one text for a checkpoint: it is what is signed. Throws Error{bad_input} if the origin is
/// empty, longer than 200 bytes, not UTF-8, or has control characters.
std::string to_text(const Checkpoint& checkpoint);

/// Throws Error{bad_input} for anything that to_text would not write.
Checkpoint parse_checkpoint(std::string_view text);

} // namespace holdwarden::seal
