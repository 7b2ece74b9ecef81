// A packet's folder against its list.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/folder.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/seal/manifest.hpp>

#include <algorithm>
#include <map>
#include <optional>

namespace holdwarden::seal {
namespace {

namespace fs = std::filesystem;

/// Everything below `folder` that is not a folder, by its relative name; links are not followed.
/// True: a plain file.
std::map<std::string, bool> found_in(const fs::path& folder,
                                     const std::vector<std::string>& except) {
    std::map<std::string, bool> found;
    std::error_code code;
    std::vector<std::string> folders{""}; // by the relative name with its slash, yet to be read
    while (!code && !folders.empty()) {
        const std::string below = folders.back();
        folders.pop_back();
        for (const std::string& item : names_in(folder / below, code)) {
            const std::string name = below + item;
            const fs::file_type type = fs::symlink_status(folder / name, code).type();
            if (code) {
                break;
            }
            if (type == fs::file_type::directory) {
                folders.push_back(name + "/");
            } else if (std::find(except.begin(), except.end(), name) == except.end()) {
                found.emplace(name, type == fs::file_type::regular);
            }
        }
    }
    if (code) {
        throw Error{ErrorKind::store,
                    {.what = "cannot be read through: " + code.message(),
                     .where = "packet " + for_display(folder.string()),
                     .fix = "name the packet's folder, and see who may read it"}};
    }
    return found;
}

std::optional<FileFault> fault_of(const fs::path& folder, const std::string& name, bool plain,
                                  const std::map<std::string, FileDigest>& listed) {
    if (!plain) {
        return FileFault::not_plain;
    }
    const auto entry = listed.find(name);
    if (entry == listed.end()) {
        return is_packet_path(name) ? FileFault::extra : FileFault::bad_name;
    }
    std::error_code code;
    const auto bytes = fs::file_size(folder / name, code);
    if (code || bytes != entry->second.bytes || digest_file(folder / name) != entry->second) {
        return FileFault::altered;
    }
    return std::nullopt;
}

} // namespace

std::vector<ManifestFile> list_files(const fs::path& folder,
                                     const std::vector<std::string>& except) {
    std::vector<ManifestFile> files;
    for (const auto& [name, plain] : found_in(folder, except)) {
        if (!plain || !is_packet_path(name)) {
            throw Error{
                ErrorKind::bad_input,
                {.what = std::string{to_text(plain ? FileFault::bad_name : FileFault::not_plain)},
                 .where = for_display(name),
                 .fix = "take it out of the folder"}};
        }
        files.push_back({.path = name, .digest = digest_file(folder / name)});
    }
    return files;
}

std::vector<FileProblem> compare_files(const fs::path& folder,
                                       const std::vector<ManifestFile>& files,
                                       const std::vector<std::string>& except) {
    const std::map<std::string, bool> found = found_in(folder, except);
    std::map<std::string, FileDigest> listed;
    std::vector<FileProblem> problems;
    for (const ManifestFile& file : files) {
        listed.emplace(file.path, file.digest);
        if (!found.contains(file.path)) {
            problems.push_back({.fault = FileFault::missing, .path = file.path});
        }
    }
    for (const auto& [name, plain] : found) {
        if (const auto fault = fault_of(folder, name, plain, listed)) {
            problems.push_back({.fault = *fault, .path = name});
        }
    }
    std::sort(problems.begin(), problems.end(),
              [](const FileProblem& a, const FileProblem& b) { return a.path < b.path; });
    return problems;
}

} // namespace holdwarden::seal
