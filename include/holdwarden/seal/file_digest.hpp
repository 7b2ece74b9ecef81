#pragma once

#include <holdwarden/seal/digest.hpp>

#include <cstdint>
#include <filesystem>
#include <string>

namespace holdwarden::seal {

/// A file's length and what `sha256sum` prints for it.
struct FileDigest {
    std::uint64_t bytes = 0;
    Sha256 sha256{};
    friend bool operator==(const FileDigest&, const FileDigest&) = default;
};

/// Reads the file once, in parts. A symbolic link, folder, pipe or device is refused. Throws
/// Error{bad_input} for those, Error{not_found} if there is nothing, Error{store} if it cannot be
/// read.
FileDigest digest_file(const std::filesystem::path& file);

/// The whole of a small file, refused like digest_file does and if longer than `most_bytes`.
std::string read_small_file(const std::filesystem::path& file, std::uint64_t most_bytes);

} // namespace holdwarden::seal
