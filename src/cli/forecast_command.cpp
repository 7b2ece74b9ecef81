#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/forecast_answer.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/pan_arguments.hpp>
#include <holdwarden/cli/plan_limits.hpp>
#include <holdwarden/cli/plan_values.hpp>
#include <holdwarden/cli/stored_lots.hpp>
#include <holdwarden/intake/lots.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>

namespace holdwarden::cli {
namespace {

struct ForecastOptions {
    std::vector<std::string> lots;
    StoreArguments store;
    std::string csv;
    std::string stage;
    std::string lot;
    std::string point;
    std::vector<std::string> air;
    std::string ambient;
    std::string as_of;
    std::vector<std::string> limits;
    std::string code;
    std::string method = "walk-in";
    PanArguments pan;
    std::string format;
    std::string svg;
    CsvArguments mapping;
};

Stage stage_argument(const std::string& text) {
    const auto stage = stage_named(text);
    if (!stage) {
        wrong_value(fmt::format("--stage '{}' is not a stage", for_display(text, 60)),
                    "give cooling, resting or hot-holding");
    }
    return *stage;
}

std::vector<records::LotHistory> lots_of_csv(const ForecastOptions& o, Context& context) {
    if (!o.lots.empty()) {
        wrong_value("--csv forecasts a file, not lots of the store",
                    "name one or the other; --lot names a lot of the file");
    }
    intake::LotsOptions options;
    options.file_name = o.csv;
    if (!o.stage.empty()) {
        options.stage = stage_argument(o.stage);
    }
    options.air = o.air;
    options.lot = o.lot;
    options.unnamed = std::filesystem::path{o.csv}.stem().string();
    return intake::lots_of(
        intake::collect_csv(csv_source(o.csv, context), o.mapping.to_options(o.csv)), options);
}

Instant as_of_argument(const ForecastOptions& o, const std::optional<Zone>& zone) {
    try {
        return parse_instant(o.as_of, zone.value_or(Zone::utc()));
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at("--as-of").text()};
    }
}

/// What the options say beyond lots, pack and present.
void fill(ForecastRequest& request, const ForecastOptions& o) {
    if (!o.ambient.empty()) {
        const heat::Range told = celsius_range({"--ambient", o.ambient, -40, 300});
        request.ambient = heat::Ambient{heat::Celsius{told.middle()},
                                        std::max(1.5, (told.high - told.low) / 2.0)};
    }
    for (const std::string& limit : o.limits) {
        request.limits.push_back(limit_value("--limit", limit));
    }
    request.point = o.point;
    if (o.pan.given()) {
        request.pan = o.pan.to_question();
        request.pan->method = method_argument(o.method);
    }
}

ForecastAnswer answer(std::vector<records::LotHistory> lots, const ForecastRequest& request,
                      const std::optional<Zone>& zone) {
    ForecastAnswer out{.code = request.pack.id, .zone = zone, .lots = {}};
    for (const records::LotHistory& lot : lots) {
        out.lots.push_back(forecast_lot(lot, request));
    }
    return out;
}

ForecastAnswer from_store(const ForecastOptions& o, Context& context) {
    if (!(o.stage + o.lot).empty() || !o.air.empty()) {
        wrong_value("--stage, --lot and --air go with --csv",
                    "leave them out: the store knows what its lots are");
    }
    const OpenStore store{o.store, context, store::Access::read};
    const Instant as_of = store.time(o.as_of, "--as-of");
    StoredLots stored = gather_lots(store, {.names = o.lots}, as_of,
                                    o.code.empty() ? std::nullopt : std::optional{o.code});
    ForecastRequest request{.pack = load_named_pack(context, stored.code)};
    request.as_of = as_of;
    fill(request, o);
    return answer(std::move(stored.lots), request, store.zone());
}

ForecastAnswer from_csv(const ForecastOptions& o, Context& context) {
    const std::optional<Zone> zone =
        o.mapping.zone.empty() ? std::nullopt : std::optional{Zone::named(o.mapping.zone)};
    ForecastRequest request{.pack =
                                load_named_pack(context, o.code.empty() ? kDefaultPack : o.code)};
    if (!o.as_of.empty()) {
        request.as_of = as_of_argument(o, zone);
    }
    fill(request, o);
    return answer(lots_of_csv(o, context), request, zone);
}

/// The first point that has a reading.
void write_first_chart(const ForecastAnswer& answer, const std::string& file) {
    for (const LotForecast& lot : answer.lots) {
        for (const PointForecast& p : lot.points) {
            if (const auto chart = forecast_chart(p, lot.lot, answer.zone)) {
                write_svg(*chart, file);
                return;
            }
        }
    }
    wrong_value("--svg has nothing to draw", "name a lot that is cooling, resting or held");
}

int run(const ForecastOptions& o, Context& context) {
    const bool json = plan_wants_json(o.format);
    const ForecastAnswer said = o.csv.empty() ? from_store(o, context) : from_csv(o, context);
    if (!o.svg.empty()) {
        write_first_chart(said, o.svg);
    }
    (json ? print_forecast_json : print_forecast_text)(context.out, said);
    return kDone;
}

} // namespace

std::vector<Command> forecast_commands() {
    const auto o = std::make_shared<ForecastOptions>();
    return {{.name = "forecast",
             .help = "Estimate from the readings so far when food will pass each limit",
             .declare =
                 [o](Arguments& a) {
                     a.rest("lots", o->lots,
                            "Lots of the store (those that have not ended, if none named)");
                     o->store.declare_reading(a);
                     a.option("--csv", o->csv,
                              "A file of readings instead of the store; - for standard input");
                     a.option("--stage", o->stage,
                              "cooling, resting, hot-holding (if the file has no stage column)");
                     a.option("--lot", o->lot, "Only this lot of the file");
                     a.option("--point", o->point, "Only this probe or point of the food");
                     a.options("--air", o->air, "Probe that reads the air around the food");
                     a.option("--ambient", o->ambient,
                              "Temperature around the food, or a range 36F..41F");
                     a.option("--as-of", o->as_of, "The present; the last reading if not given");
                     a.options("--limit", o->limits, "Temperature to watch for; may be repeated");
                     a.option("--code", o->code,
                              "Code pack whose limits are watched (the site's, else us-fda-2022)");
                     a.option("--method", o->method, "How the pan described is being cooled");
                     o->pan.declare(a);
                     o->mapping.declare(a);
                     a.option("--format", o->format, "text or json");
                     a.option("--svg", o->svg, "Also draw the first point's chart into this file");
                     a.example("holdwarden forecast --csv pan.csv --stage cooling --ambient 38F "
                               "--zone America/Denver --food chili --depth 3in");
                 },
             .run = [o](Context& context) { return run(*o, context); }}};
}

} // namespace holdwarden::cli
