#pragma once

// The way out when nobody in charge can sign any more: a new PIN on the authority of the signing
// key, which lies outside the store. docs/keeping-records.md. Stores given here must come from
// store::open or store::create.

#include <holdwarden/records/people.hpp>
#include <holdwarden/records/store.hpp>
#include <holdwarden/seal/signing.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::store {

struct PinReset {
    std::string person; ///< whose PIN
    std::string why;
    records::Stamp stamp;
};

/// Sets a PIN's hash and records, signed, that the key did it. The key must be the site's: that of
/// the first checkpoint, of one from before the PIN that is replaced, or of the packet that the
/// store was made from. Throws Error{conflict} for any other, Error{bad_input} without a reason,
/// Error{usage} when the stamp names nobody.
void reset_pin(records::Store& store, records::PersonId person, std::string_view hash,
               const std::string& why, const seal::SigningKey& key, const records::Stamp& stamp);

/// In the order of entry.
std::vector<PinReset> pin_resets(const records::Store& store);

/// Whether persons had PINs that stayed where the store's packet was made, so that none here can
/// be relied on.
bool pins_stayed_behind(const records::Store& store);

} // namespace holdwarden::store
