#include "wording.hpp"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

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

/// The literals that are no wording, by the folder they stand in: ids, keys of the CSV form,
/// styles. One a line; "## " begins a folder, "# " a comment.
std::map<std::string, std::set<std::string>> no_wording() {
    std::ifstream in{kProject / "tests/architecture/no_wording.txt"};
    REQUIRE(in.good());
    std::map<std::string, std::set<std::string>> known;
    std::string folder;
    for (std::string line; std::getline(in, line);) {
        if (line.starts_with("## ")) {
            folder = line.substr(3);
        } else if (!line.starts_with("# ")) {
            known[folder].insert(line);
        }
    }
    return known;
}

/// The modules whose words stand in the catalogue.
const std::vector<std::string> kModules{"codes", "judge", "sheets"};

/// Whether a module's file says something to readers of sheets: of `codes`, what words a limit; the
/// rest speaks to who writes a code pack.
bool speaks(const std::string& module, const fs::path& file) {
    const std::string name = file.filename().string();
    return module != "codes" || name == "limit.cpp" || name == "house.cpp";
}

std::vector<fs::path> sources(const std::string& module) {
    std::vector<fs::path> found;
    for (const fs::path& folder :
         {kProject / "src" / module, kProject / "include/holdwarden" / module}) {
        for (const auto& entry : fs::recursive_directory_iterator{folder}) {
            if (entry.is_regular_file() && speaks(module, entry.path())) {
                found.push_back(entry.path());
            }
        }
    }
    return found;
}

} // namespace

TEST_CASE("findings and sheets have no wording outside the catalogue") {
    const auto known = no_wording();
    for (const std::string& module : kModules) {
        const auto files = sources(module);
        CHECK(files.size() >= (module == "codes" ? 2 : 30)); // an empty search proves nothing
        const std::set<std::string>& ids = known.at("src/" + module);
        for (const fs::path& file : files) {
            for (const std::string& literal : literals(contents(file))) {
                if (could_be_wording(literal) && !ids.contains(without_end_blanks(literal))) {
                    FAIL_CHECK(
                        fs::relative(file, kProject).string()
                        << ": \"" << literal
                        << "\": move it to reports/wording/messages.en.hpp; if nobody reads it, to "
                           "tests/architecture/no_wording.txt");
                }
            }
        }
    }
}

TEST_CASE("the catalogue has each message once, none unused") {
    const std::string catalogue = contents(kProject / "reports/wording/messages.en.hpp");
    static constexpr std::string_view kLead = "inline constexpr const char* ";
    std::size_t count = 0;
    for (const std::string& module : kModules) {
        std::string all;
        for (const fs::path& file : sources(module)) {
            all += contents(file);
        }
        const auto begin = catalogue.find("namespace holdwarden::" + module + "::msg {");
        REQUIRE(begin != std::string::npos);
        const auto end = catalogue.find("} // namespace", begin);
        for (auto at = catalogue.find(kLead, begin); at < end; at = catalogue.find(kLead, at)) {
            at += kLead.size();
            const std::string name = catalogue.substr(at, catalogue.find_first_of(" =\n", at) - at);
            ++count;
            INFO(module << ": " << name);
            bool used = false;
            for (auto place = all.find("msg::" + name); place != std::string::npos && !used;
                 place = all.find("msg::" + name, place + 1)) {
                const char after = all[place + 5 + name.size()];
                used = after != '_' && (after < 'a' || after > 'z') && (after < '0' || after > '9');
            }
            CHECK(used);
        }
    }
    CHECK(count > 500);
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
