#include "plain_file.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/packet.hpp>

namespace holdwarden::seal {
namespace {

namespace fs = std::filesystem;

constexpr unsigned kReadableByAll = 0644;
constexpr std::uint64_t kMostBytes = 64U << 20U; ///< of a manifest: some 400,000 files

const std::vector<std::string> kUnlisted{kManifestFile, kManifestSignature};

/// What `make` gives, or a problem instead of its Error.
template <class Make>
auto attempt(const char* name, std::vector<std::string>& problems, Make make)
    -> std::optional<decltype(make())> {
    try {
        return make();
    } catch (const Error& error) {
        const std::string& where = error.text().where;
        const std::string line = where.starts_with("line ") ? ", " + where : "";
        problems.push_back(name + line + " " + error.text().what);
        return std::nullopt;
    }
}

void check_signature(const char* name, const std::optional<std::string>& text,
                     const std::optional<Signature>& signature, const std::optional<PublicKey>& key,
                     std::vector<std::string>& problems) {
    if (text && signature && key && !is_signed(*text, *signature, *key)) {
        problems.push_back(std::string{name} + " was not signed with the packet's key, or was "
                                               "altered since");
    }
}

} // namespace

Manifest seal_packet(const fs::path& folder, Checkpoint checkpoint, const SigningKey& key,
                     Instant made) {
    const PublicKey public_key = key.public_key();
    checkpoint.key = fingerprint(public_key);
    const std::string checkpoint_text = to_text(checkpoint);
    list_files(folder, {}); // refuses what a packet cannot hold before anything is written
    write_new_file(folder / kPublicKeyFile, to_pem(public_key), kReadableByAll);
    write_new_file(folder / kCheckpointFile, checkpoint_text, kReadableByAll);
    write_new_file(folder / kCheckpointSignature, to_bytes(key.sign(checkpoint_text)),
                   kReadableByAll);
    const Manifest manifest{
        .made = made, .key = checkpoint.key, .files = list_files(folder, kUnlisted)};
    const std::string manifest_text = to_text(manifest);
    write_new_file(folder / kManifestFile, manifest_text, kReadableByAll);
    write_new_file(folder / kManifestSignature, to_bytes(key.sign(manifest_text)), kReadableByAll);
    return manifest;
}

PacketReport check_packet(const fs::path& folder, const std::optional<Sha256>& trusted) {
    std::error_code code;
    if (!fs::is_directory(folder, code)) {
        throw Error{ErrorKind::not_found,
                    {.what = "there is no such folder",
                     .where = "packet " + for_display(folder.string()),
                     .fix = "name the packet's folder"}};
    }
    PacketReport report;
    auto& problems = report.problems;
    const auto read = [&](const char* name) {
        return attempt(name, problems, [&] { return read_small_file(folder / name, kMostBytes); });
    };
    const auto read_signature = [&](const char* name) {
        return attempt(name, problems, [&] {
            return signature_from_bytes(read_small_file(folder / name, kMostBytes));
        });
    };
    const auto key = attempt(kPublicKeyFile, problems, [&] {
        return public_key_from_pem(read_small_file(folder / kPublicKeyFile, kMostBytes));
    });
    const auto manifest_text = read(kManifestFile);
    const auto checkpoint_text = read(kCheckpointFile);
    check_signature(kManifestFile, manifest_text, read_signature(kManifestSignature), key,
                    problems);
    check_signature(kCheckpointFile, checkpoint_text, read_signature(kCheckpointSignature), key,
                    problems);
    if (manifest_text) {
        report.manifest =
            attempt(kManifestFile, problems, [&] { return parse_manifest(*manifest_text); });
    }
    if (checkpoint_text) {
        report.checkpoint =
            attempt(kCheckpointFile, problems, [&] { return parse_checkpoint(*checkpoint_text); });
    }
    if (key) {
        report.key = fingerprint(*key);
        if (trusted && *trusted != *report.key) {
            problems.push_back("the packet was sealed with key " + hex(*report.key) +
                               ", not with the one you trust");
        }
        if (report.manifest && report.manifest->key != *report.key) {
            problems.emplace_back("manifest.txt names another key than public-key.pem");
        }
        if (report.checkpoint && report.checkpoint->key != *report.key) {
            problems.emplace_back("checkpoint.txt names another key than public-key.pem");
        }
    }
    if (report.manifest) {
        for (const FileProblem& problem :
             compare_files(folder, report.manifest->files, kUnlisted)) {
            problems.push_back(for_display(problem.path) + " " +
                               std::string{to_text(problem.fault)});
        }
    }
    if (fs::exists(fs::symlink_status(folder / kHistoryFile, code))) {
        report.records = check_records(folder, report.checkpoint);
        problems.insert(problems.end(), report.records->problems.begin(),
                        report.records->problems.end());
    }
    return report;
}

} // namespace holdwarden::seal
