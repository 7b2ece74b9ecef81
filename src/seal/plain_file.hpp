#pragma once

// A regular file opened for reading, never through a symbolic link. Internal to the seal.

#include <holdwarden/base/error.hpp>

#include <filesystem>
#include <span>
#include <string_view>

namespace holdwarden::seal {

class PlainFile {
public:
    /// Throws Error{not_found, bad_input, store}.
    explicit PlainFile(const std::filesystem::path& file);
    PlainFile(const PlainFile&) = delete;
    PlainFile& operator=(const PlainFile&) = delete;
    ~PlainFile();

    /// Fills `part` from the front; 0 at the end of the file.
    std::size_t read(std::span<char> part) const;
    int handle() const noexcept { return handle_; }

private:
    std::filesystem::path name_;
    int handle_;
};

/// Writes a new file with the given permission bits and makes it durable. An existing one is never
/// touched: Error{conflict}. Leaves nothing behind when it fails.
void write_new_file(const std::filesystem::path& file, std::string_view bytes, unsigned mode);

} // namespace holdwarden::seal
