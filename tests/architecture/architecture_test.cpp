#include "rules.hpp"

#include <catch2/catch.hpp>

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
