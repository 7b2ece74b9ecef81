#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/forecast_answer.hpp>
#include <holdwarden/cli/lot_judge.hpp>
#include <holdwarden/cli/made_sheet.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/sheet_material.hpp>
#include <holdwarden/cli/signed_lots.hpp>
#include <holdwarden/cli/write_file.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/sheets/build.hpp>
#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/print.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct SheetOptions {
    StoreArguments store;
    std::string lot;
    std::string night;
    std::string from;
    std::string to;
    bool cooling_log = false;
    bool holding_log = false;
    bool summary = false;
    bool checks = false;
    bool actions = false;
    bool open_items = false;
    std::string format;
    std::string output;
    std::string paper;
    std::string code;
    std::string as_of;
    bool force = false;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

enum class Form { text, ascii, html, pdf, csv };

struct FormName {
    Form form;
    std::string_view name;
    std::string_view ending; ///< of a file's name
};
constexpr std::array<FormName, 5> kForms = {{{Form::text, "text", ".txt"},
                                             {Form::ascii, "ascii", ".txt"},
                                             {Form::html, "html", ".html"},
                                             {Form::pdf, "pdf", ".pdf"},
                                             {Form::csv, "csv", ".csv"}}};

/// What --format says, else what the output's name ends in, else text.
const FormName& form_of(const SheetOptions& o) {
    const auto* named =
        std::ranges::find_if(kForms, [&](const FormName& f) { return f.name == o.format; });
    if (!o.format.empty() && named == kForms.end()) {
        throw wrong_usage(fmt::format("--format '{}' is not known", for_display(o.format, 60)),
                          "give text, ascii, html, pdf or csv");
    }
    if (named == kForms.end()) {
        named = std::ranges::find_if(
            kForms, [&](const FormName& f) { return o.output.ends_with(f.ending); });
    }
    return named == kForms.end() ? kForms.front() : *named;
}

sheets::Paper paper_of(const SheetOptions& o, const OpenStore& store) {
    if (o.paper.empty()) {
        // A guess that is right in most kitchens: letter where people think in Fahrenheit.
        return store.site().scale == Scale::fahrenheit ? sheets::Paper::letter : sheets::Paper::a4;
    }
    if (o.paper != "letter" && o.paper != "a4") {
        throw wrong_usage(fmt::format("--paper '{}' is not known", for_display(o.paper, 60)),
                          "give letter or a4");
    }
    return o.paper == "letter" ? sheets::Paper::letter : sheets::Paper::a4;
}

std::string printed(const sheets::Sheet& sheet, Form form, sheets::Paper paper,
                    const Context& context) {
    switch (form) {
    case Form::text:
        return sheets::to_text(sheet);
    case Form::ascii:
        return sheets::to_ascii_text(sheet);
    case Form::html:
        return sheets::to_html(sheet, sheets::load_frame(context.data / "reports"));
    case Form::pdf:
        return sheets::to_pdf({&sheet, 1}, paper);
    case Form::csv:
        return sheets::to_csv(sheet);
    }
    return {};
}

using Made = MadeSheet;

sheets::Made made_by(const OpenStore& store) {
    return {
        .at = store.now(), .by = store.stamp().by, .software = "holdwarden " HOLDWARDEN_VERSION};
}

/// What the site follows at that time, unless --code says otherwise.
codes::Pack pack_for(const SheetOptions& o, const Context& context,
                     const records::SettingsInForce& settings) {
    return load_named_pack(context,
                           !o.code.empty() ? o.code : settings.code.value_or(kDefaultPack));
}

Span interval_of(const records::SettingsInForce& settings) {
    return settings.largest_interval.value_or(judge::Settings{}.largest_interval);
}

LotJudge judge_for(const SheetOptions& o, const OpenStore& store, const Context& context,
                   Instant as_of) {
    LotJudge::Asked asked;
    if (!o.code.empty()) {
        asked.code = o.code;
    }
    return LotJudge{store, context, as_of, std::move(asked)};
}

Made make_lot(const OpenStore& store, const SheetOptions& o, const Context& context) {
    const auto lot = records::lot_named(*store, o.lot);
    const Instant as_of = store.time(o.as_of, "--as-of");
    const auto stages = store->stages(lot.id);
    const Instant begins = stages.empty() ? lot.facts.opened_at : stages.front().from;
    const auto settings = records::settings_at(store->settings(), begins);
    const codes::Pack pack = pack_for(o, context, settings);
    auto record = judge_for(o, store, context, as_of).record(lot.id);
    const Instant ends = record.history.end ? record.history.end->at : as_of;
    const auto site = site_facts(store, pack, interval_of(settings),
                                 life_of({&record, 1}, {.from = begins, .to = ends}), as_of);
    record.forecasts = telling_forecasts(record.history, pack, as_of, site.zone);
    record.bands = forecast_bands(record.history, pack, as_of);
    record.signatures = SignedContent{store, context}.under(lot.id);
    const auto extent = sheets::extent_of(record.history, as_of);
    const auto troubles =
        troubles_between(store, {lot.id}, extent.from, extent.to + Span::milliseconds(1));
    return {sheets::lot_sheet(site, record, troubles, made_by(store)),
            "lot-" + file_name_for(lot.facts.name)};
}

/// The night an option names.
LocalDate night_named(const std::string& text, const char* option) {
    const auto night = parse_date(text);
    if (!night) {
        throw wrong_usage(fmt::format("{} '{}' is not a date", option, for_display(text, 60)),
                          "give the date on which the night begins, such as 2026-10-31");
    }
    return *night;
}

/// --night, or --from and --to.
sheets::Nights nights_of(const SheetOptions& o, const OpenStore& store) {
    sheets::Nights nights{};
    if (!o.night.empty()) {
        nights.first = night_named(o.night, "--night");
        nights.last = nights.first;
    } else {
        nights.first = night_named(o.from, "--from");
        nights.last = night_named(o.to, "--to");
    }
    const std::int64_t length = day_number(nights.last) - day_number(nights.first);
    if (length < 0) {
        throw wrong_usage("--to lies before --from",
                          "give the first and the last night, both included");
    }
    // Lots are judged one by one, and a sheet of years is read by nobody.
    constexpr std::int64_t kMostNights = 400;
    if (length >= kMostNights) {
        throw wrong_usage(fmt::format("{} nights are more than one sheet takes", length + 1),
                          fmt::format("ask for at most {} at once", kMostNights));
    }
    if (sheets::period_of(nights, store.zone()).from > store.now()) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("the night of {} has not begun", to_text(nights.first)),
                     .where = o.night.empty() ? "--from" : "--night",
                     .fix = "a night runs from noon of its date to the next noon"}};
    }
    return nights;
}

Made make_night(const OpenStore& store, const SheetOptions& o, const Context& context) {
    const LocalDate night = nights_of(o, store).first;
    const sheets::Period period = sheets::night_of(night, store.zone());
    // The night is told as it stood at its end, so that its sheet stays the same.
    const Instant as_of =
        o.as_of.empty() ? std::min(store.now(), period.to) : store.time(o.as_of, "--as-of");
    const auto settings = records::settings_at(store->settings(), period.from);
    const codes::Pack pack = pack_for(o, context, settings);
    const auto lots = lots_between(store, period.from, period.to);
    std::vector<sheets::LotRecord> records;
    LotJudge judge = judge_for(o, store, context, as_of);
    SignedContent contents{store, context};
    for (const records::LotId lot : lots) {
        records.push_back(judge.record(lot));
        records.back().forecasts =
            telling_forecasts(records.back().history, pack, as_of, store.zone());
        records.back().bands = forecast_bands(records.back().history, pack, as_of);
        records.back().signatures = contents.under(lot);
    }
    const auto site = site_facts(store, pack, interval_of(settings),
                                 life_of(records, {.from = period.from, .to = as_of}), as_of);
    const auto troubles = troubles_between(store, lots, period.from, period.to);
    return {sheets::night_sheet(site, night, records, troubles, made_by(store),
                                contents.under(period.from, period.to)),
            "night-" + to_text(night)};
}

Made make_log(const OpenStore& store, const SheetOptions& o, const Context& context) {
    const sheets::Nights nights = nights_of(o, store);
    const sheets::Period period = sheets::period_of(nights, store.zone());
    const Instant as_of =
        o.as_of.empty() ? std::min(store.now(), period.to) : store.time(o.as_of, "--as-of");
    const auto settings = records::settings_at(store->settings(), period.from);
    const codes::Pack pack = pack_for(o, context, settings);
    const std::string first = to_text(nights.first);
    const std::string last = to_text(nights.last);
    const std::string span = first == last ? first : first + "-to-" + last;
    if (o.checks) {
        const auto checks = checks_between(store, period.from, std::min(period.to, as_of));
        const auto site = site_facts(store, pack, interval_of(settings),
                                     {.from = period.from, .to = as_of}, as_of);
        return {sheets::check_log(site, nights, checks, made_by(store)),
                "thermometer-checks-" + span};
    }
    std::vector<sheets::LotRecord> records;
    LotJudge judge = judge_for(o, store, context, as_of);
    for (const records::LotId lot : lots_between(store, period.from, period.to)) {
        records.push_back(judge.record(lot));
        records.back().answered = answered_flags(store, lot);
    }
    const auto site = site_facts(store, pack, interval_of(settings),
                                 life_of(records, {.from = period.from, .to = as_of}), as_of);
    if (o.cooling_log) {
        return {sheets::cooling_log(site, nights, records, made_by(store)), "cooling-log-" + span};
    }
    if (o.actions) {
        return {sheets::actions_sheet(site, period, records, made_by(store)), "actions-" + span};
    }
    if (o.holding_log) {
        return {sheets::holding_log(site, nights, records, made_by(store)), "holding-log-" + span};
    }
    return {sheets::period_summary(site, nights, records, made_by(store)), "summary-" + span};
}

std::vector<sheets::CheckWanted> checks_wanted(const OpenStore& store, Instant as_of) {
    using Standing = records::CheckState::Standing;
    std::vector<sheets::CheckWanted> wanted;
    for (const records::CheckState& state : records::check_states(*store, as_of)) {
        const bool failed = state.standing == Standing::failed && state.last;
        const bool due = state.due && *state.due <= as_of;
        if (failed || due) {
            wanted.push_back(
                {.probe = state.name,
                 .due = due ? state.due : std::nullopt,
                 .failed = failed ? std::optional{state.last->facts.at} : std::nullopt});
        }
    }
    return wanted;
}

/// Every flag of the store that is not closed, every thermometer that wants a check, and every
/// record that waits for a review.
Made make_open_items(const OpenStore& store, const SheetOptions& o, const Context& context) {
    const Instant as_of = store.time(o.as_of, "--as-of");
    const auto settings = records::settings_at(store->settings(), as_of);
    const codes::Pack pack = pack_for(o, context, settings);
    // Lots of any age may be open: each variance there ever was is told.
    const auto site = site_facts(store, pack, interval_of(settings),
                                 {.from = Instant::from_unix_ms(INT64_MIN), .to = as_of}, as_of);
    sheets::Period period{.from = as_of, .to = as_of + Span::milliseconds(1)};
    std::vector<sheets::LotRecord> records;
    LotJudge judge = judge_for(o, store, context, as_of);
    for (const auto& lot : store->lots()) {
        period.from = std::min(period.from, lot.facts.opened_at);
        records.push_back(judge.record(lot.id));
    }
    return {sheets::open_items_sheet(site, period, records, checks_wanted(store, as_of),
                                     reviews_due(store, context), made_by(store)),
            "open-items"};
}

bool asks_for_log(const SheetOptions& o) {
    return o.cooling_log || o.holding_log || o.summary || o.checks || o.actions;
}

/// Refuses what does not go together.
void check_asked(const SheetOptions& o) {
    const int kinds = int{o.cooling_log} + int{o.holding_log} + int{o.summary} + int{o.checks} +
                      int{o.actions} + int{o.open_items};
    if (kinds > 1) {
        throw wrong_usage(
            "two kinds of sheet are asked for at once",
            "give one of --cooling-log, --holding-log, --checks, --summary, --actions and "
            "--open-items");
    }
    if (o.open_items) {
        if (!(o.lot + o.night + o.from + o.to).empty()) {
            throw wrong_usage("--open-items covers every lot, whenever it was",
                              "leave the lot and the time out");
        }
        return;
    }
    const bool spans = !o.from.empty() || !o.to.empty();
    if (asks_for_log(o)) {
        if (!o.lot.empty()) {
            throw wrong_usage("a log covers all lots of its time, not one",
                              "leave the lot's name out, or ask for the lot's own sheet");
        }
        if (spans ? !o.night.empty() || o.from.empty() || o.to.empty() : o.night.empty()) {
            throw wrong_usage("a log needs its time",
                              "give --night, or --from and --to, as dates on which nights begin");
        }
        return;
    }
    if (spans) {
        throw wrong_usage(
            "--from and --to are for logs and summaries",
            "add --cooling-log, --holding-log, --checks, --summary or --actions, or give "
            "--night");
    }
    if (o.lot.empty() == o.night.empty()) {
        throw wrong_usage(o.lot.empty() ? "neither a lot nor a night is named"
                                        : "a lot and a night do not go together",
                          "give a lot's name, or --night with the date on which it begins");
    }
}

int run_sheet(const SheetOptions& o, Context& context) {
    check_asked(o);
    const FormName& form = form_of(o);
    if (form.form == Form::pdf && o.output.empty() && context.out_is_terminal) {
        throw wrong_usage("a PDF is nothing to show on a terminal",
                          "give -o FILE, or send it to another program");
    }
    const OpenStore store{o.store, context, store::Access::read};
    const sheets::Paper paper = paper_of(o, store);
    const Made made = o.open_items      ? make_open_items(store, o, context)
                      : asks_for_log(o) ? make_log(store, o, context)
                      : o.night.empty() ? make_lot(store, o, context)
                                        : make_night(store, o, context);
    const std::string page = printed(made.sheet, form.form, paper, context);
    if (o.output.empty()) {
        context.out << page;
        return kDone;
    }
    std::filesystem::path file = o.output;
    std::error_code code;
    const bool folder = std::filesystem::is_directory(file, code);
    if (folder) {
        file /= made.stem + std::string{form.ending};
    }
    write_file(file, page, folder || o.force ? IfThere::replace : IfThere::refuse);
    context.out << "Wrote " << for_display(file.string()) << "\n";
    return kDone;
}

void declare_sheet(SheetOptions& o, Arguments& arguments) {
    arguments.may("lot", o.lot, "Name of the lot");
    arguments.option("--night", o.night,
                     "All lots of the night that begins on this date at noon, as of its end");
    arguments.flag("--cooling-log", o.cooling_log, "The coolings of --night, or of --from to --to");
    arguments.flag("--holding-log", o.holding_log, "What was held, by unit");
    arguments.flag("--checks", o.checks, "The checks of thermometers");
    arguments.flag("--summary", o.summary, "Figures of all lots, each with its count");
    arguments.flag("--actions", o.actions, "The register of deviations and corrective actions");
    arguments.flag("--open-items", o.open_items,
                   "Every flag that is not closed, and every record not reviewed");
    arguments.option("--from", o.from, "First night of a log or summary, by the date it begins on");
    arguments.option("--to", o.to, "Last night, included");
    arguments.option("--format", o.format,
                     "text, ascii, html, pdf or csv (else by the name of --output, else text)");
    arguments.option(
        "-o,--output", o.output,
        "File to write, or a folder: there an older sheet of the same name is replaced");
    arguments.option("--paper", o.paper, "letter or a4, for PDF (else by the site's scale)");
    arguments.flag("--force", o.force, "Replace the file that --output names");
    arguments.option("--code", o.code, "A code pack's id or file (else what the site follows)");
    arguments.option("--as-of", o.as_of, "Judge as things stood then");
    arguments.option("--by", o.store.by, "Who makes the sheet (else HOLDWARDEN_BY)");
    o.store.declare_reading(arguments);
    arguments.example("holdwarden sheet brisket-1");
    arguments.example("holdwarden sheet --night 2026-10-31 -o night.html");
    arguments.example("holdwarden sheet --summary --from 2026-10-01 --to 2026-10-31");
    arguments.example("holdwarden sheet --actions --from 2026-10-01 --to 2026-10-31 "
                      "--format csv");
}

} // namespace

MadeSheet made_lot_sheet(const OpenStore& store, const Context& context, const std::string& lot) {
    SheetOptions o;
    o.lot = lot;
    return make_lot(store, o, context);
}

MadeSheet made_night_sheet(const OpenStore& store, const Context& context,
                           const std::string& night) {
    SheetOptions o;
    o.night = night;
    return make_night(store, o, context);
}

std::vector<Command> sheet_commands() {
    const auto options = std::make_shared<SheetOptions>();
    return {{.name = "sheet",
             .help = "Print the compliance sheet of a lot or a night, a log, or a summary",
             .declare = [options](Arguments& arguments) { declare_sheet(*options, arguments); },
             .run = [options](Context& context) { return run_sheet(*options, context); }}};
}

} // namespace holdwarden::cli
