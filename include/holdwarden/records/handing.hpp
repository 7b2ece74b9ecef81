#pragma once

// A lot on its way to another kitchen: what the sender's records say of it, and the one text for
// that (docs/formats/handed-lot.md).

#include <holdwarden/records/answers.hpp>
#include <holdwarden/records/came_from.hpp>
#include <holdwarden/records/entry.hpp>
#include <holdwarden/records/lot.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::records {

/// Where a probe was, as far as it read the lot or one that it came from.
struct PlacedThere {
    std::string probe{};
    std::string point{};
    Instant from{};
    std::optional<Instant> to{};
};

struct ActionThere {
    std::int64_t id = 0; ///< as the sender numbers it
    std::optional<std::int64_t> supersedes{};
    Action facts{}; ///< lot and supersedes are not looked at
    Stamp stamp{};
};

struct VerificationThere {
    std::int64_t action = 0; ///< ActionThere::id
    bool accepted = true;
    std::string note{};
    std::string alone{};
    Stamp stamp{};
};

/// A lot as its kitchen hands it on.
struct HandedLot {
    std::string from{}; ///< the kitchen's name
    std::string zone{}; ///< and zone, IANA
    std::string to{};
    Instant at{};
    std::string by{};
    std::vector<RulesThere> rules{}; ///< all the kitchen followed since the lot's first stage
    std::optional<std::int64_t> thickness_um{};
    std::string container{};
    LotHistory history{}; ///< up to `at`, without an end: the food lives on
    std::vector<PlacedThere> placements{};
    std::vector<ActionThere> actions{};
    std::vector<VerificationThere> verifications{};
};

/// The first line of the text.
inline constexpr std::string_view kHandedLotFormat = "holdwarden-handed-lot/1";

/// The one text for it: what is signed. Throws Error{bad_input} where a field cannot be written.
std::string to_text(const HandedLot& lot);

/// Reads what to_text wrote and nothing else. Every field is checked: names and texts of ordinary
/// length without control characters, temperatures in the range that is judged, times in order and
/// none after the handing on. Throws Error{bad_input} naming the line; Error{conflict} for a newer
/// form.
HandedLot handed_lot_from_text(std::string_view text);

/// The history with everything that names a thing or a person of the kitchen marked as of there:
/// probes, units, who made entries. "hand-1" becomes "hand-1 @ Larkspur Yard Smokehouse".
LotHistory as_of_kitchen(LotHistory history, const std::string& kitchen);
std::string as_of_kitchen(const std::string& name, const std::string& kitchen);

/// The history with the lots it is told from numbered anew below zero, as of the lot `here` that it
/// was taken in as: another kitchen's numbers mean nothing in this store.
LotHistory told_for(LotHistory history, LotId here);

/// The history as it was told at `as_of`, which is not after its last event.
LotHistory told_until(LotHistory history, Instant as_of);

/// A lot that went to another kitchen.
struct HandedOn {
    std::string kitchen{};
    Instant at{};
    std::string sha256{}; ///< of the file, hexadecimal
    std::string signer{}; ///< fingerprint of the key, hexadecimal
};

/// A lot that came from another kitchen, with its file.
struct TakenIn {
    LotId lot;
    CameFrom from; ///< without the rules
    std::string file{};
};

} // namespace holdwarden::records
