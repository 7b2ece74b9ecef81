#include <holdwarden/base/folder.hpp>

#include <catch2/catch.hpp>
#include <unistd.h>

#include <fstream>

using namespace holdwarden;
namespace fs = std::filesystem;

namespace {

/// An empty folder of the test's own.
struct Folder {
    fs::path path = fs::temp_directory_path() / ("holdwarden-folder-" + std::to_string(getpid()));
    Folder() { fs::create_directories(path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code code;
        fs::remove_all(path, code);
    }
};

} // namespace

TEST_CASE("a folder's names are sorted, hidden ones among them, and what is below is not") {
    const Folder folder;
    fs::create_directory(folder.path / "b");
    for (const char* name : {"c", "a", ".hidden", "b/below"}) {
        std::ofstream{folder.path / name};
    }
    std::error_code code;
    CHECK(names_in(folder.path, code) == std::vector<std::string>{".hidden", "a", "b", "c"});
    CHECK_FALSE(code);
}

TEST_CASE("a folder that cannot be read has no names, and says why") {
    const Folder folder;
    std::error_code code;
    CHECK(names_in(folder.path / "none", code).empty());
    CHECK(code == std::errc::no_such_file_or_directory);
    std::ofstream{folder.path / "file"};
    CHECK(names_in(folder.path / "file", code).empty());
    CHECK(code == std::errc::not_a_directory);
    CHECK(names_in(folder.path, code).size() == 1);
    CHECK_FALSE(code); // an earlier fault is forgotten
}

TEST_CASE("a tree is removed whole, but not what its links lead to") {
    const Folder folder;
    const fs::path tree = folder.path / "tree";
    fs::create_directories(tree / "deep" / "deeper");
    fs::create_directory(folder.path / "kept");
    for (const char* name : {"kept/file", "tree/file", "tree/deep/deeper/file"}) {
        std::ofstream{folder.path / name};
    }
    fs::create_directory_symlink(folder.path / "kept", tree / "link");
    remove_tree(tree);
    CHECK_FALSE(fs::exists(tree));
    CHECK(fs::exists(folder.path / "kept" / "file"));
}
