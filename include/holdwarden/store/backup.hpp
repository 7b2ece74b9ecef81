#pragma once

// Copies of a store, and going back to one. docs/keeping-records.md.

#include <holdwarden/store/history.hpp>
#include <holdwarden/store/open.hpp>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::store {

struct BackupReport {
    Head head; ///< of the copy
    /// What the check of the copy found (store::verify): the copy is like the store all the same.
    std::vector<std::string> problems;
};

/// Copies the store to `to` while others may go on using it: one file, readable by its owner alone.
/// Then opens the copy, works its history out anew and compares the root with the store's. Throws
/// Error{conflict} if there is a file of that name, Error{store} as store::open does, or if the
/// copy is not what the store was; nothing is left behind then.
BackupReport back_up(const OpenOptions& options, const std::filesystem::path& to);

struct RestoreReport {
    Head head;                                  ///< of the store as it is now
    std::optional<std::filesystem::path> aside; ///< where the store that was there is kept
    std::optional<Head> aside_head;             ///< what it came to; nullopt: it could not be read
    /// Whether the restored history is the beginning of the one set aside.
    bool is_beginning = false;
    std::vector<std::string> notices; ///< migrated, ...
};

/// Puts what the store file `from` holds in the place of `options.file`. `from` is checked first,
/// wholly: Error{store} names what does not fit, and nothing was touched. A store that is there is
/// copied aside first, or renamed when it can no longer be read. Throws Error{store} if another
/// process has it open.
RestoreReport restore(const OpenOptions& options, const std::filesystem::path& from);

/// The same from a packet of a whole history, made into a store again (store_from_packet). Its seal
/// is the caller's to check.
RestoreReport restore_packet(const OpenOptions& options, const std::filesystem::path& folder,
                             const seal::Checkpoint& checkpoint);

} // namespace holdwarden::store
