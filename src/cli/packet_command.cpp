// What an inspector takes away: sheets, records, packs, and a seal over all of it.
#include "packet_files.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/base/folder.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/made_sheet.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/seal_use.hpp>
#include <holdwarden/cli/sheet_material.hpp>
#include <holdwarden/cli/write_file.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/seal/packet.hpp>
#include <holdwarden/sheets/local_times.hpp>
#include <holdwarden/sheets/pdf.hpp>
#include <holdwarden/sheets/print.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <algorithm>
#include <memory>
#include <ostream>
#include <set>

namespace holdwarden::cli {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

struct PacketOptions {
    StoreArguments store;
    std::string from;
    std::string to;
    std::string output;
    std::string key;
    std::string paper;
};

/// Removes a folder under way unless it reached its place.
class UnderWay {
public:
    explicit UnderWay(fs::path folder) : folder_{std::move(folder)} {}
    UnderWay(const UnderWay&) = delete;
    UnderWay& operator=(const UnderWay&) = delete;
    ~UnderWay() {
        if (arrived_) {
            return;
        }
        try {
            remove_tree(folder_);
        } catch (const std::bad_alloc&) {
            return; // it stays: there is no memory left to look into it
        }
    }
    const fs::path& folder() const noexcept { return folder_; }
    void move_to(const fs::path& place) {
        std::error_code code;
        fs::rename(folder_, place, code);
        if (code) {
            throw Error{ErrorKind::store,
                        {.what = "cannot be made: " + code.message(),
                         .where = for_display(place.string()),
                         .fix = "name a new folder"}};
        }
        arrived_ = true;
    }

private:
    fs::path folder_;
    bool arrived_ = false;
};

/// A date stands for its beginning (--from) or its end (--to).
std::optional<Instant> bound(const OpenStore& store, const std::string& text, const char* option,
                             bool end) {
    if (text.empty()) {
        return std::nullopt;
    }
    if (const auto date = parse_date(text)) {
        return start_of(end ? date_from_day_number(day_number(*date) + 1) : *date, store.zone());
    }
    return store.time(text, option);
}

store::Extent extent_of(const PacketOptions& o, const OpenStore& store) {
    const store::Extent extent{.from = bound(store, o.from, "--from", false),
                               .to = bound(store, o.to, "--to", true)};
    if (extent.from && extent.to && *extent.from >= *extent.to) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("--from '{}' is not before --to '{}'",
                                         for_display(o.from, 60), for_display(o.to, 60)),
                     .where = "",
                     .fix = "give the earlier one with --from"}};
    }
    if (extent.from && *extent.from > store.now()) {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("--from '{}' has not come yet", for_display(o.from, 60)),
                     .where = "",
                     .fix = "a packet is about what was recorded"}};
    }
    return extent;
}

fs::path new_folder(const std::string& name) {
    fs::path folder = name;
    if (!folder.has_filename()) {
        folder = folder.parent_path(); // "packet/"
    }
    std::error_code code;
    if (fs::exists(fs::symlink_status(folder, code))) {
        throw Error{ErrorKind::conflict,
                    {.what = "is there already, and was left as it is",
                     .where = for_display(folder.string()),
                     .fix = "name a new folder with --output"}};
    }
    return folder;
}

/// A sheet's name fit for a packet: ASCII, and no other sheet's.
std::string packet_name(const std::string& stem, std::set<std::string>& taken) {
    constexpr std::size_t kLongest = 80;
    std::string name;
    for (const char c : stem.substr(0, kLongest)) {
        name += seal::is_packet_path("a" + std::string(1, c)) && c != '/' ? c : '_';
    }
    std::string unlike = name;
    for (int n = 2; !taken.insert(unlike).second; ++n) {
        unlike = fmt::format("{}-{}", name, n);
    }
    return unlike;
}

/// Writes the sheets of the extent's nights and lots; their names.
std::vector<std::string> write_sheets(const fs::path& folder, const OpenStore& store,
                                      const Context& context, const store::Extent& extent,
                                      sheets::Paper paper) {
    const Instant from = extent.from.value_or(Instant::from_unix_ms(0));
    const Instant to = std::min(extent.to.value_or(store.now()), store.now() + Span::seconds(1));
    std::vector<MadeSheet> made;
    const auto wanted = lots_between(store, from, to);
    std::vector<records::Recorded<records::LotId, records::Lot>> lots;
    Instant first = to;
    for (const auto& lot : store->lots()) {
        if (std::ranges::find(wanted, lot.id) != wanted.end()) {
            lots.push_back(lot);
            first = std::min(first, lot.facts.opened_at);
        }
    }
    constexpr std::int64_t kMostNights = 4000;
    std::int64_t day = day_number(date_of(store.zone().wall(std::max(first, from)))) - 1;
    for (std::int64_t n = 0; n < kMostNights; ++n, ++day) {
        const LocalDate night = date_from_day_number(day);
        const sheets::Period period = sheets::night_of(night, store.zone());
        if (period.from >= to || period.from > store.now()) {
            break;
        }
        if (period.to > from && !lots_between(store, period.from, period.to).empty()) {
            made.push_back(made_night_sheet(store, context, to_text(night)));
        }
    }
    for (const auto& lot : lots) {
        made.push_back(made_lot_sheet(store, context, lot.facts.name));
    }
    std::vector<std::string> names;
    std::set<std::string> taken;
    std::vector<sheets::Sheet> all;
    const sheets::HtmlFrame frame = sheets::load_frame(context.data / "reports");
    for (MadeSheet& sheet : made) {
        const std::string name = "sheets/" + packet_name(sheet.stem, taken);
        write_own_file(folder / (name + ".txt"), sheets::to_text(sheet.sheet));
        write_own_file(folder / (name + ".html"), sheets::to_html(sheet.sheet, frame));
        names.push_back(name + ".txt");
        names.push_back(name + ".html");
        all.push_back(std::move(sheet.sheet));
    }
    if (!all.empty()) {
        write_own_file(folder / "sheets/all.pdf", sheets::to_pdf(all, paper));
        names.emplace_back("sheets/all.pdf");
    }
    return names;
}

/// The packs the site followed, as files.
std::vector<std::string> write_packs(const fs::path& folder, const OpenStore& store,
                                     const Context& context) {
    std::set<std::string> ids;
    for (const auto& setting : store->settings()) {
        if (setting.code) {
            ids.insert(*setting.code);
        }
    }
    if (ids.empty()) {
        ids.insert(kDefaultPack);
    }
    std::vector<std::string> names;
    std::set<std::string> taken;
    for (const std::string& id : ids) {
        const bool own = id.find('/') != std::string::npos || id.ends_with(".toml");
        const fs::path file = own ? fs::path{id} : pack_folder(context) / (id + ".toml");
        load_named_pack(context, id); // refuses one that cannot be used, and says why
        constexpr std::uint64_t kMostBytes = 16U << 20U;
        names.push_back("packs/" + packet_name(file.stem().string(), taken) + ".toml");
        write_own_file(folder / names.back(),
                       seal::read_small_file(fs::canonical(file), kMostBytes));
    }
    return names;
}

std::string read_me(const records::Site& site) {
    return "Records of " + for_display(site.name) +
           "\n\n"
           "sheets/    what the records come to, for people: text, HTML, and all of them as PDF\n"
           "records/   history.jsonl: every record, in order, one a line (schemas/); readings.csv\n"
           "tables/    the same records as CSV; dictionary.csv says what each column means\n"
           "rejected/  what could not be taken in, as it came\n"
           "packs/     the limits that the sheets were judged by, with their sources\n"
           "manifest.txt and the files beside it: the seal\n\n"
           "A record is never changed: a correction is a later record that names the earlier one, "
           "and\n"
           "both are here. A record left out as of another time is still there as its hash.\n\n"
           "To check the seal: holdwarden verify FOLDER --key FINGERPRINT, or by hand, in this "
           "folder:\n"
           "  sha256sum --strict -c manifest.txt\n"
           "  openssl pkeyutl -verify -pubin -inkey public-key.pem -rawin -in manifest.txt "
           "-sigfile "
           "manifest.sig\n"
           "  openssl pkey -pubin -in public-key.pem -outform DER | sha256sum\n"
           "The last digits must be those that the kitchen gave you on paper.\n";
}

Json time_or_null(const std::optional<Instant>& at) {
    return at ? Json(to_utc_text(*at)) : Json{};
}

struct Contents {
    const store::Extent& extent;
    const seal::Checkpoint& checkpoint;
    const PacketRecords& records;
    const std::vector<std::string>& sheets;
    const std::vector<std::string>& packs;
};

std::string packet_json(const OpenStore& store, const Contents& c) {
    const PacketRecords& records = c.records;
    Json tables = Json::array();
    for (const auto& [table, rows] : records.rows) {
        tables.push_back({{"table", table}, {"rows", rows}});
    }
    const Json answer{{"format", "holdwarden-packet/1"},
                      {"software", "holdwarden " HOLDWARDEN_VERSION},
                      {"made", to_utc_text(store.now())},
                      {"site", {{"name", store.site().name}, {"zone", store.site().zone}}},
                      {"from", time_or_null(c.extent.from)},
                      {"to", time_or_null(c.extent.to)},
                      {"history",
                       {{"leaves", records.leaves},
                        {"left_out", records.left_out},
                        {"root", seal::hex(c.checkpoint.root)},
                        {"first_entry", time_or_null(records.first_entry)},
                        {"last_entry", time_or_null(records.last_entry)}}},
                      {"readings",
                       {{"count", records.readings},
                        {"first", time_or_null(records.first_reading)},
                        {"last", time_or_null(records.last_reading)}}},
                      {"tables", tables},
                      {"sheets", c.sheets},
                      {"packs", c.packs}};
    return answer.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

int run_packet(const PacketOptions& o, Context& context) {
    if (o.output.empty()) {
        throw Error{ErrorKind::usage,
                    {.what = "nothing says where the packet goes",
                     .where = "",
                     .fix = "name a new folder with --output"}};
    }
    if (!o.paper.empty() && o.paper != "letter" && o.paper != "a4") {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("--paper '{}' is not known", for_display(o.paper, 60)),
                     .where = "",
                     .fix = "give letter or a4"}};
    }
    const seal::SigningKey key = seal::SigningKey::load(signing_key_file(o.key, context));
    const fs::path place = new_folder(o.output);
    const OpenStore store{o.store, context, store::Access::write};
    const store::Extent extent = extent_of(o, store);
    const bool letter =
        o.paper.empty() ? store.site().scale == Scale::fahrenheit : o.paper == "letter";

    UnderWay packet{fs::path{place}.concat(fmt::format(".{}.part", getpid()))};
    const fs::path& folder = packet.folder();
    std::error_code code;
    if (!fs::create_directory(folder, code)) {
        throw Error{ErrorKind::bad_input,
                    {.what = "the folder cannot be made: " + code.message(),
                     .where = for_display(place.string()),
                     .fix = "name one in a folder that exists and may be written to"}};
    }
    fs::permissions(folder, fs::perms::owner_all);

    const auto sheets = write_sheets(folder, store, context, extent,
                                     letter ? sheets::Paper::letter : sheets::Paper::a4);
    const auto packs = write_packs(folder, store, context);
    const store::SignedCheckpoint made = store::make_checkpoint(*store, key, store.stamp());
    store::HistoryExport history{*store, extent, made.checkpoint.size};
    const PacketRecords records = write_records(folder, history);
    write_own_file(folder / "packet.json", packet_json(store, {.extent = extent,
                                                               .checkpoint = made.checkpoint,
                                                               .records = records,
                                                               .sheets = sheets,
                                                               .packs = packs}));
    write_own_file(folder / "README.txt", read_me(store.site()));
    for (const char* schema :
         {"holdwarden-packet-1.schema.json", "holdwarden-history-1.schema.json"}) {
        constexpr std::uint64_t kMostBytes = 1U << 20U;
        write_own_file(folder / "schemas" / schema,
                       seal::read_small_file(context.data / "schema/json" / schema, kMostBytes));
    }
    const seal::Manifest manifest = seal::seal_packet(folder, made.checkpoint, key, store.now());
    packet.move_to(place);
    context.out << fmt::format(
        "Packed {} files into {}: {} sheets, {} of {} leaves with their records, {} logged "
        "readings.\nCheckpoint: {} leaves, root {}\nSealed with key {}\n",
        manifest.files.size(), for_display(place.string()), sheets.size(),
        records.leaves - records.left_out, records.leaves, records.readings, made.checkpoint.size,
        seal::hex(made.checkpoint.root), grouped(seal::fingerprint(key.public_key())));
    return kDone;
}

void declare_packet(PacketOptions& o, Arguments& arguments) {
    arguments.option("-o,--output", o.output, "The packet's folder; it must not exist");
    arguments.option("--from", o.from, "Leave out what was over before: a time, or a date's begin");
    arguments.option("--to", o.to, "Leave out what began after: a time, or a date's end");
    arguments.option("--paper", o.paper, "letter or a4, for PDF (else by the site's scale)");
    declare_signing_key(arguments, o.key);
    o.store.declare_writing(arguments);
    arguments.example("holdwarden packet --from 2026-10-30 --to 2026-11-01 -o for-the-inspector");
}

} // namespace

std::vector<Command> packet_commands() {
    const auto options = std::make_shared<PacketOptions>();
    return {{.name = "packet",
             .help = "Write sheets and records into a sealed folder that can be checked anywhere",
             .declare = [options](Arguments& arguments) { declare_packet(*options, arguments); },
             .run = [options](Context& context) { return run_packet(*options, context); }}};
}

} // namespace holdwarden::cli
