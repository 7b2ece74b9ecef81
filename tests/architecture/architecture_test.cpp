#include "rules.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace fs = std::filesystem;
using architecture::offences;

namespace {

const fs::path kProject{HOLDWARDEN_SOURCE_DIR};

std::string contents(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    REQUIRE(in.good());
    return {std::istreambuf_iterator<char>{in}, {}};
}

std::vector<fs::path> sources() {
    std::vector<fs::path> found;
    for (const char* top : {"src", "include/holdwarden"}) {
        for (const auto& entry : fs::recursive_directory_iterator{kProject / top}) {
            const auto extension = entry.path().extension();
            if (extension == ".cpp" || extension == ".hpp") {
                found.push_back(entry.path());
            }
        }
    }
    return found;
}

} // namespace

TEST_CASE("no source includes or calls what its module may not") {
    const auto files = sources();
    REQUIRE(files.size() > 20); // an empty search proves nothing
    for (const fs::path& file : files) {
        for (const std::string& offence :
             offences(fs::relative(file, kProject).string(), contents(file))) {
            FAIL_CHECK(offence);
        }
    }
}

TEST_CASE("the build links no module against one it may not include") {
    const auto linked = architecture::linked_modules(contents(kProject / "CMakeLists.txt"));
    REQUIRE(linked.size() >= 10);
    for (const auto& [module, uses] : linked) {
        const auto allowed = architecture::reach(architecture::arrows(), module);
        INFO(module);
        REQUIRE_FALSE(allowed.empty()); // a module that the arrows do not know
        for (const std::string& used : uses) {
            INFO(used);
            CHECK(allowed.contains(used));
        }
    }
}

TEST_CASE("every folder of sources is a known module") {
    for (const char* top : {"src", "include/holdwarden"}) {
        for (const auto& entry : fs::directory_iterator{kProject / top}) {
            if (entry.is_directory()) {
                INFO(entry.path());
                CHECK(architecture::arrows().contains(entry.path().filename().string()));
            }
        }
    }
}

TEST_CASE(
    "every number of what records must do has a test, or a decision, or is said to have none") {
    const std::string page = contents(kProject / "docs/what-records-must-do.md");
    const std::size_t open = page.find("\n## Not carried");
    REQUIRE(open != std::string::npos);
    std::string names;
    for (const auto& entry : fs::recursive_directory_iterator{kProject / "tests"}) {
        if (entry.path().extension() == ".cpp") {
            const std::string text = contents(entry.path());
            for (std::size_t at = text.find("TEST_CASE("); at != std::string::npos;
                 at = text.find("TEST_CASE(", at + 1)) {
                names += text.substr(at, text.find(") {", at) - at) + "\n";
            }
        }
    }
    const auto says = [](const std::string& text, const std::string& number) {
        for (std::size_t at = text.find(number); at != std::string::npos;
             at = text.find(number, at + 1)) {
            const char next = text[std::min(at + number.size(), text.size() - 1)];
            if (next < '0' || next > '9') {
                return true;
            }
        }
        return false;
    };
    const auto decisions = kProject / "docs/decisions";
    int rows = 0;
    for (std::size_t at = page.find("\n| "); at < open; at = page.find("\n| ", at + 1)) {
        const std::string line = page.substr(at + 3, page.find('\n', at + 1) - at - 3);
        const std::string number = line.substr(0, line.find(' '));
        if (number.find('-') == std::string::npos || number.starts_with('-')) {
            continue; // a heading
        }
        ++rows;
        const std::size_t link = line.find("](decisions/");
        const bool decided =
            link != std::string::npos &&
            says(contents(decisions / line.substr(link + 12, line.find(')', link) - link - 12)),
                 number);
        INFO(number);
        CHECK((decided || says(names, number) || says(page.substr(open), number)));
    }
    CHECK(rows == 56); // REC-1 to 24, CHK-1 to 6, TIM-1 to 10, MET-1 to 6, FMT-6 to 8, ACC-1 to 7
}

TEST_CASE("no value is ever put into SQL but by binding it") {
    // Names of tables and columns come from the schema; a format string with a quote around a
    // place, or a comparison with one, would be a value.
    for (const fs::path& file : sources()) {
        if (fs::relative(file, kProject).string().find("/store/") == std::string::npos) {
            continue;
        }
        const std::string text = contents(file);
        for (const char* wrong :
             {"'{}'", "= {}", "values ({}", "= \" + std::to_string", "'\" +", "limit {}"}) {
            std::size_t at = text.find(wrong);
            while (at != std::string::npos) {
                const std::size_t begin = text.rfind('\n', at) + 1;
                const std::string line = text.substr(begin, text.find('\n', at) - begin);
                // Settings of SQLite's own, of numbers that are the program's.
                INFO(file.string() << ": " << line);
                const bool sql = line.find("select ") != std::string::npos ||
                                 line.find("insert into") != std::string::npos ||
                                 line.find("delete from") != std::string::npos;
                CHECK((!sql || line.find("names, places") != std::string::npos));
                at = text.find(wrong, at + 1);
            }
        }
    }
}

// The checker itself: each wrong sample must be caught, each right one let through.

TEST_CASE("an include against the arrows is caught, along them it is not") {
    CHECK(offences("src/base/a.cpp", "#include <holdwarden/store/store.hpp>\n") ==
          std::vector<std::string>{"src/base/a.cpp:1: module base may not include module store"});
    CHECK(offences("include/holdwarden/judge/a.hpp", "\n#include <holdwarden/intake/csv.hpp>\n")
              .size() == 1);
    CHECK(offences("src/heat/a.cpp", "  #  include \"holdwarden/judge/a.hpp\"\n").size() == 1);
    CHECK(offences("src/judge/a.cpp", "#include \"../store/a.hpp\"\n").size() == 1);
    CHECK(offences("src/judge/a.cpp", "#include <holdwarden/base/zone.hpp>\n")
              .empty()); // by way of codes
    CHECK(offences("src/cli/a.cpp", "#include <holdwarden/judge/judge.hpp>\n").empty());
    CHECK(offences("src/main.cpp", "#include <holdwarden/cli/run.hpp>\n").empty());
}

TEST_CASE("a library outside its one place is caught") {
    CHECK(offences("src/cli/a.cpp", "#include <sqlite3.h>\n").size() == 1);
    CHECK(offences("include/holdwarden/store/a.hpp", "#include <sqlite3.h>\n").size() == 1);
    CHECK(offences("src/store/a.cpp", "#include <sqlite3.h>\n").empty());
    CHECK(offences("src/cli/check.cpp", "#include <CLI/CLI.hpp>\n").size() == 1);
    CHECK(offences("src/cli/run.cpp", "#include <CLI/CLI.hpp>\n").empty());
}

TEST_CASE("streams and clocks in the pure inside are caught") {
    for (const char* header : {"iostream", "fstream", "cstdio"}) {
        const std::string line = std::string{"#include <"} + header + ">\n";
        CHECK(offences("src/judge/a.cpp", line).size() == 1);
        CHECK(offences("src/codes/pack.cpp", line).size() == 1);
        CHECK(offences("src/codes/load.cpp", line).empty());
        CHECK(offences("src/intake/a.cpp", line).empty());
    }
    CHECK(
        offences("src/store/a.cpp", "const auto t = std::chrono::system_clock::now();\n").size() ==
        1);
    CHECK(offences("src/judge/a.cpp", "return time(nullptr);\n").size() == 1);
    CHECK(
        offences("src/cli/run.cpp", "const auto t = std::chrono::system_clock::now();\n").empty());
    CHECK(offences("src/judge/a.cpp", "// never system_clock::now()\n").empty());
}

TEST_CASE("the modules a build file links are read from its lines") {
    const auto linked =
        architecture::linked_modules("holdwarden_module(base LINKS date::date)\n"
                                     "holdwarden_module(judge USES codes store LINKS fmt::fmt)\n");
    CHECK(linked.at("base").empty());
    CHECK(linked.at("judge") == std::set<std::string>{"codes", "store"});
}
