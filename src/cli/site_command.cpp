#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/store_use.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

struct SiteOptions {
    StoreArguments store;
    std::string code;
    std::string max_gap;
    std::string since;
    std::string why;
    std::string format;
};

Span max_gap_argument(const std::string& text) {
    try {
        const Span span = parse_span(text);
        if (span > Span{}) {
            return span;
        }
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at("--max-gap").text()};
    }
    throw Error{ErrorKind::usage,
                {.what = "--max-gap must be longer than nothing",
                 .where = "",
                 .fix = "write it like 30min or 2h"}};
}

int change(const SiteOptions& o, Context& context) {
    const OpenStore store{o.store, context, store::Access::write};
    if (trimmed(store.stamp().by).empty() || trimmed(o.why).empty()) {
        throw Error{ErrorKind::bad_input,
                    {.what = "a change of what the site follows needs somebody who decides it and "
                             "a reason",
                     .where = "",
                     .fix = "give --by and --why"}};
    }
    records::SiteSetting setting{.from = store.time(o.since, "--since"),
                                 .code = {},
                                 .largest_interval = {},
                                 .why = o.why,
                                 .by = {}};
    std::string what;
    if (!o.code.empty()) {
        const codes::Pack pack = load_named_pack(context, o.code);
        setting.code = adoption_of(pack, o.code);
        what = fmt::format("judged by {} {} ({})", pack.title, pack.edition, *setting.code);
    }
    if (!o.max_gap.empty()) {
        setting.largest_interval = max_gap_argument(o.max_gap);
        what += fmt::format("{}a reading of a hold at least every {}", what.empty() ? "" : "; ",
                            to_text(*setting.largest_interval));
    }
    store->set(setting, store.stamp());
    context.out << "From " << store.shown(setting.from) << ": " << what
                << store.entered(store.now()) << ".\n"
                << "Stages that began before that are judged by what held then.\n";
    return kDone;
}

/// `first`: the store was made with it.
Json json_of(const OpenStore& store, const records::SiteSetting& setting, bool first) {
    return {{"since", to_rfc3339(setting.from, store.zone())},
            {"from_the_beginning", first},
            {"code", setting.code ? Json(*setting.code) : Json{}},
            {"largest_interval_s",
             setting.largest_interval ? Json(setting.largest_interval->in_seconds()) : Json{}},
            {"by", setting.by},
            {"why", setting.why}};
}

int show(const SiteOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const records::Site& site = store.site();
    const std::vector<AdoptedRules> adopted = adopted_rules(*store);
    const AdoptedRules& now = rules_at(adopted, store.now());
    Json settings = Json::array();
    std::vector<std::vector<std::string>> rows{
        {"since", "code pack", "largest interval", "set by", "why"}};
    for (const records::SiteSetting& setting : store->settings()) {
        const bool first = rows.size() == 1;
        settings.push_back(json_of(store, setting, first));
        rows.push_back({first ? "the beginning" : store.shown(setting.from),
                        setting.code.value_or("as before"),
                        setting.largest_interval ? to_text(*setting.largest_interval) : "as before",
                        setting.by.empty() ? "not said" : setting.by,
                        setting.why.empty() ? "not said" : setting.why});
    }
    if (json) {
        const Json answer{
            {"format", "holdwarden-site/1"},
            {"site", site.name},
            {"zone", site.zone},
            {"altitude", site.altitude ? Json(records::to_text(*site.altitude)) : Json{}},
            {"scale", std::string{letter(site.scale)}},
            {"code", now.code},
            {"largest_interval_s", now.largest_interval.in_seconds()},
            {"house_limits", now.house.size()},
            {"settings", std::move(settings)}};
        context.out << answer.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
        return kDone;
    }
    context.out << site.name << ", " << site.zone;
    if (site.altitude) {
        context.out << ", " << records::to_text(*site.altitude);
    }
    context.out << ". A bare number means " << sign(site.scale) << ".\n"
                << "Now judged by " << now.code << "; a reading of a hold at least every "
                << to_text(now.largest_interval) << "; house limits: " << now.house.size()
                << (now.house.empty() ? "" : " (see house list)") << ".\n\n"
                << table(rows);
    return kDone;
}

int run_site(const SiteOptions& o, Context& context) {
    const bool changes = !o.code.empty() || !o.max_gap.empty();
    if (!changes && !(o.since + o.why).empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "--since and --why say nothing of what is to change",
                     .where = "",
                     .fix = "give --code or --max-gap too"}};
    }
    if (changes && !o.format.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "--format goes with showing the site, not with changing it",
                     .where = "",
                     .fix = "leave it out, and show the site afterwards"}};
    }
    return changes ? change(o, context) : show(o, context);
}

} // namespace

std::vector<Command> site_commands() {
    const auto options = std::make_shared<SiteOptions>();
    return {{.name = "site",
             .help = "Show what the kitchen follows and since when, or change it",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.option("--code", options->code, "Follow this code pack");
                     arguments.option("--max-gap", options->max_gap,
                                      "The largest interval between readings of a hold");
                     arguments.option("--since", options->since,
                                      "From when the change holds (now)");
                     arguments.option("--why", options->why, "Why it changes");
                     arguments.option("--format", options->format, "text or json");
                     options->store.declare_writing(arguments);
                     arguments.example("holdwarden site");
                     arguments.example("holdwarden site --code us-fda-2022 --since '2026-11-01 "
                                       "00:00' --why 'the county adopted it' --by RK");
                 },
             .run = [options](Context& context) { return run_site(*options, context); }}};
}

} // namespace holdwarden::cli
