// The record as a story: every entry about one thing, in the order in which it was made.
#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/corrections.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>
#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;
using records::StoryEntry;
using records::StoryFact;

constexpr std::size_t kColumns = 80;
constexpr std::size_t kIndent = 6;

struct HistoryOptions {
    StoreArguments store;
    std::string what;
    std::string kind;
    std::string from;
    std::string to;
    std::string format;
};

/// What the story is about.
struct Subject {
    std::string kind; ///< "lot", "probe", "unit", "person"; empty: everything
    std::string name;
};

Error ambiguous(const std::string& name, const std::vector<std::string>& kinds) {
    return Error{ErrorKind::conflict,
                 {.what = "'" + for_display(name, 60) + "' is the name of a " + listed(kinds),
                  .where = "",
                  .fix = "say which with --kind"}};
}

template <class Records>
bool holds(const Records& all, const std::string& name) {
    return std::ranges::any_of(all, [&](const auto& one) { return one.facts.name == name; });
}

bool known_person(const std::vector<StoryEntry>& all, const std::string& name) {
    return std::ranges::any_of(all, [&](const StoryEntry& entry) {
        return entry.stamp.by == name || entry.stamp.taken_by == name;
    });
}

Subject subject_of(const HistoryOptions& o, const OpenStore& store) {
    if (!o.kind.empty() && o.kind != "lot" && o.kind != "probe" && o.kind != "unit" &&
        o.kind != "person") {
        throw Error{ErrorKind::usage,
                    {.what = "--kind '" + for_display(o.kind, 60) + "' is not known",
                     .where = "",
                     .fix = "give lot, probe, unit or person"}};
    }
    if (o.what.empty()) {
        if (!o.kind.empty()) {
            throw Error{ErrorKind::usage,
                        {.what = "--kind goes with a name",
                         .where = "",
                         .fix = "name the " + o.kind + ", or leave --kind out"}};
        }
        return {};
    }
    std::vector<std::string> kinds;
    const auto consider = [&](const char* kind, bool there) {
        if (there && (o.kind.empty() || o.kind == kind)) {
            kinds.emplace_back(kind);
        }
    };
    consider("lot", holds(store->lots(), o.what));
    consider("probe", holds(store->probes(), o.what));
    consider("unit", holds(store->units(), o.what));
    consider("person", known_person(store->corrections().story({}), o.what));
    if (kinds.size() > 1) {
        throw ambiguous(o.what, kinds);
    }
    if (kinds.size() == 1) {
        return {kinds.front(), o.what};
    }
    if (o.kind == "probe") {
        records::probe_named(*store, o.what); // which says what there is
    } else if (o.kind == "unit") {
        records::unit_named(*store, o.what);
    } else if (o.kind != "person") {
        const auto lots = store->lots();
        const bool begins = std::ranges::any_of(
            lots, [&](const auto& lot) { return lot.facts.name.starts_with(o.what); });
        if (begins) {
            return {"lot", records::lot_named(*store, o.what).facts.name};
        }
    }
    throw Error{ErrorKind::not_found,
                {.what = "no " + (o.kind.empty() ? "lot, probe, unit or person" : o.kind) + " '" +
                         for_display(o.what, 60) + "' is in the store",
                 .where = "",
                 .fix = "`lot list --all`, `probe list` and `unit list` give the names"}};
}

records::StoryWanted wanted_by(const HistoryOptions& o, const Subject& subject,
                               const OpenStore& store) {
    records::StoryWanted wanted;
    if (subject.kind == "lot") {
        wanted.lot = records::lot_named(*store, subject.name).id;
    } else if (subject.kind == "probe") {
        wanted.probe = records::probe_named(*store, subject.name).id;
    } else if (subject.kind == "unit") {
        wanted.unit = records::unit_named(*store, subject.name).id;
    } else {
        wanted.person = subject.name;
    }
    if (!o.from.empty()) {
        wanted.from = store.time(o.from, "--from");
    }
    if (!o.to.empty()) {
        wanted.to = store.time(o.to, "--to");
    }
    if (wanted.from && wanted.to && *wanted.to < *wanted.from) {
        throw Error{ErrorKind::bad_input,
                    {.what = "--to lies before --from",
                     .where = "",
                     .fix = "give the earlier time with --from"}};
    }
    return wanted;
}

std::string kind_words(const std::string& kind) {
    static const std::map<std::string, std::string> kWords{
        {"lot", "lot opened"},
        {"stage_entry", "stage"},
        {"lot_end", "lot ended"},
        {"typed_reading", "reading"},
        {"placement", "probe placed"},
        {"lift", "probe lifted"},
        {"import", "import"},
        {"import_end", "import finished"},
        {"unit", "unit added"},
        {"probe", "probe added"},
        {"person", "first entry by"},
        {"site", "site founded"},
        {"site_setting", "site adopted"},
        {"reading_amendment", "reading amended"},
        {"stage_amendment", "stage amended"},
        {"lot_amendment", "lot amended"},
        {"end_amendment", "end amended"},
        {"placement_amendment", "placement amended"},
        {"reading_mark", "readings marked"},
        {"mark_verification", "setting aside verified"},
    };
    if (const auto found = kWords.find(kind); found != kWords.end()) {
        return found->second;
    }
    std::string words = kind;
    std::ranges::replace(words, '_', ' ');
    return words;
}

class Teller {
public:
    Teller(const OpenStore& store, const std::vector<StoryEntry>& story)
        : store_{store}, story_{story} {}

    void tell(std::ostream& out, const StoryEntry& entry) const {
        const auto line = [&](const std::string& text) {
            out << folded(for_display(text, 2000), kIndent, kColumns);
        };
        std::string head = fmt::format("#{}", entry.entry.value());
        head += std::string(head.size() < kIndent ? kIndent - head.size() : 1, ' ');
        head += "entered " + store_.shown(entry.stamp.entered_at);
        if (!entry.stamp.by.empty()) {
            head += " by " + entry.stamp.by;
        }
        if (!entry.stamp.taken_by.empty()) {
            head += ", taken by " + entry.stamp.taken_by;
        }
        out << for_display(head, 2000) << "\n";
        const bool amends = !entry.changes.empty() || entry.voids;
        if (entry.happened_at && !amends) {
            line("happened " + store_.shown(*entry.happened_at) + lateness(entry));
        }
        std::string what = kind_words(entry.kind);
        if (entry.of) {
            what += fmt::format(", of #{}", entry.of->value());
        }
        const std::string says = amends ? changes(entry) : facts(entry);
        line(says.empty() ? what : what + ": " + says);
        if (!entry.why.empty()) {
            line("why: " + entry.why);
        }
        for (const StoryEntry& later : story_) {
            if (later.of == entry.entry && (!later.changes.empty() || later.voids)) {
                line(fmt::format("amended by #{}: {} ({}: {})", later.entry.value(), changes(later),
                                 later.stamp.by, later.why));
            }
        }
    }

private:
    std::string lateness(const StoryEntry& entry) const {
        if (!entry.late) {
            return "";
        }
        return ", late: " +
               (entry.stamp.why_late.empty() ? "no reason given" : entry.stamp.why_late);
    }
    std::string value(const StoryFact& fact) const {
        return fact.at ? store_.shown(*fact.at) : fact.text.empty() ? "not said" : fact.text;
    }
    std::string facts(const StoryEntry& entry) const {
        std::vector<std::string> parts;
        for (const StoryFact& fact : entry.facts) {
            if (!fact.at || fact.at != entry.happened_at) {
                parts.push_back(fact.name + " " + value(fact));
            }
        }
        return fmt::format("{}", fmt::join(parts, ", "));
    }
    std::string changes(const StoryEntry& entry) const {
        std::vector<std::string> parts;
        for (const auto& change : entry.changes) {
            parts.push_back(fmt::format("{} {}, was {}", change.now.name, value(change.now),
                                        value(change.was)));
        }
        if (entry.voids) {
            parts.insert(parts.begin(), "void from here on");
        }
        return parts.empty() ? "brought back as it was" : fmt::format("{}", fmt::join(parts, "; "));
    }

    const OpenStore& store_;
    const std::vector<StoryEntry>& story_;
};

Json text_or_null(const std::string& text) {
    return text.empty() ? Json{} : Json(text);
}

Json value_json(const StoryFact& fact, const Zone& zone) {
    return fact.at ? Json(to_rfc3339(*fact.at, zone)) : text_or_null(fact.text);
}

Json entry_json(const StoryEntry& entry, const std::vector<StoryEntry>& story, const Zone& zone) {
    Json json = {
        {"entry", entry.entry.value()},
        {"entered_at", to_rfc3339(entry.stamp.entered_at, zone)},
        {"by", text_or_null(entry.stamp.by)},
        {"taken_by", text_or_null(entry.stamp.taken_by)},
        {"happened_at", entry.happened_at ? Json(to_rfc3339(*entry.happened_at, zone)) : Json{}},
        {"late", entry.late},
        {"why_late", text_or_null(entry.stamp.why_late)},
        {"kind", entry.kind},
        {"facts", Json::array()},
        {"why", text_or_null(entry.why)},
        {"void", entry.voids},
        {"of", entry.of ? Json(entry.of->value()) : Json{}},
        {"changes", Json::array()},
        {"amended_by", Json::array()}};
    for (const StoryFact& fact : entry.facts) {
        json["facts"].push_back({{"name", fact.name}, {"value", value_json(fact, zone)}});
    }
    for (const auto& change : entry.changes) {
        json["changes"].push_back({{"field", change.now.name},
                                   {"was", value_json(change.was, zone)},
                                   {"now", value_json(change.now, zone)}});
    }
    for (const StoryEntry& later : story) {
        if (later.of == entry.entry && (!later.changes.empty() || later.voids)) {
            json["amended_by"].push_back(later.entry.value());
        }
    }
    return json;
}

int run_history(const HistoryOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const Subject subject = subject_of(o, store);
    const auto story = store->corrections().story(wanted_by(o, subject, store));
    if (json) {
        Json document = {
            {"format", "holdwarden-story/1"},
            {"zone", store.zone().name()},
            {"of", {{"kind", text_or_null(subject.kind)}, {"name", text_or_null(subject.name)}}},
            {"entries", Json::array()}};
        for (const StoryEntry& entry : story) {
            document["entries"].push_back(entry_json(entry, story, store.zone()));
        }
        context.out << document.dump(2, ' ', false, Json::error_handler_t::replace) << "\n";
        return kDone;
    }
    context.out << (subject.name.empty() ? "The whole record"
                                         : subject.kind + " " + for_display(subject.name, 60))
                << fmt::format(": {} entr{}, in the order in which they were made.\n", story.size(),
                               story.size() == 1 ? "y" : "ies");
    const Teller teller{store, story};
    for (const StoryEntry& entry : story) {
        teller.tell(context.out, entry);
    }
    return kDone;
}

} // namespace

std::vector<Command> history_commands() {
    const auto options = std::make_shared<HistoryOptions>();
    return {{.name = "history",
             .help = "Every entry about a lot, probe, unit or person, as a story",
             .declare =
                 [options](Arguments& arguments) {
                     arguments.may("name", options->what,
                                   "A lot (or the beginning of its name), probe, unit or person; "
                                   "everything if left out");
                     arguments.option("--kind", options->kind,
                                      "Which the name is: lot, probe, unit or person");
                     arguments.option("--from", options->from,
                                      "Only what was entered or happened then or later");
                     arguments.option("--to", options->to, "Only what was before this");
                     arguments.option("--format", options->format, "text or json (text)");
                     options->store.declare_reading(arguments);
                     arguments.example("holdwarden history brisket-1");
                 },
             .run = [options](Context& context) { return run_history(*options, context); }}};
}

} // namespace holdwarden::cli
