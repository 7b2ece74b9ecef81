#include <holdwarden/base/folder.hpp>

#include <dirent.h>

#include <algorithm>
#include <cerrno>
#include <memory>
#include <new>

namespace holdwarden {
namespace {

namespace fs = std::filesystem;

struct CloseFolder {
    void operator()(DIR* folder) const noexcept { ::closedir(folder); }
};

/// What errno says; throws std::bad_alloc if that is a lack of memory.
std::error_code last_error() {
    if (errno == ENOMEM) {
        throw std::bad_alloc{};
    }
    return {errno, std::generic_category()};
}

} // namespace

std::vector<std::string> names_in(const fs::path& folder, std::error_code& code) {
    code.clear();
    const std::unique_ptr<DIR, CloseFolder> open{::opendir(folder.c_str())};
    if (open == nullptr) {
        code = last_error();
        return {};
    }
    std::vector<std::string> names;
    for (errno = 0; const dirent* entry = ::readdir(open.get()); errno = 0) {
        const std::string name{entry->d_name};
        if (name != "." && name != "..") {
            names.push_back(name);
        }
    }
    if (errno != 0) {
        code = last_error();
        return {};
    }
    std::sort(names.begin(), names.end());
    return names;
}

void remove_tree(const fs::path& folder) {
    std::error_code code;
    for (const std::string& name : names_in(folder, code)) {
        const fs::path item = folder / name;
        if (fs::symlink_status(item, code).type() == fs::file_type::directory) {
            remove_tree(item);
        } else {
            fs::remove(item, code);
        }
    }
    fs::remove(folder, code);
}

} // namespace holdwarden
