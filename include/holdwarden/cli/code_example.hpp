#pragma once

#include <holdwarden/codes/pack.hpp>
#include <holdwarden/judge/finding.hpp>
#include <holdwarden/records/lot_history.hpp>

#include <optional>
#include <string>
#include <vector>

namespace holdwarden::cli {

/// An invented record that shows how one requirement is read.
struct CodeExample {
    std::string story; ///< one sentence on top
    records::LotHistory lot;
    Instant as_of;
    std::vector<std::pair<Temperature, std::string>> limits; ///< to draw, with their labels
    std::vector<std::pair<Instant, std::string>> marks;      ///< likewise, ascending by time
    std::optional<Instant> drawn_from; ///< earlier readings are told, not drawn
};

/// Invented records for a requirement of a pack, built from its own figures; empty where the pack
/// lacks the figures to build one. A record without readings is one of days.
std::vector<CodeExample> examples_of(const codes::Pack& pack,
                                     const codes::Requirement& requirement);

/// What the judge finds in the example for the requirement: the worst of its findings; nullopt if
/// it has none.
std::optional<judge::Finding> finding_in(const CodeExample& example, const codes::Pack& pack,
                                         const codes::Requirement& requirement);

} // namespace holdwarden::cli
