#pragma once

// The one RAII wrapper around SQLite's C interface. Internal to the store.

#include <holdwarden/base/instant.hpp>

#include <sqlite3.h>

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

namespace holdwarden::store {

using Blob = std::span<const std::uint8_t>;

class Database;

/// A prepared statement. Bound values are copied. Columns count from 0.
class Statement {
public:
    Statement(const Database& database, std::string_view sql);

    /// Resets and binds all parameters in order, then makes the first step; true: there is a row.
    template <class... Values>
    bool run(const Values&... values) {
        reset();
        int index = 0;
        (bind(++index, values), ...);
        return step();
    }
    /// Whether there is a (further) row. Throws Error{store}.
    bool step();
    void reset() noexcept;

    // For parameters whose number is known only when it runs: they count from 1.
    void bind(int index, std::int64_t value);
    void bind(int index, double value);
    void bind(int index, std::string_view value);
    void bind(int index, Blob value);
    void bind(int index, std::nullopt_t);

    bool is_null(int column) const noexcept;
    std::int64_t integer(int column) const noexcept;
    std::optional<std::int64_t> maybe_integer(int column) const noexcept;
    /// Valid until the next step.
    std::string_view text(int column) const noexcept;
    Blob blob(int column) const noexcept;

    // For rows of any table.
    int columns() const noexcept { return sqlite3_column_count(statement_.get()); }
    const char* name(int column) const noexcept {
        return sqlite3_column_name(statement_.get(), column);
    }
    /// SQLITE_INTEGER, SQLITE_FLOAT, SQLITE_TEXT, SQLITE_BLOB or SQLITE_NULL.
    int type(int column) const noexcept { return sqlite3_column_type(statement_.get(), column); }
    double real(int column) const noexcept {
        return sqlite3_column_double(statement_.get(), column);
    }

private:
    template <class T>
    void bind(int index, const std::optional<T>& value) {
        value ? bind(index, *value) : bind(index, std::nullopt);
    }

    /// Back to the connection, which keeps it for the next who says the same.
    struct GiveBack {
        const Database* database;
        void operator()(sqlite3_stmt* statement) const noexcept;
    };
    const Database* database_;
    std::unique_ptr<sqlite3_stmt, GiveBack> statement_;
};

/// Prepared statements that nobody uses at the moment, by their SQL: preparing one again takes
/// longer than running it.
class IdleStatements {
public:
    /// nullptr: there is none.
    sqlite3_stmt* take(std::string_view sql);
    void put(sqlite3_stmt* statement) noexcept;

private:
    struct Finalize {
        void operator()(sqlite3_stmt* statement) const noexcept { sqlite3_finalize(statement); }
    };
    std::map<std::string, std::unique_ptr<sqlite3_stmt, Finalize>, std::less<>> by_sql_;
};

/// One connection.
class Database {
public:
    /// `flags` as sqlite3_open_v2 takes them. Throws Error{store}.
    Database(const std::filesystem::path& file, int flags, Span lock_wait);

    /// Runs statements that take no values.
    void exec(const std::string& sql) const;
    /// One statement that writes, with its values.
    template <class... Values>
    void run(std::string_view sql, const Values&... values) const {
        Statement{*this, sql}.run(values...);
    }
    std::int64_t integer(std::string_view sql) const;
    std::int64_t last_id() const noexcept { return sqlite3_last_insert_rowid(handle()); }
    bool changed() const noexcept { return sqlite3_changes(handle()) != 0; }

    /// Throws Error{store} that says what the code means for the person at the terminal.
    [[noreturn]] void fail(int code) const;
    void check(int code) const {
        if (code != SQLITE_OK) {
            fail(code);
        }
    }

    sqlite3* handle() const noexcept { return handle_.get(); }
    const std::string& name() const noexcept { return name_; }

private:
    struct Close {
        void operator()(sqlite3* handle) const noexcept { sqlite3_close_v2(handle); }
    };
    friend class Statement;

    std::string name_;
    Span lock_wait_;
    std::unique_ptr<sqlite3, Close> handle_;
    mutable IdleStatements idle_; ///< gone before the handle
};

/// What a pragma that looks through the pages found; empty: the file holds together. Throws
/// std::bad_alloc where it was memory that failed, and not the file.
std::vector<std::string> faults_found(const Database& database, std::string_view pragma);

/// One moment of the database for several reads; nothing inside a transaction, which has one
/// already.
class Snapshot {
public:
    explicit Snapshot(const Database& database);
    Snapshot(const Snapshot&) = delete;
    Snapshot& operator=(const Snapshot&) = delete;
    ~Snapshot();

private:
    const Database& database_;
    bool own_;
};

/// A write transaction; rolled back unless committed.
class Transaction {
public:
    explicit Transaction(const Database& database);
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    ~Transaction();
    void commit();

private:
    const Database& database_;
    bool open_ = true;
};

} // namespace holdwarden::store
