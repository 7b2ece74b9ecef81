#include "migrations.hpp"
#include "sqlite_store.hpp"
#include "store_file.hpp"

#include <holdwarden/base/folder.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/store/backup.hpp>
#include <holdwarden/store/packet_store.hpp>

#include <fmt/format.h>

#include <system_error>

namespace holdwarden::store {
namespace {

namespace fs = std::filesystem;

OpenOptions reading(const OpenOptions& options, const fs::path& file) {
    return {.file = file,
            .migrations = options.migrations,
            .access = Access::read,
            .lock_wait = options.lock_wait};
}

/// Removes a file under way unless it reached its place.
class UnderWay {
public:
    explicit UnderWay(fs::path file) : file_{std::move(file)} {}
    UnderWay(const UnderWay&) = delete;
    UnderWay& operator=(const UnderWay&) = delete;
    ~UnderWay() {
        if (!arrived_) {
            remove_with_companions(file_);
        }
    }
    const fs::path& file() const noexcept { return file_; }
    void arrived() noexcept { arrived_ = true; }

private:
    fs::path file_;
    bool arrived_ = false;
};

void rename_file(const fs::path& from, const fs::path& to) {
    std::error_code code;
    fs::rename(from, to, code);
    if (code) {
        throw bad_file(
            from,
            fmt::format("cannot be renamed to {}: {}", for_display(to.string()), code.message()),
            "see who may write to the folder");
    }
}

/// Opens `part`, a copy of `from`: what is wrong with it is wrong with that.
Opened open_copy(const OpenOptions& options, const fs::path& part, const fs::path& from) {
    try {
        return open(reading(options, part));
    } catch (const Error& error) {
        throw bad_file(from, error.text().what, error.text().fix);
    }
}

HistoryReport check_copy(const OpenOptions& options, const fs::path& part, const fs::path& from,
                         std::vector<std::string>& notices) {
    const Opened opened = open_copy(options, part, from);
    if (!opened.notices.empty()) {
        // The migration kept a copy of `part` as it was; `from` is that copy already.
        std::error_code code;
        const fs::path folder = part.has_parent_path() ? part.parent_path() : fs::path{"."};
        for (const std::string& name : names_in(folder, code)) {
            if (name.starts_with(part.filename().string() + ".v")) {
                fs::remove(folder / name, code);
            }
        }
        notices.push_back("the copy was of an older version and was brought to this program's");
    }
    HistoryReport report = verify(*opened.store);
    if (!report.problems.empty()) {
        throw bad_file(from, "does not fit its own history: " + report.problems.front(),
                       "take another backup copy, and keep this one as evidence");
    }
    return report;
}

/// A checked copy of `from` beside the store, of this program's version.
Head take_in(const OpenOptions& options, const fs::path& from, const fs::path& part,
             std::vector<std::string>& notices) {
    look_at(from);
    {
        const Database source = connect(reading(options, from), Access::read);
        if (const auto faults = faults_found(source, "pragma quick_check"); !faults.empty()) {
            throw bad_file(from, "is damaged: " + for_display(faults.front()),
                           "take another backup copy");
        }
        checked_version(source, Migrations{options.migrations}.latest(), from);
        copy(source, part, options.lock_wait);
    }
    const HistoryReport report = check_copy(options, part, from, notices);
    // A migration leaves it in the form of a store in use: make it one plain file again.
    connect({.file = part, .migrations = {}, .lock_wait = options.lock_wait}, Access::write)
        .exec("pragma journal_mode = delete");
    return report.head;
}

bool is_store(const fs::path& file) {
    try {
        look_at(file);
        return true;
    } catch (const Error&) {
        return false;
    }
}

/// Whether a message is about the file's content, so that only renaming helps.
bool unreadable(const Database& present) {
    try {
        return !faults_found(present, "pragma quick_check").empty();
    } catch (const Error& error) {
        if (error.text().what.starts_with("is damaged") ||
            error.text().what.starts_with("is not a holdwarden store")) {
            return true;
        }
        throw;
    }
}

/// Over the store in its place, which stays locked from its copy to the end. False: it cannot be
/// read.
bool over_present(const OpenOptions& options, const fs::path& part, RestoreReport& report) {
    Database present = connect(options, Access::write);
    present.exec("pragma locking_mode = exclusive"); // kept from the first write to the end
    if (unreadable(present)) {
        return false;
    }
    present.exec("begin exclusive");
    present.exec("commit");
    report.aside = free_name(options.file, ".before-restore");
    copy(present, *report.aside, options.lock_wait);
    const Database restored = connect(reading(options, part), Access::read);
    copy_pages(restored, present);
    return true;
}

void compare_with_aside(const OpenOptions& options, RestoreReport& report) {
    const OpenOptions aside = reading(options, *report.aside);
    const Migrations migrations{options.migrations};
    if (connect(aside, Access::read).integer("pragma user_version") != migrations.latest()) {
        return; // opening it would bring it to this version; it is kept as it was
    }
    try {
        const Opened opened = open(aside);
        report.aside_head = head(*opened.store);
        report.is_beginning = head_at(*opened.store, report.head.size) == report.head;
    } catch (const Error&) {
        report.aside_head.reset(); // it is kept, whatever it says
    }
}

void set_aside(const OpenOptions& options, RestoreReport& report) {
    std::error_code code;
    report.aside = free_name(options.file, ".before-restore");
    for (const char* suffix : {"", "-journal", "-wal", "-shm"}) {
        const fs::path file = beside(options.file, suffix);
        if (fs::exists(fs::symlink_status(file, code))) {
            rename_file(file, beside(*report.aside, suffix));
        }
    }
}

/// Brings a checked store into the place of the one that is there.
void put_in_place(const OpenOptions& options, UnderWay& part, RestoreReport& report) {
    std::error_code code;
    const bool was_store = is_store(options.file);
    if (was_store && over_present(options, part.file(), report)) {
        compare_with_aside(options, report);
    } else {
        // What is left of a store that is gone may hold its last entries.
        const bool rest = fs::file_size(beside(options.file, "-wal"), code) > 0 && !code;
        if (fs::exists(fs::symlink_status(options.file, code)) || rest) {
            set_aside(options, report);
        }
        remove_with_companions(options.file);
        rename_file(part.file(), options.file);
        part.arrived();
    }
    const Opened opened = open(reading(options, options.file));
    const HistoryReport now = verify(*opened.store);
    if (now.head != report.head || !now.problems.empty()) {
        throw bad_file(options.file, "is not what the copy was", "look at the disk");
    }
    if (const std::uint64_t elsewhere = leaves_elsewhere(*opened.store); elsewhere > 0) {
        report.notices.push_back(
            fmt::format("it holds a part of the records only: those of {} of {} leaves are kept "
                        "elsewhere",
                        elsewhere, now.head.size));
    } else if (now.elsewhere > 0) {
        report.notices.emplace_back("PINs never leave a store: each person who signs needs a new "
                                    "one (`holdwarden person pin NAME --reset`)");
    }
}

} // namespace

BackupReport back_up(const OpenOptions& options, const fs::path& to) {
    const Opened opened = open(reading(options, options.file));
    std::error_code code;
    if (fs::exists(fs::symlink_status(to, code))) {
        make_file(to); // says that the name is taken
    }
    UnderWay part{free_name(to, ".part")};
    copy(database_of(*opened.store), part.file(), options.lock_wait);
    HistoryReport report = verify(*open(reading(options, part.file())).store);
    if (head_at(*opened.store, report.head.size) != report.head && report.problems.empty()) {
        throw bad_file(to, "the copy is not what the store was", "look at the disk");
    }
    // Not a rename: it would write over a file that came to be there meanwhile.
    fs::create_hard_link(part.file(), to, code);
    if (code && fs::exists(fs::symlink_status(to))) {
        make_file(to);
    }
    if (code) { // a file system without links
        rename_file(part.file(), to);
        part.arrived();
    }
    return {.head = report.head, .problems = std::move(report.problems)};
}

RestoreReport restore(const OpenOptions& options, const fs::path& from) {
    std::error_code code;
    if (fs::equivalent(options.file, from, code)) {
        throw Error{ErrorKind::usage,
                    {.what = "that is the store itself",
                     .where = for_display(from.string()),
                     .fix = "name a backup copy of it"}};
    }
    RestoreReport report;
    UnderWay part{free_name(options.file, ".restoring")};
    report.head = take_in(options, from, part.file(), report.notices);
    put_in_place(options, part, report);
    return report;
}

RestoreReport restore_packet(const OpenOptions& options, const fs::path& folder,
                             const seal::Checkpoint& checkpoint) {
    RestoreReport report;
    UnderWay part{free_name(options.file, ".restoring")};
    OpenOptions made = options;
    made.file = part.file();
    report.head = store_from_packet(made, folder, checkpoint);
    put_in_place(options, part, report);
    return report;
}

} // namespace holdwarden::store
