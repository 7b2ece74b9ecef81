#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/store_use.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

struct InitOptions {
    StoreArguments store;
    std::string name;
    std::string zone;
    std::string altitude;
    std::string scale;
    std::string code;
    std::string max_gap;
};

Error missing(const char* option, const char* example) {
    return Error{ErrorKind::usage,
                 {.what = std::string{option} + " is missing", .where = "", .fix = example}};
}

Zone zone_of(const InitOptions& o) {
    try {
        return Zone::named(o.zone);
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at("--zone").text()};
    }
}

records::Site site_of(const InitOptions& o) {
    if (o.name.empty()) {
        throw missing("--name", "name the kitchen, such as --name 'Larkspur Yard Smokehouse'");
    }
    if (o.zone.empty()) {
        throw missing("--zone", "give the kitchen's IANA zone, such as --zone America/Denver");
    }
    records::Site site{.name = o.name, .zone = zone_of(o).name(), .altitude = {}};
    if (!o.altitude.empty()) {
        site.altitude = records::parse_altitude(o.altitude);
    }
    if (!o.scale.empty()) {
        site.scale = scale_argument(o.scale);
    }
    return site;
}

int run_init(const InitOptions& o, Context& context) {
    const records::Site site = site_of(o);
    const codes::Pack pack = load_named_pack(context, o.code.empty() ? kDefaultPack : o.code);
    records::SiteSetting setting{.from = context.now(), .code = adoption_of(pack, o.code)};
    if (!o.max_gap.empty()) {
        setting.largest_interval = parse_span(o.max_gap);
        if (*setting.largest_interval <= Span{}) {
            throw Error{ErrorKind::usage,
                        {.what = "--max-gap must be longer than nothing",
                         .where = "",
                         .fix = "write it like 30min or 2h"}};
        }
    }
    const store::OpenOptions options = store_options(o.store, context, store::Access::write);
    store::create(options, site, setting, stamp_of(o.store, context));

    context.out << "Made " << for_display(options.file.string()) << " for " << site.name << ", "
                << site.zone;
    if (site.altitude) {
        context.out << ", " << records::to_text(*site.altitude);
    }
    context.out << ". A bare number means " << sign(site.scale) << ".\n"
                << "Judged by " << pack.title << " " << pack.edition << " (" << *setting.code
                << ")";
    if (setting.largest_interval) {
        context.out << "; a reading of a hold at least every "
                    << to_text(*setting.largest_interval);
    }
    context.out << ".\nNext: holdwarden probe add NAME, holdwarden lot open NAME.\n";
    return kDone;
}

} // namespace

std::vector<Command> init_commands() {
    const auto options = std::make_shared<InitOptions>();
    return {{.name = "init",
             .help = "Make the store of one kitchen",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.option("--name", options->name, "The kitchen's name");
                     arguments.option("--zone", options->zone,
                                      "Its IANA time zone, such as America/Denver");
                     arguments.option("--altitude", options->altitude,
                                      "Height above sea level: 5280ft, 1609m");
                     arguments.option("--scale", options->scale,
                                      "F or C: what a bare number means (F)");
                     arguments.option("--code", options->code,
                                      "The code pack it is judged by (us-fda-2022)");
                     arguments.option("--max-gap", options->max_gap,
                                      "The largest interval between readings of a hold (2h)");
                     options->store.declare_writing(arguments);
                     arguments.example("holdwarden init --name 'Larkspur Yard Smokehouse' "
                                       "--zone America/Denver --altitude 5280ft");
                 },
             .run = [options](Context& context) { return run_init(*options, context); }}};
}

} // namespace holdwarden::cli
