#include <holdwarden/seal/merkle.hpp>

#include <sodium.h>

#include <algorithm>
#include <bit>
#include <cassert>

namespace holdwarden::seal {
namespace {

/// The largest power of two below n: where a tree of n > 1 leaves is split.
std::uint64_t split_point(std::uint64_t n) noexcept {
    return std::bit_floor(n - 1);
}

bool is_odd(std::uint64_t n) noexcept {
    return (n & 1U) != 0;
}

/// SUBPROOF of RFC 9162, 2.1.4.1. `whole`: the first `old_size` leaves are a tree the verifier
/// knows.
void add_growth(std::span<const Sha256> leaves, std::uint64_t old_size, bool whole,
                std::vector<Sha256>& path) {
    if (old_size == leaves.size()) {
        if (!whole) {
            path.push_back(tree_root(leaves));
        }
        return;
    }
    const std::uint64_t split = split_point(leaves.size());
    const auto left = leaves.first(split);
    const auto right = leaves.subspan(split);
    if (old_size <= split) {
        add_growth(left, old_size, whole, path);
        path.push_back(tree_root(right));
    } else {
        add_growth(right, old_size - split, false, path);
        path.push_back(tree_root(left));
    }
}

} // namespace

Sha256 leaf_hash(std::string_view data) noexcept {
    const unsigned char prefix = 0;
    crypto_hash_sha256_state state;
    crypto_hash_sha256_init(&state);
    crypto_hash_sha256_update(&state, &prefix, 1);
    crypto_hash_sha256_update(&state, reinterpret_cast<const unsigned char*>(data.data()),
                              data.size());
    Sha256 hash{};
    crypto_hash_sha256_final(&state, hash.data());
    return hash;
}

Sha256 node_hash(const Sha256& left, const Sha256& right) noexcept {
    std::array<unsigned char, 65> bytes{1};
    std::copy(left.begin(), left.end(), bytes.begin() + 1);
    std::copy(right.begin(), right.end(), bytes.begin() + 33);
    Sha256 hash{};
    crypto_hash_sha256(hash.data(), bytes.data(), bytes.size());
    return hash;
}

TreeFrontier::TreeFrontier(std::uint64_t size, std::vector<Sha256> peaks)
    : size_{size}, peaks_{std::move(peaks)} {
    assert(peaks_.size() == static_cast<std::size_t>(std::popcount(size)));
}

void TreeFrontier::add(const Sha256& leaf) {
    Sha256 peak = leaf;
    // Each binary one at the end of the size is a subtree as large as the one just made.
    for (std::uint64_t n = size_; is_odd(n); n >>= 1U) {
        peak = node_hash(peaks_.back(), peak);
        peaks_.pop_back();
    }
    peaks_.push_back(peak);
    ++size_;
}

Sha256 TreeFrontier::root() const {
    if (peaks_.empty()) {
        return sha256("");
    }
    Sha256 root = peaks_.back();
    for (std::size_t i = peaks_.size() - 1; i-- > 0;) {
        root = node_hash(peaks_[i], root);
    }
    return root;
}

Sha256 tree_root(std::span<const Sha256> leaves) {
    TreeFrontier tree;
    for (const Sha256& leaf : leaves) {
        tree.add(leaf);
    }
    return tree.root();
}

std::vector<Sha256> inclusion_path(std::span<const Sha256> leaves, std::uint64_t index) {
    assert(index < leaves.size());
    std::vector<Sha256> path;
    while (leaves.size() > 1) {
        const std::uint64_t split = split_point(leaves.size());
        const auto left = leaves.first(split);
        const auto right = leaves.subspan(split);
        path.push_back(tree_root(index < split ? right : left));
        leaves = index < split ? left : right;
        index = index < split ? index : index - split;
    }
    std::reverse(path.begin(), path.end());
    return path;
}

std::vector<Sha256> consistency_path(std::span<const Sha256> leaves, std::uint64_t old_size) {
    assert(old_size >= 1 && old_size <= leaves.size());
    std::vector<Sha256> path;
    add_growth(leaves, old_size, true, path);
    return path;
}

bool shows(std::span<const Sha256> path, const Inclusion& claim) noexcept {
    if (claim.index >= claim.size) {
        return false;
    }
    std::uint64_t fn = claim.index; // names as in the RFC
    std::uint64_t sn = claim.size - 1;
    Sha256 r = claim.leaf;
    for (const Sha256& p : path) {
        if (sn == 0) {
            return false;
        }
        if (is_odd(fn) || fn == sn) {
            r = node_hash(p, r);
            while (!is_odd(fn) && fn != 0) {
                fn >>= 1U;
                sn >>= 1U;
            }
        } else {
            r = node_hash(r, p);
        }
        fn >>= 1U;
        sn >>= 1U;
    }
    return sn == 0 && r == claim.root;
}

bool shows(std::span<const Sha256> path, const Growth& claim) noexcept {
    if (claim.old_size > claim.new_size) {
        return false;
    }
    if (claim.old_size == 0) {
        return path.empty() && claim.old_root == TreeFrontier{}.root() &&
               (claim.new_size > 0 || claim.new_root == claim.old_root);
    }
    if (claim.old_size == claim.new_size) {
        return path.empty() && claim.old_root == claim.new_root;
    }
    // A perfect old tree is itself the first node of the path.
    const bool perfect = std::has_single_bit(claim.old_size);
    if (path.empty() && !perfect) {
        return false;
    }
    std::uint64_t fn = claim.old_size - 1;
    std::uint64_t sn = claim.new_size - 1;
    while (is_odd(fn)) {
        fn >>= 1U;
        sn >>= 1U;
    }
    Sha256 fr = perfect ? claim.old_root : path.front();
    Sha256 sr = fr;
    for (const Sha256& c : perfect ? path : path.subspan(1)) {
        if (sn == 0) {
            return false;
        }
        if (is_odd(fn) || fn == sn) {
            fr = node_hash(c, fr);
            sr = node_hash(c, sr);
            while (!is_odd(fn) && fn != 0) {
                fn >>= 1U;
                sn >>= 1U;
            }
        } else {
            sr = node_hash(sr, c);
        }
        fn >>= 1U;
        sn >>= 1U;
    }
    return sn == 0 && fr == claim.old_root && sr == claim.new_root;
}

} // namespace holdwarden::seal
