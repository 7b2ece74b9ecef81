#include <holdwarden/base/error.hpp>
#include <holdwarden/base/folder.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/completion.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/codes/load.hpp>

#include <algorithm>
#include <array>
#include <cstdint>
#include <exception>
#include <fstream>
#include <ostream>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

/// The version that the store's file says it has, without opening it: opening an older store would
/// migrate it. SQLite's "Database File Format", 1.3: the user version is a big-endian 32-bit
/// integer at offset 60.
std::int64_t version_of(const fs::path& file) {
    std::array<char, 64> head{};
    std::ifstream in{file, std::ios::binary};
    if (!in.read(head.data(), head.size())) {
        return -1;
    }
    std::int64_t version = 0;
    for (std::size_t i = 60; i < 64; ++i) {
        version = version * 256 + static_cast<unsigned char>(head.at(i));
    }
    return version;
}

std::int64_t newest_version(const fs::path& migrations) {
    std::int64_t newest = 0;
    std::error_code code;
    for (const std::string& name : names_in(migrations, code)) {
        if (name.size() > 4 && std::all_of(name.begin(), name.begin() + 4,
                                           [](char c) { return c >= '0' && c <= '9'; })) {
            newest = std::max(newest, std::int64_t{std::stoi(name.substr(0, 4))});
        }
    }
    return newest;
}

/// A store that can be read without changing it, or null.
std::unique_ptr<records::Store> quiet_store(const std::string& named, const Context& context) {
    store::OpenOptions options =
        store_options({.store = named, .by = ""}, context, store::Access::read);
    options.lock_wait = Span::milliseconds(200); // nobody waits longer for a key press
    if (version_of(options.file) != newest_version(options.migrations)) {
        return nullptr;
    }
    return store::open(options).store;
}

std::vector<Candidate> lot_names(const records::Store& store, records::Store::Which which) {
    std::vector<Candidate> all;
    for (const auto& lot : store.lots(which)) {
        all.push_back({lot.facts.name, lot.facts.description.empty()
                                           ? std::string{to_name(lot.facts.food)}
                                           : lot.facts.description});
    }
    return all;
}

std::vector<Candidate> pack_names(const Context& context) {
    std::vector<Candidate> all;
    for (const std::string& id : codes::pack_ids(pack_folder(context))) {
        all.push_back({id, ""});
    }
    return all;
}

std::vector<Candidate> names(Takes kind, const std::string& named, const Context& context) {
    std::vector<Candidate> all;
    if (kind == Takes::pack) {
        return pack_names(context);
    }
    const auto store = quiet_store(named, context);
    if (store == nullptr) {
        return all;
    }
    if (kind == Takes::lot || kind == Takes::any_lot) {
        return lot_names(*store, kind == Takes::lot ? records::Store::Which::living
                                                    : records::Store::Which::all);
    }
    if (kind == Takes::unit) {
        for (const auto& unit : store->units()) {
            all.push_back({unit.facts.name, std::string{to_name(unit.facts.kind)}});
        }
    }
    if (kind == Takes::probe) {
        for (const auto& probe : store->probes()) {
            all.push_back({probe.facts.name, probe.facts.note});
        }
    }
    return all;
}

/// Blanks for what would end a line or a column.
std::string one_line(std::string text) {
    std::replace_if(
        text.begin(), text.end(), [](char c) { return c == '\n' || c == '\t' || c == '\r'; }, ' ');
    return text;
}

int run_complete(const std::vector<std::string>& words, Context& context) {
    try {
        const Completion answer =
            completion(words, all_declared(), [&](Takes kind, const std::string& store) {
                // Completion is silent: a store that is missing, locked or broken offers nothing.
                try {
                    return names(kind, store, context);
                } catch (const std::exception&) {
                    return std::vector<Candidate>{};
                }
            });
        for (const Candidate& one : answer.candidates) {
            context.out << one_line(one.word);
            if (!one.help.empty()) {
                context.out << '\t' << one_line(one.help);
            }
            context.out << '\n';
        }
        if (answer.files != Completion::Files::no) {
            context.out << (answer.files == Completion::Files::any ? ":file\n" : ":folder\n");
        }
    } catch (const std::exception&) { // NOLINT(bugprone-empty-catch): a shell has no use for it
    }
    return kDone;
}

} // namespace

std::vector<Command> complete_commands() {
    const auto words = std::make_shared<std::vector<std::string>>();
    return {{.name = "complete",
             .help = "For shells: the words that may stand where the cursor is, one a line",
             .declare =
                 [words](Arguments& arguments) {
                     arguments.rest("word", *words,
                                    "After --: the words so far; the last is completed");
                     arguments.example("holdwarden complete -- log bris");
                 },
             .run = [words](Context& context) { return run_complete(*words, context); },
             .hidden = true}};
}

} // namespace holdwarden::cli
