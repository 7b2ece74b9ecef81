#pragma once

#include <holdwarden/base/received_as.hpp>
#include <holdwarden/codes/pack.hpp>

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::codes {

/// What a code asks of food at the door.
struct ReceivingRule {
    ReceivedAs as = ReceivedAs::cold;
    std::optional<TemperatureLimit> limit{}; ///< nullopt for frozen: it must be frozen, no figure
    std::string clause{};
    Status status = Status::remembered;
    std::string says{}; ///< the rule in our own words, one sentence
};

/// The part of a pack that is about receiving. Immutable once loaded.
struct Receiving {
    std::string pack{};                 ///< the pack's id
    std::vector<ReceivingRule> rules{}; ///< one for each way to arrive at most

    /// nullptr: the pack says nothing of it.
    const ReceivingRule* of(ReceivedAs as) const;
};

/// Reads that part of a pack's TOML; `name` is its file in messages. Throws Error{bad_input}.
Receiving parse_receiving(std::string_view text, const std::string& name);
/// The same of a file. Throws Error{not_found}, Error{bad_input}.
Receiving load_receiving(const std::filesystem::path& path);

} // namespace holdwarden::codes
