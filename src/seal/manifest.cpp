#include "lines.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/manifest.hpp>

#include <algorithm>

namespace holdwarden::seal {
namespace {

// sha256sum passes over lines that begin with '#'.
constexpr std::string_view kFormat = "# holdwarden-manifest/1";
constexpr std::string_view kHashEnd = "  "; // text mode, as sha256sum writes it
constexpr std::size_t kHexDigits = 64;

bool is_word_character(char c) noexcept {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '+';
}

} // namespace

bool is_packet_path(std::string_view path) noexcept {
    if (path.empty() || path.size() > 255) {
        return false;
    }
    bool at_start = true;
    for (const char c : path) {
        if (is_word_character(c) || (!at_start && (c == '.' || c == '-'))) {
            at_start = false;
        } else if (!at_start && c == '/') {
            at_start = true;
        } else {
            return false;
        }
    }
    return !at_start;
}

std::string to_text(Manifest manifest) {
    std::sort(manifest.files.begin(), manifest.files.end(),
              [](const ManifestFile& a, const ManifestFile& b) { return a.path < b.path; });
    std::string text{kFormat};
    text += "\n# made " + to_utc_text(manifest.made) + "\n# key " + hex(manifest.key) + "\n";
    const std::string* before = nullptr;
    for (const ManifestFile& file : manifest.files) {
        if (!is_packet_path(file.path) || (before != nullptr && *before == file.path)) {
            throw Error{ErrorKind::bad_input,
                        {.what = "a packet cannot hold a file of this name, or not twice",
                         .where = for_display(file.path),
                         .fix = "use letters, digits, '.', '_', '-' and '+'"}};
        }
        before = &file.path;
        text += "# bytes " + std::to_string(file.digest.bytes) + "\n" + hex(file.digest.sha256);
        text.append(kHashEnd).append(file.path).append("\n");
    }
    return text;
}

Manifest parse_manifest(std::string_view text) {
    LineReader in{text, kFormat, "manifest"};
    Manifest manifest;
    manifest.made = in.instant("# made");
    manifest.key = in.digest("# key");
    while (!in.done()) {
        ManifestFile file;
        file.digest.bytes = in.number("# bytes");
        const std::string_view line = in.line();
        const auto digest = sha256_from_hex(line.substr(0, kHexDigits));
        if (!digest || line.substr(kHexDigits, kHashEnd.size()) != kHashEnd) {
            in.fail("the line is not a digest, two blanks and a name");
        }
        file.digest.sha256 = *digest;
        file.path = line.substr(kHexDigits + kHashEnd.size());
        if (!is_packet_path(file.path)) {
            in.fail("a packet cannot hold a file named '" + for_display(file.path) + "'");
        }
        if (!manifest.files.empty() && manifest.files.back().path >= file.path) {
            in.fail("the files are not in order, or one is listed twice");
        }
        manifest.files.push_back(std::move(file));
    }
    return manifest;
}

std::string_view to_text(FileFault fault) noexcept {
    switch (fault) {
    case FileFault::missing:
        return "is missing";
    case FileFault::extra:
        return "is not listed in the manifest";
    case FileFault::altered:
        return "was altered";
    case FileFault::not_plain:
        return "is not a plain file (links are not followed)";
    case FileFault::bad_name:
        return "has a name that no packet uses";
    }
    return "";
}

} // namespace holdwarden::seal
