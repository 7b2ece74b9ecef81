#pragma once

// Which store files this user's program has looked through before. docs/decisions/0082.

#include <holdwarden/cli/command.hpp>
#include <holdwarden/records/store.hpp>

#include <filesystem>

namespace holdwarden::cli {

/// Looks through a foreign store's pages, once: one whose file (device and inode) and first leaf
/// are not on the list of those looked through. Throws Error{store} for one that is damaged. Where
/// no list can be kept, every store is foreign every time.
void check_if_foreign(const records::Store& store, const std::filesystem::path& file,
                      const Context& context);

} // namespace holdwarden::cli
