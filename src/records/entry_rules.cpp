#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <algorithm>
#include <cassert>

namespace holdwarden::records {
namespace {

Error refused(ErrorKind kind, std::string what, std::string where, std::string fix) {
    return Error{kind, {.what = std::move(what), .where = std::move(where), .fix = std::move(fix)}};
}

std::string quoted(std::string_view text) {
    return "'" + for_display(text) + "'";
}

/// Local time with offset, in whole seconds.
std::string shown(Instant at, const Zone& zone) {
    return local_text_with_offset(Instant::from_unix_s(at.unix_ms() / 1000), zone);
}

void check_bytes(std::string_view what, std::string_view text, std::size_t most_bytes) {
    if (text.size() > most_bytes) {
        throw refused(ErrorKind::bad_input,
                      std::string{what} + " " + quoted(text.substr(0, 40)) + " is longer than " +
                          std::to_string(most_bytes) + " bytes",
                      "", "shorten it");
    }
    if (for_display(text, most_bytes) != text) {
        throw refused(ErrorKind::bad_input,
                      std::string{what} + " " + quoted(text) +
                          " holds control characters, direction marks or bytes that are not UTF-8",
                      "", "use plain letters, digits, blanks and punctuation");
    }
}

Error not_in_store(std::string_view what, std::span<const std::string> names, std::string_view text,
                   std::string_view fix) {
    std::vector<std::string> known;
    for (std::size_t i = 0; i < names.size() && i < 6; ++i) {
        known.push_back("'" + names[names.size() - 1 - i] + "'");
    }
    if (names.size() > known.size()) {
        known.emplace_back("others");
    }
    return refused(ErrorKind::not_found,
                   std::string{what} + " " + quoted(text) + " is not in the store" +
                       (known.empty() ? "" : " (there are " + listed(known) + ")"),
                   "", std::string{fix});
}

} // namespace

void check_name(std::string_view what, std::string_view name) {
    const std::string subject = std::string{what} + " name";
    if (trimmed(name).empty()) {
        throw refused(ErrorKind::bad_input, subject + " is empty", "", "give it a name");
    }
    check_bytes(subject, name, kLongestName);
    if (trimmed(name) != name || name.front() == '-' || name.front() == '.' ||
        name.find_first_of("/\\") != std::string_view::npos) {
        throw refused(ErrorKind::bad_input, subject + " " + quoted(name) + " cannot be used", "",
                      "start with a letter or digit and leave out slashes and blanks at the ends");
    }
}

void check_text(std::string_view what, std::string_view text, std::size_t most_bytes) {
    if (!text.empty() && trimmed(text).empty()) {
        throw refused(ErrorKind::bad_input, std::string{what} + " is blank", "",
                      "write what it is, or leave it out if there is nothing to say");
    }
    check_bytes(what, text, most_bytes);
}

void check_not_future(std::string_view what, Instant at, Instant now, const Zone& zone) {
    if (at > now + kClockTolerance) {
        throw refused(ErrorKind::bad_input,
                      std::string{what} + " lies in the future: " + shown(at, zone) + " is " +
                          to_text(at - now) + " from now",
                      "", "enter it when it has happened, or correct the time");
    }
    if (at.unix_ms() < 0) {
        throw refused(ErrorKind::bad_input,
                      std::string{what} + " lies before 1970: " + shown(at, zone), "",
                      "correct the time");
    }
}

void check_plausible(Temperature value) {
    if (!plausible(value)) {
        throw refused(ErrorKind::bad_input,
                      to_text(value) + " is outside " + to_text(kLowestCelsius) + " to " +
                          to_text(kHighestCelsius),
                      "", "read the thermometer again");
    }
}

void check_stage_order(std::string_view lot, std::span<const StageEntry> stages,
                       const std::optional<LotEnd>& end, Stage next, Instant from,
                       const Zone& zone) {
    const std::string where = "lot " + quoted(lot);
    if (end) {
        throw refused(ErrorKind::conflict,
                      "the lot was " + std::string{to_name(end->outcome)} + " at " +
                          shown(end->at, zone) + " and can enter no further stage",
                      where, "open a new lot");
    }
    if (stages.empty()) {
        return;
    }
    const StageEntry& last = stages.back();
    if (from <= last.from) {
        throw refused(ErrorKind::conflict,
                      std::string{to_name(next)} + " from " + shown(from, zone) +
                          " would go backwards: " + std::string{to_name(last.stage)} +
                          " began at " + shown(last.from, zone),
                      where, "give a later time with --at");
    }
}

void check_end(std::string_view lot, std::span<const StageEntry> stages,
               const std::optional<LotEnd>& end, Instant at, const Zone& zone) {
    const std::string where = "lot " + quoted(lot);
    if (end) {
        throw refused(ErrorKind::conflict,
                      "the lot was " + std::string{to_name(end->outcome)} + " at " +
                          shown(end->at, zone) + " already",
                      where, "a lot ends once");
    }
    if (!stages.empty() && at < stages.back().from) {
        throw refused(ErrorKind::conflict,
                      "an end at " + shown(at, zone) +
                          " would go backwards: " + std::string{to_name(stages.back().stage)} +
                          " began at " + shown(stages.back().from, zone),
                      where, "give a later time with --at");
    }
}

void check_placement(std::string_view probe, std::span<const Placement> existing,
                     std::span<const std::string> described, const Placement& next,
                     const Zone& zone) {
    assert(existing.size() == described.size());
    const std::string where = "probe " + quoted(probe);
    if (next.to && *next.to <= next.from) {
        throw refused(ErrorKind::bad_input,
                      "a placement from " + shown(next.from, zone) + " to " +
                          shown(*next.to, zone) + " has no length",
                      where, "let it end after it begins");
    }
    for (std::size_t i = 0; i < existing.size(); ++i) {
        const Placement& other = existing[i];
        const bool begins_before_other_ends = !other.to || next.from < *other.to;
        const bool ends_after_other_begins = !next.to || *next.to > other.from;
        if (begins_before_other_ends && ends_after_other_begins) {
            throw refused(ErrorKind::conflict,
                          "it reads " + described[i] + " from " + shown(other.from, zone) +
                              (other.to ? " to " + shown(*other.to, zone) : ""),
                          where,
                          other.to ? "choose other times"
                                   : "say `lift " + std::string{probe} + "` first");
        }
    }
}

void check_lift(std::string_view probe, const Placement& placement, Instant at, const Zone& zone) {
    if (at <= placement.from) {
        throw refused(ErrorKind::conflict,
                      "it was placed at " + shown(placement.from, zone) +
                          " and cannot be lifted at " + shown(at, zone),
                      "probe " + quoted(probe), "give a later time with --at");
    }
}

void check_correction(const Stamp& stamp, std::string_view why) {
    if (trimmed(stamp.by).empty()) {
        throw refused(ErrorKind::bad_input, "a correction needs the person who makes it", "",
                      "say who you are with --by");
    }
    if (trimmed(why).empty()) {
        throw refused(ErrorKind::bad_input, "a correction needs a reason", "",
                      "say why with --why");
    }
    check_text("reason", why);
}

std::size_t find_by_prefix(std::string_view what, std::span<const std::string> names,
                           std::string_view text, std::string_view fix) {
    std::vector<std::size_t> starting;
    std::vector<std::string> candidates;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (names[i] == text) {
            return i;
        }
        if (!text.empty() && names[i].starts_with(text)) {
            starting.push_back(i);
            candidates.push_back("'" + names[i] + "'");
        }
    }
    if (starting.size() == 1) {
        return starting.front();
    }
    if (starting.size() > 1) {
        if (candidates.size() > 6) {
            candidates.resize(6);
            candidates.emplace_back("more");
        }
        throw refused(ErrorKind::conflict,
                      std::string{what} + " " + quoted(text) + " could be " + listed(candidates),
                      "", "write more of the name");
    }
    throw not_in_store(what, names, text, fix);
}

namespace {

template <class Record>
std::vector<std::string> names_of(const std::vector<Record>& records) {
    std::vector<std::string> names;
    names.reserve(records.size());
    for (const Record& record : records) {
        names.push_back(record.facts.name);
    }
    return names;
}

template <class Record>
Record exactly(std::string_view what, const std::vector<Record>& records, std::string_view name,
               const std::string& fix) {
    for (const Record& record : records) {
        if (record.facts.name == name) {
            return record;
        }
    }
    // A prefix will not do here: two thermometers may differ in the last digit only.
    throw not_in_store(what, names_of(records), name, fix);
}

} // namespace

Recorded<ProbeId, Thermometer> probe_named(const Store& store, std::string_view name) {
    return exactly("probe", store.probes(), name,
                   "say `probe add " + for_display(name) + "` first");
}

Recorded<UnitId, Unit> unit_named(const Store& store, std::string_view name) {
    std::vector<Recorded<UnitId, Unit>> all = store.units();
    std::vector<std::string> names;
    for (const auto& unit : all) {
        names.push_back(unit.facts.name);
    }
    return std::move(
        all[find_by_prefix("unit", names, name, "say `unit add " + for_display(name) + "` first")]);
}

Recorded<LotId, Lot> lot_named(const Store& store, std::string_view name) {
    const std::vector<Recorded<LotId, Lot>> all = store.lots();
    for (const auto& lot : all) {
        if (lot.facts.name == name) {
            return lot;
        }
    }
    const std::string fix = "say `lot open " + for_display(name) + "` first";
    const std::vector<Recorded<LotId, Lot>> living = store.lots(Store::Which::living);
    const bool begun = std::any_of(living.begin(), living.end(), [&](const auto& lot) {
        return !name.empty() && lot.facts.name.starts_with(name);
    });
    const auto& among = begun ? living : all;
    return among[find_by_prefix("lot", names_of(among), name, fix)];
}

} // namespace holdwarden::records
