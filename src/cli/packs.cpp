#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/codes/load.hpp>
#include <holdwarden/seal/file_digest.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace holdwarden::cli {

std::filesystem::path pack_folder(const Context& context) {
    return context.data / "schema" / "codes";
}

namespace {

bool is_path(const std::string& id_or_path) {
    return id_or_path.find('/') != std::string::npos || id_or_path.ends_with(".toml");
}

} // namespace

std::string adoption_of(const codes::Pack& pack, const std::string& id_or_path) {
    return is_path(id_or_path) ? std::filesystem::absolute(id_or_path).lexically_normal().string()
                               : pack.id;
}

std::string pack_digest(const Context& context, const std::string& id_or_path) {
    const auto ids = codes::pack_ids(pack_folder(context));
    const bool known = std::find(ids.begin(), ids.end(), id_or_path) != ids.end();
    std::error_code code;
    // What is named may be another kitchen's word: only one of our own packs is looked for by it.
    const std::filesystem::path file = std::filesystem::canonical(
        known ? pack_folder(context) / (id_or_path + ".toml") : std::filesystem::path{id_or_path},
        code);
    if (code || (!known && !is_path(id_or_path))) {
        return "";
    }
    try {
        return seal::hex(seal::digest_file(file).sha256);
    } catch (const Error&) {
        return ""; // unreadable: not the same
    }
}

codes::Pack load_named_pack(const Context& context, const std::string& id_or_path) {
    if (is_path(id_or_path)) {
        return codes::load_pack(id_or_path);
    }
    const auto ids = codes::pack_ids(pack_folder(context));
    if (std::find(ids.begin(), ids.end(), id_or_path) == ids.end()) {
        throw Error{ErrorKind::not_found,
                    {.what = fmt::format("there is no code pack '{}'", for_display(id_or_path)),
                     .where = "",
                     .fix = ids.empty()
                                ? "no packs are installed in " + pack_folder(context).string()
                                : "use " + listed(ids) + ", or the path of a .toml file"}};
    }
    return codes::load_pack(pack_folder(context) / (id_or_path + ".toml"));
}

} // namespace holdwarden::cli
