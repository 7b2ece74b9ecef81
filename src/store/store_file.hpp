#pragma once

// A store's file as a file: looked at, connected to, made, copied, removed. Internal to the store.

#include "sqlite.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/store/open.hpp>

#include <filesystem>
#include <string>

namespace holdwarden::store {

/// Error{store} that names the file.
Error bad_file(const std::filesystem::path& file, std::string what, std::string fix);

/// The file's name with `suffix` after it.
std::filesystem::path beside(const std::filesystem::path& file, const char* suffix);
/// beside(file, suffix), or with -2, -3, ... after it: one that is not taken.
std::filesystem::path free_name(const std::filesystem::path& file, const std::string& suffix);

/// Tells what a file is before SQLite touches it, so that a wrong one stays as it is. Throws
/// Error{store} for anything but a store of some version.
void look_at(const std::filesystem::path& file);

Database connect(const OpenOptions& options, Access access_wanted);
void prepare_for_writing(const Database& database);

/// The version of a store that this program can use. Throws Error{store} for another.
std::int64_t checked_version(const Database& database, std::int64_t latest,
                             const std::filesystem::path& file);

/// Makes an empty file that only its owner may read. Throws Error{conflict} if the name is taken.
void make_file(const std::filesystem::path& file);
/// The file and what SQLite keeps beside it.
void remove_with_companions(const std::filesystem::path& file) noexcept;

/// SQLite's online backup over all of `to`, in one transaction.
void copy_pages(const Database& from, const Database& to);
/// A new file, one without companions, readable by its owner alone, read through once.
void copy(const Database& from, const std::filesystem::path& to, Span lock_wait);

} // namespace holdwarden::store
