#pragma once

#include <holdwarden/cli/run.hpp>
#include <holdwarden/codes/pack.hpp>

#include <filesystem>
#include <string>

namespace holdwarden::cli {

/// The pack that is used where none is named.
inline constexpr const char* kDefaultPack = "us-fda-2022";

/// The folder with the packs that come with the program.
std::filesystem::path pack_folder(const Context& context);

/// A pack that comes with the program, by its id; or one of your own, by a path (it has a slash, or
/// ends in .toml). Throws Error{not_found} listing the ids, Error{bad_input} when the file is
/// wrong.
codes::Pack load_named_pack(const Context& context, const std::string& id_or_path);

/// SHA-256 of the file of the pack that is so named, in hexadecimal digits; empty: there is none.
std::string pack_digest(const Context& context, const std::string& id_or_path);

/// What a site that adopts `pack`, loaded as `id_or_path`, writes down: its id, or its file's
/// absolute path.
std::string adoption_of(const codes::Pack& pack, const std::string& id_or_path);

} // namespace holdwarden::cli
