#pragma once

// A folder of a test's own, gone at its end.

#include <stdlib.h> // NOLINT(modernize-deprecated-headers): mkdtemp is POSIX

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace seal_tests {

class Folder {
public:
    Folder() {
        std::string name = (std::filesystem::temp_directory_path() / "holdwarden-XXXXXX").string();
        path_ = ::mkdtemp(name.data());
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code code;
        std::filesystem::remove_all(path_, code);
    }
    const std::filesystem::path& path() const { return path_; }
    std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

    void write(const std::string& name, const std::string& bytes) const {
        std::filesystem::create_directories((path_ / name).parent_path());
        std::ofstream{path_ / name, std::ios::binary} << bytes;
    }
    std::string read(const std::string& name) const {
        std::ifstream in{path_ / name, std::ios::binary};
        return {std::istreambuf_iterator<char>{in}, {}};
    }

private:
    std::filesystem::path path_;
};

} // namespace seal_tests
