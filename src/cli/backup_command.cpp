// Copy a store, checked; go back to such a copy.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/seal/packet.hpp>
#include <holdwarden/store/backup.hpp>

#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct CopyOptions {
    StoreArguments store;
    std::string file;
    std::string key; ///< trusted
};

std::string shown(const store::Head& head) {
    return fmt::format("{} leaves, root {}", head.size, seal::hex(head.root));
}

int run_backup(const CopyOptions& o, Context& context) {
    const store::BackupReport report =
        store::back_up(store_options(o.store, context, store::Access::read), o.file);
    context.out << "Copied to " << for_display(o.file) << ", opened and compared: its history has "
                << shown(report.head) << "\n";
    if (report.problems.empty()) {
        return kDone;
    }
    throw Error{
        ErrorKind::store,
        {.what = "the copy was made and is like the store, but the records do not fit "
                 "their history: " +
                 report.problems.front(),
         .where = "store " +
                  for_display(store_options(o.store, context, store::Access::read).file.string()),
         .fix = "see `holdwarden verify`, and keep earlier copies"}};
}

/// From a packet whose seal holds.
store::RestoreReport from_packet(const store::OpenOptions& options, const CopyOptions& o) {
    std::error_code code;
    const auto manifest = std::filesystem::path{o.file} / seal::kManifestFile;
    if (!exists(symlink_status(manifest, code))) {
        throw Error{ErrorKind::bad_input,
                    {.what = "it has no manifest.txt, so it is no packet",
                     .where = "folder " + for_display(o.file),
                     .fix = "name a copy that `backup` made, or a packet's folder"}};
    }
    const seal::PacketReport packet = seal::check_packet(o.file, trusted_key(o.key));
    if (!packet.problems.empty() || !packet.records || !packet.checkpoint) {
        throw Error{
            ErrorKind::bad_input,
            {.what = packet.problems.empty() ? "it holds no records" : packet.problems.front(),
             .where = "packet " + for_display(o.file),
             .fix = "see `holdwarden verify`, and keep the packet aside as it is"}};
    }
    return store::restore_packet(options, o.file, *packet.checkpoint);
}

int run_restore(const CopyOptions& o, Context& context) {
    const store::OpenOptions options = store_options(o.store, context, store::Access::write);
    const bool packet = std::filesystem::is_directory(o.file);
    const store::RestoreReport report =
        packet ? from_packet(options, o) : store::restore(options, o.file);
    for (const std::string& notice : report.notices) {
        context.err << "note: " << notice << "\n";
    }
    context.out << "The store " << for_display(options.file.string()) << " is again as in "
                << for_display(o.file) << ": its history has " << shown(report.head) << "\n";
    if (!report.aside) {
        return kDone;
    }
    context.out << "What was there is kept as " << for_display(report.aside->string()) << ": ";
    if (!report.aside_head) {
        context.out << "it could not be read.\n";
    } else if (report.is_beginning) {
        context.out << fmt::format("its history goes on for {} leaves more.\n",
                                   report.aside_head->size - report.head.size);
    } else {
        context.out << fmt::format("its history is ANOTHER one, of {}.\n",
                                   shown(*report.aside_head));
    }
    return kDone;
}

} // namespace

std::vector<Command> backup_commands() {
    const auto backup = std::make_shared<CopyOptions>();
    const auto restore = std::make_shared<CopyOptions>();
    return {
        {.name = "backup",
         .help = "Copy the store while it is in use, and check the copy",
         .declare =
             [backup](Arguments& arguments) {
                 arguments.need("file", backup->file, "The copy's file; it must not exist");
                 backup->store.declare_reading(arguments);
                 arguments.example("holdwarden backup monday.db");
             },
         .run = [backup](Context& context) { return run_backup(*backup, context); }},
        {.name = "restore",
         .help = "Go back to a checked copy; the store that is there is kept aside",
         .declare =
             [restore](Arguments& arguments) {
                 arguments.need("file", restore->file,
                                "A copy that `backup` made, or a packet's folder");
                 restore->store.declare_reading(arguments);
                 arguments.option("--key", restore->key,
                                  "Of a packet: the key you trust, as for `verify`");
                 arguments.example("holdwarden restore monday.db");
             },
         .run = [restore](Context& context) { return run_restore(*restore, context); }},
    };
}

} // namespace holdwarden::cli
