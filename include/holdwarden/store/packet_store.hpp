#pragma once

// A store made again from a packet's records.

#include <holdwarden/seal/checkpoint.hpp>
#include <holdwarden/store/history.hpp>
#include <holdwarden/store/open.hpp>

#include <filesystem>

namespace holdwarden::store {

/// Makes the store `options.file` from the records of the packet in `folder`. Where the packet left
/// records out, the store knows their leaves by their hashes and keeps what the packet's maker
/// signed of that (schema/sql/0014-kept-elsewhere.sql). The packet's seal is
/// the caller's to check; its records come to `checkpoint`'s root again, or Error{bad_input} is
/// thrown and no file is left. Throws Error{conflict} if there is a file of that name.
Head store_from_packet(const OpenOptions& options, const std::filesystem::path& folder,
                       const seal::Checkpoint& checkpoint);

} // namespace holdwarden::store
