#pragma once

#include "sqlite.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace holdwarden::store {

/// "HOLD": what SQLite's header says a holdwarden store is.
inline constexpr std::int64_t kApplicationId = 0x484F4C44;

/// The numbered SQL files of a folder: the first makes version 1, and so on.
class Migrations {
public:
    /// Throws Error{store} if there are none or a number is missing.
    explicit Migrations(const std::filesystem::path& folder);

    std::int64_t latest() const noexcept { return static_cast<std::int64_t>(sql_.size()); }
    /// Brings a database from the version it says it has to the latest. In a transaction.
    void apply(const Database& database) const;
    /// Throws Error{store} unless the schema is, word for word, what the migrations make.
    void check_schema(const Database& database) const;

private:
    /// SHA-256 of the schema that the files make, in hexadecimal.
    std::string made_digest() const;

    std::vector<std::string> sql_;
    std::string digest_; ///< as schema.sha256 has it; empty: there is no such file
};

} // namespace holdwarden::store
