#include "store_file.hpp"

#include "migrations.hpp"

#include <holdwarden/base/text.hpp>

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <climits>
#include <cstring>
#include <fstream>

namespace holdwarden::store {

namespace fs = std::filesystem;

namespace {

/// Fields of the 100-byte header: https://www.sqlite.org/fileformat.html, section 1.3.
class Header {
public:
    explicit Header(const fs::path& file) {
        std::ifstream in{file, std::ios::binary};
        in.read(bytes_.data(), static_cast<std::streamsize>(bytes_.size()));
        complete_ = in.gcount() == static_cast<std::streamsize>(bytes_.size());
    }
    bool is_sqlite() const noexcept {
        return complete_ && std::memcmp(bytes_.data(), "SQLite format 3", 16) == 0;
    }
    std::uint32_t application_id() const noexcept { return big_endian(68); }
    std::uint64_t size() const noexcept {
        const std::uint32_t page = big_endian(16) >> 16U;
        return std::uint64_t{page == 1 ? 65'536 : page} * big_endian(28);
    }

private:
    std::uint32_t big_endian(std::size_t at) const noexcept {
        std::uint32_t value = 0;
        for (std::size_t i = at; i < at + 4; ++i) {
            value = value << 8U | static_cast<unsigned char>(bytes_[i]);
        }
        return value;
    }
    std::array<char, 100> bytes_{};
    bool complete_ = false;
};

/// Whether the file can only be read as it stands: nothing may be made beside it, as SQLite does
/// for readers of a store in use. If nobody has it open, its own bytes are complete.
bool sealed_off(const fs::path& file) {
    const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path{"."};
    std::error_code code;
    return access(folder.c_str(), W_OK) != 0 && !fs::exists(beside(file, "-wal"), code);
}

std::string as_uri(const fs::path& file) {
    std::string uri = "file:";
    for (const char c : fs::absolute(file).string()) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           (c >= '0' && c <= '9') || c == '/' || c == '-' || c == '_' || c == '.';
        uri += plain ? std::string{c} : fmt::format("%{:02X}", static_cast<unsigned char>(c));
    }
    return uri + "?immutable=1";
}

} // namespace

Error bad_file(const fs::path& file, std::string what, std::string fix) {
    return Error{ErrorKind::store,
                 {.what = std::move(what),
                  .where = "store " + for_display(file.string()),
                  .fix = std::move(fix)}};
}

fs::path beside(const fs::path& file, const char* suffix) {
    return fs::path{file}.concat(suffix);
}

fs::path free_name(const fs::path& file, const std::string& suffix) {
    fs::path name = beside(file, suffix.c_str());
    std::error_code code;
    for (int n = 2; fs::exists(fs::symlink_status(name, code)); ++n) {
        name = beside(file, fmt::format("{}-{}", suffix, n).c_str());
    }
    return name;
}

void look_at(const fs::path& file) {
    std::error_code code;
    const fs::file_status status = fs::status(file, code);
    if (!fs::exists(status)) {
        throw bad_file(file, "there is no such file",
                       "make it with `holdwarden init`, or name it with --store or "
                       "HOLDWARDEN_STORE");
    }
    if (!fs::is_regular_file(status)) {
        throw bad_file(file, "is not a file", "name the store's file");
    }
    if (access(file.c_str(), R_OK) != 0) {
        throw bad_file(file, fmt::format("cannot be read: {}", std::strerror(errno)),
                       "see who owns it");
    }
    const std::uintmax_t size = fs::file_size(file, code);
    if (size == 0) {
        throw bad_file(file, "is empty", "remove it and make a store with `holdwarden init`");
    }
    const Header header{file};
    if (!header.is_sqlite() || header.application_id() != kApplicationId) {
        throw bad_file(file, "is not a holdwarden store", "give the right file with --store");
    }
    if (header.size() > size && !fs::exists(beside(file, "-wal"), code)) {
        throw bad_file(file,
                       fmt::format("is cut off: {} of {} bytes are there", size, header.size()),
                       "go back to a backup copy, and keep this file aside");
    }
}

Database connect(const OpenOptions& options, Access access_wanted) {
    if (access_wanted == Access::read && sealed_off(options.file)) {
        return Database{as_uri(options.file), SQLITE_OPEN_READONLY | SQLITE_OPEN_URI,
                        options.lock_wait};
    }
    const int flags = access_wanted == Access::write ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY;
    return Database{options.file, flags, options.lock_wait};
}

void prepare_for_writing(const Database& database) {
    database.exec("pragma journal_mode = wal");
    database.exec("pragma synchronous = full");
}

std::int64_t checked_version(const Database& database, std::int64_t latest, const fs::path& file) {
    const std::int64_t version = database.integer("pragma user_version");
    if (version > latest) {
        throw bad_file(file,
                       fmt::format("was made by a newer holdwarden (version {}; this one knows "
                                   "{})",
                                   version, latest),
                       "use the newer program");
    }
    if (version < 1) {
        throw bad_file(file, "holds no tables", "go back to a backup copy");
    }
    return version;
}

void make_file(const fs::path& file) {
    const int handle = ::open(file.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0600);
    if (handle >= 0) {
        ::close(handle);
        return;
    }
    if (errno == EEXIST) {
        throw Error{ErrorKind::conflict,
                    {.what = "there is a file of that name already",
                     .where = for_display(file.string()),
                     .fix = "choose another name with --store"}};
    }
    throw bad_file(file, fmt::format("cannot be made: {}", std::strerror(errno)),
                   "see that its folder is there and may be written");
}

void remove_with_companions(const fs::path& file) noexcept {
    // Asks for no memory, which may be what ran out.
    for (const char* suffix : {"", "-journal", "-wal", "-shm"}) {
        std::array<char, PATH_MAX> name{};
        const auto end =
            fmt::format_to_n(name.data(), name.size() - 1, "{}{}", file.c_str(), suffix);
        if (end.size < name.size()) {
            ::unlink(name.data());
        }
    }
}

void copy_pages(const Database& from, const Database& to) {
    sqlite3_backup* backup = sqlite3_backup_init(to.handle(), "main", from.handle(), "main");
    if (backup == nullptr) {
        to.fail(sqlite3_errcode(to.handle()));
    }
    // "Busy" is no error to sqlite3_backup_finish: the copy would be in pieces, and look whole.
    const int stepped = sqlite3_backup_step(backup, -1);
    to.check(sqlite3_backup_finish(backup));
    if (stepped != SQLITE_DONE) {
        to.fail(stepped);
    }
}

void copy(const Database& from, const fs::path& to, Span lock_wait) {
    make_file(to);
    try {
        const Database target{to, SQLITE_OPEN_READWRITE, lock_wait};
        copy_pages(from, target);
        // One plain file, that may be carried away and read where nothing can be written.
        target.exec("pragma journal_mode = delete");
        if (!faults_found(target, "pragma quick_check").empty()) {
            throw bad_file(to, "the copy does not read back", "look at the disk");
        }
    } catch (...) {
        remove_with_companions(to);
        throw;
    }
}

} // namespace holdwarden::store
