#include "plan_json.hpp"

#include <holdwarden/cli/band_chart.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/plan_limits.hpp>
#include <holdwarden/cli/plan_values.hpp>
#include <holdwarden/heat/plan_rest.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct RestOptions {
    std::string food = "beef-brisket";
    std::string mass;
    std::string length;
    std::string width;
    std::string thickness;
    std::string diameter;
    std::string pieces = "1";
    std::string start = "200F";
    std::string place = "counter";
    std::string air;
    std::string h;
    std::string chest = "50x32x30cm";
    std::string wall = "40mm";
    std::string foam = "0.028";
    std::string chest_ua;
    std::string chest_capacity;
    std::string wall_capacity;
    std::string leak;
    std::string chest_start;
    std::string hot_water;
    std::string hot_water_at = "190F";
    std::string towels;
    std::vector<std::string> limits;
    std::string code = kDefaultPack;
    std::string until = "12h";
    std::string samples = "200";
    std::string seed = "1";
    std::string scale = "F";
    std::string format;
    std::string svg;
};

enum class Place { counter, chest, cabinet };

struct Comparison {
    std::string what;
    heat::RestPlan plan;
};

struct RestAnswer {
    Scale scale = Scale::fahrenheit;
    heat::RestQuestion question;
    heat::RestPlan plan;
    std::vector<Comparison> beside;
    std::string place;
};

Place place_of(const RestOptions& o) {
    if (o.place == "counter") {
        return Place::counter;
    }
    if (o.place == "chest") {
        return Place::chest;
    }
    if (o.place == "cabinet") {
        return Place::cabinet;
    }
    wrong_value(fmt::format("--place '{}' is not known", o.place),
                "give counter, chest or cabinet");
}

std::vector<heat::Part> parts_of(const RestOptions& o) {
    const heat::Material material = heat::Material::of(known_food(o.food).composition);
    const bool sized =
        !o.length.empty() || !o.width.empty() || !o.thickness.empty() || !o.diameter.empty();
    if (!sized) {
        const std::string mass = o.mass.empty() ? "3.25kg" : o.mass;
        return heat::usual_parts(mass_kg({"--mass", mass, 0.1, 100}), material,
                                 o.food.starts_with("beef"));
    }
    heat::Part part{.name = "core",
                    .form = heat::Form::brick,
                    .length_m = 0.0,
                    .width_m = 0.0,
                    .thickness_m = 0.0,
                    .diameter_m = 0.0,
                    .joined = false,
                    .material = material};
    if (!o.diameter.empty()) {
        part.form = heat::Form::cylinder;
        part.diameter_m = length_m({"--diameter", o.diameter, 0.01, 1.0});
        part.thickness_m = length_m({"--length", o.length, 0.01, 2.0});
        return {part};
    }
    part.length_m = length_m({"--length", o.length, 0.01, 2.0});
    part.width_m = length_m({"--width", o.width, 0.01, 2.0});
    part.thickness_m = length_m({"--thickness", o.thickness, 0.005, 1.0});
    return {part};
}

heat::ChestQuestion chest_of(const RestOptions& o, const heat::Range& air) {
    heat::ChestQuestion q;
    const auto inside = lengths_m({"--chest", o.chest, 0.05, 3.0});
    q.chest.inside_length_m = inside[0];
    q.chest.inside_width_m = inside[1];
    q.chest.inside_height_m = inside[2];
    q.chest.wall_m = length_m({"--wall", o.wall, 0.003, 0.3});
    q.chest.foam_conductivity_w_per_m_k = number_value({"--foam", o.foam, 0.01, 0.2}, "W/(m K)");
    if (!o.chest_ua.empty()) {
        q.ua_w_per_k = number_range({"--chest-ua", o.chest_ua, 0.01, 100}, "W/K");
    }
    if (!o.chest_capacity.empty()) {
        q.chest.capacity_j_per_k =
            number_value({"--chest-capacity", o.chest_capacity, 100, 1e6}, "J/K");
    }
    if (!o.wall_capacity.empty()) {
        q.wall_capacity_j_per_k = number_value({"--wall-capacity", o.wall_capacity, 0, 1e6}, "J/K");
    }
    if (!o.leak.empty()) {
        q.leak_w_per_k = number_range({"--leak", o.leak, 0, 100}, "W/K");
    }
    q.start_c =
        o.chest_start.empty() ? air : celsius_range({"--chest-start", o.chest_start, -1, 120});
    if (!o.towels.empty()) { // cotton, 1340 J/(kg K) (handbook value, from memory)
        q.filling_j_per_k = 1340.0 * mass_kg({"--towels", o.towels, 0.01, 50});
    }
    if (!o.hot_water.empty()) {
        const double kg = mass_kg({"--hot-water", o.hot_water, 0.1, 200});
        const heat::Celsius at = celsius_value({"--hot-water-at", o.hot_water_at, 20, 100});
        heat::Chest filled = q.chest;
        filled.capacity_j_per_k += q.filling_j_per_k;
        // Some of it is lost while the chest stands open: 5 K under the mixing rule at worst.
        const double top = heat::preheated(filled, heat::Celsius{air.middle()}, kg, at).degrees;
        q.start_c = {top - 5.0, top};
    }
    return q;
}

heat::RestQuestion question_of(const RestOptions& o, Context& context, Scale scale) {
    heat::RestQuestion q;
    q.parts = parts_of(o);
    q.pieces = static_cast<int>(count_value("--pieces", o.pieces, 100));
    q.start_centre_c = celsius_range({"--start", o.start, 0, 120});
    const Place place = place_of(o);
    const char* usual_air = place == Place::cabinet ? "150F..154F" : "65F..75F";
    const std::string air = o.air.empty() ? usual_air : o.air;
    q.air_c = celsius_range({"--air", air, -1, 150});
    const char* usual_h = place == Place::cabinet ? "8..15" : "5..9";
    const std::string h = o.h.empty() ? usual_h : o.h;
    q.h_w_per_m2_k = number_range({"--h", h, 0.1, 1000}, "W/(m2 K)");
    q.resting_face_factor = place == Place::cabinet ? 1.0 : 0.5;
    if (place == Place::chest) {
        q.chest = chest_of(o, q.air_c);
    } else if (!(o.chest_ua + o.chest_capacity + o.wall_capacity + o.leak + o.chest_start +
                 o.hot_water + o.towels)
                    .empty()) {
        wrong_value("--chest-ua, --chest-capacity, --wall-capacity, --leak, --chest-start, "
                    "--hot-water and --towels are of a chest",
                    "give --place chest with them");
    }
    q.until = span_value("--until", o.until, Span::hours(96));
    q.samples = count_value("--samples", o.samples, 5000);
    q.seed = count_value("--seed", o.seed, 1'000'000'000);
    for (const std::string& limit : o.limits) {
        q.limits.push_back(heat::celsius(limit_value("--limit", limit)));
    }
    if (q.limits.empty()) { // what many kitchens aim at (common practice), and the code's figure
        const auto limit = hot_holding_limit(load_named_pack(context, o.code), scale);
        if (!limit) {
            wrong_value(fmt::format("--code {} has no hot-holding limit", o.code),
                        "name the temperatures with --limit");
        }
        q.limits = {heat::celsius(Temperature::of_degrees(140, Scale::fahrenheit)),
                    heat::celsius(*limit)};
    }
    return q;
}

/// What warming the chest or one more piece would add.
std::vector<Comparison> compare(const heat::RestQuestion& asked) {
    std::vector<Comparison> out;
    heat::RestQuestion q = asked;
    q.samples = std::min<std::size_t>(asked.samples, 60);
    if (asked.chest) {
        q.chest->start_c = {60.0, 65.0};
        out.push_back({"chest warmed to 140..149 °F (60..65 °C) first", heat::plan_rest(q)});
        q = asked;
        q.samples = std::min<std::size_t>(asked.samples, 60);
    }
    if (asked.chest) {
        q.pieces = asked.pieces + 1;
        out.push_back({"one more piece in the same chest", heat::plan_rest(q)});
    }
    return out;
}

BandChart chart_of(const RestAnswer& a) {
    BandChart chart{.title = fmt::format("Rest, {} (estimate)", a.place),
                    .times = a.plan.times,
                    .clock = {},
                    .series = {},
                    .limits = a.question.limits,
                    .scale = a.scale};
    for (const heat::PlannedPoint& point : a.plan.points) {
        chart.series.push_back({point.name, point.course});
    }
    if (a.question.chest) {
        chart.series.push_back({"air", a.plan.air});
    }
    return chart;
}

void print_text(std::ostream& out, const RestAnswer& a) {
    const heat::RestQuestion& q = a.question;
    out << fmt::format("Plan: rest, {}; {} piece{} of about {:.1f} kg ({:.1f} lb) cooked\n",
                       a.place, q.pieces, q.pieces == 1 ? "" : "s", a.plan.piece_kg,
                       a.plan.piece_kg / 0.45359237);
    out << fmt::format("From {} to {} at the core; air {} to {}; surface {:g} to {:g} W/(m2 K)\n",
                       degrees_text(heat::Celsius{q.start_centre_c.low}, a.scale),
                       degrees_text(heat::Celsius{q.start_centre_c.high}, a.scale),
                       degrees_text(heat::Celsius{q.air_c.low}, a.scale),
                       degrees_text(heat::Celsius{q.air_c.high}, a.scale), q.h_w_per_m2_k.low,
                       q.h_w_per_m2_k.high);
    out << fmt::format("{} samples, seed {}; each band runs from 10 to 90 %.\n{}\n", q.samples,
                       q.seed, folded(kEstimateCaution, 0, 80));
    for (const heat::PlannedPoint& point : a.plan.points) {
        for (const heat::CrossingBand& crossing : point.crossings) {
            out << fmt::format("  {:<8} passes {:<9} after {}\n", point.name,
                               limit_text(crossing.limit, a.scale),
                               band_text(crossing.time, q.until));
        }
    }
    const heat::PlannedPoint& thin = a.plan.points[a.plan.points.size() - 2];
    const heat::CrossingBand& last = thin.crossings.back();
    out << fmt::format("\nCount on the {} staying at {} or above for {}: the early edge.\n"
                       "Surfaces and edges are cooler than any middle; probe the thinnest part.\n",
                       thin.name, limit_text(last.limit, a.scale),
                       last.time.low ? hours_text(*last.time.low) : "all of " + to_text(q.until));
    for (const Comparison& beside : a.beside) {
        const heat::PlannedPoint& point = beside.plan.points[beside.plan.points.size() - 2];
        out << fmt::format("  With {}:\n    {} passes {} after {}\n", beside.what, point.name,
                           limit_text(last.limit, a.scale),
                           band_text(point.crossings.back().time, q.until));
    }
    out << "\n" << text_chart(chart_of(a));
}

nlohmann::ordered_json points_json(const heat::RestPlan& plan, bool courses) {
    nlohmann::ordered_json points = nlohmann::ordered_json::array();
    for (const heat::PlannedPoint& point : plan.points) {
        nlohmann::ordered_json crossings = nlohmann::ordered_json::array();
        for (const heat::CrossingBand& crossing : point.crossings) {
            nlohmann::ordered_json one = json_of(crossing.time);
            one["limit_c"] = crossing.limit.degrees;
            crossings.push_back(one);
        }
        nlohmann::ordered_json one{{"point", point.name}, {"crossings", crossings}};
        if (courses) {
            one["course"] = json_of(point.course);
        }
        points.push_back(one);
    }
    return points;
}

void print_json(std::ostream& out, const RestAnswer& a) {
    nlohmann::ordered_json beside = nlohmann::ordered_json::array();
    for (const Comparison& c : a.beside) {
        beside.push_back({{"with", c.what}, {"points", points_json(c.plan, false)}});
    }
    const nlohmann::ordered_json json{
        {"format", "holdwarden-plan-rest/1"}, {"estimate", true},
        {"caution", kEstimateCaution},        {"place", a.place},
        {"piece_kg", a.plan.piece_kg},        {"pieces", a.question.pieces},
        {"samples", a.question.samples},      {"seed", a.question.seed},
        {"times_s", json_of(a.plan.times)},   {"points", points_json(a.plan, true)},
        {"air", json_of(a.plan.air)},         {"beside", beside}};
    out << json.dump(2) << "\n";
}

int run(const RestOptions& o, Context& context) {
    const bool json = plan_wants_json(o.format);
    RestAnswer a;
    a.scale = scale_argument(o.scale);
    a.question = question_of(o, context, a.scale);
    a.place = o.place;
    a.plan = heat::plan_rest(a.question);
    a.beside = compare(a.question);
    if (!o.svg.empty()) {
        write_svg(chart_of(a), o.svg);
    }
    json ? print_json(context.out, a) : print_text(context.out, a);
    return kDone;
}

} // namespace

std::vector<Command> plan_rest_commands() {
    const auto o = std::make_shared<RestOptions>();
    return {
        {.name = "plan rest",
         .help = "Estimate how long food stays hot: on a counter, in a chest or a cabinet",
         .declare =
             [o](Arguments& a) {
                 a.option("--food", o->food, "Food by name, such as beef-brisket, pork-shoulder");
                 a.option("--mass", o->mass, "Cooked mass of a piece, such as 3.3kg or 7lb");
                 a.option("--length", o->length, "Instead of a mass: length, such as 30cm or 12in");
                 a.option("--width", o->width, "Width");
                 a.option("--thickness", o->thickness, "Thickness");
                 a.option("--diameter", o->diameter, "Of a round piece, with --length");
                 a.option("--pieces", o->pieces, "How many pieces lie together");
                 a.option("--start", o->start,
                          "Core temperature at the start, or a range 198F..205F");
                 a.option("--place", o->place, "counter, chest or cabinet");
                 a.option("--air", o->air,
                          "Around it (in a cabinet: its setting), such as 60F..70F");
                 a.option("--h", o->h, "Surface coefficient, W/(m2 K), such as 5..9");
                 a.option("--chest", o->chest, "Inside of the chest, such as 50x32x30cm");
                 a.option("--wall", o->wall, "Thickness of its wall, such as 40mm (3 to 300 mm)");
                 a.option("--foam", o->foam, "Conductivity of its foam, 0.01 to 0.2 W/(m K)");
                 a.option("--chest-ua", o->chest_ua,
                          "Instead of --wall and --foam: conductance of all its walls, 0.01 to 100 "
                          "W/K, such as 0.5..0.7");
                 a.option("--chest-capacity", o->chest_capacity,
                          "Heat capacity of its air, liner and inner foam, 100 to 1e6 J/K (else "
                          "6200)");
                 a.option("--wall-capacity", o->wall_capacity,
                          "Heat capacity of its walls, half way out, 0 to 1e6 J/K (else 0)");
                 a.option("--leak", o->leak, "Past its lid, 0 to 100 W/K (else 0.05..0.2)");
                 a.option("--chest-start", o->chest_start, "Inside temperature at the start");
                 a.option("--hot-water", o->hot_water, "Warmed with so much hot water first: 8kg");
                 a.option("--hot-water-at", o->hot_water_at, "Temperature of that water");
                 a.option("--towels", o->towels, "Towels filling the space, such as 1kg");
                 a.options("--limit", o->limits, "Temperature to watch for; may be repeated");
                 a.option("--code", o->code, "Code pack whose hot-holding limit is watched");
                 a.option("--until", o->until, "How far to look");
                 a.option("--samples", o->samples, "How many samples");
                 a.option("--seed", o->seed, "Seed of the samples: same seed, same plan");
                 a.option("--scale", o->scale, "F or C, for what is shown");
                 a.option("--format", o->format, "text or json");
                 a.option("--svg", o->svg, "Also draw the chart into this file");
                 a.example("holdwarden plan rest --food beef-brisket --mass 3.3kg --place chest "
                           "--hot-water 8kg");
             },
         .run = [o](Context& context) { return run(*o, context); }}};
}

} // namespace holdwarden::cli
