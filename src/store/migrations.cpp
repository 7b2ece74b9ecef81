#include "migrations.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/folder.hpp>
#include <holdwarden/seal/digest.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <iterator>
#include <utility>

namespace holdwarden::store {
namespace {

namespace fs = std::filesystem;

Error bad_folder(const fs::path& folder, std::string what) {
    return Error{ErrorKind::store,
                 {.what = std::move(what),
                  .where = folder.string(),
                  .fix = "install holdwarden again, or name its data folder in HOLDWARDEN_DATA"}};
}

std::string read_whole(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    std::string text{std::istreambuf_iterator<char>{in}, {}};
    if (!in || text.empty()) {
        throw bad_folder(file, "cannot be read");
    }
    return text;
}

/// Of every object with its words, in a fixed order. What SQLite keeps for itself (statistics) does
/// not count.
std::string schema_digest(const Database& database) {
    Statement statement{database, "select type, name, tbl_name, coalesce(sql, '') from "
                                  "sqlite_schema where name not like 'sqlite_stat%' order by 1, 2"};
    std::string all;
    for (bool row = statement.run(); row; row = statement.step()) {
        for (int column = 0; column < 4; ++column) {
            all += statement.text(column);
            all += '\x1f';
        }
    }
    return seal::hex(seal::sha256(all));
}

} // namespace

Migrations::Migrations(const fs::path& folder) {
    std::vector<std::pair<unsigned, fs::path>> files;
    std::error_code code;
    for (const std::string& name : names_in(folder, code)) {
        unsigned number = 0;
        const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
        if (error == std::errc{} && end == name.data() + 4 && name.ends_with(".sql")) {
            files.emplace_back(number, folder / name);
        }
    }
    std::sort(files.begin(), files.end());
    for (const auto& [number, path] : files) {
        if (number != sql_.size() + 1) {
            throw bad_folder(folder, fmt::format("migration {:04} is missing", sql_.size() + 1));
        }
        sql_.push_back(read_whole(path));
    }
    if (sql_.empty()) {
        throw bad_folder(folder, "no migrations are there");
    }
    std::ifstream digest{folder / "schema.sha256"};
    digest >> digest_;
}

void Migrations::apply(const Database& database) const {
    const auto from = static_cast<std::size_t>(database.integer("pragma user_version"));
    for (std::size_t version = from; version < sql_.size(); ++version) {
        database.exec(sql_[version]);
    }
    database.exec(fmt::format("pragma user_version = {}", sql_.size()));
}

std::string Migrations::made_digest() const {
    const Database fresh{":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, Span{}};
    apply(fresh);
    return schema_digest(fresh);
}

void Migrations::check_schema(const Database& database) const {
    const std::string found = schema_digest(database);
    // Making it anew takes longer than most commands do, so that its digest is kept beside the
    // files; where the two differ, the files decide.
    if (found != digest_ && found != made_digest()) {
        throw Error{ErrorKind::store,
                    {.what = "its tables or the rules that guard them were changed behind the "
                             "program's back",
                     .where = "store " + database.name(),
                     .fix = "go back to a backup copy, and keep this file aside as evidence"}};
    }
}

} // namespace holdwarden::store
