#include "plain_file.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/file_digest.hpp>

#include <vector>

namespace holdwarden::seal {

FileDigest digest_file(const std::filesystem::path& file) {
    const PlainFile in{file};
    Sha256Stream stream;
    FileDigest digest;
    std::vector<char> part(std::size_t{1} << 16U);
    while (const std::size_t n = in.read(part)) {
        stream.add({part.data(), n});
        digest.bytes += n;
    }
    digest.sha256 = stream.finish();
    return digest;
}

std::string read_small_file(const std::filesystem::path& file, std::uint64_t most_bytes) {
    const PlainFile in{file};
    std::string text;
    std::vector<char> part(std::size_t{1} << 16U);
    while (const std::size_t n = in.read(part)) {
        text.append(part.data(), n);
        if (text.size() > most_bytes) {
            throw Error{ErrorKind::bad_input,
                        {.what = "is longer than such a file can be",
                         .where = for_display(file.string()),
                         .fix = "see whether it is the file you meant"}};
        }
    }
    return text;
}

} // namespace holdwarden::seal
