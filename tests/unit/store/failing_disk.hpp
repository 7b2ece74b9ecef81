#pragma once

#include <sqlite3.h>

#include <cstring>
#include <string>

namespace fixture {

/// While it lives, SQLite's files fail from the n-th call on that changes the disk: writing
/// (wholly, or after half of the bytes), syncing, cutting, making, removing. One at a time.
class FailingDisk {
public:
    enum class Way { error, half_written, full };

    FailingDisk(int nth, Way way) {
        left = nth;
        how = way;
        failed = false;
        real = sqlite3_vfs_find(nullptr);
        shim = *real;
        shim.zName = "failing";
        shim.szOsFile = static_cast<int>(sizeof(File)) + real->szOsFile;
        shim.xOpen = open;
        shim.xDelete = remove;
        sqlite3_vfs_register(&shim, 1);
    }
    FailingDisk(const FailingDisk&) = delete;
    FailingDisk& operator=(const FailingDisk&) = delete;
    ~FailingDisk() {
        sqlite3_vfs_unregister(&shim);
        sqlite3_vfs_register(real, 1);
    }
    /// Whether the n-th call was reached.
    bool has_failed() const { return failed; }

private:
    struct File {
        sqlite3_file base;
        sqlite3_file* real;
    };
    static inline sqlite3_vfs* real = nullptr;
    static inline sqlite3_vfs shim{};
    static inline int left = 0;
    static inline Way how = Way::error;
    static inline bool failed = false;

    /// Once broken, it stays broken, as a full or dying disk does.
    static bool fails() {
        failed = failed || --left < 0;
        return failed;
    }
    static sqlite3_file* inner(sqlite3_file* file) { return reinterpret_cast<File*>(file)->real; }
    static const sqlite3_io_methods& methods(sqlite3_file* file) { return *inner(file)->pMethods; }

    static int write(sqlite3_file* file, const void* bytes, int size, sqlite3_int64 at) {
        if (fails()) {
            if (how == Way::half_written) {
                methods(file).xWrite(inner(file), bytes, size / 2, at);
            }
            return how == Way::full ? SQLITE_FULL : SQLITE_IOERR_WRITE;
        }
        return methods(file).xWrite(inner(file), bytes, size, at);
    }
    static int sync(sqlite3_file* file, int flags) {
        return fails() ? SQLITE_IOERR_FSYNC : methods(file).xSync(inner(file), flags);
    }
    static int truncate(sqlite3_file* file, sqlite3_int64 size) {
        return fails() ? SQLITE_IOERR_TRUNCATE : methods(file).xTruncate(inner(file), size);
    }
    static int remove(sqlite3_vfs*, const char* name, int sync_folder) {
        return fails() ? SQLITE_IOERR_DELETE : real->xDelete(real, name, sync_folder);
    }
    static int close(sqlite3_file* file) {
        return inner(file)->pMethods == nullptr ? SQLITE_OK : methods(file).xClose(inner(file));
    }
    static int open(sqlite3_vfs*, const char* name, sqlite3_file* file, int flags, int* out) {
        static const sqlite3_io_methods kMethods = {
            3,
            close,
            [](sqlite3_file* f, void* b, int n, sqlite3_int64 at) {
                return methods(f).xRead(inner(f), b, n, at);
            },
            write,
            truncate,
            sync,
            [](sqlite3_file* f, sqlite3_int64* n) { return methods(f).xFileSize(inner(f), n); },
            [](sqlite3_file* f, int lock) { return methods(f).xLock(inner(f), lock); },
            [](sqlite3_file* f, int lock) { return methods(f).xUnlock(inner(f), lock); },
            [](sqlite3_file* f, int* is) { return methods(f).xCheckReservedLock(inner(f), is); },
            [](sqlite3_file* f, int op, void* arg) {
                return methods(f).xFileControl(inner(f), op, arg);
            },
            [](sqlite3_file* f) { return methods(f).xSectorSize(inner(f)); },
            [](sqlite3_file* f) { return methods(f).xDeviceCharacteristics(inner(f)); },
            [](sqlite3_file* f, int page, int size, int extend, void volatile** into) {
                return methods(f).xShmMap(inner(f), page, size, extend, into);
            },
            [](sqlite3_file* f, int at, int n, int lock) {
                return methods(f).xShmLock(inner(f), at, n, lock);
            },
            [](sqlite3_file* f) { methods(f).xShmBarrier(inner(f)); },
            [](sqlite3_file* f, int del) { return methods(f).xShmUnmap(inner(f), del); },
            [](sqlite3_file* f, sqlite3_int64 at, int n, void** into) {
                return methods(f).xFetch(inner(f), at, n, into);
            },
            [](sqlite3_file* f, sqlite3_int64 at, void* page) {
                return methods(f).xUnfetch(inner(f), at, page);
            }};
        auto* ours = reinterpret_cast<File*>(file);
        ours->real = reinterpret_cast<sqlite3_file*>(ours + 1);
        std::memset(ours->real, 0, static_cast<std::size_t>(real->szOsFile));
        ours->base.pMethods = nullptr;
        if ((flags & SQLITE_OPEN_CREATE) != 0 && fails()) {
            return SQLITE_CANTOPEN;
        }
        const int code = real->xOpen(real, name, ours->real, flags, out);
        ours->base.pMethods = ours->real->pMethods == nullptr ? nullptr : &kMethods;
        return code;
    }
};

} // namespace fixture
