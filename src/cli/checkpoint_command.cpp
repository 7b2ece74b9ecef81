// Sign what the history comes to; prove what is in it.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/cli/write_file.hpp>
#include <holdwarden/seal/packet.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>

#include <charconv>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;

struct CheckpointOptions {
    StoreArguments store;
    std::string key;
    std::string into;
};

int run_checkpoint(const CheckpointOptions& o, Context& context) {
    const seal::SigningKey key = seal::SigningKey::load(signing_key_file(o.key, context));
    const fs::path into = o.into;
    if (!o.into.empty() && !fs::is_directory(into)) {
        throw Error{ErrorKind::bad_input,
                    {.what = "there is no such folder",
                     .where = for_display(o.into),
                     .fix = "make it first, or name another with --into"}};
    }
    for (const char* name :
         {seal::kCheckpointFile, seal::kCheckpointSignature, seal::kPublicKeyFile}) {
        if (!o.into.empty() && fs::exists(fs::symlink_status(into / name))) {
            throw Error{ErrorKind::conflict,
                        {.what = "is there already",
                         .where = for_display((into / name).string()),
                         .fix = "name a folder without an earlier checkpoint"}};
        }
    }
    const OpenStore store{o.store, context, store::Access::write};
    const store::SignedCheckpoint made = store::make_checkpoint(*store, key, store.stamp());
    context.out << made.text;
    if (!o.into.empty()) {
        write_file(into / seal::kCheckpointFile, made.text, IfThere::refuse);
        write_file(into / seal::kCheckpointSignature, seal::to_bytes(made.signature),
                   IfThere::refuse);
        write_file(into / seal::kPublicKeyFile, seal::to_pem(key.public_key()), IfThere::refuse);
    }
    return kDone;
}

std::int64_t number(const std::string& text, const char* what) {
    std::int64_t n = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), n);
    if (error != std::errc{} || end != text.data() + text.size() || n < 1) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is not a number from 1 up", for_display(text, 60)),
                     .where = what,
                     .fix = "give a whole number"}};
    }
    return n;
}

struct ProveOptions {
    StoreArguments store;
    std::string number;
};

/// "prove NAME NUMBER": prints what `proof` gives for the store and the number.
template <class Proof>
Command prove_command(const std::string& name, const std::string& argument, const std::string& help,
                      Proof proof) {
    const auto options = std::make_shared<ProveOptions>();
    return {.name = "prove " + name,
            .help = help,
            .declare =
                [=](Arguments& arguments) {
                    arguments.need(argument, options->number, "Which: a number from 1 up");
                    options->store.declare_reading(arguments);
                    arguments.example("holdwarden prove " + name + " 1");
                },
            .run =
                [=](Context& context) {
                    const std::int64_t n = number(options->number, argument.c_str());
                    const OpenStore store{options->store, context, store::Access::read};
                    context.out << seal::to_text(proof(*store, n));
                    return kDone;
                }};
}

Command checkpoint_command() {
    const auto options = std::make_shared<CheckpointOptions>();
    return {.name = "checkpoint",
            .help = "Sign what the history comes to now, so that nothing before can change unseen",
            .declare =
                [options](Arguments& arguments) {
                    options->store.declare_writing(arguments);
                    declare_signing_key(arguments, options->key);
                    arguments.option("--into", options->into,
                                     "A folder for checkpoint.txt, checkpoint.sig, public-key.pem");
                    arguments.example("holdwarden checkpoint --by RK");
                },
            .run = [options](Context& context) { return run_checkpoint(*options, context); }};
}

} // namespace

std::vector<Command> checkpoint_commands() {
    return {
        checkpoint_command(),
        prove_command("entry", "entry", "Prove that one entry is in the history",
                      [](const records::Store& store, std::int64_t n) {
                          return store::prove_entry(store, records::EntryId::of(n));
                      }),
        prove_command("batch", "batch", "Prove that a batch of logged readings is in the history",
                      [](const records::Store& store, std::int64_t n) {
                          return store::prove_batch(store, n);
                      }),
        prove_command("growth", "size",
                      "Prove that the history of that size is the beginning of today's",
                      [](const records::Store& store, std::int64_t n) {
                          return store::prove_growth(store, static_cast<std::uint64_t>(n));
                      }),
    };
}

} // namespace holdwarden::cli
