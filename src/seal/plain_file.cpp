#include "plain_file.hpp"

#include <holdwarden/base/text.hpp>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <string>

namespace holdwarden::seal {
namespace {

Error refused(ErrorKind kind, const std::filesystem::path& file, std::string what,
              std::string fix) {
    return Error{
        kind,
        {.what = std::move(what), .where = for_display(file.string()), .fix = std::move(fix)}};
}

} // namespace

PlainFile::PlainFile(const std::filesystem::path& file)
    // Without O_NONBLOCK the opening of a pipe would wait for its writer.
    : name_{file}, handle_{::open(file.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC)} {
    const int code = errno;
    if (handle_ < 0) {
        if (code == ENOENT || code == ENOTDIR) {
            throw refused(ErrorKind::not_found, file, "there is no such file",
                          "see whether the name is right");
        }
        if (code == ELOOP) {
            throw refused(ErrorKind::bad_input, file, "is a symbolic link, which is not followed",
                          "put the file itself there");
        }
        throw refused(ErrorKind::store, file,
                      std::string{"cannot be opened: "} + std::strerror(code),
                      "see who may read it");
    }
    struct stat facts {};
    if (::fstat(handle_, &facts) != 0 || !S_ISREG(facts.st_mode)) {
        ::close(handle_);
        throw refused(ErrorKind::bad_input, file, "is not a plain file", "name a file");
    }
}

PlainFile::~PlainFile() {
    ::close(handle_);
}

std::size_t PlainFile::read(std::span<char> part) const {
    std::size_t filled = 0;
    while (filled < part.size()) {
        const ssize_t n = ::read(handle_, part.data() + filled, part.size() - filled);
        if (n == 0) {
            break;
        }
        if (n > 0) {
            filled += static_cast<std::size_t>(n);
        } else if (errno != EINTR) {
            throw refused(ErrorKind::store, name_,
                          std::string{"cannot be read: "} + std::strerror(errno),
                          "see whether the disk is in order");
        }
    }
    return filled;
}

void write_new_file(const std::filesystem::path& file, std::string_view bytes, unsigned mode) {
    const int handle = ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
    if (handle < 0 && errno == EEXIST) {
        throw refused(ErrorKind::conflict, file, "is there already",
                      "choose another name; an existing file is never written over");
    }
    const auto give_up = [&](int code) {
        if (handle >= 0) {
            ::close(handle);
            ::unlink(file.c_str());
        }
        throw refused(ErrorKind::store, file,
                      std::string{"cannot be written: "} + std::strerror(code),
                      "see whether the folder exists, may be written to, and has room");
    };
    if (handle < 0) {
        give_up(errno);
    }
    while (!bytes.empty()) {
        const ssize_t n = ::write(handle, bytes.data(), bytes.size());
        if (n >= 0) {
            bytes.remove_prefix(static_cast<std::size_t>(n));
        } else if (errno != EINTR) {
            give_up(errno);
        }
    }
    // The file mode mask may have taken bits away, never added any.
    if (::fchmod(handle, mode) != 0 || ::fsync(handle) != 0) {
        give_up(errno);
    }
    ::close(handle);
}

} // namespace holdwarden::seal
