#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/check_words.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/store_use.hpp>
#include <holdwarden/records/checks.hpp>
#include <holdwarden/records/entry_rules.hpp>

#include <nlohmann/json.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;
using records::CheckMethod;
using records::ProbeCheck;

struct ChecksOptions {
    StoreArguments store;
    std::string probe;
    std::string format;
};

Json json_of(Temperature t) {
    return {{"value", t.degrees()}, {"scale", std::string{letter(t.scale())}}};
}

Json json_of(TemperatureDelta d) {
    return {{"value", d.thousandths() / 1000.0}, {"scale", std::string{letter(d.scale())}}};
}

template <class T>
Json maybe(const std::optional<T>& value) {
    return value ? json_of(*value) : Json{};
}

Json text_or_null(const std::string& text) {
    return text.empty() ? Json{} : Json(text);
}

Json json_of(const OpenStore& store, const records::Recorded<records::CheckId, ProbeCheck>& check) {
    const ProbeCheck& facts = check.facts;
    const bool judged = facts.method != CheckMethod::side_by_side;
    return {{"at", to_rfc3339(facts.at, store.zone())},
            {"method", to_name(facts.method)},
            {"found", json_of(facts.found)},
            {"expected", json_of(facts.expected)},
            {"error_found", json_of(error_found(facts))},
            {"left", maybe(facts.left)},
            {"error_left", json_of(error_left(facts))},
            {"tolerance", json_of(facts.tolerance)},
            {"passed", judged ? Json(passed(facts)) : Json{}},
            {"usable_after", judged ? Json(usable_after(facts)) : Json{}},
            {"pressure_pa", facts.pressure ? Json(facts.pressure->pascals) : Json{}},
            {"altitude", facts.altitude ? Json(to_text(*facts.altitude)) : Json{}},
            {"reference", text_or_null(facts.reference)},
            {"certificate", text_or_null(facts.certificate)},
            {"person", text_or_null(facts.person)},
            {"note", facts.note},
            {"entered_at", to_rfc3339(check.stamp.entered_at, store.zone())},
            {"entered_by", text_or_null(check.stamp.by)}};
}

struct Told {
    records::CheckState state;
    records::Thermometer probe;
    std::vector<records::Recorded<records::CheckId, ProbeCheck>> checks;
    std::vector<Instant> missed; ///< on record
};

Told told_of(const OpenStore& store, const std::string& name) {
    const auto probe = records::probe_named(*store, name);
    std::vector<Instant> missed;
    for (const auto& one : store->checks().missed()) {
        if (one.facts.probe == probe.id) {
            missed.push_back(one.facts.due);
        }
    }
    for (const records::CheckState& state : records::check_states(*store, store.now())) {
        if (state.probe == probe.id) {
            return {.state = state,
                    .probe = probe.facts,
                    .checks = store->checks().checks(probe.id),
                    .missed = missed};
        }
    }
    return {.state = {.probe = probe.id, .name = name},
            .probe = probe.facts,
            .checks = {},
            .missed = missed};
}

void print_json(const OpenStore& store, const Told& told, std::ostream& out) {
    const auto instants = [&](const std::vector<Instant>& all) {
        Json list = Json::array();
        for (const Instant at : all) {
            list.push_back(to_rfc3339(at, store.zone()));
        }
        return list;
    };
    Json checks = Json::array();
    for (const auto& check : told.checks) {
        checks.push_back(json_of(store, check));
    }
    const Json answer{
        {"format", "holdwarden-probe-checks/1"},
        {"probe", told.probe.name},
        {"standing", to_name(told.state.standing)},
        {"due", told.state.due ? Json(to_rfc3339(*told.state.due, store.zone())) : Json{}},
        {"display_too_coarse",
         told.probe.display_step ? Json(records::too_coarse(*told.probe.display_step)) : Json{}},
        {"missed", instants(told.missed)},
        {"missed_not_yet_on_record", instants(told.state.missed_now)},
        {"checks", checks}};
    out << answer.dump(2) << "\n";
}

void print_text(const OpenStore& store, const Told& told, std::ostream& out) {
    out << for_display(told.probe.name) << ": " << to_words(told.state.standing);
    if (told.state.due) {
        out << (told.state.standing == records::CheckState::Standing::overdue ? ", due since "
                                                                              : ", next due ")
            << store.shown(*told.state.due);
    }
    out << ".\n";
    if (told.probe.display_step && records::too_coarse(*told.probe.display_step)) {
        out << "Its display moves in steps of " << size_text(*told.probe.display_step)
            << ": too coarse for food (FDA Food Code 2022, 4-204.112).\n";
    }
    for (const auto& check : told.checks) {
        out << store.shown(check.facts.at) << "  " << check_sentence(told.probe.name, check.facts)
            << (check.facts.person.empty() ? "" : ", by " + for_display(check.facts.person))
            << ".\n";
    }
    for (const Instant due : told.missed) {
        out << store.shown(due) << "  MISSED: a check was due and not made.\n";
    }
    for (const Instant due : told.state.missed_now) {
        out << store.shown(due)
            << "  MISSED: a check was due and not made (not yet on record: holdwarden probe "
               "missed).\n";
    }
}

int run_checks(const ChecksOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    const Told told = told_of(store, o.probe);
    json ? print_json(store, told, context.out) : print_text(store, told, context.out);
    return kDone;
}

} // namespace

std::vector<Command> probe_checks_commands() {
    const auto checks = std::make_shared<ChecksOptions>();
    return {{.name = "probe checks",
             .help = "Show a thermometer's checks: made, missed, next due",
             .declare =
                 [checks](Arguments& arguments) {
                     arguments.need("probe", checks->probe, "The thermometer");
                     checks->store.declare_reading(arguments);
                     arguments.option("--format", checks->format, "text or json");
                     arguments.example("holdwarden probe checks p1");
                 },
             .run = [checks](Context& context) { return run_checks(*checks, context); }}};
}

} // namespace holdwarden::cli
