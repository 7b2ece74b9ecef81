#pragma once

// A packet's seal: the manifest, the checkpoint, and the signatures over both. Needs no store.

#include <holdwarden/seal/checkpoint.hpp>
#include <holdwarden/seal/manifest.hpp>
#include <holdwarden/seal/packet_records.hpp>

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace holdwarden::seal {

// The names in a packet's folder. Signatures are 64 raw bytes, as `openssl pkeyutl -verify` takes
// them.
inline constexpr const char* kManifestFile = "manifest.txt";
inline constexpr const char* kManifestSignature = "manifest.sig";
inline constexpr const char* kCheckpointFile = "checkpoint.txt";
inline constexpr const char* kCheckpointSignature = "checkpoint.sig";
inline constexpr const char* kPublicKeyFile = "public-key.pem";

/// Seals a folder that holds the packet's other files: writes the five files above.
/// `checkpoint.key` is set from the key. Throws Error{conflict} if one of the five is there
/// already, Error{bad_input} if the folder holds what a packet cannot.
Manifest seal_packet(const std::filesystem::path& folder, Checkpoint checkpoint,
                     const SigningKey& key, Instant made);

struct PacketReport {
    std::optional<Manifest> manifest;     ///< empty: unusable
    std::optional<Checkpoint> checkpoint; ///< empty: unusable
    std::optional<Sha256> key;            ///< fingerprint of the packet's own public key
    std::optional<RecordsReport> records; ///< empty: the packet has no history
    /// Sentences; empty: the packet is as its key's owner sealed it.
    std::vector<std::string> problems;
};

/// Checks all that can be checked from the folder alone. `trusted`: the fingerprint that the
/// packet's key must have, from elsewhere: without it anybody could have sealed the packet anew.
/// Throws Error{not_found} if there is no such folder.
PacketReport check_packet(const std::filesystem::path& folder,
                          const std::optional<Sha256>& trusted);

} // namespace holdwarden::seal
