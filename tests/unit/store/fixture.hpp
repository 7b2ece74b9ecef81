#pragma once

#include <holdwarden/base/error.hpp>
#include <holdwarden/store/open.hpp>

#include <sqlite3.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

namespace fixture {

namespace fs = std::filesystem;
using namespace holdwarden;

inline const fs::path kSchema = fs::path{HOLDWARDEN_SOURCE_DIR} / "schema" / "sql";

/// A folder of its own, removed at the end.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "holdwarden-test-XXXXXX").string();
        path_ = mkdtemp(name.data());
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code code;
        fs::remove_all(path_, code);
    }
    fs::path operator/(const char* name) const { return path_ / name; }
    const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

/// 2026-11-01T06:00:00Z: midnight at the Larkspur Yard Smokehouse, clocks not yet back.
inline constexpr Instant kNight = Instant::from_unix_s(1'793'512'800);
inline records::Stamp by(const char* who, Instant at = kNight) {
    return {.entered_at = at, .by = who};
}
inline const records::Site kSite{.name = "Larkspur Yard Smokehouse",
                                 .zone = "America/Denver",
                                 .altitude =
                                     records::Altitude{1'609'344'000, records::AltitudeUnit::feet},
                                 .scale = Scale::fahrenheit};

/// Says nothing: the tests adopt what they need.
inline const records::SiteSetting kAdopted{.from = kNight};

inline store::OpenOptions options(const fs::path& file,
                                  store::Access access = store::Access::write) {
    return {
        .file = file, .migrations = kSchema, .access = access, .lock_wait = Span::milliseconds(50)};
}

inline std::unique_ptr<records::Store> make(const fs::path& file) {
    return store::create(options(file), kSite, kAdopted, by("RK")).store;
}

inline std::unique_ptr<records::Store> reopen(const fs::path& file,
                                              store::Access access = store::Access::write) {
    return store::open(options(file, access)).store;
}

/// What the call threw; fails the test's own way (empty text) when it threw nothing.
template <class Call>
ErrorText refusal(Call call, ErrorKind& kind) {
    try {
        call();
    } catch (const Error& error) {
        kind = error.kind();
        return error.text();
    }
    return {};
}

inline std::string bytes_of(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

/// Another program's access to the file, without any of the store's care. Returns SQLite's message,
/// "" when it went through.
inline std::string raw_sql(const fs::path& file, const std::string& sql) {
    sqlite3* handle = nullptr;
    sqlite3_open(file.c_str(), &handle);
    char* message = nullptr;
    sqlite3_exec(handle, sql.c_str(), nullptr, nullptr, &message);
    std::string text = message == nullptr ? "" : message;
    sqlite3_free(message);
    sqlite3_close(handle);
    return text;
}

/// Everything the store says in its tables that hold anything (except those named): two stores with
/// the same dump hold the same.
inline std::string dump(const fs::path& file, const std::set<std::string>& except = {}) {
    sqlite3* handle = nullptr;
    sqlite3_open(file.c_str(), &handle);
    std::string all;
    std::string tables;
    const auto append = [](void* into, int n, char** values, char**) {
        for (int i = 0; i < n; ++i) {
            *static_cast<std::string*>(into) += (values[i] == nullptr ? "-" : values[i]);
            *static_cast<std::string*>(into) += '|';
        }
        *static_cast<std::string*>(into) += '\n';
        return 0;
    };
    sqlite3_exec(handle, "select name from sqlite_schema where type = 'table' order by name",
                 append, &tables, nullptr);
    for (std::size_t at = 0; at < tables.size();) {
        const std::string name = tables.substr(at, tables.find('|', at) - at);
        if (!except.contains(name)) {
            std::string rows;
            sqlite3_exec(handle, ("select * from " + name).c_str(), append, &rows, nullptr);
            all += rows.empty() ? "" : name + "\n" + rows;
        }
        at = tables.find('\n', at) + 1;
    }
    sqlite3_close(handle);
    return all;
}

inline Temperature f(int degrees) {
    return Temperature::of_degrees(degrees, Scale::fahrenheit);
}
inline Temperature c(int degrees) {
    return Temperature::of_degrees(degrees, Scale::celsius);
}

inline records::ImportSource source(const char* name = "night.csv") {
    return {.name = name, .sha256 = {1, 2, 3}, .bytes = 10, .mapping = "as named"};
}

} // namespace fixture
