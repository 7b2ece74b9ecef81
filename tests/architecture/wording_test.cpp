#include "wording.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

namespace fs = std::filesystem;
using architecture::could_be_wording;
using architecture::literals;

namespace {

const fs::path kProject{HOLDWARDEN_SOURCE_DIR};

std::string contents(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    REQUIRE(in.good());
    return {std::istreambuf_iterator<char>{in}, {}};
}

std::string without_end_blanks(std::string text) {
    text.erase(text.find_last_not_of(' ') + 1);
    return text;
}

/// The literals that are no wording: ids, keys of the CSV form, styles. One a line; '#' begins a
/// comment.
std::set<std::string> no_wording() {
    std::ifstream in{kProject / "tests/architecture/no_wording.txt"};
    REQUIRE(in.good());
    std::set<std::string> known;
    for (std::string line; std::getline(in, line);) {
        if (!line.starts_with("# ")) {
            known.insert(line);
        }
    }
    return known;
}

} // namespace

TEST_CASE("sheets have no wording outside the catalogue") {
    const std::set<std::string> known = no_wording();
    std::size_t files = 0;
    for (const auto& entry : fs::directory_iterator{kProject / "src/sheets"}) {
        const std::string name = entry.path().filename().string();
        if (name.starts_with("messages.")) {
            continue;
        }
        ++files;
        for (const std::string& literal : literals(contents(entry.path()))) {
            if (could_be_wording(literal) && !known.contains(without_end_blanks(literal))) {
                FAIL_CHECK("src/sheets/" << name << ": \"" << literal
                                         << "\": move it to src/sheets/messages.en.hpp; if nobody "
                                            "reads it, to tests/architecture/no_wording.txt");
            }
        }
    }
    CHECK(files > 15); // an empty search proves nothing
}

TEST_CASE("the catalogue has each message once, none unused") {
    const std::string catalogue = contents(kProject / "src/sheets/messages.en.hpp");
    std::string all;
    for (const auto& entry : fs::directory_iterator{kProject / "src/sheets"}) {
        if (!entry.path().filename().string().starts_with("messages.")) {
            all += contents(entry.path());
        }
    }
    std::size_t count = 0;
    static constexpr std::string_view kLead = "inline constexpr const char* ";
    for (auto at = catalogue.find(kLead); at != std::string::npos; at = catalogue.find(kLead, at)) {
        at += kLead.size();
        const std::string name = catalogue.substr(at, catalogue.find_first_of(" =\n", at) - at);
        ++count;
        INFO(name);
        bool used = false;
        for (auto place = all.find("msg::" + name); place != std::string::npos && !used;
             place = all.find("msg::" + name, place + 1)) {
            const char after = all[place + 5 + name.size()];
            used = after != '_' && (after < 'a' || after > 'z');
        }
        CHECK(used);
    }
    CHECK(count > 100);
}

TEST_CASE("the search for wording finds a planted one and lets ids through by name only") {
    CHECK(literals("f(\"Plain words\"); // \"not this\"\n#include \"nor.hpp\"\n") ==
          std::vector<std::string>{"Plain words"});
    CHECK(
        literals(
            "x = 'a'; y = '\\''; z = R\"(<p class=\"a\">)\"; w = 300'000; v = \"one\" \"two\";") ==
        std::vector<std::string>{"one", "two"});
    CHECK(could_be_wording("not met"));
    CHECK(could_be_wording("typed"));
    CHECK(could_be_wording("<p>{}: not said</p>"));
    CHECK(could_be_wording("{} readings"));
    CHECK_FALSE(could_be_wording("<section class=\\\"verdict\\\">\\n"));
    CHECK_FALSE(could_be_wording("{}: {:.2f} {}"));
    CHECK_FALSE(could_be_wording(", "));
}
