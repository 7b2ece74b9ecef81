#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/seal/digest.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>
#include <ostream>

namespace holdwarden::cli {
namespace {

constexpr std::size_t kRejectsShown = 10;

struct ImportOptions {
    StoreArguments store;
    CsvArguments mapping;
    std::string file;
    std::vector<std::string> probe_map;
    bool dry_run = false;
    std::string format;
};

using ProbeMap = std::map<std::string, std::string>;

ProbeMap probe_map_of(const std::vector<std::string>& texts) {
    ProbeMap map;
    for (const std::string& text : texts) {
        const auto equals = text.find('=');
        if (equals == std::string::npos || equals == 0 || equals + 1 == text.size() ||
            !map.emplace(text.substr(0, equals), text.substr(equals + 1)).second) {
            throw Error{ErrorKind::usage,
                        {.what = "--probe-map '" + for_display(text, 60) + "' cannot be used",
                         .where = "",
                         .fix = "write COLUMN=PROBE, each column once"}};
        }
    }
    return map;
}

/// A file's bytes on their way to the reader, counted and digested.
class Digested {
public:
    explicit Digested(const std::string& file) : source_{intake::file_source(file)} {}

    intake::Source source() {
        return [this](char* into, std::size_t room) {
            const std::size_t n = source_(into, room);
            digest_.add({into, n});
            bytes_ += n;
            return n;
        };
    }
    std::uint64_t bytes() const noexcept { return bytes_; }
    seal::Sha256 finish() { return digest_.finish(); }

private:
    intake::Source source_;
    seal::Sha256Stream digest_;
    std::uint64_t bytes_ = 0;
};

/// What a first reading of the file finds out, before anything is written.
class Survey final : public intake::RowSink {
public:
    explicit Survey(Instant now) : now_{now} {}

    void series(std::uint32_t index, const std::string&, const std::string& probe) override {
        names_.resize(std::max<std::size_t>(names_.size(), index + 1));
        names_[index] = probe;
    }
    void rows(std::span<const intake::Row> batch) override {
        for (const intake::Row& row : batch) {
            if (!row.has_value) {
                continue;
            }
            if ((row.at > now_ + records::kClockTolerance || row.at < Instant{}) && !impossible_) {
                impossible_ = row;
            }
            first_ = readings_ == 0 ? row.at : std::min(first_, row.at);
            last_ = readings_ == 0 ? row.at : std::max(last_, row.at);
            ++readings_;
        }
    }
    void reject(const intake::Reject& reject) override {
        if (rejects_.size() < kRejectsShown) {
            rejects_.push_back(reject);
        }
    }

    const std::vector<std::string>& names() const noexcept { return names_; }
    /// The first names, quoted and safe to show.
    std::vector<std::string> names_shown() const {
        std::vector<std::string> shown;
        for (const std::string& name : names_) {
            if (shown.size() < 8) {
                shown.push_back("'" + for_display(name, 60) + "'");
            }
        }
        return shown;
    }
    const std::vector<intake::Reject>& rejects() const noexcept { return rejects_; }
    /// The first reading that cannot have been taken yet, or was before 1970.
    const std::optional<intake::Row>& impossible() const noexcept { return impossible_; }
    std::uint64_t readings() const noexcept { return readings_; }
    Instant first() const noexcept { return first_; }
    Instant last() const noexcept { return last_; }

private:
    Instant now_;
    std::vector<std::string> names_;
    std::vector<intake::Reject> rejects_;
    std::optional<intake::Row> impossible_;
    std::uint64_t readings_ = 0;
    Instant first_;
    Instant last_;
};

/// Passes rows on to the store.
class IntoStore final : public intake::RowSink {
public:
    IntoStore(records::Importing& importing, const std::map<std::string, records::ProbeId>& probes)
        : importing_{importing}, by_name_{probes} {}

    void series(std::uint32_t index, const std::string&, const std::string& probe) override {
        ids_.resize(std::max<std::size_t>(ids_.size(), index + 1), records::ProbeId::of(0));
        const auto found = by_name_.find(probe);
        ids_[index] = found == by_name_.end() ? records::ProbeId::of(0) : found->second;
    }
    void rows(std::span<const intake::Row> batch) override {
        for (const intake::Row& row : batch) {
            // A name that the first reading did not meet: the file is being written to. The
            // digests will differ, and the import is refused its end.
            if (row.has_value && ids_[row.series].value() != 0) {
                importing_.add({.probe = ids_[row.series], .at = row.at, .value = row.value});
            }
        }
    }
    void reject(const intake::Reject& reject) override {
        importing_.reject({.line = reject.line, .text = reject.text, .reason = reject.reason});
    }

private:
    records::Importing& importing_;
    const std::map<std::string, records::ProbeId>& by_name_;
    std::vector<records::ProbeId> ids_;
};

/// The store's probe for each name in the file. Throws Error{not_found} naming all that are
/// unknown.
std::map<std::string, records::ProbeId> probes_of(const Survey& survey, const ProbeMap& map,
                                                  const OpenStore& store, const std::string& file) {
    std::map<std::string, records::ProbeId> known;
    for (const auto& probe : store->probes()) {
        known.emplace(probe.facts.name, probe.id);
    }
    std::map<std::string, records::ProbeId> found;
    std::vector<std::string> unknown;
    std::string first;
    for (const std::string& name : survey.names()) {
        const auto mapped = map.find(name);
        const std::string& wanted = mapped == map.end() ? name : mapped->second;
        const auto probe = known.find(wanted);
        if (probe != known.end()) {
            found.emplace(name, probe->second);
        } else if (!wanted.empty()) {
            first = first.empty() ? for_display(wanted, 60) : first;
            const std::string shown = "'" + for_display(wanted, 60) + "'";
            if (std::find(unknown.begin(), unknown.end(), shown) == unknown.end()) {
                unknown.push_back(shown);
            }
        }
    }
    for (const auto& [column, probe] : map) {
        const auto& names = survey.names();
        if (std::find(names.begin(), names.end(), column) == names.end()) {
            throw Error{ErrorKind::bad_input,
                        {.what = "--probe-map names '" + for_display(column, 60) +
                                 "', which the file does not have",
                         .where = for_display(file),
                         .fix = "it has " + listed(survey.names_shown())}};
        }
    }
    if (!unknown.empty()) {
        throw Error{ErrorKind::not_found,
                    {.what = listed(unknown) +
                             (unknown.size() == 1 ? " is no probe" : " are no probes") +
                             " of the store",
                     .where = for_display(file),
                     .fix = "say `probe add " + first + "`, or map the name with --probe-map " +
                            first + "=PROBE"}};
    }
    return found;
}

/// How the file is read, in one text: the same bytes read in another way are another import.
std::string mapping_text(const CsvArguments& m, const intake::CsvOptions& csv,
                         const ProbeMap& map) {
    std::string text = fmt::format(
        "zone={};scale={};separator={};decimal-comma={};time-format={};repeated-hour={}",
        csv.zone ? csv.zone->name() : "", csv.scale ? std::string{letter(*csv.scale)} : "",
        csv.separator ? std::string{*csv.separator} : "", csv.decimal_comma, csv.time_format,
        m.repeated_hour);
    for (const auto& column : csv.columns) {
        text += fmt::format(";column {}={}", column.from, column.to);
    }
    for (const auto& [column, probe] : map) {
        text += fmt::format(";probe {}={}", column, probe);
    }
    return text;
}

struct ImportAnswer {
    std::string file;
    bool dry_run = false;
    bool already = false;
    std::uint64_t readings = 0;
    records::ImportCounts counts;
    std::optional<std::pair<Instant, Instant>> covers;
    std::vector<intake::Reject> rejects;
    std::vector<std::string> notes;
};

void print_text(const ImportAnswer& a, const OpenStore& store, std::ostream& out) {
    const records::ImportCounts& c = a.counts;
    out << for_display(a.file) << ": ";
    if (a.already) {
        out << "imported before, byte for byte; nothing was added.\n";
        return;
    }
    if (a.dry_run) {
        out << fmt::format("{} rows, {} readings that can be used, {} refused, {} out of order; "
                           "nothing was written.\n",
                           c.rows, a.readings, c.rejected, c.out_of_order);
    } else {
        out << fmt::format("{} rows, {} readings added, {} there already, {} in conflict with "
                           "another value (both kept), {} refused, {} out of order.\n",
                           c.rows, c.added, c.duplicates, c.conflicts, c.rejected, c.out_of_order);
    }
    if (a.covers) {
        out << "From " << store.shown(a.covers->first) << " to " << store.shown(a.covers->second)
            << ".\n";
    }
    for (const intake::Reject& reject : a.rejects) {
        out << fmt::format("  line {}: {}: {}\n", reject.line, reject.reason,
                           for_display(reject.text, 60));
    }
    if (c.rejected > a.rejects.size()) {
        out << fmt::format("  ... and {} more, all kept with line and reason\n",
                           c.rejected - a.rejects.size());
    }
    for (const std::string& note : a.notes) {
        out << "Note: " << note << ".\n";
    }
}

void print_json(const ImportAnswer& a, const OpenStore& store, std::ostream& out) {
    using Json = nlohmann::ordered_json;
    const records::ImportCounts& c = a.counts;
    Json answer{{"format", "holdwarden-import/1"},
                {"file", for_display(a.file)},
                {"dry_run", a.dry_run},
                {"imported_before", a.already},
                {"rows", c.rows},
                {"readings", a.readings},
                {"added", a.already ? 0 : c.added},
                {"duplicates", c.duplicates},
                {"conflicts", c.conflicts},
                {"rejected", c.rejected},
                {"out_of_order", c.out_of_order}};
    answer["first"] = a.covers ? Json(to_rfc3339(a.covers->first, store.zone())) : Json{};
    answer["last"] = a.covers ? Json(to_rfc3339(a.covers->second, store.zone())) : Json{};
    answer["rejects"] = Json::array();
    for (const intake::Reject& reject : a.rejects) {
        answer["rejects"].push_back(
            {{"line", reject.line}, {"reason", reject.reason}, {"text", for_display(reject.text)}});
    }
    answer["notes"] = a.notes;
    out << answer.dump(2) << "\n";
}

/// What a person should know beside the counts.
std::vector<std::string> notes_of(const intake::Summary& summary,
                                  const std::map<std::string, records::ProbeId>& probes,
                                  const OpenStore& store) {
    std::vector<std::string> notes = summary.notes;
    if (summary.has_lot_column || summary.has_stage_column) {
        notes.emplace_back("the file's lot and stage columns are not taken: say `lot open`, "
                           "`stage` and `place`");
    }
    std::vector<records::ProbeId> placed;
    for (const auto& placement : store->placements()) {
        placed.push_back(placement.facts.probe);
    }
    std::vector<std::string> nowhere;
    for (const auto& [name, probe] : probes) {
        if (std::find(placed.begin(), placed.end(), probe) == placed.end()) {
            nowhere.push_back(name);
        }
    }
    if (!nowhere.empty()) {
        notes.push_back(listed(nowhere) + " never had a place: such readings count for no lot "
                                          "until `place` says what was read");
    }
    return notes;
}

void check_usable(const Survey& survey, const intake::Summary& summary, const std::string& file,
                  const OpenStore& store) {
    if (survey.impossible()) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the reading of " + store.shown(survey.impossible()->at) +
                             (survey.impossible()->at < Instant{} ? " lies before 1970"
                                                                  : " lies in the future"),
                     .where = fmt::format("{}:{}", for_display(file), survey.impossible()->line),
                     .fix = "see whether --zone, the logger's clock or this machine's clock is "
                            "wrong; nothing was imported"}};
    }
    if (survey.readings() == 0) {
        std::string what =
            summary.rows == 0
                ? "there are no rows behind the header line"
                : fmt::format("none of its {} rows holds a reading that can be used", summary.rows);
        if (!survey.rejects().empty()) {
            what += fmt::format("; line {}: {}", survey.rejects().front().line,
                                survey.rejects().front().reason);
        }
        throw Error{ErrorKind::bad_input,
                    {.what = std::move(what),
                     .where = for_display(file),
                     .fix = "see docs/commands.md for the form of the file"}};
    }
}

records::ImportCounts write_all(const ImportOptions& o, const intake::CsvOptions& csv,
                                const records::ImportSource& source,
                                const std::map<std::string, records::ProbeId>& probes,
                                const OpenStore& store) {
    const auto importing = store->begin_import(source, store.stamp());
    IntoStore sink{*importing, probes};
    Digested bytes{o.file};
    const intake::Summary summary = intake::read_csv(bytes.source(), csv, sink);
    if (bytes.finish() != source.sha256) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the file changed while it was read",
                     .where = for_display(o.file),
                     .fix = "import it again when it is complete: what is there already will not "
                            "be added twice"}};
    }
    return importing->finish(summary.rows, summary.out_of_order);
}

int run_import(const ImportOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const ProbeMap map = probe_map_of(o.probe_map);
    if (o.file == "-") {
        throw Error{ErrorKind::usage,
                    {.what = "an import cannot come from standard input",
                     .where = "",
                     .fix = "write it to a file first: the file is read twice"}};
    }
    const OpenStore store{o.store, context, o.dry_run ? store::Access::read : store::Access::write};
    const intake::CsvOptions csv = o.mapping.to_options(o.file, store.zone(), store.site().scale);

    Digested bytes{o.file};
    Survey survey{store.now()};
    const intake::Summary summary = intake::read_csv(bytes.source(), csv, survey);
    const auto probes = probes_of(survey, map, store, o.file);
    check_usable(survey, summary, o.file, store);
    const records::ImportSource source{
        .name = for_display(std::filesystem::path{o.file}.filename().string()),
        .sha256 = bytes.finish(),
        .bytes = bytes.bytes(),
        .mapping = mapping_text(o.mapping, csv, map)};

    ImportAnswer answer{.file = o.file,
                        .dry_run = o.dry_run,
                        .readings = survey.readings(),
                        .counts = {.rows = summary.rows,
                                   .rejected = summary.rejected,
                                   .out_of_order = summary.out_of_order},
                        .covers = std::pair{survey.first(), survey.last()},
                        .rejects = survey.rejects(),
                        .notes = notes_of(summary, probes, store)};
    if (const auto before = store->finished_import(source)) {
        answer.already = true;
        answer.counts = *before;
    } else if (!o.dry_run) {
        answer.counts = write_all(o, csv, source, probes, store);
    }
    (json ? print_json : print_text)(answer, store, context.out);
    return kDone;
}

} // namespace

std::vector<Command> import_commands() {
    const auto options = std::make_shared<ImportOptions>();
    return {{.name = "import",
             .help = "Add the readings of a CSV file",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.need("file", options->file, "The CSV file");
                     arguments.options("--probe-map", options->probe_map,
                                       "COLUMN=PROBE: what the file calls COLUMN is PROBE; "
                                       "repeatable");
                     arguments.flag("--dry-run", options->dry_run,
                                    "Say what would be added, and write nothing");
                     options->mapping.declare(arguments);
                     options->store.declare_writing(arguments);
                     arguments.option("--format", options->format, "text or json");
                     arguments.example("holdwarden import docs/demo/hold.csv --dry-run");
                 },
             .run = [options](Context& context) { return run_import(*options, context); }}};
}

} // namespace holdwarden::cli
