#include "plan_json.hpp"

#include <holdwarden/base/time_text.hpp>
#include <holdwarden/cli/band_chart.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/icalendar.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/plan_values.hpp>
#include <holdwarden/cli/stored_lots.hpp>
#include <holdwarden/heat/plan_night.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct NightOptions {
    std::string serve;
    std::string zone;
    std::string cooking;
    std::vector<std::string> past;
    std::string past_food;
    StoreArguments store;
    std::string wrap = "0.55..0.75";
    std::string rest = "1h..2h";
    std::string hold = "1h";
    std::string warming_up = "45min";
    std::string seed = "1";
    std::string format;
    std::string calendar;
};

/// Hours in the cooking stage of the store's lots of one food kind that went on to another stage.
std::vector<double> past_cooks(const NightOptions& o, Context& context) {
    const FoodKind food = food_word(o.past_food, "--past-food");
    const OpenStore store{o.store, context, store::Access::read};
    std::vector<double> hours;
    for (const records::LotHistory& lot :
         gather_lots(store, {.names = {}, .all = true}, store.now(), kDefaultPack, Span::hours(2))
             .lots) {
        for (std::size_t i = 0; i + 1 < lot.stages.size() && lot.food == food; ++i) {
            if (lot.stages[i].stage == Stage::cooking) {
                hours.push_back((lot.stages[i + 1].from - lot.stages[i].from).in_seconds() /
                                3600.0);
                break;
            }
        }
    }
    if (hours.empty()) {
        wrong_value(
            fmt::format("no past lot of the kind {} has a finished cook on record", o.past_food),
            "give your estimate with --cook 10h..14h");
    }
    return hours;
}

heat::NightQuestion question_of(const NightOptions& o, const Zone& zone, Context& context) {
    heat::NightQuestion q;
    try {
        q.serve = parse_instant(o.serve, zone);
    } catch (const Error& error) {
        throw Error{ErrorKind::usage, error.at("--serve").text()};
    }
    for (const std::string& time : o.past) {
        q.past_cooking_h.push_back(hours_range({"--past", time, 0.1, 72}).middle());
    }
    if (!o.past_food.empty()) {
        q.past_cooking_h = past_cooks(o, context);
    }
    if (!o.cooking.empty()) {
        q.cooking_h = hours_range({"--cook", o.cooking, 0.1, 72});
    } else if (q.past_cooking_h.empty()) {
        wrong_value(
            "nothing says how long the cook takes",
            "give --cook 10h..14h, --past-food KIND for the store's lots, or --past for each "
            "past lot");
    }
    q.wrap_share = number_range({"--wrap", o.wrap, 0.0, 1.0}, "of the cook");
    q.resting_h = hours_range({"--rest", o.rest, 0.0, 24});
    q.least_hold = span_value("--hold", o.hold, Span::hours(24));
    q.warming_up = span_value("--warm-up", o.warming_up, Span::hours(6));
    q.seed = count_value("--seed", o.seed, 1'000'000'000);
    return q;
}

/// --zone, else the zone of the store's site.
Zone zone_of(const NightOptions& o, Context& context) {
    if (!o.zone.empty()) {
        return Zone::named(o.zone);
    }
    if (!has_store(o.store, context)) {
        wrong_value("no time zone is named, and there is no store whose site has one",
                    "give --zone, such as --zone America/Denver, or --store");
    }
    return OpenStore{o.store, context, store::Access::read}.zone();
}

std::string when(const heat::NightStep& step, const Zone& zone) {
    if (step.earliest == step.latest) {
        return local_text_with_offset(step.middle, zone);
    }
    return fmt::format("{} to {} (middle {})", local_text_with_offset(step.earliest, zone),
                       clock_text(step.latest, zone), clock_text(step.middle, zone));
}

void print_text(std::ostream& out, const heat::NightQuestion& q, const heat::NightPlan& plan,
                const Zone& zone, bool of_site) {
    out << fmt::format("Plan: night, back from service at {} ({}{})\n",
                       local_text_with_offset(q.serve, zone), zone.name(),
                       of_site ? ", the site's zone" : "");
    if (q.past_cooking_h.empty()) {
        out << fmt::format("Cooking time: your estimate, {:g} to {:g} h.\n", q.cooking_h.low,
                           q.cooking_h.high);
    } else {
        out << fmt::format(
            "Cooking time: {} past lot{}, median {:.1f} h, 10 to 90 % {:.1f} to "
            "{:.1f} h{}.\n",
            q.past_cooking_h.size(), q.past_cooking_h.size() == 1 ? "" : "s",
            heat::quantile(q.past_cooking_h, 0.5), heat::quantile(q.past_cooking_h, 0.1),
            heat::quantile(q.past_cooking_h, 0.9),
            q.past_cooking_h.size() < 5 ? "; so few that 15 % is allowed on top" : "");
    }
    out << folded(kEstimateCaution, 0, 80) << "\n";
    for (const heat::NightStep& step : plan.steps) {
        out << fmt::format("  {:<8} {}\n", step.name, when(step, zone));
    }
    out << fmt::format("\nReady with {} in hand {}; held for {} before service.\n",
                       to_text(q.least_hold), share_text(plan.share_in_time),
                       band_text(plan.hold, Span::hours(24)));
    out << "Somebody must be there:\n";
    Span total;
    for (const heat::Attendance& there : plan.attended) {
        total += there.to - there.from;
        out << fmt::format("  {} to {} ({})\n", local_text_with_offset(there.from, zone),
                           clock_text(there.to, zone), hours_text(there.to - there.from));
    }
    out << fmt::format("  {} in all, if nobody waits between\n", hours_text(total));
}

void print_json(std::ostream& out, const heat::NightQuestion& q, const heat::NightPlan& plan,
                const Zone& zone, bool of_site) {
    const auto at = [&](Instant i) { return to_rfc3339(i, zone); };
    nlohmann::ordered_json steps = nlohmann::ordered_json::array();
    for (const heat::NightStep& step : plan.steps) {
        steps.push_back({{"step", step.name},
                         {"earliest", at(step.earliest)},
                         {"middle", at(step.middle)},
                         {"latest", at(step.latest)}});
    }
    nlohmann::ordered_json there = nlohmann::ordered_json::array();
    for (const heat::Attendance& a : plan.attended) {
        there.push_back({{"from", at(a.from)}, {"to", at(a.to)}});
    }
    const nlohmann::ordered_json json{{"format", "holdwarden-plan-night/1"},
                                      {"estimate", true},
                                      {"caution", kEstimateCaution},
                                      {"serve", at(q.serve)},
                                      {"zone", zone.name()},
                                      {"zone_from", of_site ? "site" : "option"},
                                      {"put_on", at(plan.put_on)},
                                      {"steps", steps},
                                      {"attended", there},
                                      {"hold", json_of(plan.hold)},
                                      {"share_in_time", plan.share_in_time}};
    out << json.dump(2) << "\n";
}

std::string calendar_of(const heat::NightPlan& plan, const Zone& zone, Instant now) {
    std::vector<CalendarEvent> events;
    for (const heat::NightStep& step : plan.steps) {
        std::string id = step.name;
        std::replace(id.begin(), id.end(), ' ', '-');
        events.push_back(
            {fmt::format("{}-{}-{}@holdwarden", id, plan.put_on.unix_ms(), now.unix_ms()),
             step.earliest, step.latest + step.work, "Smoker: " + step.name,
             fmt::format("{}\n{}", when(step, zone), kEstimateCaution)});
    }
    return icalendar(events, now);
}

int run(const NightOptions& o, Context& context) {
    const bool json = plan_wants_json(o.format);
    const Zone zone = zone_of(o, context);
    const heat::NightQuestion q = question_of(o, zone, context);
    const heat::NightPlan plan = heat::plan_night(q);
    if (!o.calendar.empty()) {
        write_file(calendar_of(plan, zone, context.now()), o.calendar);
    }
    const bool of_site = o.zone.empty();
    json ? print_json(context.out, q, plan, zone, of_site)
         : print_text(context.out, q, plan, zone, of_site);
    return kDone;
}

} // namespace

std::vector<Command> plan_night_commands() {
    const auto o = std::make_shared<NightOptions>();
    return {{.name = "plan night",
             .help = "Plan a cook back from the time of service: put on, wrap, finish, hold",
             .declare =
                 [o](Arguments& a) {
                     a.option("--serve", o->serve, "Time of service, 2026-11-28 11:00 or RFC 3339");
                     a.option(
                         "--zone", o->zone,
                         "Time zone, such as America/Denver (else the zone of the store's site)");
                     a.option("--cook", o->cooking, "Your estimate of the cook: 10h..14h");
                     a.options("--past", o->past, "Cooking time of a past lot; repeat for each");
                     a.option("--past-food", o->past_food,
                              "Take the cooking times of the store's lots of this food kind");
                     o->store.declare_reading(a);
                     a.option("--wrap", o->wrap, "Share of the cook at which it is wrapped");
                     a.option("--rest", o->rest, "Rest after the cook");
                     a.option("--hold", o->hold, "Least time in hand before service");
                     a.option("--warm-up", o->warming_up, "Lighting and warming the smoker");
                     a.option("--seed", o->seed, "Seed of the samples: same seed, same plan");
                     a.option("--format", o->format, "text or json");
                     a.option("--calendar", o->calendar,
                              "Also write the steps as a calendar file (iCalendar)");
                     a.example("holdwarden plan night --serve '2026-11-28 11:00' --zone "
                               "America/Denver --cook 10h..14h");
                 },
             .run = [o](Context& context) { return run(*o, context); }}};
}

} // namespace holdwarden::cli
