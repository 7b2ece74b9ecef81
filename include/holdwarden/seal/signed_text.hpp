#pragma once

// A text that carries its own seal: digest, key and signature stand in its last three lines.
// docs/formats/handed-lot.md.

#include <holdwarden/seal/digest.hpp>
#include <holdwarden/seal/signing.hpp>

#include <string>
#include <string_view>

namespace holdwarden::seal {

/// `body` with the three lines of its seal. `body` must end with a line feed (asserted).
std::string with_seal(std::string_view body, const SigningKey& key);

struct SealedText {
    std::string_view body; ///< of the text that was given
    PublicKey key;         ///< by which it is signed: who that is, others must say
};

/// Throws Error{bad_input} unless the text is exactly what with_seal made of some body: an altered,
/// added or missing byte anywhere is refused.
SealedText open_seal(std::string_view text);

} // namespace holdwarden::seal
