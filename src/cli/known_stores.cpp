#include <holdwarden/cli/known_stores.hpp>
#include <holdwarden/store/history.hpp>
#include <holdwarden/store/open.hpp>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <optional>
#include <string>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

/// XDG Base Directory Specification: XDG_STATE_HOME counts only if it is absolute.
std::optional<fs::path> list_file(const Context& context) {
    if (const fs::path state = context.env("XDG_STATE_HOME").value_or(""); state.is_absolute()) {
        return state / "holdwarden" / "known-stores";
    }
    const fs::path home = context.env("HOME").value_or("");
    if (home.is_absolute()) {
        return home / ".local" / "state" / "holdwarden" / "known-stores";
    }
    return std::nullopt;
}

/// Device, inode and first leaf: not the path, under which another file may lie tomorrow.
std::optional<std::string> line_of(const records::Store& store, const fs::path& file) {
    struct stat facts {};
    const auto first = store::head_at(store, 1);
    if (::stat(file.c_str(), &facts) != 0 || !first) {
        return std::nullopt;
    }
    return fmt::format("{} {} {}", facts.st_dev, facts.st_ino, seal::hex(first->root));
}

/// A list that others may write to, or that is not a plain file, counts for nothing.
bool is_listed(const fs::path& list, const std::string& wanted) {
    struct stat facts {};
    if (::lstat(list.c_str(), &facts) != 0 || !S_ISREG(facts.st_mode) ||
        facts.st_uid != ::geteuid() || (facts.st_mode & (S_IWGRP | S_IWOTH)) != 0) {
        return false;
    }
    std::ifstream in{list};
    for (std::string line; std::getline(in, line);) {
        if (line == wanted) {
            return true;
        }
    }
    return false;
}

/// Not being able to is no failure: the store is looked through again next time.
void add(const fs::path& list, const std::string& line) {
    std::error_code code;
    fs::create_directories(list.parent_path(), code);
    const int handle = ::open(
        list.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK, 0600);
    if (handle >= 0) {
        const std::string text = line + "\n";
        [[maybe_unused]] const auto written = ::write(handle, text.data(), text.size());
        ::close(handle);
    }
}

} // namespace

void check_if_foreign(const records::Store& store, const fs::path& file, const Context& context) {
    const auto list = list_file(context);
    const auto line = line_of(store, file);
    if (list && line && is_listed(*list, *line)) {
        return;
    }
    store::check_pages(store);
    if (list && line) {
        add(*list, *line);
    }
}

} // namespace holdwarden::cli
