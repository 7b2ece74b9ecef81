#pragma once

// Leaves whose records stayed elsewhere when a store was made from a packet. Internal to the store.

#include "sqlite.hpp"

#include <holdwarden/records/store.hpp>

#include <cstdint>
#include <functional>
#include <map>
#include <string>

namespace holdwarden::store {

// Why a packet leaves a record out. The words stand in packets: they never change.
inline constexpr const char* kOfAnotherTime = "of another time";
inline constexpr const char* kSecret = "keeps a PIN";
inline constexpr const char* kPurged = "purged";

/// Leaf and why its record is not here. Empty: the store was not made from a packet, or from one
/// that left nothing out.
std::map<std::int64_t, std::string> kept_elsewhere(const Database& database);

/// Whether records of some time are elsewhere: more than what keeps PINs.
bool holds_part_only(const Database& database);

/// Compares what is said to be elsewhere with the packet's list of files, as signed. For a store
/// whose other records fit their history.
void check_elsewhere(const records::Store& store, const std::function<void(std::string)>& problem);

} // namespace holdwarden::store
