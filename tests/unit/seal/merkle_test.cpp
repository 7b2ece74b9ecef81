#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/merkle.hpp>

#include <catch2/catch.hpp>
#include <rapidcheck.h>
#include <rapidcheck/catch.h>

#include <algorithm>
#include <array>
#include <map>
#include <string>
#include <vector>

using namespace holdwarden::seal;
using Path = std::vector<Sha256>;

namespace {

std::vector<Sha256> hashes_of(const std::vector<std::string>& data) {
    std::vector<Sha256> leaves;
    for (const std::string& item : data) {
        leaves.push_back(leaf_hash(item));
    }
    return leaves;
}

/// "reading-0", "reading-1", ...
std::vector<Sha256> numbered(std::size_t n) {
    std::vector<Sha256> leaves;
    for (std::size_t i = 0; i < n; ++i) {
        leaves.push_back(leaf_hash("reading-" + std::to_string(i)));
    }
    return leaves;
}

std::span<const Sha256> first(const std::vector<Sha256>& leaves, std::size_t n) {
    return std::span{leaves}.first(n);
}

void flip(Sha256& hash, std::size_t bit) {
    hash[bit / 8 % hash.size()] ^= static_cast<std::uint8_t>(1U << bit % 8U);
}

} // namespace

TEST_CASE("FMT-8: the tree has the roots of the published eight-leaf example") {
    // Test data of the reference implementation that accompanied RFC 6962 (from memory; each root
    // worked out again with Python's hashlib after RFC 6962, section 2.1).
    std::vector<std::string> data;
    for (const char* digits : {"", "00", "10", "2021", "3031", "40414243", "5051525354555657",
                               "606162636465666768696a6b6c6d6e6f"}) {
        data.push_back(from_hex(digits).value());
    }
    const std::array<const char*, 9> roots{
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
        "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
        "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
        "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
        "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
        "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
        "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
        "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
        "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328"};
    const auto leaves = hashes_of(data);
    for (std::size_t n = 0; n < roots.size(); ++n) {
        CHECK(hex(tree_root(first(leaves, n))) == roots[n]);
    }
}

TEST_CASE("FMT-8: five readings give the hashes worked out by hand") {
    // Worked out with Python's hashlib after RFC 6962, section 2.1.1 to 2.1.3.
    const auto leaves = numbered(5);
    CHECK(hex(leaves[0]) == "7d5664f13283415b9731bbde2c4cba37f8974a6f561af8deb79e9eed58c5f77a");
    CHECK(hex(leaves[4]) == "e400499021dcd24ddac201ba298f852ff55556071fa55c2d133cc7d2be187ea9");
    CHECK(hex(node_hash(leaves[2], leaves[3])) ==
          "d6e477d9d51c738ea09fafdd4b73447321e850a72b368214583e8c5178a0cbf5");
    const auto root = [&](std::size_t n) { return tree_root(first(leaves, n)); };
    CHECK(hex(root(2)) == "72309de4216625200b9c54201b78ebacaf14682e86e336a47cfdd7efdf240d73");
    CHECK(hex(root(3)) == "6853d7914f1825017e64c248719cc16cd618b66941f87f1e3b79fc4de3de9e08");
    CHECK(hex(root(4)) == "a04d439b4e55e0cfc87bad3d0dcaee68afb5286edc549b5d2bc302e4e2808c5d");
    CHECK(hex(root(5)) == "0e3c251a2b7b578b05f08fab17641c231591252fc02289b364367d48e41fcf93");
    CHECK(inclusion_path(leaves, 2) == Path{leaves[3], root(2), leaves[4]});
    CHECK(inclusion_path(leaves, 4) == Path{root(4)});
    CHECK(consistency_path(leaves, 3) == Path{leaves[2], leaves[3], root(2), leaves[4]});
    CHECK(consistency_path(leaves, 4) == Path{leaves[4]});

    auto altered = leaves;
    altered[1] = leaf_hash("reading-1x");
    CHECK(hex(tree_root(altered)) ==
          "2318d13344ea73922e8138c979d4ed185f311ef3d3804ee715d5e41c536c3bf8");
    CHECK_FALSE(shows(consistency_path(altered, 3), Growth{3, root(3), 5, tree_root(altered)}));
}

TEST_CASE("the seven-leaf example has the paths of the RFC") {
    // RFC 6962, section 2.1.3 (RFC 9162, 2.1.5): nodes named as in its figure.
    const auto d = numbered(7);
    const Sha256 a = d[0], b = d[1], c = d[2], e = d[3], f = d[4], j = d[6]; // e: its "d"
    const Sha256 leaf5 = d[5];
    const Sha256 g = node_hash(a, b), h = node_hash(c, e), i = node_hash(f, leaf5);
    const Sha256 k = node_hash(g, h), l = node_hash(i, j);
    CHECK(tree_root(d) == node_hash(k, l));
    CHECK(inclusion_path(d, 0) == Path{b, h, l});
    CHECK(inclusion_path(d, 3) == Path{c, g, l});
    CHECK(inclusion_path(d, 4) == Path{leaf5, j, k});
    CHECK(inclusion_path(d, 6) == Path{i, k});
    CHECK(consistency_path(d, 3) == Path{c, e, g, l});
    CHECK(consistency_path(d, 4) == Path{l});
    CHECK(consistency_path(d, 6) == Path{i, j, k});
}

TEST_CASE("every leaf of every small tree is shown, and nothing else") {
    const auto leaves = numbered(40);
    for (std::size_t n = 1; n <= leaves.size(); ++n) {
        const auto part = first(leaves, n);
        const Sha256 root = tree_root(part);
        for (std::size_t i = 0; i < n; ++i) {
            const Path path = inclusion_path(part, i);
            REQUIRE(shows(path, Inclusion{n, i, leaves[i], root}));
            REQUIRE_FALSE(shows(path, Inclusion{n, i, leaves[(i + 1) % 40], root}));
            for (std::size_t wrong = 0; wrong < n; ++wrong) {
                REQUIRE(shows(path, Inclusion{n, wrong, leaves[i], root}) == (wrong == i));
            }
        }
    }
}

TEST_CASE("every small tree is shown to have grown into every larger one") {
    const auto leaves = numbered(40);
    for (std::size_t n = 1; n <= leaves.size(); ++n) {
        const Sha256 root = tree_root(first(leaves, n));
        for (std::size_t m = 1; m <= n; ++m) {
            const Sha256 old_root = tree_root(first(leaves, m));
            const Path path = consistency_path(first(leaves, n), m);
            REQUIRE(shows(path, Growth{m, old_root, n, root}));
            if (m < n) {
                REQUIRE_FALSE(shows(path, Growth{m, root, n, root}));
                REQUIRE_FALSE(shows(path, Growth{m, old_root, n, old_root}));
            }
        }
    }
}

TEST_CASE("every tree grew from the empty one") {
    const Sha256 nothing = tree_root({});
    const Sha256 root = tree_root(numbered(3));
    CHECK(shows(Path{}, Growth{0, nothing, 3, root}));
    CHECK(shows(Path{}, Growth{0, nothing, 0, nothing}));
    CHECK_FALSE(shows(Path{}, Growth{0, nothing, 0, root}));
    CHECK_FALSE(shows(Path{}, Growth{0, root, 3, root}));
    CHECK_FALSE(shows(Path{root}, Growth{0, nothing, 3, root}));
}

TEST_CASE("sizes and places that cannot be are refused") {
    const auto leaves = numbered(8);
    const Sha256 root = tree_root(leaves);
    const Path path = inclusion_path(leaves, 3);
    CHECK_FALSE(shows(path, Inclusion{0, 0, leaves[3], root}));
    CHECK_FALSE(shows(path, Inclusion{3, 3, leaves[3], root}));
    CHECK_FALSE(shows(path, Inclusion{~std::uint64_t{0}, 3, leaves[3], root}));
    CHECK_FALSE(shows(path, Growth{9, root, 8, root}));
    CHECK_FALSE(shows(Path{}, Growth{3, root, 8, root}));
    CHECK_FALSE(shows(Path{}, Growth{4, root, ~std::uint64_t{0}, root}));
}

TEST_CASE("a node is not a leaf", "[second preimage]") {
    // RFC 6962, section 2.1: the prefixes keep the two apart.
    const auto leaves = numbered(2);
    std::string both;
    for (const Sha256& leaf : leaves) {
        both.append(leaf.begin(), leaf.end());
    }
    CHECK(leaf_hash(both) != tree_root(leaves));
    CHECK(sha256(both) != tree_root(leaves));
}

TEST_CASE("a tree taken up again grows like one that never stopped") {
    TreeFrontier whole;
    for (const Sha256& leaf : numbered(70)) {
        TreeFrontier again{whole.size(), whole.peaks()};
        again.add(leaf);
        whole.add(leaf);
        REQUIRE(again.root() == whole.root());
        REQUIRE(again.size() == whole.size());
    }
}

TEST_CASE("any flipped bit of leaf, path or root is seen") {
    rc::prop("inclusion", [] {
        const auto n = *rc::gen::inRange<std::size_t>(1, 300);
        const auto i = *rc::gen::inRange<std::size_t>(0, n);
        const auto leaves = numbered(n);
        Path path = inclusion_path(leaves, i);
        Inclusion claim{n, i, leaves[i], tree_root(leaves)};
        RC_ASSERT(shows(path, claim));
        const auto part = *rc::gen::inRange<std::size_t>(0, path.size() + 2);
        const auto bit = *rc::gen::inRange<std::size_t>(0, 256);
        flip(part < path.size() ? path[part] : part == path.size() ? claim.leaf : claim.root, bit);
        RC_ASSERT(!shows(path, claim));
    });
    rc::prop("growth", [] {
        const auto n = *rc::gen::inRange<std::size_t>(2, 300);
        const auto m = *rc::gen::inRange<std::size_t>(1, n);
        const auto leaves = numbered(n);
        Path path = consistency_path(leaves, m);
        Growth claim{m, tree_root(first(leaves, m)), n, tree_root(leaves)};
        RC_ASSERT(shows(path, claim));
        const auto part = *rc::gen::inRange<std::size_t>(0, path.size() + 2);
        const auto bit = *rc::gen::inRange<std::size_t>(0, 256);
        flip(part < path.size()    ? path[part]
             : part == path.size() ? claim.old_root
                                   : claim.new_root,
             bit);
        RC_ASSERT(!shows(path, claim));
    });
    rc::prop("a path with a step more or less", [] {
        const auto n = *rc::gen::inRange<std::size_t>(2, 300);
        const auto i = *rc::gen::inRange<std::size_t>(0, n);
        const auto leaves = numbered(n);
        const Inclusion claim{n, i, leaves[i], tree_root(leaves)};
        Path path = inclusion_path(leaves, i);
        path.push_back(claim.root);
        RC_ASSERT(!shows(path, claim));
        path.resize(path.size() - 2);
        RC_ASSERT(!shows(path, claim));
    });
}
