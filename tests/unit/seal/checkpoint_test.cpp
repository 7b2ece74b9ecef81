#include <holdwarden/base/error.hpp>
#include <holdwarden/seal/checkpoint.hpp>
#include <holdwarden/seal/proof.hpp>

#include <catch2/catch.hpp>

#include <functional>
#include <optional>

using namespace holdwarden;
using namespace holdwarden::seal;

namespace {

Checkpoint some() {
    return {.origin = "Larkspur Yard Smokehouse",
            .size = 1234,
            .root = sha256("root"),
            .time = Instant::from_unix_s(1'793'628'000), // 2026-11-02T14:00:00Z
            .key = sha256("key")};
}

/// Every text that differs from `text` in one byte, or lacks one, or has one more.
void for_each_mutation(const std::string& text,
                       const std::function<void(const std::string&)>& visit) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string changed = text;
        changed[i] = static_cast<char>(changed[i] ^ 1);
        visit(changed);
        visit(std::string{text}.erase(i, 1));
        visit(std::string{text}.insert(i, 1, '0'));
        visit(text.substr(0, i));
    }
    visit(text + "x");
    visit(text + "\n");
}

template <class Parse>
auto parsed_or_refused(Parse parse, const std::string& text)
    -> std::optional<decltype(parse(text))> {
    try {
        return parse(text);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::bad_input);
        CHECK_FALSE(error.text().what.empty());
        return std::nullopt;
    }
}

} // namespace

TEST_CASE("a checkpoint has the text that the format page says") {
    // docs/formats/checkpoint.md.
    const std::string text = to_text(some());
    CHECK(text == "holdwarden-checkpoint/1\n"
                  "origin Larkspur Yard Smokehouse\n"
                  "size 1234\n"
                  "root " +
                      hex(sha256("root")) +
                      "\n"
                      "time 2026-11-02T14:00:00Z\n"
                      "key " +
                      hex(sha256("key")) + "\n");
    CHECK(parse_checkpoint(text) == some());
}

TEST_CASE("an origin is one plain line") {
    for (const std::string& origin :
         {std::string{}, std::string{"two\nlines"}, std::string{"\x1b[2J"}, std::string{"\xff"},
          std::string{"\u202e reversed"}, std::string(201, 'x')}) {
        Checkpoint checkpoint = some();
        checkpoint.origin = origin;
        CHECK_THROWS_AS(to_text(checkpoint), Error);
    }
    Checkpoint checkpoint = some();
    checkpoint.origin = "Küche 7";
    CHECK(parse_checkpoint(to_text(checkpoint)) == checkpoint);
}

TEST_CASE("each checkpoint has one text: no other is read as the same") {
    const std::string text = to_text(some());
    for_each_mutation(text, [&](const std::string& changed) {
        if (changed == text) {
            return; // a doubled digit '0' can give the same text
        }
        if (const auto checkpoint = parsed_or_refused(parse_checkpoint, changed)) {
            CHECK(to_text(*checkpoint) == changed);
            CHECK_FALSE(*checkpoint == some());
        }
    });
    for (const char* size : {"0012", "-1", "+1", "18446744073709551616", "1e3", " 1"}) {
        std::string other = text;
        other.replace(other.find("1234"), 4, size);
        CHECK_THROWS_AS(parse_checkpoint(other), Error);
    }
}

TEST_CASE("proofs survive being written down") {
    std::vector<Sha256> leaves;
    for (int i = 0; i < 7; ++i) {
        leaves.push_back(leaf_hash("record " + std::to_string(i)));
    }
    const InclusionProof inclusion{.size = 7,
                                   .root = tree_root(leaves),
                                   .index = 4,
                                   .leaf = "record 4",
                                   .path = inclusion_path(leaves, 4)};
    CHECK(holds(inclusion));
    CHECK(parse_inclusion_proof(to_text(inclusion)) == inclusion);
    const ConsistencyProof consistency{.old_size = 3,
                                       .old_root = tree_root(std::span{leaves}.first(3)),
                                       .new_size = 7,
                                       .new_root = tree_root(leaves),
                                       .path = consistency_path(leaves, 3)};
    CHECK(holds(consistency));
    CHECK(parse_consistency_proof(to_text(consistency)) == consistency);

    const std::string text = to_text(inclusion);
    for_each_mutation(text, [&](const std::string& changed) {
        if (changed != text) {
            const auto proof = parsed_or_refused(parse_inclusion_proof, changed);
            CHECK_FALSE((proof && holds(*proof)));
        }
    });
    const std::string growth = to_text(consistency);
    for_each_mutation(growth, [&](const std::string& changed) {
        if (changed != growth) {
            // Trees of some neighbouring sizes have paths of one shape: sizes are what a checkpoint
            // signs. Roots and path are bound.
            auto proof = parsed_or_refused(parse_consistency_proof, changed);
            if (proof && holds(*proof)) {
                proof->old_size = consistency.old_size;
                proof->new_size = consistency.new_size;
                CHECK(*proof == consistency);
            }
        }
    });
    CHECK_THROWS_AS(parse_inclusion_proof(growth), Error);
}
