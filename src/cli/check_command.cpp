#include "judge_many.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/check_result.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/forecast_answer.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/stored_lots.hpp>
#include <holdwarden/intake/lots.hpp>
#include <holdwarden/judge/condense.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct CheckOptions {
    StoreArguments store;
    std::vector<std::string> lots;
    bool all = false;
    std::string csv;
    std::vector<std::string> codes;
    std::string stage;
    std::string food;
    std::string lot;
    std::vector<std::string> air;
    std::string as_of;
    std::string max_gap;
    std::string rule;
    std::string tolerance;
    std::string format;
    std::string oven;
    std::string setting;
    std::string mass;
    std::string form;
    std::string made_on;
    bool typed = false;
    bool from_ambient = false;
    CsvArguments mapping;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

template <class Values>
std::string names_of(const Values& values) {
    std::vector<std::string> names;
    for (const auto value : values) {
        names.emplace_back(to_name(value));
    }
    return listed(names);
}

std::optional<Stage> stage_argument(const std::string& text) {
    if (text.empty()) {
        return std::nullopt;
    }
    const auto stage = stage_named(text);
    if (!stage) {
        throw wrong_usage(fmt::format("--stage '{}' is not a stage", for_display(text, 60)),
                          fmt::format("give one of {}", names_of(all_stages())));
    }
    return stage;
}

FoodKind food_argument(const std::string& text) {
    if (text.empty()) {
        return FoodKind::other_tcs;
    }
    const auto food = food_named(text);
    if (!food) {
        throw wrong_usage(fmt::format("--food '{}' is not a food kind", for_display(text, 60)),
                          fmt::format("give one of {}", names_of(all_foods())));
    }
    return *food;
}

bool wants_json(const std::string& format) {
    if (!format.empty() && format != "text" && format != "json") {
        throw wrong_usage(fmt::format("--format '{}' is not known", for_display(format, 60)),
                          "give text or json");
    }
    return format == "json";
}

/// An error about an option's value is an error of usage, with the option's name in front.
template <class Parse>
auto option_value(const char* option, const Parse& parse) {
    try {
        return parse();
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at(option).text()};
    }
}

judge::Settings settings_of(const CheckOptions& o, std::optional<Scale> scale) {
    judge::Settings settings;
    if (o.rule == "guarded") {
        settings.rule = judge::DecisionRule::guarded;
    } else if (!o.rule.empty() && o.rule != "as-read") {
        throw wrong_usage(fmt::format("--rule '{}' is not known", for_display(o.rule, 60)),
                          "give as-read or guarded");
    }
    if (!o.tolerance.empty()) {
        settings.tolerance =
            option_value("--tolerance", [&] { return parse_delta(o.tolerance, scale); });
    } else if (settings.rule == judge::DecisionRule::guarded && !o.csv.empty()) {
        throw wrong_usage("--rule guarded needs the thermometer's accuracy",
                          "give --tolerance, such as --tolerance 1F");
    }
    if (!o.max_gap.empty()) {
        settings.largest_interval =
            option_value("--max-gap", [&] { return parse_span(o.max_gap); });
        if (settings.largest_interval <= Span{}) {
            throw wrong_usage("--max-gap must be longer than nothing", "write it like 30min or 2h");
        }
    }
    return settings;
}

/// The last thing the lots say: a reading, a stage or an end.
Instant last_of(const std::vector<records::LotHistory>& lots) {
    Instant last = Instant::from_unix_ms(INT64_MIN);
    for (const records::LotHistory& lot : lots) {
        const auto see = [&](const std::vector<records::Reading>& readings) {
            if (!readings.empty()) {
                last = std::max(last, readings.back().at);
            }
        };
        for (const auto& point : lot.points) {
            see(point.readings);
        }
        for (const auto& air : lot.air) {
            see(air.readings);
        }
        for (const auto& stage : lot.stages) {
            last = std::max(last, stage.from);
        }
        if (lot.end) {
            last = std::max(last, lot.end->at);
        }
    }
    return last;
}

Instant first_of(const std::vector<records::LotHistory>& lots) {
    Instant first = Instant::from_unix_ms(INT64_MAX);
    for (const records::LotHistory& lot : lots) {
        for (const auto& point : lot.points) {
            first = std::min(first, point.readings.front().at);
        }
    }
    return first;
}

Instant as_of_argument(const CheckOptions& o, const std::optional<Zone>& zone,
                       const std::vector<records::LotHistory>& lots) {
    if (o.as_of.empty()) {
        return last_of(lots);
    }
    const Instant as_of = option_value("--as-of", [&] {
        if (!zone && parse_wall(trimmed(o.as_of))) {
            throw Error{ErrorKind::usage,
                        {.what = fmt::format("'{}' is a local time and no zone "
                                             "is named",
                                             for_display(o.as_of, 60)),
                         .where = "",
                         .fix = "give --zone, or write the time with its "
                                "offset"}};
        }
        return parse_instant(o.as_of, zone ? *zone : Zone::utc());
    });
    if (as_of < first_of(lots)) {
        throw wrong_usage(
            fmt::format("--as-of '{}' is before the first reading", for_display(o.as_of, 60)),
            "give a later time");
    }
    return as_of;
}

void check_usable(const intake::Collected& collected, const std::string& file) {
    const bool any = std::ranges::any_of(collected.lots, [](const intake::CollectedLot& lot) {
        return std::ranges::any_of(
            lot.series, [](const intake::CollectedSeries& s) { return !s.readings.empty(); });
    });
    if (any) {
        return;
    }
    const intake::Summary& s = collected.summary;
    std::string what = s.rows == 0 ? "there are no rows behind the header line"
                                   : fmt::format("none of its {} rows holds a reading that can be "
                                                 "used",
                                                 s.rows);
    if (!collected.rejects.empty()) {
        what += fmt::format("; line {}: {}", collected.rejects.front().line,
                            collected.rejects.front().reason);
    }
    throw Error{ErrorKind::bad_input,
                {.what = std::move(what),
                 .where = for_display(file),
                 .fix = "see docs/csv.md for the form of the file"}};
}

/// A probe called "air" that nobody declared as air is judged as food, and may fill its gaps.
std::vector<std::string> notes_on_air(const std::vector<records::LotHistory>& lots) {
    std::vector<std::string> notes;
    for (const records::LotHistory& lot : lots) {
        for (const records::PointSeries& point : lot.points) {
            if (!point.point.starts_with("air") && !point.point.starts_with("ambient")) {
                continue;
            }
            const std::string name = for_display(point.point, 60);
            std::string note = fmt::format("probe '{}' is taken to be in the food; if it reads the "
                                           "air, give --air {}",
                                           name, name);
            if (std::ranges::find(notes, note) == notes.end()) {
                notes.push_back(std::move(note));
            }
        }
    }
    return notes;
}

/// "night" for "logs/night.csv": names a lot that nothing else names.
std::string stem_of(const std::string& file) {
    const std::string stem = std::filesystem::path{file}.stem().string();
    return file == "-" || stem.empty() ? "lot" : stem;
}

/// The options that tell of a file what a store would know.
std::vector<std::string> given_for_a_file(const CheckOptions& o) {
    std::vector<std::string> names;
    const auto see = [&](bool given, const char* name) {
        if (given) {
            names.emplace_back(name);
        }
    };
    see(!o.stage.empty(), "--stage");
    see(!o.food.empty(), "--food");
    see(!o.lot.empty(), "--lot");
    see(!o.air.empty(), "--air");
    see(!o.oven.empty(), "--oven");
    see(!o.setting.empty(), "--setting");
    see(!o.mass.empty(), "--mass");
    see(!o.form.empty(), "--form");
    see(!o.made_on.empty(), "--made-on");
    see(o.typed, "--typed");
    see(o.from_ambient, "--from-ambient");
    std::ranges::move(o.mapping.given(), std::back_inserter(names));
    return names;
}

/// What the options say of the food and the oven, put into each lot of the file.
void tell_lots(const CheckOptions& o, std::optional<Scale> scale,
               std::vector<records::LotHistory>& lots) {
    std::optional<OvenKind> oven;
    std::optional<Temperature> setting;
    if (!o.oven.empty()) {
        oven = oven_word(o.oven, "--oven");
    }
    if (!o.setting.empty()) {
        setting = option_value("--setting", [&] { return parse_temperature(o.setting, scale); });
    }
    const bool six_hours = o.form == "6h";
    if (!o.form.empty() && o.form != "4h" && !six_hours) {
        throw wrong_usage(fmt::format("--form '{}' is not known", for_display(o.form, 60)),
                          "give 4h or 6h");
    }
    std::optional<LocalDate> made_on;
    if (!o.made_on.empty()) {
        made_on = parse_date(o.made_on);
        if (!made_on) {
            throw wrong_usage(
                fmt::format("--made-on '{}' is not a date", for_display(o.made_on, 60)),
                "write it like 2026-10-31");
        }
    }
    std::optional<std::int64_t> mass_g;
    if (!o.mass.empty()) {
        mass_g = option_value("--mass", [&] { return records::parse_mass(o.mass); }).grams;
    }
    bool cooked = false;
    bool by_time = false;
    for (records::LotHistory& lot : lots) {
        lot.raw_mass_g = mass_g;
        lot.made_on = made_on;
        for (records::StageEntry& stage : lot.stages) {
            if (stage.stage == Stage::cooking || stage.stage == Stage::reheating) {
                stage.oven = oven;
                stage.setting = setting;
                cooked = true;
            }
            if (stage.stage == Stage::time_control && six_hours) {
                stage.form = records::TimeControlForm::six_hours;
            }
            by_time = by_time || stage.stage == Stage::time_control;
        }
    }
    if ((oven || setting) && !cooked) {
        throw wrong_usage(
            "--oven and --setting go with cooking or reheating, and the file has none",
            "leave them out");
    }
    if (!o.form.empty() && !by_time) {
        throw wrong_usage("--form goes with time-control, and the file has none", "leave it out");
    }
}

/// The packs to judge by; an id twice is a slip.
std::vector<std::string> codes_argument(const CheckOptions& o) {
    for (std::size_t i = 0; i < o.codes.size(); ++i) {
        if (std::find(o.codes.begin(), o.codes.begin() + static_cast<std::ptrdiff_t>(i),
                      o.codes[i]) != o.codes.begin() + static_cast<std::ptrdiff_t>(i)) {
            throw wrong_usage(fmt::format("--code {} is given twice", for_display(o.codes[i], 60)),
                              "name each code once");
        }
    }
    return o.codes;
}

/// One record under several codes: their verdicts side by side, and the worst as exit status.
int answer(const std::vector<CheckResult>& results, bool json, Context& context) {
    (json ? print_checks_json : print_checks_text)(context.out, results);
    judge::Verdict all = judge::Verdict::ended;
    for (const CheckResult& result : results) {
        all = judge::worse(all, worst(result));
    }
    return exit_status(all);
}

int answer(const CheckResult& result, bool json, Context& context) {
    (json ? print_check_json : print_check_text)(context.out, result);
    if (!json) {
        print_check_forecasts(context.out, result);
    }
    return exit_status(worst(result));
}

/// Lots of the store: their stages, food kinds and placements are on record there.
int check_store(const CheckOptions& o, Context& context) {
    const bool json = wants_json(o.format);
    if (const auto given = given_for_a_file(o); !given.empty()) {
        throw wrong_usage(
            fmt::format("{} {} with --csv", listed(given), given.size() == 1 ? "goes" : "go"),
            "leave out what belongs to a file: the store knows what its lots are");
    }
    const OpenStore store{o.store, context, store::Access::read};
    judge::Settings settings = settings_of(o, store.site().scale);
    settings.zone = store.zone();
    settings.as_of = store.time(o.as_of, "--as-of");
    LotJudge::Asked asked{.rule = settings.rule, .tolerance = settings.tolerance};
    if (!o.max_gap.empty()) {
        asked.largest_interval = settings.largest_interval;
    }
    const std::vector<records::LotId> lots = chosen_lots(store, {.names = o.lots, .all = o.all});
    const std::vector<std::string> codes = codes_argument(o);
    std::vector<CheckResult> results;
    for (std::size_t i = 0; i < std::max<std::size_t>(codes.size(), 1); ++i) {
        if (!codes.empty()) {
            asked.code = codes[i];
        }
        JudgedLots judged = judge_many(store, o.store, context, settings.as_of, asked, lots);
        CheckResult result{.packs = std::move(judged.packs),
                           .settings = settings,
                           .zone_named = true,
                           .lots = {},
                           .file = std::nullopt};
        for (LotJudge::Brief& lot : judged.lots) {
            result.lots.push_back({std::move(lot.history), std::move(lot.judged)});
        }
        results.push_back(std::move(result));
    }
    return results.size() == 1 ? answer(results.front(), json, context)
                               : answer(results, json, context);
}

/// Whether a long file may be judged without all of its readings in memory: it is one stage from
/// its first reading to its last, can be read again if it turns out that it may not, and nothing is
/// forecast of it: a forecast looks at the readings themselves.
bool may_condense(const CheckOptions& o, const intake::LotsOptions& options, bool forecasts) {
    return !forecasts && o.csv != "-" && o.as_of.empty() && !o.typed && options.stage.has_value() &&
           judge::condenses(*options.stage);
}

struct Gathered {
    std::vector<records::LotHistory> lots;
    CheckedFile file;
    Instant as_of;
};

/// The lots of a file, told what the options say of them. nullopt: with this keeper they cannot be
/// judged as the whole file would be.
std::optional<Gathered> gather_file(const CheckOptions& o, const intake::CsvOptions& csv,
                                    const intake::LotsOptions& options, judge::Settings settings,
                                    const intake::Source& source,
                                    const records::KeeperMaker& keeper) {
    intake::Collected collected = intake::collect_csv(source, csv, keeper);
    if (collected.late) {
        return std::nullopt;
    }
    check_usable(collected, o.csv);
    Gathered gathered{
        {}, {o.csv, std::move(collected.summary), std::move(collected.rejects)}, settings.as_of};
    collected.summary = gathered.file.summary;
    gathered.lots = intake::lots_of(std::move(collected), options);
    tell_lots(o, csv.scale, gathered.lots);
    std::ranges::copy(notes_on_air(gathered.lots), std::back_inserter(gathered.file.summary.notes));
    gathered.as_of = as_of_argument(o, csv.zone, gathered.lots);
    settings.as_of = gathered.as_of;
    for (records::LotHistory& lot : gathered.lots) {
        judge::mark_suspects(lot);
        if (keeper && !judge::links_hold(lot, settings)) {
            return std::nullopt;
        }
    }
    return gathered;
}

int run_check(const CheckOptions& o, Context& context) {
    if (o.csv.empty()) {
        return check_store(o, context);
    }
    if (!o.lots.empty() || o.all) {
        throw wrong_usage("--csv judges a file, not lots of the store",
                          "name one or the other; --lot names a lot of the file");
    }
    const bool json = wants_json(o.format);
    const intake::CsvOptions csv = o.mapping.to_options(o.csv);
    judge::Settings settings = settings_of(o, csv.scale);
    const intake::LotsOptions lots_options{
        .file_name = for_display(o.csv),
        .stage = stage_argument(o.stage),
        .food = food_argument(o.food),
        .made_from_ambient = o.from_ambient,
        .air = o.air,
        .lot = o.lot,
        .unnamed = stem_of(o.csv),
        .origin = o.typed ? records::Origin::typed : records::Origin::logged,
    };
    std::vector<std::string> codes = codes_argument(o);
    if (codes.empty()) {
        codes.emplace_back(kDefaultPack);
    }
    std::vector<codes::Pack> packs;
    for (const std::string& code : codes) {
        packs.push_back(load_named_pack(context, code));
    }

    settings.zone = csv.zone ? *csv.zone : Zone::utc();
    const auto gather = [&](const records::KeeperMaker& keeper) {
        return gather_file(o, csv, lots_options, settings, csv_source(o.csv, context), keeper);
    };
    std::optional<Gathered> gathered;
    const bool forecasts = !json && packs.size() == 1; // as `answer` prints them
    if (may_condense(o, lots_options, forecasts)) {
        judge::Condensing how{settings};
        for (const codes::Pack& pack : packs) {
            how.add(pack, lots_options.food);
        }
        gathered = gather([&] {
            auto keeper =
                std::make_unique<judge::Condenser>(how, judge::cooks_of(lots_options.food));
            keeper->begin(*lots_options.stage);
            return keeper;
        });
    }
    if (!gathered) {
        gathered = gather({});
    }
    const std::vector<records::LotHistory>& lots = gathered->lots;
    const CheckedFile& file = gathered->file;
    settings.as_of = gathered->as_of;

    std::vector<CheckResult> results;
    for (codes::Pack& pack : packs) {
        results.push_back(check_lots(lots, std::move(pack), settings));
        results.back().zone_named = csv.zone.has_value();
        results.back().file = file;
    }
    return results.size() == 1 ? answer(results.front(), json, context)
                               : answer(results, json, context);
}

void declare_check(CheckOptions& o, Arguments& arguments) {
    arguments.rest("lots", o.lots, "Lots of the store (those that have not ended, if none named)");
    arguments.flag("--all", o.all, "All lots of the store");
    o.store.declare_reading(arguments);
    arguments.option("--csv", o.csv, "A file to judge without any store, or - for standard input");
    arguments.options("--code", o.codes,
                      "A code pack's id or file (the site's, else us-fda-2022); repeatable: one "
                      "record under several, side by side");
    arguments.option("--stage", o.stage, "What is done to the food, where no stage column says so");
    arguments.option("--food", o.food, "The food kind (other-tcs if not given)");
    arguments.option("--lot", o.lot, "The lot's name; in a file of several, the one to judge");
    arguments.options("--air", o.air, "A probe that reads a unit's air, not food; repeatable");
    arguments.option("--oven", o.oven,
                     "How the file's oven heated: still-dry, convection or high-humidity");
    arguments.option("--setting", o.setting, "What the file's oven was set to, such as 250F");
    arguments.option("--mass", o.mass, "Raw mass of the file's food, such as 12lb or 5.4kg");
    arguments.option("--form", o.form, "4h or 6h: which form of time control the file claims");
    arguments.option("--made-on", o.made_on, "Day 1 of date marking, such as 2026-10-31");
    arguments.option("--as-of", o.as_of,
                     "Judge as things stood then (now; of a file, its last reading)");
    arguments.option("--max-gap", o.max_gap,
                     "The largest interval between readings of a hold (the site's, "
                     "else 2h)");
    arguments.option("--rule", o.rule, "as-read, or guarded by the thermometer's accuracy");
    arguments.option("--tolerance", o.tolerance, "The thermometer's accuracy, such as 1F");
    arguments.flag("--typed", o.typed, "A person took the readings with a hand probe");
    arguments.flag("--from-ambient", o.from_ambient,
                   "The food was made from room-temperature ingredients");
    arguments.option("--format", o.format, "text or json");
    o.mapping.declare(arguments);
    arguments.example("holdwarden check brisket-1");
    arguments.example("holdwarden check --csv docs/demo/hold.csv --stage hot-holding "
                      "--zone America/Denver");
    arguments.example("holdwarden check --csv docs/demo/hold.csv --stage hot-holding "
                      "--zone America/Denver --code us-fda-2022 --code uk-england");
}

} // namespace

std::vector<Command> check_commands() {
    const auto options = std::make_shared<CheckOptions>();
    return {{.name = "check",
             .help = "Judge readings by a food code: what is met, what is not, what to do",
             .declare = [options](Arguments& arguments) { declare_check(*options, arguments); },
             .run = [options](Context& context) { return run_check(*options, context); }}};
}

} // namespace holdwarden::cli
