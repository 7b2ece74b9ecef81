#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/seal_use.hpp>

#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

void print(const seal::SigningKey& key, const std::filesystem::path& file, std::ostream& out) {
    out << "Signing key: " << for_display(file.string()) << "\n"
        << "Its fingerprint: " << grouped(seal::fingerprint(key.public_key())) << "\n\n"
        << seal::to_pem(key.public_key());
}

int run_new(const std::string& named, Context& context) {
    const std::filesystem::path file = signing_key_file(named, context);
    print(seal::SigningKey::create(file), file, context.out);
    context.out << "\nOnly you may read the key's file; keep a copy of it where nobody else can "
                   "get at it.\nGive the fingerprint to those who will check what you sign, on "
                   "paper: it is how they\ntell your seal from anybody else's.\n";
    return kDone;
}

int run_show(const std::string& named, Context& context) {
    const std::filesystem::path file = signing_key_file(named, context);
    print(seal::SigningKey::load(file), file, context.out);
    return kDone;
}

} // namespace

std::vector<Command> key_commands() {
    const auto created = std::make_shared<std::string>();
    const auto shown = std::make_shared<std::string>();
    return {
        {.name = "key new",
         .help = "Make the key that signs checkpoints and packets",
         .declare =
             [created](Arguments& arguments) {
                 declare_signing_key(arguments, *created);
                 arguments.example("holdwarden key new");
             },
         .run = [created](Context& context) { return run_new(*created, context); }},
        {.name = "key show",
         .help = "Print the signing key's public half and fingerprint",
         .declare =
             [shown](Arguments& arguments) {
                 declare_signing_key(arguments, *shown);
                 arguments.example("holdwarden key show");
             },
         .run = [shown](Context& context) { return run_show(*shown, context); }},
    };
}

} // namespace holdwarden::cli
