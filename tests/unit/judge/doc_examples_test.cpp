// Every example drawn in docs/how-limits-are-read.md says what the judge says. The grammar of an
// example stands in doc_example.hpp.
#include "doc_example.hpp"

#include <holdwarden/codes/load.hpp>

#include <catch2/catch.hpp>

#include <fstream>
#include <iterator>
#include <set>
#include <sstream>
#include <utility>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

const std::filesystem::path kSource{HOLDWARDEN_SOURCE_DIR};
const std::filesystem::path kPacks = kSource / "schema" / "codes";

std::string text_of(const std::filesystem::path& path) {
    std::ifstream in{path};
    return {std::istreambuf_iterator<char>{in}, {}};
}

} // namespace

TEST_CASE("every example of the page on reading limits is judged as it says") {
    const auto page = kSource / "docs" / "how-limits-are-read.md";
    const auto examples = doc_examples(text_of(page));
    REQUIRE_FALSE(examples.empty());
    for (const auto& example : examples) {
        for (const auto& check : run_example(example, kPacks)) {
            INFO("docs/how-limits-are-read.md:" << check.line);
            CHECK(check.got == check.expected);
        }
    }
}

TEST_CASE("the page on reading limits has an example of every requirement of every pack") {
    // An expectation is of the pack named last above it; `none` shows no requirement.
    std::set<std::pair<std::string, std::string>> shown;
    for (const auto& example : doc_examples(
             text_of(std::filesystem::path{kSource / "docs" / "how-limits-are-read.md"}))) {
        std::string pack = "us-fda-2022";
        for (const std::string& line : example.lines) {
            std::istringstream words{line.substr(0, line.find('#'))};
            std::string key;
            std::string what;
            std::string verdict;
            words >> key >> what >> verdict;
            if (key == "code") {
                pack = what;
            } else if (key == "=>" && verdict != "none") {
                shown.emplace(pack, what.substr(0, what.find('@')));
            }
        }
    }
    const auto ids = codes::pack_ids(kPacks);
    REQUIRE(ids.size() >= 11);
    for (const std::string& id : ids) {
        for (const auto& requirement : codes::load_pack(kPacks / (id + ".toml")).requirements) {
            INFO(id << ", " << requirement.id);
            CHECK(shown.contains({id, requirement.id}));
        }
    }
}

TEST_CASE("an example judges what stands above each expectation") {
    // FDA Food Code 2022, 3-501.14(A)(1): within 2 hours; 3-501.16(A)(1): 135 °F or above.
    const auto examples = doc_examples("text\n```holdwarden-example\n"
                                       "stage hot-holding @0\n"
                                       "0 140F\n30 138F # still fine\n60 140F\n"
                                       "=> hot-holding met\n"
                                       "=> cooling-total none\n"
                                       "guarded 4F\n"
                                       "=> hot-holding not shown\n"
                                       "as-read\n"
                                       "stage cooling @60\n"
                                       "65 134F\n"
                                       "as-of 180\n"
                                       "=> cooling-first-window open\n"
                                       "as-of 181\n"
                                       "=> cooling-first-window@60 not shown\n"
                                       "```\n");
    REQUIRE(examples.size() == 1);
    const auto checks = run_example(examples.front(), kPacks);
    REQUIRE(checks.size() == 5);
    for (const auto& check : checks) {
        INFO("line " << check.line);
        CHECK(check.got == check.expected);
    }
    CHECK(checks.front().line == 7);
}

TEST_CASE("an example that is wrong is seen to be wrong") {
    const auto run = [](const std::string& lines) {
        return run_example(doc_examples("```holdwarden-example\n" + lines + "```\n").front(),
                           kPacks);
    };
    const auto checks = run("stage hot-holding @0\n0 134F\n60 134F\n=> hot-holding met\n");
    CHECK(checks.front().expected == "hot-holding: met");
    CHECK(checks.front().got == "hot-holding: not met");
    CHECK_THROWS(run("stage hot-holding @0\n0 134F\n"));              // expects nothing
    CHECK_THROWS(run("stage roasting @0\n0 134F\n=> overall met\n")); // no such stage
    CHECK_THROWS(run("stage cooling @0\n0 134\n=> overall met\n"));   // no scale
    CHECK_THROWS(run("stage cooling @0\n0 134F\n=> overall fine\n")); // no such verdict
    CHECK_THROWS(doc_examples("```holdwarden-example\n0 134F\n"));    // left open
}
