#pragma once

// The list of a packet's files. `sha256sum -c` checks its lines. docs/formats/manifest.md.

#include <holdwarden/base/instant.hpp>
#include <holdwarden/seal/file_digest.hpp>

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace holdwarden::seal {

struct ManifestFile {
    std::string path; ///< relative to the packet's folder, parts divided by '/'
    FileDigest digest;
    friend bool operator==(const ManifestFile&, const ManifestFile&) = default;
};

struct Manifest {
    Instant made;
    Sha256 key{};                    ///< fingerprint of the key that signs it
    std::vector<ManifestFile> files; ///< ascending by the bytes of the path, each once
    friend bool operator==(const Manifest&, const Manifest&) = default;
};

/// Whether a file in a packet may have this name: one or more parts of ASCII letters, digits and
/// `.` `_` `-` `+`, none beginning with `.` or `-`, divided by single `/`; at most 255 bytes. So no
/// name leads out of the folder, hides, or needs quoting.
bool is_packet_path(std::string_view path) noexcept;

/// The one text for a manifest: it is what is signed. Throws Error{bad_input} if a path is not
/// allowed or stands twice. Sorts the files.
std::string to_text(Manifest manifest);

/// Throws Error{bad_input} for anything that to_text would not write.
Manifest parse_manifest(std::string_view text);

/// What is wrong with one file.
enum class FileFault {
    missing,   ///< listed, not there
    extra,     ///< there, not listed
    altered,   ///< another length or digest than listed
    not_plain, ///< a symbolic link, pipe or device: not looked into
    bad_name,  ///< there, under a name that a packet cannot have
};
struct FileProblem {
    FileFault fault = FileFault::missing;
    std::string path; ///< as found, perhaps hostile: show it through for_display
    friend bool operator==(const FileProblem&, const FileProblem&) = default;
};
/// "is missing", "is not listed", ...
std::string_view to_text(FileFault fault) noexcept;

/// The files below `folder` but those at `except`, links not followed. Throws Error{bad_input} for
/// a file that a packet cannot hold.
std::vector<ManifestFile> list_files(const std::filesystem::path& folder,
                                     const std::vector<std::string>& except);

/// Compares the folder with the list; `except` may be there unlisted. Ascending by path, one
/// problem each; empty: all fits.
std::vector<FileProblem> compare_files(const std::filesystem::path& folder,
                                       const std::vector<ManifestFile>& files,
                                       const std::vector<std::string>& except);

} // namespace holdwarden::seal
