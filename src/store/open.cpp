#include "migrations.hpp"
#include "sqlite_store.hpp"
#include "store_file.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/store/open.hpp>

#include <fmt/format.h>

namespace holdwarden::store {
namespace {

namespace fs = std::filesystem;

/// Returns what was done.
std::string migrate(const OpenOptions& options, const Migrations& migrations) {
    const Database database = connect(options, Access::write);
    const std::int64_t version = database.integer("pragma user_version");
    const fs::path backup = free_name(options.file, fmt::format(".v{}.backup", version));
    copy(database, backup, options.lock_wait);
    prepare_for_writing(database);
    Transaction transaction{database};
    migrations.apply(database);
    History{database}.record_new(); // of a store from before the history
    transaction.commit();
    return fmt::format("the store was brought from version {} to {}; a copy of it as it was is "
                       "kept as {}",
                       version, migrations.latest(), for_display(backup.string()));
}

} // namespace

Opened open(const OpenOptions& options) {
    const Migrations migrations{options.migrations};
    look_at(options.file);
    Opened opened;
    Database database = connect(options, options.access);
    if (checked_version(database, migrations.latest(), options.file) < migrations.latest()) {
        opened.notices.push_back(migrate(options, migrations));
        database = connect(options, options.access);
    }
    migrations.check_schema(database);
    if (options.access == Access::write) {
        prepare_for_writing(database);
    } else {
        database.exec("pragma query_only = on");
    }
    opened.store = std::make_unique<SqliteStore>(std::move(database));
    return opened;
}

Opened create(const OpenOptions& options, const records::Site& site,
              const records::SiteSetting& adopted, const records::Stamp& stamp) {
    const Migrations migrations{options.migrations};
    make_file(options.file);
    try {
        Database database = connect(options, Access::write);
        {
            Transaction transaction{database};
            database.exec(fmt::format("pragma application_id = {}", kApplicationId));
            migrations.apply(database);
            transaction.commit();
        }
        prepare_for_writing(database);
        auto store = std::make_unique<SqliteStore>(std::move(database));
        store->found(site, adopted, stamp);
        return {.store = std::move(store), .notices = {}};
    } catch (...) {
        remove_with_companions(options.file);
        throw;
    }
}

void check_pages(const records::Store& store) {
    const Database& database = database_of(store);
    if (const auto faults = faults_found(database, "pragma quick_check(1)"); !faults.empty()) {
        throw bad_file(database.name(), "is damaged: " + for_display(faults.front()),
                       "go back to a backup copy, and keep this file aside as evidence");
    }
}

void forgo_memory_statistics() noexcept {
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

} // namespace holdwarden::store
