// The one file that sees the argument parser.
#include <holdwarden/base/error.hpp>
#include <holdwarden/cli/command.hpp>
#include <holdwarden/cli/declared.hpp>
#include <holdwarden/cli/run.hpp>
#include <holdwarden/store/open.hpp>

#include <CLI/CLI.hpp>
#include <execinfo.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <exception>
#include <iostream>
#include <map>
#include <new>

namespace holdwarden::cli {
namespace {

class ParserArguments final : public Arguments {
public:
    explicit ParserArguments(CLI::App& app) : app_{app} {}

    void need(const std::string& name, std::string& into, const std::string& help) override {
        app_.add_option(name, into, help)->required()->type_name("");
    }
    void may(const std::string& name, std::string& into, const std::string& help) override {
        app_.add_option(name, into, help)->type_name("");
    }
    void rest(const std::string& name, std::vector<std::string>& into,
              const std::string& help) override {
        app_.add_option(name, into, help)->type_name("");
    }
    void option(const std::string& name, std::string& into, const std::string& help) override {
        app_.add_option(name, into, help)
            ->take_last()
            ->capture_default_str()
            ->type_name(value_name(name));
    }
    void options(const std::string& name, std::vector<std::string>& into,
                 const std::string& help) override {
        app_.add_option(name, into, help)->expected(1)->take_all()->type_name(value_name(name));
    }
    void flag(const std::string& name, bool& into, const std::string& help) override {
        app_.add_flag(name, into, help);
    }
    void example(const std::string& line) override {
        examples_ += (examples_.empty() ? "Example:\n  " : "\n  ") + line;
        app_.footer(examples_);
    }

private:
    CLI::App& app_;
    std::string examples_;
};

CLI::App* find_subcommand(CLI::App& root, const std::string& name) {
    const auto same_name = [&](const CLI::App* sub) { return sub->get_name() == name; };
    const auto found = root.get_subcommands(same_name);
    return found.empty() ? nullptr : found.front();
}

/// How the help of a word begins that stands for several commands.
const std::string kOneOf = "One of: ";

/// The subcommand named by one or two words, made on the way.
CLI::App& subcommand(CLI::App& root, const std::string& name, const std::string& help) {
    const auto blank = name.find(' ');
    if (blank == std::string::npos) {
        CLI::App* existing = find_subcommand(root, name);
        return existing != nullptr ? *existing : *root.add_subcommand(name, help);
    }
    const std::string group = name.substr(0, blank);
    CLI::App* parent = find_subcommand(root, group);
    if (parent == nullptr) {
        parent = root.add_subcommand(group, kOneOf);
    }
    const std::string second = name.substr(blank + 1);
    if (const std::string said = parent->get_description(); said.starts_with(kOneOf)) {
        parent->description(said + (said == kOneOf ? "" : ", ") + second);
    }
    return *parent->add_subcommand(second, help);
}

int report(const Error& error, Context& context) {
    context.err << "holdwarden: " << error.what() << "\n";
    return error.kind() == ErrorKind::usage ? kWrongUsage : kFailed;
}

} // namespace

int run(const std::vector<std::string>& arguments, Context& context) {
    try {
        CLI::App app{"Records hot holding, cooling and reheating, judges them by published food "
                     "codes, and prints the sheets.",
                     "holdwarden"};
        app.set_version_flag("--version", "holdwarden " HOLDWARDEN_VERSION);
        app.require_subcommand(0, 1);
        const std::vector<Command> commands = all_commands();
        const Command* chosen = nullptr;
        for (const Command& command : commands) {
            CLI::App& sub = subcommand(app, command.name, command.help);
            if (command.hidden) {
                sub.group("");
            }
            ParserArguments declared{sub};
            command.declare(declared);
            // A second word ("codes show") is called before the command it belongs to ("codes").
            sub.callback([&chosen, &command] { chosen = chosen == nullptr ? &command : chosen; });
        }
        std::vector<std::string> reversed{arguments.rbegin(), arguments.rend()};
        try {
            app.parse(reversed);
        } catch (const CLI::ParseError& e) {
            const int status = app.exit(e, context.out, context.err);
            return status == 0 ? kDone : kWrongUsage;
        }
        if (chosen == nullptr) {
            context.err << app.help();
            return kWrongUsage;
        }
        return chosen->run(context);
    } catch (const Error& error) {
        return report(error, context);
    } catch (const std::bad_alloc&) {
        context.err
            << "holdwarden: out of memory; nothing was changed after the last line printed\n";
        return kFailed;
    } catch (const std::exception& error) {
        context.err << "holdwarden: unexpected: " << error.what()
                    << "; please report this as a defect\n";
        return kFailed;
    }
}

namespace {

/// The folder with schema/ and reports/: beside the installed program, else the source tree it was
/// built from.
std::filesystem::path find_data() {
    namespace fs = std::filesystem;
    if (const char* named = std::getenv("HOLDWARDEN_DATA")) {
        return named;
    }
    std::error_code code;
    const fs::path program = fs::read_symlink("/proc/self/exe", code);
    if (!code) {
        const fs::path installed = program.parent_path() / HOLDWARDEN_DATA_FROM_BIN;
        if (fs::exists(installed / "schema", code)) {
            return installed.lexically_normal();
        }
    }
    return HOLDWARDEN_SOURCE_DIR;
}

/// Loads what the C library needs to unwind its own frames (pthread_once, where a zone is first
/// used). It would load it at the first exception through them; when that is for want of memory, it
/// ends the program instead.
void load_unwinder() noexcept {
    void* frame = nullptr;
    ::backtrace(&frame, 1); // glibc, backtrace(3): the first call loads libgcc
}

constexpr const char* kOutOfMemory = "holdwarden: out of memory\n";

/// Whether `new` was refused memory.
std::atomic<bool> memory_ran_out{false};
std::terminate_handler otherwise = nullptr;

/// Libraries, the reader of TOML among them, allocate in functions that may not throw: what they
/// do then ends the program, and no handler of ours is reached but this one. Whatever ends it for
/// another reason stays as loud as it was.
void end_without_unwinding() noexcept {
    if (!memory_ran_out) {
        otherwise();
    }
    (void)!::write(STDERR_FILENO, kOutOfMemory, std::strlen(kOutOfMemory));
    std::_Exit(kFailed);
}

void prepare_for_want_of_memory() {
    load_unwinder();
    std::set_new_handler([] {
        memory_ran_out = true;
        throw std::bad_alloc{};
    });
    otherwise = std::set_terminate(end_without_unwinding);
}

int answer(int argc, char** argv) {
    prepare_for_want_of_memory();
    store::forgo_memory_statistics();
    Context context{
        .in = std::cin,
        .out = std::cout,
        .err = std::cerr,
        .now =
            [] {
                using namespace std::chrono;
                return Instant::from_unix_ms(
                    duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count());
            },
        .env = [](const std::string& name) -> std::optional<std::string> {
            const char* value = std::getenv(name.c_str());
            return value == nullptr ? std::nullopt : std::optional<std::string>{value};
        },
        .data = find_data(),
        .out_is_terminal = isatty(STDOUT_FILENO) == 1,
        .in_is_terminal = isatty(STDIN_FILENO) == 1,
    };
    const int status = run(std::vector<std::string>(argv + 1, argv + argc), context);
    std::cout.flush();
    if (!std::cout) {
        std::cerr << "holdwarden: the answer could not be written to standard output; is the disk "
                     "full?\n";
        return kFailed;
    }
    return status;
}

} // namespace

int run_process(int argc, char** argv) {
    try {
        return answer(argc, argv);
    } catch (const std::bad_alloc&) { // before the command began, or while its answer was flushed
        std::fputs(kOutOfMemory, stderr);
        return kFailed;
    }
}

} // namespace holdwarden::cli
