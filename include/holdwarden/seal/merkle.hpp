#pragma once

// The hash tree of RFC 6962, section 2.1 (the same in RFC 9162, section 2.1), with SHA-256. Leaves
// count from 0, in the order in which they were added.

#include <holdwarden/seal/digest.hpp>

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace holdwarden::seal {

/// SHA-256(0x00 || data).
Sha256 leaf_hash(std::string_view data) noexcept;
/// SHA-256(0x01 || left || right).
Sha256 node_hash(const Sha256& left, const Sha256& right) noexcept;

/// A growing tree that keeps only what further growth needs: the roots of its perfect subtrees, one
/// per binary one in its size.
class TreeFrontier {
public:
    TreeFrontier() = default;
    /// A tree of `size` leaves taken up again. `peaks`: the perfect subtrees' roots from left to
    /// right, as many as `size` has binary ones (asserted).
    TreeFrontier(std::uint64_t size, std::vector<Sha256> peaks);

    void add(const Sha256& leaf);

    std::uint64_t size() const noexcept { return size_; }
    const std::vector<Sha256>& peaks() const noexcept { return peaks_; }
    /// SHA-256 of nothing for the empty tree.
    Sha256 root() const;

private:
    std::uint64_t size_ = 0;
    std::vector<Sha256> peaks_;
};

/// The root over all `leaves` (leaf hashes).
Sha256 tree_root(std::span<const Sha256> leaves);

/// The hashes from the leaf's sibling up to the root's child: RFC 9162, 2.1.3.1. `index` is below
/// the number of leaves (asserted).
std::vector<Sha256> inclusion_path(std::span<const Sha256> leaves, std::uint64_t index);

/// The hashes that show that the tree over the first `old_size` leaves is the beginning of the tree
/// over all: RFC 9162, 2.1.4.1. `old_size` is from 1 to the number of leaves (asserted); empty when
/// they are equal.
std::vector<Sha256> consistency_path(std::span<const Sha256> leaves, std::uint64_t old_size);

/// What a path is to show: that a leaf is in a tree.
struct Inclusion {
    std::uint64_t size = 0;  ///< of the tree
    std::uint64_t index = 0; ///< of the leaf
    Sha256 leaf{};           ///< its leaf hash
    Sha256 root{};           ///< of the tree
};
/// RFC 9162, 2.1.3.2. Anything may be given: what does not fit is false.
bool shows(std::span<const Sha256> path, const Inclusion& claim) noexcept;

/// What a path is to show: that a tree only grew.
struct Growth {
    std::uint64_t old_size = 0;
    Sha256 old_root{};
    std::uint64_t new_size = 0;
    Sha256 new_root{};
};
/// RFC 9162, 2.1.4.2. Every tree grew from the empty one: true if the old root is SHA-256 of
/// nothing and the path is empty.
bool shows(std::span<const Sha256> path, const Growth& claim) noexcept;

} // namespace holdwarden::seal
