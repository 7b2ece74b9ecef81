#pragma once

// Proofs as texts that can be handed on. docs/formats/proof.md.

#include <holdwarden/seal/merkle.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::seal {

/// That a record is in a history: the record's own bytes and the way from it to the root.
struct InclusionProof {
    std::uint64_t size = 0;
    Sha256 root{};
    std::uint64_t index = 0; ///< from 0
    std::string leaf;        ///< the record, as LeafWriter wrote it
    std::vector<Sha256> path;
    friend bool operator==(const InclusionProof&, const InclusionProof&) = default;
};

/// That an older history is the beginning of a newer one.
struct ConsistencyProof {
    std::uint64_t old_size = 0;
    Sha256 old_root{};
    std::uint64_t new_size = 0;
    Sha256 new_root{};
    std::vector<Sha256> path;
    friend bool operator==(const ConsistencyProof&, const ConsistencyProof&) = default;
};

/// Whether it proves what it says. The root still has to be one that you trust: from a signed
/// checkpoint or a sheet on paper.
bool holds(const InclusionProof& proof) noexcept;
bool holds(const ConsistencyProof& proof) noexcept;

std::string to_text(const InclusionProof& proof);
std::string to_text(const ConsistencyProof& proof);

/// Both throw Error{bad_input} for anything that to_text would not write.
InclusionProof parse_inclusion_proof(std::string_view text);
ConsistencyProof parse_consistency_proof(std::string_view text);

} // namespace holdwarden::seal
