// Golden answers: tests/data/golden/check/README.md says what they guard and what they do not.
#include "said.hpp"
#include "schema_walk.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <iterator>

using holdwarden::test::Said;
using holdwarden::test::said;
using Json = nlohmann::json;

namespace {

const std::string kFolder = std::string{HOLDWARDEN_TEST_DATA} + "/golden/check/";

struct Case {
    std::string name;
    std::vector<std::string> options;

    std::string requirement() const { return name.substr(0, name.find('.')); }
    std::string verdict() const { return name.substr(name.find('.') + 1); }
};

std::string contents(const std::string& path) {
    std::ifstream file{path, std::ios::binary};
    return {std::istreambuf_iterator<char>{file}, {}};
}

/// Words apart at blanks; 'single quotes' keep blanks together.
std::vector<std::string> words_of(const std::string& line) {
    std::vector<std::string> words{""};
    bool quoted = false;
    for (const char c : line) {
        if (c == '\'') {
            quoted = !quoted;
        } else if (c == ' ' && !quoted) {
            words.emplace_back();
        } else {
            words.back() += c;
        }
    }
    return words;
}

std::vector<Case> cases() {
    std::vector<Case> all;
    std::ifstream file{kFolder + "cases.txt"};
    std::string line;
    while (std::getline(file, line)) {
        if (line.empty() || line.front() == '#') {
            continue;
        }
        std::vector<std::string> words = words_of(line);
        all.push_back({words.front(), {words.begin() + 1, words.end()}});
    }
    return all;
}

Said answer(const Case& c, const std::string& format) {
    std::vector<std::string> words{"check",          "--csv",    "-",   "--zone",
                                   "America/Denver", "--format", format};
    words.insert(words.end(), c.options.begin(), c.options.end());
    return said(words, contents(kFolder + c.name + ".csv"));
}

} // namespace

TEST_CASE("every golden case has the verdict of its name", "[golden][check]") {
    const auto all = cases();
    REQUIRE(all.size() >= 45);
    for (const Case& c : all) {
        INFO(c.name);
        const Said got = answer(c, "json");
        INFO(got.err);
        REQUIRE_FALSE(got.out.empty());
        const Json findings = Json::parse(got.out).at("lots").at(0).at("findings");
        std::string seen;
        for (const Json& f : findings) {
            if (f.at("requirement") == c.requirement()) {
                seen += f.at("verdict").get<std::string>() + " ";
            }
        }
        CHECK(seen == c.verdict() + " ");
    }
}

TEST_CASE("the golden answers come out word for word", "[golden][check]") {
    for (const Case& c : cases()) {
        for (const std::string format : {"text", "json"}) {
            INFO(c.name << " " << format);
            const std::string path = kFolder + c.name + (format == "text" ? ".txt" : ".json");
            const std::string out = answer(c, format).out;
            if (std::getenv("HOLDWARDEN_WRITE_GOLDEN") != nullptr) {
                std::ofstream{path, std::ios::binary} << out;
            }
            CHECK(out == contents(path));
        }
    }
}
