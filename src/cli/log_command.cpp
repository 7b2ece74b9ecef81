#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/typed_entry.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct LogOptions {
    StoreArguments store;
    TypedArguments typed;
    std::string name;
    std::string value;
    bool air = false;
    std::string at;
};

int run_log(const LogOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    const records::Target target = target_named(store, o.name, o.air, o.typed.point);
    const records::TypedReading reading =
        typed_reading(o.typed, store, target, store.time(o.at), o.value);
    const records::Added added = store->log(reading, store.stamp());
    context.out << shown(*store, target) << ": " << shown(reading, store, o.typed.probe)
                << store.entered(reading.at) << "." << remark(added) << "\n";
    return kDone;
}

} // namespace

std::vector<Command> log_commands() {
    const auto options = std::make_shared<LogOptions>();
    return {{.name = "log",
             .help = "Enter a temperature that a person read",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.need("lot", options->name,
                                    "The lot, or the beginning of its name (a unit with --air)");
                     arguments.need("temperature", options->value,
                                    "140F, 60C; a bare number is in the site's scale");
                     arguments.flag("--air", options->air,
                                    "The name is a unit's: its air was read");
                     arguments.option("--at", options->at, "When (now)");
                     options->typed.declare(arguments);
                     options->store.declare_writing(arguments);
                     arguments.example("holdwarden log brisket-1 140F --by RK");
                 },
             .run = [options](Context& context) { return run_log(*options, context); }}};
}

} // namespace holdwarden::cli
