#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/typed_entry.hpp>
#include <holdwarden/records/entry_rules.hpp>
#include <holdwarden/records/parts.hpp>

namespace holdwarden::cli {
namespace {

constexpr const char* kProbeVariable = "HOLDWARDEN_PROBE";

std::uint16_t watched_seconds(const std::string& text) {
    if (text.empty()) {
        return 0;
    }
    try {
        const Span span = parse_span(text);
        if (span.ms() % 1000 == 0 && span <= Span::hours(18)) {
            return static_cast<std::uint16_t>(span.ms() / 1000);
        }
    } catch (const Error& error) {
        throw error.at("--watched");
    }
    throw Error{ErrorKind::bad_input,
                {.what = "'" + for_display(text, 60) + "' is no time a reading is watched for",
                 .where = "--watched",
                 .fix = "give whole seconds, at most 18 hours, such as 30s"}};
}

} // namespace

void TypedArguments::declare(Arguments& arguments) {
    arguments.option("--point", point, "Where in the food (core)");
    arguments.option("--probe", probe, "Which thermometer");
    arguments.option("--watched", watched, "For how long it was seen to stay there: 30s");
}

records::TypedReading typed_reading(const TypedArguments& arguments, const OpenStore& store,
                                    records::Target target, Instant at, const std::string& value) {
    records::TypedReading reading{.target = std::move(target),
                                  .at = at,
                                  .value = store.temperature(value, "the temperature"),
                                  .probe = {},
                                  .watched_s = watched_seconds(arguments.watched)};
    if (!arguments.probe.empty()) {
        reading.probe = records::probe_named(*store, arguments.probe).id;
    }
    return reading;
}

std::string shown(const records::TypedReading& reading, const OpenStore& store,
                  const std::string& probe) {
    std::string text = to_text(reading.value) + " at " + store.shown(reading.at);
    if (!probe.empty()) {
        text += " by " + probe;
    }
    if (reading.watched_s != 0) {
        text += ", watched for " + to_text(Span::seconds(reading.watched_s));
    }
    return text;
}

std::string remark(records::Added added) {
    switch (added) {
    case records::Added::already_there:
        return " It was on record already; nothing was added.";
    case records::Added::conflict:
        return " Another value is on record for that instant: both are kept, and the worse counts.";
    case records::Added::yes:
        break;
    }
    return "";
}

std::string usual_probe(const OpenStore& store, const Context& context) {
    if (const auto named = context.env(kProbeVariable); named && !named->empty()) {
        return records::probe_named(*store, *named).facts.name;
    }
    const auto last = store->parts().last_hand_probe(store.now() - Span::hours(24));
    std::vector<std::string> free;
    for (const auto& probe : store->probes()) {
        if (last && probe.id == *last) {
            return probe.facts.name;
        }
        if (!store->open_placement(probe.id)) {
            free.push_back(probe.facts.name);
        }
    }
    return !last && free.size() == 1 ? free.front() : "";
}

} // namespace holdwarden::cli
