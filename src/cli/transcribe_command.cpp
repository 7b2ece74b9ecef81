// A form that was filled in by pen, entered row by row afterwards.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/day_use.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/seal/digest.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <fstream>
#include <istream>
#include <map>
#include <ostream>
#include <span>
#include <sstream>

namespace holdwarden::cli {
namespace {

struct TranscribeOptions {
    StoreArguments store;
    std::string file;
    std::string form;
    std::string written_by;
    std::string kept;
};

struct ListOptions {
    StoreArguments store;
    std::string format;
};

/// One row as it stands on the paper.
struct PaperRow {
    std::string lot{};
    std::string date{};
    std::string time{};
    std::string temperature{};
    std::string point{};
    std::string probe{};
    std::string initials{};
    std::string method{};    ///< of a check
    std::string should_be{}; ///< of a check; empty: as the method says
    std::string done{};
    std::string where{}; ///< "rows.csv:3", for messages
};

using Column = std::pair<std::string_view, std::string PaperRow::*>;

/// The columns of a row, those of the printed form, with where each goes.
constexpr std::array<Column, 7> kReadingColumns{{{"lot", &PaperRow::lot},
                                                 {"date", &PaperRow::date},
                                                 {"time", &PaperRow::time},
                                                 {"temperature", &PaperRow::temperature},
                                                 {"point", &PaperRow::point},
                                                 {"probe", &PaperRow::probe},
                                                 {"initials", &PaperRow::initials}}};
constexpr std::array<Column, 8> kCheckColumns{{{"probe", &PaperRow::probe},
                                               {"date", &PaperRow::date},
                                               {"time", &PaperRow::time},
                                               {"method", &PaperRow::method},
                                               {"should be", &PaperRow::should_be},
                                               {"showed", &PaperRow::temperature},
                                               {"initials", &PaperRow::initials},
                                               {"what was done", &PaperRow::done}}};

/// A form as it is entered.
struct Form {
    std::span<const Column> columns;
    std::array<const char*, 3> needed;
    const char* heading;
};
constexpr Form kReadings{kReadingColumns,
                         {"lot", "time", "temperature"},
                         "lot, date, time, temperature, point, probe, initials"};
constexpr Form kChecks{kCheckColumns,
                       {"probe", "time", "showed"},
                       "probe, date, time, method, should be, showed, initials, what was done"};

std::string words_of(const PaperRow& row, const Form& form) {
    std::string words;
    for (const auto& [name, member] : form.columns) {
        words += (words.empty() ? "" : " | ") + row.*member;
    }
    return words;
}

Error bad_row(const std::string& where, std::string what, std::string fix) {
    return Error{ErrorKind::bad_input,
                 {.what = std::move(what), .where = where, .fix = std::move(fix)}};
}

/// The cells of a line, double quotes as RFC 4180, 2.5 to 2.7, has them (no line ends in cells).
std::vector<std::string> cells_of(const std::string& line, const std::string& where) {
    std::vector<std::string> cells{""};
    bool quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (c == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"') {
            cells.back() += '"';
            ++i;
        } else if (c == '"') {
            quoted = !quoted;
        } else if (c == ',' && !quoted) {
            cells.emplace_back();
        } else {
            cells.back() += c;
        }
    }
    if (quoted) {
        throw bad_row(where, "a quotation mark is not closed", "close it");
    }
    for (std::string& cell : cells) {
        cell = std::string{trimmed(cell)};
    }
    return cells;
}

std::string heading_of(std::string name) {
    // "temperature, °F": the printed heading has the scale behind it.
    name = name.substr(0, name.find(','));
    return std::string{trimmed(name)};
}

std::vector<PaperRow> rows_of_csv(std::istream& in, const std::string& name, const Form& form) {
    std::vector<PaperRow> rows;
    std::vector<std::string> headings;
    std::string line;
    PaperRow last;
    for (int number = 1; std::getline(in, line); ++number) {
        const std::string where = fmt::format("{}:{}", name, number);
        if (number == 1 && line.starts_with("\xEF\xBB\xBF")) {
            line.erase(0, 3);
        }
        if (trimmed(line).empty()) {
            continue;
        }
        const auto cells = cells_of(line, where);
        if (headings.empty()) {
            std::transform(cells.begin(), cells.end(), std::back_inserter(headings), heading_of);
            for (const char* needed : form.needed) {
                if (std::count(headings.begin(), headings.end(), needed) != 1) {
                    throw bad_row(where, fmt::format("there is no column '{}', or two", needed),
                                  std::string{"head the columns as the printed form does: "} +
                                      form.heading);
                }
            }
            continue;
        }
        if (cells.size() > headings.size()) {
            throw bad_row(where, "the row has more cells than the heading",
                          "put a cell with a comma into double quotes");
        }
        PaperRow row{.where = where};
        for (std::size_t i = 0; i < cells.size(); ++i) {
            for (const auto& [column, member] : form.columns) {
                if (headings[i] == column) {
                    row.*member = cells[i];
                }
            }
        }
        // As people write: the lot and the date once, then nothing until they change.
        row.lot = row.lot.empty() ? last.lot : row.lot;
        if (form.columns.data() == kChecks.columns.data()) {
            row.probe = row.probe.empty() ? last.probe : row.probe;
        }
        row.date = row.date.empty() ? last.date : row.date;
        last = row;
        rows.push_back(row);
    }
    return rows;
}

/// The row as a reading. Throws Error that names the row.
records::TranscribedRow transcribed(const PaperRow& row, int number, const OpenStore& store) {
    try {
        if (row.lot.empty()) {
            throw bad_row(row.where, "the row names no lot", "write the lot's name");
        }
        if (row.temperature.empty() || row.time.empty()) {
            throw bad_row(row.where, "the row has no time or no temperature",
                          "a row without a reading is left out");
        }
        const std::string at = row.date.empty() ? row.time : row.date + " " + row.time;
        records::TypedReading reading{
            .target = records::LotPoint{.lot = records::lot_named(*store, row.lot).id,
                                        .point = row.point.empty() ? records::kCore : row.point},
            .at = store.time(at, "time"),
            .value = store.temperature(row.temperature, "temperature"),
            .probe = {}};
        if (!row.probe.empty()) {
            reading.probe = records::probe_named(*store, row.probe).id;
        }
        records::check_plausible(reading.value);
        records::check_not_future("the reading", reading.at, store.now(), store.zone());
        return {.row = number,
                .record = std::move(reading),
                .written_by = row.initials,
                .words = words_of(row, kReadings)};
    } catch (const Error& error) {
        throw error.text().where == row.where ? error : error.at(row.where);
    }
}

/// "ice", "boiling water", "reference T-9": how it was checked, and against what.
std::pair<records::CheckMethod, std::string> method_of(const PaperRow& row) {
    using records::CheckMethod;
    static constexpr std::array<std::pair<std::string_view, CheckMethod>, 4> kBegins{
        {{"ice", CheckMethod::ice_point},
         {"boil", CheckMethod::boiling_point},
         {"reference", CheckMethod::reference},
         {"side", CheckMethod::side_by_side}}};
    std::string lower = row.method;
    std::ranges::transform(lower, lower.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    for (const auto& [begin, method] : kBegins) {
        if (lower.starts_with(begin)) {
            const auto blank = row.method.find(' ');
            const bool named =
                method == CheckMethod::reference || method == CheckMethod::side_by_side;
            return {method, named && blank != std::string::npos
                                ? std::string{trimmed(row.method.substr(blank))}
                                : std::string{}};
        }
    }
    throw bad_row(row.where,
                  "'" + for_display(row.method, 60) + "' is no way to check a thermometer",
                  "write ice, boiling, or `reference NAME` or `side-by-side NAME` with the other "
                  "thermometer's name");
}

Temperature should_be(const PaperRow& row, const records::ProbeCheck& check,
                      const OpenStore& store) {
    const Scale scale = check.found.scale();
    if (!row.should_be.empty()) {
        return store.temperature(row.should_be, "should be");
    }
    if (check.method == records::CheckMethod::ice_point) {
        return records::ice_point(scale);
    }
    if (check.method == records::CheckMethod::boiling_point) {
        return records::expected_boiling(std::nullopt, check.altitude, scale);
    }
    throw bad_row(row.where, "what the other thermometer showed is not there",
                  "write it under `should be`");
}

/// The row as a check. Throws Error that names the row.
records::TranscribedRow transcribed_check(const PaperRow& row, int number, const OpenStore& store,
                                          const std::string& writer) {
    try {
        if (row.probe.empty() || row.time.empty() || row.temperature.empty()) {
            throw bad_row(row.where, "the row has no thermometer, no time or nothing it showed",
                          "a row without a check is left out");
        }
        const auto [method, other] = method_of(row);
        const Temperature found = store.temperature(row.temperature, "showed");
        records::ProbeCheck check{
            .probe = records::probe_named(*store, row.probe).id,
            .at = store.time(row.date.empty() ? row.time : row.date + " " + row.time, "time"),
            .method = method,
            .found = found,
            .reference = other,
            .tolerance = records::usual_tolerance(found.scale()),
            .person = row.initials.empty() ? writer : row.initials,
            .note = row.done};
        if (method == records::CheckMethod::boiling_point) {
            check.altitude = store.site().altitude;
        }
        check.expected = should_be(row, check, store);
        records::check_probe_check(check);
        records::check_not_future("the check", check.at, store.now(), store.zone());
        return {.row = number,
                .record = std::move(check),
                .written_by = row.initials,
                .words = words_of(row, kChecks)};
    } catch (const Error& error) {
        throw error.text().where == row.where ? error : error.at(row.where);
    }
}

std::string shown(const records::TranscribedRow& row, const OpenStore& store) {
    if (const auto* check = std::get_if<records::ProbeCheck>(&row.record)) {
        std::string name;
        for (const auto& probe : store->probes()) {
            name = probe.id == check->probe ? probe.facts.name : name;
        }
        std::string tolerance = to_text(check->tolerance);
        tolerance.erase(0, tolerance.front() == '+' ? 1 : 0);
        return name + ", " + std::string{to_name(check->method)} + ": " + to_text(check->found) +
               " where " + to_text(check->expected) + " was true, " +
               (records::passed(*check) ? "within" : "not within") + " " + tolerance + ", at " +
               store.shown(check->at);
    }
    const auto& reading = std::get<records::TypedReading>(row.record);
    return cli::shown(*store, reading.target) + ": " + to_text(reading.value) + " at " +
           store.shown(reading.at);
}

/// A line typed at a question; nullopt: no more.
std::optional<std::string> asked(const std::string& question, Context& context) {
    context.err << question << ": " << std::flush;
    std::string line;
    if (!std::getline(context.in, line)) {
        return std::nullopt;
    }
    return std::string{trimmed(line)};
}

/// Row after row from the keyboard, until a row without a time. The usual answer is one key.
std::vector<records::TranscribedRow> ask_rows(const OpenStore& store, const std::string& writer,
                                              bool checks, Context& context) {
    context.err << "Row by row from the paper. Enter keeps what stands in [ ]; an empty time "
                   "ends.\n";
    std::vector<records::TranscribedRow> rows;
    PaperRow last{.initials = writer};
    while (true) {
        PaperRow row{.where = fmt::format("row {}", rows.size() + 1)};
        const auto ask = [&](const char* what, std::string PaperRow::*member, bool keep) {
            const std::string usual = keep ? last.*member : "";
            const auto answer =
                asked(fmt::format("{}, {}{}", row.where, what,
                                  usual.empty() ? "" : " [" + for_display(usual, 60) + "]"),
                      context);
            row.*member = answer && !answer->empty() ? *answer : usual;
            return answer.has_value();
        };
        if (!(checks ? ask("thermometer", &PaperRow::probe, true)
                     : ask("lot", &PaperRow::lot, true)) ||
            !ask("date", &PaperRow::date, true) || !ask("time", &PaperRow::time, false) ||
            row.time.empty()) {
            return rows;
        }
        if ((checks && (!ask("method", &PaperRow::method, true) ||
                        !ask("should be", &PaperRow::should_be, false))) ||
            !ask(checks ? "showed" : "temperature", &PaperRow::temperature, false) ||
            !ask("initials", &PaperRow::initials, true) ||
            (checks && !ask("what was done", &PaperRow::done, false))) {
            throw bad_row(row.where, "the answers ended in the middle of a row",
                          "nothing was entered; begin again");
        }
        try {
            const int number = static_cast<int>(rows.size()) + 1;
            rows.push_back(checks ? transcribed_check(row, number, store, writer)
                                  : transcribed(row, number, store));
            context.err << "  " << shown(rows.back(), store) << "\n";
        } catch (const Error& error) {
            context.err << "  " << error.what() << "\n  The row was not taken; write it again.\n";
        }
        last.lot = row.lot;
        last.probe = row.probe;
        last.method = row.method;
        last.date = row.date;
        last.initials = row.initials;
    }
}

std::vector<records::TranscribedRow> gather(const TranscribeOptions& o, const OpenStore& store,
                                            Context& context) {
    const bool checks = o.form == "check";
    const Form& form = checks ? kChecks : kReadings;
    if (o.file.empty()) {
        return ask_rows(store, o.written_by, checks, context);
    }
    std::vector<PaperRow> paper;
    if (o.file == "-") {
        paper = rows_of_csv(context.in, "standard input", form);
    } else {
        std::ifstream in{o.file, std::ios::binary};
        std::error_code code;
        if (!in || std::filesystem::is_directory(o.file, code)) {
            throw Error{ErrorKind::bad_input,
                        {.what = "the file cannot be read",
                         .where = for_display(o.file),
                         .fix = "name a CSV file that you may read"}};
        }
        paper = rows_of_csv(in, for_display(o.file), form);
    }
    std::vector<records::TranscribedRow> rows;
    for (const PaperRow& row : paper) {
        const int number = static_cast<int>(rows.size()) + 1;
        rows.push_back(checks ? transcribed_check(row, number, store, o.written_by)
                              : transcribed(row, number, store));
    }
    return rows;
}

int run_transcribe(const TranscribeOptions& o, Context& context) {
    if (o.form != "holding" && o.form != "cooling" && o.form != "check") {
        throw Error{ErrorKind::usage,
                    {.what = o.form.empty() ? "--form is missing"
                                            : fmt::format("there is no form '{}' to transcribe",
                                                          for_display(o.form, 60)),
                     .where = "",
                     .fix = "give --form holding, cooling or check"}};
    }
    for (const auto& [value, option] :
         {std::pair{&o.written_by, "--written-by"}, std::pair{&o.kept, "--kept"}}) {
        if (trimmed(*value).empty()) {
            throw Error{ErrorKind::usage,
                        {.what = fmt::format("{} is missing", option),
                         .where = "",
                         .fix = "say who filled the form in, and where the sheet of paper is kept: "
                                "it stays the original"}};
        }
    }
    const OpenStore store{o.store, context, store::Access::write};
    const auto rows = gather(o, store, context);
    records::FilledForm filled_form{.form = o.form, .written_by = o.written_by, .kept_at = o.kept};
    std::string words = o.form + "\n" + o.written_by + "\n" + o.kept + "\n";
    for (const auto& row : rows) {
        words += row.words + "\n";
    }
    filled_form.sha256 = seal::sha256(words);
    const auto counts = store->day_book().transcribe(filled_form, rows, store.stamp());
    for (const auto& row : rows) {
        context.out << "  " << row.row << "  " << shown(row, store)
                    << (row.written_by.empty() ? "" : " (" + row.written_by + ")") << "\n";
    }
    context.out << fmt::format("Transcribed {} rows written by {}; the paper is the original, kept "
                               "at: {}. {} added, {} on record already, {} beside another value",
                               rows.size(), o.written_by, o.kept, counts.added,
                               counts.already_there, counts.conflicts)
                << store.entered(store.now()) << ".\n";
    return kDone;
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    nlohmann::ordered_json all = nlohmann::ordered_json::array();
    std::string text;
    for (const auto& one : store->day_book().filled_forms()) {
        nlohmann::ordered_json rows = nlohmann::ordered_json::array();
        const auto by = one.stamp.by;
        text += fmt::format("{}  {} form, written by {}, kept at {}; typed {}{}\n", one.id.value(),
                            one.facts.form, one.facts.written_by, one.facts.kept_at,
                            by.empty() ? "" : "by " + by + " ", store.shown(one.stamp.entered_at));
        for (const auto& row : store->day_book().rows_of(one.id)) {
            rows.push_back(
                {{"row", row.row},
                 {"entry", row.record.value()},
                 {"written_by", row.written_by.empty() ? one.facts.written_by : row.written_by},
                 {"words", row.words}});
            text += fmt::format("     {}  {}\n", row.row, row.words);
        }
        all.push_back({{"filled_form", one.id.value()},
                       {"form", one.facts.form},
                       {"written_by", one.facts.written_by},
                       {"kept_at", one.facts.kept_at},
                       {"sha256", seal::hex(one.facts.sha256)},
                       {"by", by.empty() ? nlohmann::ordered_json{} : nlohmann::ordered_json(by)},
                       {"entered_at", to_utc_text(one.stamp.entered_at)},
                       {"rows", rows}});
    }
    if (json) {
        const nlohmann::ordered_json answer{{"format", "holdwarden-filled_forms/1"},
                                            {"filled_forms", all}};
        context.out << answer.dump(2) << "\n";
    } else {
        context.out << (text.empty() ? "No form was transcribed.\n" : text);
    }
    return kDone;
}

} // namespace

std::vector<Command> transcribe_commands() {
    const auto o = std::make_shared<TranscribeOptions>();
    const auto list = std::make_shared<ListOptions>();
    return {{.name = "transcribe",
             .help = "Enter a form that was filled in by pen; the paper stays the original",
             .declare =
                 [o](Arguments& a) {
                     a.may("file", o->file,
                           "CSV with the form's columns, - for standard input (else it asks row by "
                           "row)");
                     a.option("--form", o->form, "holding, cooling or check");
                     a.option("--written-by", o->written_by, "Who filled the form in");
                     a.option("--kept", o->kept, "Where the sheet of paper is kept");
                     o->store.declare_writing(a);
                     a.example("holdwarden transcribe rows.csv --form holding --written-by QM "
                               "--kept \"folder 3, page 12\" --by RK");
                 },
             .run = [o](Context& context) { return run_transcribe(*o, context); }},
            {.name = "filled-form list",
             .help = "List the forms that were transcribed, row by row",
             .declare =
                 [list](Arguments& a) {
                     a.option("--format", list->format, "text or json");
                     list->store.declare_reading(a);
                     a.example("holdwarden filled-form list");
                 },
             .run = [list](Context& context) { return run_list(*list, context); }}};
}

} // namespace holdwarden::cli
