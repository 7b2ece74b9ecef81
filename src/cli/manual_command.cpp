#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/manual_page.hpp>
#include <holdwarden/cli/write_file.hpp>

#include <charconv>
#include <fstream>
#include <iterator>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct ManualOptions {
    std::string page;
    std::string to;
};

/// Today, or the day that SOURCE_DATE_EPOCH names, so that a build can be repeated.
std::string page_date(const Context& context) {
    Instant at = context.now();
    const std::string epoch = context.env("SOURCE_DATE_EPOCH").value_or("");
    std::int64_t seconds = 0;
    const char* end = epoch.data() + epoch.size();
    const auto read = std::from_chars(epoch.data(), end, seconds);
    constexpr std::int64_t kYear9999 = 253'370'764'800;
    if (read.ec == std::errc{} && read.ptr == end && seconds >= 0 && seconds < kYear9999) {
        at = Instant::from_unix_s(seconds);
    }
    return to_utc_text(at).substr(0, 10);
}

std::string frame_of(const Context& context) {
    const std::filesystem::path file = context.data / "reports" / "manual" / "holdwarden.1";
    std::ifstream in{file, std::ios::binary};
    if (!in) {
        throw Error{ErrorKind::not_found,
                    {.what = "the frame of the manual page is not there",
                     .where = for_display(file.string()),
                     .fix = "install holdwarden's data again, or set HOLDWARDEN_DATA"}};
    }
    return {std::istreambuf_iterator<char>{in}, {}};
}

int run_manual(const ManualOptions& o, Context& context) {
    const std::vector<DeclaredCommand> all = all_declared();
    const ManualHead head{.date = page_date(context), .version = HOLDWARDEN_VERSION};
    if (!o.to.empty()) {
        const std::filesystem::path folder{o.to};
        for (const std::string& word : command_words(all)) {
            write_file(folder / ("holdwarden-" + word + ".1"), command_page(word, all, head),
                       IfThere::replace);
        }
        // Last: the build takes this file as the sign that all of them are there.
        write_file(folder / "holdwarden.1", program_page(frame_of(context), all, head),
                   IfThere::replace);
        return kDone;
    }
    const std::string page = o.page.empty() ? program_page(frame_of(context), all, head)
                                            : command_page(o.page, all, head);
    if (page.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "there is no command '" + for_display(o.page, 60) + "'",
                     .where = "",
                     .fix = "give one of " + listed(command_words(all))}};
    }
    context.out << page;
    return kDone;
}

} // namespace

std::vector<Command> manual_commands() {
    const auto options = std::make_shared<ManualOptions>();
    return {{.name = "manual",
             .help = "Print a manual page as source for man: the program's, or a command's",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.may("command", options->page,
                                   "A command's first word (the program)");
                     arguments.option("--folder", options->to,
                                      "Write all pages into this folder, which must exist");
                     arguments.example("holdwarden manual check | man -l -");
                 },
             .run = [options](Context& context) { return run_manual(*options, context); },
             .hidden = true}};
}

} // namespace holdwarden::cli
