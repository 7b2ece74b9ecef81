#include "lines.hpp"

#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/proof.hpp>

namespace holdwarden::seal {
namespace {

constexpr std::string_view kInclusion = "holdwarden-inclusion/1";
constexpr std::string_view kConsistency = "holdwarden-consistency/1";
/// More than a tree of 2^64 leaves can ask for.
constexpr std::size_t kLongestPath = 130;

std::span<const std::uint8_t> as_bytes(std::string_view text) noexcept {
    return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

std::string path_text(const std::vector<Sha256>& path) {
    std::string text;
    for (const Sha256& hash : path) {
        text += "path " + hex(hash) + "\n";
    }
    return text;
}

std::vector<Sha256> read_path(LineReader& in) {
    std::vector<Sha256> path;
    while (!in.done()) {
        path.push_back(in.digest("path"));
        if (path.size() > kLongestPath) {
            in.fail("its path is longer than any tree is deep");
        }
    }
    return path;
}

} // namespace

bool holds(const InclusionProof& proof) noexcept {
    return shows(proof.path, Inclusion{.size = proof.size,
                                       .index = proof.index,
                                       .leaf = leaf_hash(proof.leaf),
                                       .root = proof.root});
}

bool holds(const ConsistencyProof& proof) noexcept {
    return shows(proof.path, Growth{.old_size = proof.old_size,
                                    .old_root = proof.old_root,
                                    .new_size = proof.new_size,
                                    .new_root = proof.new_root});
}

std::string to_text(const InclusionProof& proof) {
    return std::string{kInclusion} + "\nsize " + std::to_string(proof.size) + "\nroot " +
           hex(proof.root) + "\nindex " + std::to_string(proof.index) + "\nleaf " +
           hex(as_bytes(proof.leaf)) + "\n" + path_text(proof.path);
}

std::string to_text(const ConsistencyProof& proof) {
    return std::string{kConsistency} + "\nold-size " + std::to_string(proof.old_size) +
           "\nold-root " + hex(proof.old_root) + "\nnew-size " + std::to_string(proof.new_size) +
           "\nnew-root " + hex(proof.new_root) + "\n" + path_text(proof.path);
}

InclusionProof parse_inclusion_proof(std::string_view text) {
    LineReader in{text, kInclusion, "proof of inclusion"};
    InclusionProof proof;
    proof.size = in.number("size");
    proof.root = in.digest("root");
    proof.index = in.number("index");
    const auto leaf = from_hex(in.value("leaf"));
    if (!leaf) {
        in.fail("'leaf' is not hexadecimal digits");
    }
    proof.leaf = *leaf;
    proof.path = read_path(in);
    return proof;
}

ConsistencyProof parse_consistency_proof(std::string_view text) {
    LineReader in{text, kConsistency, "proof of consistency"};
    ConsistencyProof proof;
    proof.old_size = in.number("old-size");
    proof.old_root = in.digest("old-root");
    proof.new_size = in.number("new-size");
    proof.new_root = in.digest("new-root");
    proof.path = read_path(in);
    return proof;
}

} // namespace holdwarden::seal
