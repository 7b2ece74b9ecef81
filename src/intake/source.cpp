#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/intake/csv.hpp>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <istream>
#include <memory>

namespace holdwarden::intake {
namespace {

Error cannot(const std::string& path, int code) {
    const std::string shown = for_display(path);
    if (code == ENOENT || code == ENOTDIR) {
        return Error{ErrorKind::not_found,
                     {.what = fmt::format("there is no file '{}'", shown),
                      .where = "",
                      .fix = "check the name and the folder"}};
    }
    return Error{ErrorKind::bad_input,
                 {.what = fmt::format("'{}' cannot be read: {}", shown, std::strerror(code)),
                  .where = "",
                  .fix = "give a file that may be read"}};
}

/// Owns a file descriptor; not copied.
class OpenFile {
public:
    explicit OpenFile(std::string path) : path_{std::move(path)} {
        descriptor_ = ::open(path_.c_str(), O_RDONLY | O_CLOEXEC);
        if (descriptor_ < 0) {
            throw cannot(path_, errno);
        }
        // A device may never end, and holds no table. A pipe is as good as a file.
        struct stat facts {};
        if (::fstat(descriptor_, &facts) == 0 &&
            (S_ISBLK(facts.st_mode) || (S_ISCHR(facts.st_mode) && ::isatty(descriptor_) == 0))) {
            ::close(descriptor_);
            throw Error{ErrorKind::bad_input,
                        {.what = fmt::format("'{}' is a device, not a file", for_display(path_)),
                         .where = "",
                         .fix = "give a file of readings"}};
        }
    }
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() { ::close(descriptor_); }

    std::size_t read(char* into, std::size_t room) const {
        for (;;) {
            const ssize_t got = ::read(descriptor_, into, room);
            if (got >= 0) {
                return static_cast<std::size_t>(got);
            }
            if (errno != EINTR) {
                throw cannot(path_, errno);
            }
        }
    }

private:
    std::string path_;
    int descriptor_ = -1;
};

} // namespace

Source file_source(const std::filesystem::path& path) {
    const auto file = std::make_shared<OpenFile>(path.string());
    return [file](char* into, std::size_t room) { return file->read(into, room); };
}

Source stream_source(std::istream& in) {
    return [&in](char* into, std::size_t room) {
        in.read(into, static_cast<std::streamsize>(room));
        return static_cast<std::size_t>(in.gcount());
    };
}

} // namespace holdwarden::intake
