// The drawings in docs/how-limits-are-read.md are those of `codes explain`. This guards the page
// against a drawing, a story or a verdict that the program no longer prints; whether the program is
// right is for the examples beside them (tests/unit/judge/doc_examples_test.cpp) and for
// codes_explain_test.cpp. scripts/refresh-drawings draws the blocks anew.
#include <holdwarden/cli/run.hpp>
#include <holdwarden/codes/load.hpp>

#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>

using namespace holdwarden;
using namespace holdwarden::cli;

namespace {

const std::string kSource = HOLDWARDEN_SOURCE_DIR;

/// A block fenced as ```holdwarden-drawing PACK REQUIREMENT.
struct Block {
    int line = 0; ///< of its fence
    std::string pack;
    std::string requirement;
    std::string text; ///< whole lines
};

std::vector<Block> blocks_in(std::istream& page) {
    const std::string fence = "```holdwarden-drawing ";
    std::vector<Block> found;
    bool inside = false;
    int number = 0;
    for (std::string line; std::getline(page, line);) {
        ++number;
        if (!inside && line.starts_with(fence)) {
            inside = true;
            Block block{.line = number, .pack = "", .requirement = "", .text = ""};
            std::istringstream{line.substr(fence.size())} >> block.pack >> block.requirement;
            found.push_back(block);
        } else if (inside && line.starts_with("```")) {
            inside = false;
        } else if (inside) {
            found.back().text += line + "\n";
        }
    }
    REQUIRE_FALSE(inside);
    return found;
}

std::vector<Block> blocks_of_page() {
    std::ifstream page{kSource + "/docs/how-limits-are-read.md"};
    REQUIRE(page);
    return blocks_in(page);
}

std::string explained(const Block& block) {
    std::istringstream in;
    std::ostringstream out;
    std::ostringstream err;
    Context context{.in = in,
                    .out = out,
                    .err = err,
                    .now = [] { return Instant{}; },
                    .env = [](const std::string&) { return std::nullopt; },
                    .data = kSource};
    CHECK(run({"codes", "explain", block.requirement, "--code", block.pack}, context) == kDone);
    return out.str();
}

} // namespace

TEST_CASE("every drawing on the page about limits stands in codes explain word for word") {
    const auto blocks = blocks_of_page();
    REQUIRE_FALSE(blocks.empty());
    for (const Block& block : blocks) {
        INFO("docs/how-limits-are-read.md:" << block.line << "\n" << block.text);
        // A drawing has a reading or a mark, and says what the judge finds in it.
        CHECK_THAT(block.text, Catch::Contains("*") || Catch::Contains("^"));
        CHECK_THAT(block.text, Catch::Contains("met. ") || Catch::Contains("shown. "));
        CHECK_THAT(explained(block), Catch::Contains(block.text));
    }
}

TEST_CASE("the page about limits has a drawing of each requirement") {
    std::set<std::pair<std::string, std::string>> drawn;
    std::set<std::string> anywhere;
    for (const Block& block : blocks_of_page()) {
        drawn.emplace(block.pack, block.requirement);
        anywhere.insert(block.requirement);
    }
    const std::string packs = kSource + "/schema/codes";
    std::set<std::string> of_default;
    for (const auto& requirement : codes::load_pack(packs + "/us-fda-2022.toml").requirements) {
        of_default.insert(requirement.id);
        INFO(requirement.id);
        CHECK(drawn.contains({"us-fda-2022", requirement.id}));
    }
    REQUIRE(of_default.size() >= 14); // the requirements docs/code-packs.md lists, but for three
    for (const std::string& id : codes::pack_ids(packs)) {
        for (const auto& requirement : codes::load_pack(packs + "/" + id + ".toml").requirements) {
            INFO(id << ", " << requirement.id);
            CHECK((of_default.contains(requirement.id) || anywhere.contains(requirement.id)));
        }
    }
}

TEST_CASE("a drawing that codes explain does not print is seen") {
    std::istringstream page{"```holdwarden-drawing us-fda-2022 hot-holding\n"
                            "     134 |        *\n"
                            "```\n"
                            "```holdwarden-drawing us-fda-2022 hot-holding\n"
                            "     133 |        *\n"
                            "```\n"};
    const auto blocks = blocks_in(page);
    REQUIRE(blocks.size() == 2);
    CHECK(blocks.back().line == 4);
    CHECK(blocks.back().pack == "us-fda-2022");
    CHECK(blocks.back().requirement == "hot-holding");
    CHECK(blocks.back().text == "     133 |        *\n");
    CHECK_THAT(explained(blocks.back()), !Catch::Contains(blocks.back().text));
}
