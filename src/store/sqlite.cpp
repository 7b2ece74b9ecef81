#include "sqlite.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>

#include <fmt/format.h>

#include <cassert>
#include <cstdlib>
#include <new>

namespace holdwarden::store {

namespace {

/// Of more different ones than the program has, those that are made while it runs are not kept.
constexpr std::size_t kMostIdle = 200;

} // namespace

sqlite3_stmt* IdleStatements::take(std::string_view sql) {
    const auto found = by_sql_.find(sql);
    if (found == by_sql_.end()) {
        return nullptr;
    }
    sqlite3_stmt* statement = found->second.release();
    by_sql_.erase(found);
    return statement;
}

void IdleStatements::put(sqlite3_stmt* statement) noexcept {
    std::unique_ptr<sqlite3_stmt, Finalize> idle{statement};
    sqlite3_reset(statement);
    sqlite3_clear_bindings(statement);
    try {
        if (by_sql_.size() < kMostIdle) {
            by_sql_.try_emplace(sqlite3_sql(statement), std::move(idle));
        }
    } catch (const std::bad_alloc&) {
        return; // it is not kept
    }
}

void Statement::GiveBack::operator()(sqlite3_stmt* statement) const noexcept {
    database->idle_.put(statement);
}

Statement::Statement(const Database& database, std::string_view sql)
    : database_{&database}, statement_{database.idle_.take(sql), {&database}} {
    if (statement_ == nullptr) {
        sqlite3_stmt* statement = nullptr;
        database.check(sqlite3_prepare_v3(database.handle(), sql.data(),
                                          static_cast<int>(sql.size()), SQLITE_PREPARE_PERSISTENT,
                                          &statement, nullptr));
        statement_.reset(statement);
    }
}

bool Statement::step() {
    const int code = sqlite3_step(statement_.get());
    if (code == SQLITE_ROW) {
        return true;
    }
    if (code != SQLITE_DONE) {
        sqlite3_reset(statement_.get());
        database_->fail(code);
    }
    return false;
}

void Statement::reset() noexcept {
    sqlite3_reset(statement_.get());
}

bool Statement::is_null(int column) const noexcept {
    return sqlite3_column_type(statement_.get(), column) == SQLITE_NULL;
}

std::int64_t Statement::integer(int column) const noexcept {
    return sqlite3_column_int64(statement_.get(), column);
}

std::optional<std::int64_t> Statement::maybe_integer(int column) const noexcept {
    return is_null(column) ? std::nullopt : std::optional{integer(column)};
}

std::string_view Statement::text(int column) const noexcept {
    const auto* bytes =
        reinterpret_cast<const char*>(sqlite3_column_text(statement_.get(), column));
    const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
    return bytes == nullptr ? std::string_view{} : std::string_view{bytes, size};
}

Blob Statement::blob(int column) const noexcept {
    const auto* bytes =
        static_cast<const std::uint8_t*>(sqlite3_column_blob(statement_.get(), column));
    const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column));
    return bytes == nullptr ? Blob{} : Blob{bytes, size};
}

void Statement::bind(int index, std::int64_t value) {
    database_->check(sqlite3_bind_int64(statement_.get(), index, value));
}

void Statement::bind(int index, double value) {
    database_->check(sqlite3_bind_double(statement_.get(), index, value));
}

void Statement::bind(int index, std::string_view value) {
    // An empty view may have no address, which SQLite would take for NULL.
    const char* bytes = value.data() == nullptr ? "" : value.data();
    database_->check(sqlite3_bind_text(statement_.get(), index, bytes,
                                       static_cast<int>(value.size()), SQLITE_TRANSIENT));
}

void Statement::bind(int index, Blob value) {
    const void* bytes = value.data() == nullptr ? static_cast<const void*>("") : value.data();
    database_->check(sqlite3_bind_blob(statement_.get(), index, bytes,
                                       static_cast<int>(value.size()), SQLITE_TRANSIENT));
}

void Statement::bind(int index, std::nullopt_t) {
    database_->check(sqlite3_bind_null(statement_.get(), index));
}

Database::Database(const std::filesystem::path& file, int flags, Span lock_wait)
    : name_{for_display(file.string())}, lock_wait_{lock_wait} {
    sqlite3* handle = nullptr;
    const int code = sqlite3_open_v2(file.c_str(), &handle, flags | SQLITE_OPEN_NOMUTEX, nullptr);
    handle_.reset(handle);
    if (handle == nullptr) {
        throw std::bad_alloc{};
    }
    check(code);
    sqlite3_extended_result_codes(handle, 1);
    check(sqlite3_busy_timeout(handle, static_cast<int>(lock_wait.ms())));
    // A store may come from anyone: nothing in its schema gets to run code or write to internals.
    for (const int option : {SQLITE_DBCONFIG_DEFENSIVE, SQLITE_DBCONFIG_ENABLE_FKEY}) {
        check(sqlite3_db_config(handle, option, 1, nullptr));
    }
    for (const int option : {SQLITE_DBCONFIG_TRUSTED_SCHEMA, SQLITE_DBCONFIG_DQS_DML,
                             SQLITE_DBCONFIG_DQS_DDL, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION}) {
        check(sqlite3_db_config(handle, option, 0, nullptr));
    }
    exec("pragma cell_size_check = on");
}

void Database::exec(const std::string& sql) const {
    check(sqlite3_exec(handle(), sql.c_str(), nullptr, nullptr, nullptr));
}

std::int64_t Database::integer(std::string_view sql) const {
    Statement statement{*this, sql};
    return statement.run() ? statement.integer(0) : 0;
}

void Database::fail(int code) const {
    const std::string detail = for_display(sqlite3_errmsg(handle())); // may quote a foreign file
    const auto error = [&](std::string what, std::string fix) {
        return Error{ErrorKind::store,
                     {.what = std::move(what), .where = "store " + name_, .fix = std::move(fix)}};
    };
    switch (code & 0xff) {
    case SQLITE_NOMEM:
        throw std::bad_alloc{};
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        throw error(fmt::format("is locked by another process (waited {})", to_text(lock_wait_)),
                    "let the other command end, then say this one again");
    case SQLITE_FULL:
        throw error("the disk is full; nothing of this entry was kept", "free some space");
    case SQLITE_NOTADB:
        throw error("is not a holdwarden store", "give the right file with --store");
    case SQLITE_CORRUPT:
        throw error("is damaged: " + detail, "go back to a backup copy, and keep this file aside");
    case SQLITE_CANTOPEN:
        throw error("cannot be opened: " + detail, "see that the file and its folder are there and "
                                                   "may be read");
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        throw error("may not be written: " + detail, "see who owns the file and its folder");
    case SQLITE_IOERR:
        throw error("the disk failed: " + detail,
                    "look at the disk; what was confirmed before is kept");
    case SQLITE_CONSTRAINT:
        throw error("refused the entry: " + detail, "nothing was written");
    default:
        throw error("failed: " + detail, "nothing was written");
    }
}

std::vector<std::string> faults_found(const Database& database, std::string_view pragma) {
    constexpr std::string_view kCode = "error code=";
    std::vector<std::string> faults;
    Statement row{database, pragma};
    if (!row.run()) {
        return {"no answer"};
    }
    do {
        const std::string fault{row.text(0)};
        // Memory that ran out is told as a page that could not be had.
        const auto code = fault.find(kCode);
        if (code != std::string::npos &&
            std::atoi(fault.c_str() + code + kCode.size()) == SQLITE_NOMEM) {
            throw std::bad_alloc{};
        }
        if (fault != "ok") {
            faults.push_back(fault);
        }
    } while (row.step());
    return faults;
}

Snapshot::Snapshot(const Database& database)
    : database_{database}, own_{sqlite3_get_autocommit(database.handle()) != 0} {
    if (own_) {
        database.exec("begin");
    }
}

Snapshot::~Snapshot() {
    if (own_) {
        sqlite3_exec(database_.handle(), "commit", nullptr, nullptr, nullptr);
    }
}

Transaction::Transaction(const Database& database) : database_{database} {
    database.exec("begin immediate");
}

Transaction::~Transaction() {
    if (open_) {
        // Fails only when SQLite has rolled back by itself.
        sqlite3_exec(database_.handle(), "rollback", nullptr, nullptr, nullptr);
    }
}

void Transaction::commit() {
    assert(open_);
    database_.exec("commit");
    open_ = false;
}

} // namespace holdwarden::store
