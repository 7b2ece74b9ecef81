#include <holdwarden/base/error.hpp>
#include <holdwarden/base/text.hpp>
#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/adopted_rules.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/dated_rules.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/store_use.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace holdwarden::cli {
namespace {

using Json = nlohmann::ordered_json;

struct AddOptions {
    StoreArguments store;
    std::string requirement;
    std::string limit;
    std::string within;
    std::string since;
    std::string why;
    std::string variance;
};

Error wrong_usage(std::string what, std::string fix) {
    return Error{ErrorKind::usage, {.what = std::move(what), .where = "", .fix = std::move(fix)}};
}

Span within_argument(const std::string& text) {
    try {
        return parse_span(text);
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at("--within").text()};
    }
}

void check_interval(const records::HouseLimit& limit, const AdoptedRules& rules) {
    if (limit.at || !limit.within) {
        throw wrong_usage("a largest interval is a length of time",
                          "give --within alone, such as --within 15min");
    }
    if (*limit.within >= rules.largest_interval) {
        throw Error{ErrorKind::conflict,
                    {.what = fmt::format("{} is no stricter than the largest interval the site "
                                         "follows, {}",
                                         to_text(*limit.within), to_text(rules.largest_interval)),
                     .where = "--within",
                     .fix = "give a shorter one, or change the site's with: holdwarden site "
                            "--max-gap"}};
    }
}

/// Held against the pack for every food kind it may meet. Throws what codes::house_requirement
/// throws: when no food has the requirement, or the figure is looser for one that has.
void check_against_code(const records::HouseLimit& limit, const std::string& by,
                        const codes::Pack& pack) {
    const codes::HouseLimit house{.requirement = limit.requirement,
                                  .at = limit.at,
                                  .within = limit.within,
                                  .since = limit.since,
                                  .who = by,
                                  .why = limit.why,
                                  .variance = limit.variance};
    bool fits = false;
    for (const FoodKind food : all_foods()) {
        if (pack.find_one(limit.requirement, food) != nullptr) {
            codes::house_requirement(house, pack, food);
            fits = true;
        }
    }
    if (!fits) {
        codes::house_requirement(house, pack, FoodKind::other_tcs);
    }
}

int run_add(const AddOptions& o, Context& context) {
    if (o.limit.empty() && o.within.empty()) {
        throw wrong_usage("no figure is given",
                          "give --limit with a temperature, --within with a time, or both");
    }
    const OpenStore store{o.store, context, store::Access::write};
    records::HouseLimit limit{.requirement = o.requirement,
                              .at = {},
                              .within = {},
                              .since = store.time(o.since, "--since"),
                              .why = o.why,
                              .variance = o.variance};
    if (!o.limit.empty()) {
        limit.at = store.temperature(o.limit, "--limit");
    }
    if (!o.within.empty()) {
        limit.within = within_argument(o.within);
    }
    const std::vector<AdoptedRules> adopted = adopted_rules(*store);
    const AdoptedRules& rules = rules_at(adopted, limit.since);
    if (limit.requirement == records::kLargestInterval) {
        check_interval(limit, rules);
    } else {
        check_against_code(limit, store.stamp().by, load_named_pack(context, rules.code));
    }
    const records::HouseLimitId id = store->house_rules().add(limit, store.stamp());
    context.out << "House limit " << id.value() << ": " << shown(limit) << ", from "
                << store.shown(limit.since) << store.entered(store.now()) << ".\n";
    if (!limit.variance.empty()) {
        context.out << "Approved plan or variance: " << for_display(limit.variance, 200)
                    << ". Every sheet of its time prints it.\n";
    }
    context.out << "It is judged beside the code, whose verdict stays as it is.\n";
    return kDone;
}

/// "2026-11-01 06:00 -07:00 until 2026-11-08 06:00 -07:00, replaced by 2".
std::string times_in_force(const OpenStore& store, const std::vector<InForce>& stretches) {
    std::string text;
    for (const InForce& one : stretches) {
        text += (text.empty() ? "" : "; again from ") + store.shown(one.from);
        text += one.until ? " until " + store.shown(*one.until) : "";
        text += one.replaced_by ? fmt::format(", replaced by {}", one.replaced_by->value()) : "";
    }
    return text.empty() ? "never: a later entry took its place" : text;
}

Json json_of(const OpenStore& store,
             const records::Dated<records::HouseLimitId, records::HouseLimit>& limit,
             const std::vector<InForce>& stretches) {
    const records::HouseLimit& facts = limit.set.facts;
    Json json{{"number", limit.set.id.value()},
              {"requirement", facts.requirement},
              {"limit", nullptr},
              {"within_s", nullptr},
              {"since", to_rfc3339(facts.since, store.zone())},
              {"by", limit.set.stamp.by},
              {"why", facts.why},
              {"variance", facts.variance.empty() ? Json{} : Json(facts.variance)},
              {"withdrawn", nullptr},
              {"in_force", Json::array()}};
    for (const InForce& one : stretches) {
        json["in_force"].push_back(
            {{"from", to_rfc3339(one.from, store.zone())},
             {"until", one.until ? Json(to_rfc3339(*one.until, store.zone())) : Json{}},
             {"replaced_by", one.replaced_by ? Json(one.replaced_by->value()) : Json{}}});
    }
    if (facts.at) {
        json["limit"] = {{"value", facts.at->degrees()},
                         {"scale", std::string{letter(facts.at->scale())}}};
    }
    if (facts.within) {
        json["within_s"] = facts.within->in_seconds();
    }
    if (limit.withdrawn) {
        json["withdrawn"] = {{"from", to_rfc3339(limit.withdrawn->from, store.zone())},
                             {"by", limit.withdrawn->by},
                             {"why", limit.withdrawn->why}};
    }
    return json;
}

int run_list(const ListOptions& o, Context& context) {
    const bool json = json_wanted(o.format);
    const OpenStore store{o.store, context, store::Access::read};
    Json all = Json::array();
    std::vector<std::vector<std::string>> rows{
        {"number", "limit", "in force from", "set by", "why", "plan or variance"}};
    const std::vector<AdoptedRules> rules = adopted_rules(*store);
    for (const auto& limit : store->house_rules().limits()) {
        const records::HouseLimit& facts = limit.set.facts;
        const std::vector<InForce> stretches = in_force(rules, limit.set.id);
        all.push_back(json_of(store, limit, stretches));
        std::string why = facts.why;
        if (limit.withdrawn) {
            why += "; withdrawn by " + limit.withdrawn->by + ": " + limit.withdrawn->why;
        }
        rows.push_back({std::to_string(limit.set.id.value()), shown(facts),
                        times_in_force(store, stretches), limit.set.stamp.by, why,
                        facts.variance.empty() ? "-" : facts.variance});
    }
    if (json) {
        context.out << Json{{"format", "holdwarden-house/1"}, {"limits", std::move(all)}}.dump(2)
                    << "\n";
    } else if (rows.size() == 1) {
        context.out << "No house limits: the code's alone are judged.\n";
    } else {
        context.out << table(rows);
    }
    return kDone;
}

} // namespace

std::vector<Command> house_commands() {
    const auto add = std::make_shared<AddOptions>();
    const auto list = std::make_shared<ListOptions>();
    return {
        {.name = "house add",
         .help = "Hold the kitchen to a stricter figure than the code's",
         .declare =
             [add](Arguments& arguments) {
                 arguments.need("requirement", add->requirement,
                                "The code's requirement (see codes show), or largest-interval");
                 arguments.option("--limit", add->limit, "Its temperature, such as 140F");
                 arguments.option("--within", add->within, "Its time, such as 4h or 15min");
                 arguments.option("--since", add->since, "From when it holds (now)");
                 arguments.option("--why", add->why, "Why the house wants it");
                 arguments.option("--variance", add->variance,
                                  "Reference of the approved plan or variance, for a figure looser "
                                  "than the code's");
                 add->store.declare_writing(arguments);
                 arguments.example("holdwarden house add hot-holding --limit 140F --why "
                                   "'a margin for the cabinet' --by RK");
             },
         .run = [add](Context& context) { return run_add(*add, context); }},
        withdraw_command<records::HouseLimitId>(
            {.word = "house",
             .title = "House limit",
             .help = "Let a house limit no longer hold",
             .example = "holdwarden house withdraw 1 --why 'new cabinet' --by RK"}),
        {.name = "house list",
         .help = "List the house limits, approved plans and variances",
         .declare =
             [list](Arguments& arguments) {
                 declare_list(*list, arguments, "holdwarden house list");
             },
         .run = [list](Context& context) { return run_list(*list, context); }},
    };
}

} // namespace holdwarden::cli
