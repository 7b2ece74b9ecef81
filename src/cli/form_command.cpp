// Blank forms to be filled in by pen when nothing else works, with the limits printed on them.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/printed_page.hpp>
#include <holdwarden/sheets/pen_form.hpp>

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <ostream>

namespace holdwarden::cli {
namespace {

constexpr int kMostRows = 500;

struct FormOptions {
    StoreArguments store;
    PageArguments page;
    std::string what;
    std::string code;
    std::string rows = "18";
    std::string paper;
};

int rows_of(const std::string& text) {
    int rows = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), rows);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size() || rows < 1 ||
        rows > kMostRows) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("'{}' is no number of rows", for_display(text, 60)),
                     .where = "--rows",
                     .fix = fmt::format("give 1 to {}", kMostRows)}};
    }
    return rows;
}

/// What the pack says under these ids, for food of any kind.
std::vector<std::string> limits(const codes::Pack& pack, std::span<const std::string_view> ids) {
    std::vector<std::string> lines;
    for (const std::string_view id : ids) {
        for (const codes::Requirement& requirement : pack.requirements) {
            if (requirement.id == id) {
                const std::string foods =
                    requirement.foods.empty() ? "" : " For: " + foods_in_words(requirement) + ".";
                lines.push_back(requirement.says + foods + " (" + requirement.clause + ")");
            }
        }
    }
    return lines;
}

std::vector<sheets::PenForm::Column> reading_columns(const std::string& degree) {
    return {{"lot", 4},   {"date", 3},  {"time", 2},     {"temperature, " + degree, 3},
            {"point", 2}, {"probe", 2}, {"initials", 2}, {"what was done", 5}};
}

void fill(sheets::PenForm& form, const std::string& what, const codes::Pack& pack,
          const OpenStore& store) {
    const std::string degree = store.site().scale == Scale::fahrenheit ? "°F" : "°C";
    if (what == "cooling") {
        static constexpr std::array<std::string_view, 5> kIds{
            "cooling-start", "cooling-first-window", "cooling-second-window", "cooling-total",
            "cooling-from-ambient"};
        form.title = "Cooling, by pen";
        form.lines = limits(pack, kIds);
        form.columns = reading_columns(degree);
    } else if (what == "holding") {
        static constexpr std::array<std::string_view, 3> kIds{"hot-holding", "hot-holding-roast",
                                                              "cold-holding"};
        const auto settings = store->settings();
        const Span interval =
            records::settings_at(settings, store.now()).largest_interval.value_or(Span::hours(2));
        form.title = "Hot and cold holding, by pen";
        form.lines = limits(pack, kIds);
        form.lines.push_back("Measure the food at least every " + to_text(interval) +
                             ": a longer gap is not shown. The air of a unit is no proof.");
        form.columns = reading_columns(degree);
    } else {
        form.title = "Checks of thermometers, by pen";
        if (pack.thermometer) {
            const auto within = store.site().scale == Scale::fahrenheit
                                    ? pack.thermometer->fahrenheit
                                    : pack.thermometer->celsius;
            std::string size = to_text(within);
            size.erase(0, size.starts_with('+') ? 1 : 0);
            form.lines.push_back("A food thermometer is right within " + size + " (" +
                                 pack.thermometer->clause + ")");
        }
        form.lines.emplace_back(
            "Ice point: crushed ice with clean cold water, stirred; the stem in "
            "the middle, clear of the sides: 32 °F (0 °C).");
        form.lines.emplace_back("Boiling point: depends on how high the kitchen lies; write what "
                                "you took it to be.");
        form.lines.emplace_back(
            "Against another thermometer: write reference (known to be right) or "
            "side-by-side, and its name; under should be what it showed.");
        form.columns = {{"probe", 3},
                        {"date", 3},
                        {"time", 2},
                        {"method", 3},
                        {"should be, " + degree, 3},
                        {"showed, " + degree, 3},
                        {"initials", 2},
                        {"what was done", 5}};
    }
}

int run_form(const FormOptions& o, Context& context) {
    if (o.what != "cooling" && o.what != "holding" && o.what != "check") {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("there is no form '{}'", for_display(o.what, 60)),
                     .where = "",
                     .fix = "give cooling, holding or check"}};
    }
    const PageForm page_form = o.page.form(context);
    const int rows = rows_of(o.rows);
    const OpenStore store{o.store, context, store::Access::read};
    const sheets::Paper paper = paper_word(o.paper, store.site().scale);
    const codes::Pack pack =
        o.code.empty() ? pack_at(store, context, store.now()) : load_named_pack(context, o.code);
    sheets::PenForm form{.site = store.site().name,
                         .fields = {"Filled in by (name in print)", "Checked by, date"},
                         .rows = rows,
                         .made = to_rfc3339(store.now(), store.zone())};
    fill(form, o.what, pack, store);
    form.foot = fmt::format(
        "{}, {} ({}); printed {}. Write what the thermometer showed, when you read it: no ticks. "
        "Local time, {}. Keep this sheet: it is the original. Enter it with: holdwarden transcribe "
        "--form {}. Your local code and your regulator come first.",
        pack.title, pack.edition, pack.id, store.shown(store.now()), store.site().zone, o.what);
    deliver(o.page,
            page_form == PageForm::text   ? sheets::to_text(form)
            : page_form == PageForm::html ? sheets::to_html(form)
                                          : sheets::to_pdf(form, paper),
            context);
    return kDone;
}

} // namespace

std::vector<Command> form_commands() {
    const auto o = std::make_shared<FormOptions>();
    return {{.name = "form",
             .help = "Print a blank form for cooling, holding or checks of thermometers, for a pen",
             .declare =
                 [o](Arguments& a) {
                     a.need("form", o->what, "cooling, holding or check");
                     a.option("--code", o->code,
                              "A code pack's id or file (else what the site follows)");
                     a.option("--rows", o->rows, "How many empty rows");
                     a.option("--paper", o->paper,
                              "letter or a4, for PDF (else by the site's scale)");
                     o->page.declare(a);
                     o->store.declare_reading(a);
                     a.example("holdwarden form cooling --output cooling.pdf");
                 },
             .run = [o](Context& context) { return run_form(*o, context); }}};
}

} // namespace holdwarden::cli
