#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/seal/encoding.hpp>
#include <holdwarden/seal/file_digest.hpp>

#include <algorithm>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

constexpr const char* kKeyVariable = "HOLDWARDEN_KEY";
constexpr std::uint64_t kMostKeyBytes = 4096;

} // namespace

void declare_signing_key(Arguments& arguments, std::string& into) {
    arguments.option("--key", into,
                     "The signing key's file (else HOLDWARDEN_KEY, else holdwarden/key.pem in "
                     "XDG_CONFIG_HOME or ~/.config)");
}

fs::path signing_key_file(const std::string& named, const Context& context) {
    if (!named.empty()) {
        return named;
    }
    const auto set = [&](const char* variable) { return context.env(variable).value_or(""); };
    if (const std::string file = set(kKeyVariable); !file.empty()) {
        return file;
    }
    // XDG Base Directory Specification: XDG_CONFIG_HOME counts only if it is absolute.
    if (const fs::path folder = set("XDG_CONFIG_HOME"); folder.is_absolute()) {
        return folder / "holdwarden" / "key.pem";
    }
    if (const fs::path home = set("HOME"); !home.empty()) {
        return home / ".config" / "holdwarden" / "key.pem";
    }
    throw Error{ErrorKind::usage,
                {.what = "nothing says where the signing key is",
                 .where = "",
                 .fix = std::string{"name its file with --key or "} + kKeyVariable}};
}

std::optional<seal::Sha256> trusted_key(const std::string& text, const std::string& option) {
    if (text.empty()) {
        return std::nullopt;
    }
    std::string digits = text;
    digits.erase(std::remove(digits.begin(), digits.end(), ' '), digits.end());
    if (const auto fingerprint = seal::sha256_from_hex(digits)) {
        return fingerprint;
    }
    try {
        return seal::fingerprint(
            seal::public_key_from_pem(seal::read_small_file(text, kMostKeyBytes)));
    } catch (const Error& error) {
        throw Error{ErrorKind::usage,
                    {.what = "'" + for_display(text, 80) +
                             "' is neither a key's 64 hexadecimal digits nor a file with a public "
                             "key: " +
                             error.text().what,
                     .where = option,
                     .fix = "give the digits that `holdwarden key show` printed, or the file"}};
    }
}

std::string grouped(const seal::Sha256& fingerprint) {
    const std::string digits = seal::hex(fingerprint);
    std::string text;
    for (std::size_t i = 0; i < digits.size(); i += 4) {
        text += (i == 0 ? "" : " ") + digits.substr(i, 4);
    }
    return text;
}

} // namespace holdwarden::cli
