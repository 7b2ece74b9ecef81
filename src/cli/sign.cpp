#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/sign.hpp>
#include <holdwarden/seal/pin.hpp>

#include <fmt/format.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <istream>
#include <ostream>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

/// The terminal without echo, as long as it lives. Ctrl-C ends the line instead of the program, so
/// that echo always comes back.
class Quiet {
public:
    Quiet() {
        if (tcgetattr(STDIN_FILENO, &before_) != 0) {
            return;
        }
        struct termios quiet = before_;
        quiet.c_lflag &= ~static_cast<tcflag_t>(ECHO | ISIG);
        quiet.c_cc[VEOL] = kInterrupt;
        changed_ = tcsetattr(STDIN_FILENO, TCSAFLUSH, &quiet) == 0;
    }
    Quiet(const Quiet&) = delete;
    Quiet& operator=(const Quiet&) = delete;
    ~Quiet() {
        if (changed_) {
            tcsetattr(STDIN_FILENO, TCSAFLUSH, &before_);
        }
    }
    bool works() const noexcept { return changed_; }

    static constexpr char kInterrupt = 3;

private:
    struct termios before_ {};
    bool changed_ = false;
};

Error no_secret(const char* option) {
    return Error{ErrorKind::usage,
                 {.what = "a PIN is needed, and there is no terminal to ask for it",
                  .where = "",
                  .fix = fmt::format("give it with {} FILE, or {} - to read it from standard input",
                                     option, option)}};
}

/// The first line; one character at a time, so that nothing of the next is taken.
std::string line_of(std::istream& in) {
    std::string line;
    for (int c = in.get(); c != std::istream::traits_type::eof() && c != '\n'; c = in.get()) {
        if (c == Quiet::kInterrupt) {
            seal::wipe(line);
            throw Error{
                ErrorKind::usage,
                {.what = "broken off; nothing was written", .where = "", .fix = "try again"}};
        }
        line += static_cast<char>(c);
    }
    if (!line.empty() && line.back() == '\r') {
        line.pop_back();
    }
    return line;
}

std::string from_file(const std::string& file, const char* option) {
    const auto refused = [&](std::string what, std::string fix) {
        return Error{ErrorKind::bad_input,
                     {.what = std::move(what),
                      .where = fmt::format("{} {}", option, for_display(file)),
                      .fix = std::move(fix)}};
    };
    std::error_code code;
    const fs::file_status status = fs::status(file, code);
    const fs::perms others = fs::perms::group_all | fs::perms::others_all;
    if (fs::is_regular_file(status) && (status.permissions() & others) != fs::perms::none) {
        throw refused("may be read by others than its owner",
                      "take their rights away: chmod 600 " + for_display(file) +
                          "; if somebody may have seen it, change the PIN");
    }
    std::ifstream in{file, std::ios::binary};
    if (!in || fs::is_directory(status)) {
        throw refused("cannot be read", "name the file with the PIN");
    }
    return line_of(in);
}

Error not_listed(const std::string& name) {
    return Error{ErrorKind::not_found,
                 {.what = "'" + for_display(name) + "' is not among the people who may sign",
                  .where = "--by",
                  .fix = "say `person add " + for_display(name) +
                         "` first; `person list` shows "
                         "who is"}};
}

void check_can_sign(const records::Person& person, std::span<const records::Role> roles) {
    const std::string where = "person " + for_display(person.name);
    if (!person.active) {
        throw Error{ErrorKind::conflict,
                    {.what = "is retired and signs no more",
                     .where = where,
                     .fix = "let somebody else sign, or say `person change " +
                            for_display(person.name) + " --active`"}};
    }
    const bool may = roles.empty() || std::any_of(roles.begin(), roles.end(),
                                                  [&](auto role) { return person.has(role); });
    if (!may) {
        std::string needed;
        for (const records::Role role : roles) {
            needed += (needed.empty() ? "" : " or ") + std::string{to_name(role)};
        }
        throw Error{ErrorKind::conflict,
                    {.what = "is not " + needed + ", who may sign this",
                     .where = where,
                     .fix = "let one of them sign; `person list` shows who is what"}};
    }
}

enum class Tried { right, wrong, waits, none };

/// In one transaction, so that attempts made side by side count one after the other.
Tried try_pin(const OpenStore& store, records::PersonId person, std::string_view pin,
              std::string_view purpose, Instant now, Instant& until) {
    Tried tried = Tried::none;
    store->atomically([&] {
        records::People& people = store->people();
        const auto hash = people.pin_hash(person);
        if (!hash) {
            return;
        }
        const auto attempts = people.attempts(person);
        const Span wait = records::pin_wait(attempts);
        until = attempts.empty() ? now : attempts.back().at + wait;
        if (wait > Span{} && now < until) {
            tried = Tried::waits;
            return;
        }
        const bool right = seal::is_pin(pin, *hash);
        people.note_attempt(person, {.at = now, .right = right, .purpose = std::string{purpose}},
                            {.entered_at = now, .by = {}});
        tried = right ? Tried::right : Tried::wrong;
    });
    return tried;
}

} // namespace

void SignArguments::declare(Arguments& arguments) {
    arguments.option("--pin-file", pin_file,
                     "File with the PIN of --by, or - for standard input (else it is asked for)");
}

std::string ask_secret(const std::string& file, const char* option, std::string_view prompt,
                       Context& context) {
    if (file == "-") {
        return line_of(context.in);
    }
    if (!file.empty()) {
        return from_file(file, option);
    }
    if (!context.in_is_terminal) {
        throw no_secret(option);
    }
    const Quiet quiet;
    if (!quiet.works()) {
        throw no_secret(option);
    }
    context.err << prompt << std::flush;
    std::string secret = line_of(context.in);
    context.err << "\n";
    return secret;
}

records::Recorded<records::PersonId, records::Person>
sign(const OpenStore& store, const SignArguments& arguments, std::string_view purpose,
     std::span<const records::Role> roles, Context& context) {
    const std::string& by = store.stamp().by;
    if (trimmed(by).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "nobody is named who signs",
                     .where = "",
                     .fix = "say who with --by or HOLDWARDEN_BY"}};
    }
    const auto person = records::person_named(store->people(), by);
    if (!person || person->facts.name != by) {
        throw not_listed(by);
    }
    check_can_sign(person->facts, roles);
    if (!store->people().pin_hash(person->id)) {
        throw Error{ErrorKind::conflict,
                    {.what = "has no PIN to sign with",
                     .where = "person " + for_display(by),
                     .fix = "say `person pin " + for_display(by) + "` first"}};
    }
    std::string pin = ask_secret(
        arguments.pin_file, "--pin-file",
        fmt::format("PIN of {} to {}: ", for_display(by), for_display(purpose)), context);
    Instant until;
    const Tried tried = try_pin(store, person->id, pin, purpose, store.now(), until);
    seal::wipe(pin);
    if (tried == Tried::waits) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("too many wrong PINs of {}: the next attempt is taken "
                                         "from {} on",
                                         for_display(by), store.shown(until + Span::seconds(1))),
                     .where = "",
                     .fix = "wait, or let a person in charge set a new PIN: person pin " +
                            for_display(by)}};
    }
    if (tried != Tried::right) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("the PIN is not that of {}; the attempt is on record, and "
                                         "nothing else was written",
                                         for_display(by)),
                     .where = "",
                     .fix = "try again; a person in charge can set a new PIN: person pin " +
                            for_display(by)}};
    }
    return *person;
}

std::string check_may_verify(const OpenStore& store, std::string_view maker,
                             std::string_view verifier, std::string_view what) {
    const auto site = records::one_person_at(store->people(), store.now());
    const records::MayVerify may = records::may_verify(maker, verifier, site);
    if (!may.allowed()) {
        throw Error{ErrorKind::conflict,
                    {.what = may.words,
                     .where = std::string{what},
                     .fix = "let a second person verify; where one person works alone, `person "
                            "alone --why REASON` says so on every sheet"}};
    }
    return may.words;
}

std::string printed_name(const records::Person& person) {
    return person.printed_name.empty() ? person.name : person.printed_name;
}

} // namespace holdwarden::cli
