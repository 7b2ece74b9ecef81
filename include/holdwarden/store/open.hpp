#pragma once

// The store on disk: one SQLite file. Knows SQL; knows nothing of verdicts, the clock or the
// command line.

#include <holdwarden/base/instant.hpp>
#include <holdwarden/records/store.hpp>

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace holdwarden::store {

enum class Access { read, write };

struct OpenOptions {
    std::filesystem::path file;
    std::filesystem::path migrations; ///< the folder with 0001-….sql, 0002-….sql, …
    Access access = Access::read;
    Span lock_wait = Span::seconds(5); ///< how long to wait for another process's lock
};

struct Opened {
    std::unique_ptr<records::Store> store;
    std::vector<std::string> notices; ///< what was done on the way: migrated, backup kept as …
};

/// Opens an existing store. A store of an older version is migrated first, whatever the access,
/// after a copy named in `notices` was made beside it. Throws Error{store} for a file that is
/// missing, not a store, of a newer version, truncated, damaged, altered in its schema, locked, or
/// that may not be read; the file is then as it was.
Opened open(const OpenOptions& options);

/// Makes a new store, readable by its owner alone, and opens it for writing; the site and what it
/// adopts are its first entries. Throws Error{conflict} if there is a file of that name already;
/// leaves no file behind when it fails.
Opened create(const OpenOptions& options, const records::Site& site,
              const records::SiteSetting& adopted, const records::Stamp& stamp);

/// Looks through every page of a store that open or create made (SQLite's quick_check). Throws
/// Error{store} if they do not hold together.
void check_pages(const records::Store& store);

/// For a program that reads by several threads; to be called before anything is opened. SQLite then
/// counts no memory, for which the threads would wait for each other.
void forgo_memory_statistics() noexcept;

} // namespace holdwarden::store
