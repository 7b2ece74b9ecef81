#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/known_stores.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/store/history.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <ostream>
#include <system_error>

namespace holdwarden::cli {
namespace {

constexpr const char* kStoreVariable = "HOLDWARDEN_STORE";
constexpr const char* kByVariable = "HOLDWARDEN_BY";
constexpr const char* kWhyVariable = "HOLDWARDEN_WHY";
constexpr const char* kDefaultStore = "holdwarden.db";

template <class Values, class Named>
auto word(const std::string& text, const char* option, const Values& all, Named named) {
    const auto value = named(text);
    if (!value) {
        std::vector<std::string> names;
        for (const auto one : all) {
            names.emplace_back(to_name(one));
        }
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("{} '{}' is not known", option, for_display(text, 60)),
                     .where = "",
                     .fix = "give one of " + listed(names)}};
    }
    return *value;
}

std::size_t code_points(const std::string& utf8) {
    return static_cast<std::size_t>(std::count_if(utf8.begin(), utf8.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

} // namespace

void StoreArguments::declare_reading(Arguments& arguments) {
    arguments.option("--store", store,
                     "The store's file (else HOLDWARDEN_STORE, else ./holdwarden.db)");
}

void StoreArguments::declare_writing(Arguments& arguments) {
    declare_reading(arguments);
    arguments.option("--by", by, "Who makes this entry: name or initials (else HOLDWARDEN_BY)");
}

void StoreArguments::declare_event(Arguments& arguments) {
    declare_writing(arguments);
    arguments.option("--taken-by", taken_by, "Who took the reading, where that was somebody else");
    arguments.option("--why", why_late,
                     "Why it is entered only now, when that is more than 15 minutes late (else "
                     "HOLDWARDEN_WHY)");
}

store::OpenOptions store_options(const StoreArguments& arguments, const Context& context,
                                 store::Access access) {
    std::string file = arguments.store;
    if (file.empty()) {
        file = context.env(kStoreVariable).value_or("");
    }
    return {.file = file.empty() ? kDefaultStore : file,
            .migrations = context.data / "schema" / "sql",
            .access = access};
}

bool has_store(const StoreArguments& arguments, const Context& context) {
    std::error_code unreadable;
    return !arguments.store.empty() || !context.env(kStoreVariable).value_or("").empty() ||
           std::filesystem::exists(kDefaultStore, unreadable);
}

records::Stamp stamp_of(const StoreArguments& arguments, const Context& context) {
    return {.entered_at = context.now(),
            .by = arguments.by.empty() ? context.env(kByVariable).value_or("") : arguments.by};
}

OpenStore::OpenStore(const StoreArguments& arguments, Context& context, store::Access access) {
    store::Opened opened = store::open(store_options(arguments, context, access));
    for (const std::string& notice : opened.notices) {
        context.err << "holdwarden: note: " << notice << "\n";
    }
    store_ = std::move(opened.store);
    check_if_foreign(*store_, store_options(arguments, context, access).file, context);
    if (const std::uint64_t part = store::leaves_elsewhere(*store_); part > 0) {
        context.err << fmt::format("holdwarden: note: this store holds a part of the kitchen's "
                                   "records only: those of {} leaves are kept elsewhere\n",
                                   part);
    }
    site_ = store_->site();
    zone_ = Zone::named(site_.zone);
    stamp_ = stamp_of(arguments, context);
}

Instant OpenStore::time(const std::string& text, const char* option) const {
    if (text.empty()) {
        return now();
    }
    try {
        return parse_instant(text, zone_);
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at(option).text()};
    }
}

Temperature OpenStore::temperature(const std::string& text, const char* option) const {
    try {
        return parse_temperature(text, site_.scale);
    } catch (const Error& error) {
        throw error.at(option);
    }
}

std::string OpenStore::shown(Instant at) const {
    // For people, whole seconds; the record keeps the milliseconds.
    return local_text_with_offset(Instant::from_unix_s(at.unix_ms() / 1000), zone_);
}

std::string OpenStore::entered(Instant at) const {
    std::string text = stamp_.by.empty() ? "" : ", entered by " + stamp_.by;
    if (now() - at > records::kClockTolerance) {
        text += (text.empty() ? ", entered " : " ") + fmt::format("at {}", shown(now()));
    }
    return text;
}

records::Stamp OpenStore::stamp_for(Instant at, const StoreArguments& arguments,
                                    Context& context) const {
    records::Stamp stamp = stamp_;
    stamp.taken_by = arguments.taken_by;
    if (records::is_late(at, now()) || !arguments.why_late.empty()) {
        stamp.why_late =
            std::string{trimmed(arguments.why_late.empty() ? context.env(kWhyVariable).value_or("")
                                                           : arguments.why_late)};
    }
    if (records::is_late(at, now()) && stamp.why_late.empty() && context.in_is_terminal) {
        context.err << "This happened " << to_text(now() - at)
                    << " ago, so its entry is late. Why is it entered only now?\n"
                    << std::flush;
        std::string line;
        std::getline(context.in, line);
        stamp.why_late = std::string{trimmed(line)};
    }
    return stamp;
}

std::string OpenStore::entered(Instant at, const records::Stamp& stamp) const {
    std::string text = entered(at);
    if (!stamp.taken_by.empty()) {
        text += ", taken by " + stamp.taken_by;
    }
    if (records::is_late(at, now())) {
        text += ", late: " + (stamp.why_late.empty() ? "no reason given" : stamp.why_late);
    }
    return text;
}

bool json_wanted(const std::string& format) {
    if (!format.empty() && format != "text" && format != "json") {
        throw Error{ErrorKind::usage,
                    {.what = fmt::format("--format '{}' is not known", for_display(format, 60)),
                     .where = "",
                     .fix = "give text or json"}};
    }
    return format == "json";
}

FoodKind food_word(const std::string& text, const char* option) {
    return word(text, option, all_foods(), food_named);
}

OvenKind oven_word(const std::string& text, const char* option) {
    return word(text, option, all_ovens(), oven_named);
}

records::UnitKind unit_kind_word(const std::string& text, const char* option) {
    return word(text, option, records::all_unit_kinds(), records::unit_kind_named);
}

std::string table(std::vector<std::vector<std::string>> rows) {
    constexpr std::size_t kWidestBytes = 400; // a store may hold what nobody would enter
    std::vector<std::size_t> widths;
    for (auto& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i) {
            row[i] = for_display(row[i], kWidestBytes);
            widths[i] = std::max(widths[i], code_points(row[i]));
        }
    }
    std::string text;
    for (const auto& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            line += row[i] + std::string(widths[i] - code_points(row[i]) + 2, ' ');
        }
        line.erase(line.find_last_not_of(' ') + 1);
        text += line + "\n";
    }
    return text;
}

records::Target target_named(const OpenStore& store, const std::string& name, bool air,
                             const std::string& point) {
    if (air) {
        if (!point.empty()) {
            throw Error{ErrorKind::usage,
                        {.what = "--point and --air do not go together",
                         .where = "",
                         .fix = "a point is in a lot; a unit's air has none"}};
        }
        return records::UnitAir{records::unit_named(*store, name).id};
    }
    return records::LotPoint{records::lot_named(*store, name).id,
                             point.empty() ? records::kCore : point};
}

std::string shown(const records::Store& store, const records::Target& target) {
    if (const auto* spot = std::get_if<records::LotPoint>(&target)) {
        for (const auto& lot : store.lots()) {
            if (lot.id == spot->lot) {
                return lot.facts.name + ", " + spot->point;
            }
        }
    }
    for (const auto& unit : store.units()) {
        if (target == records::Target{records::UnitAir{unit.id}}) {
            return unit.facts.name + ", air";
        }
    }
    return "?";
}

} // namespace holdwarden::cli
