#include "plan_json.hpp"

#include <holdwarden/base/text.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/plan_values.hpp>
#include <holdwarden/heat/chest.hpp>
#include <holdwarden/heat/course.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <memory>
#include <ostream>
#include <string_view>

namespace holdwarden::cli {
namespace {

struct CaseOptions {
    std::string form = "brick";
    std::string length;
    std::string width;
    std::string thickness;
    std::string diameter;
    std::string food;
    std::string density;
    std::string heat_capacity;
    std::string conductivity;
    std::string start;
    std::string start_surface;
    std::string air;
    std::string h;
    std::vector<std::string> faces;
    std::vector<std::string> layers;
    std::string chest;
    std::string chest_ua;
    std::string wall = "40mm";
    std::string foam = "0.028";
    std::string chest_h = "8";
    std::string chest_capacity = "6200";
    std::string chest_start;
    std::string wall_capacity = "0";
    std::string leak = "0";
    std::string pieces = "1";
    std::string until = "8h";
    std::string step = "2min";
    std::string cells = "6";
    std::vector<std::string> at;
    std::vector<std::string> limits;
    std::string scale = "C";
    std::string format;
};

struct NamedPoint {
    const char* name;
    heat::Point point;
};
constexpr NamedPoint kPoints[] = {{"centre", &heat::State::centre},
                                  {"warmest", &heat::State::warmest},
                                  {"surface", &heat::State::surface},
                                  {"mean", &heat::State::mean},
                                  {"coldest", &heat::State::coldest}};

struct CaseAnswer {
    Scale scale = Scale::celsius;
    heat::Situation situation;
    heat::Converged run;
    Span step;
    std::vector<Span> at;
    std::vector<heat::Celsius> limits;
};

heat::Form form_of(const std::string& text) {
    constexpr std::array<std::pair<const char*, heat::Form>, 4> kForms{
        {{"slab", heat::Form::slab},
         {"brick", heat::Form::brick},
         {"cylinder", heat::Form::cylinder},
         {"sphere", heat::Form::sphere}}};
    for (const auto& [name, form] : kForms) {
        if (text == name) {
            return form;
        }
    }
    wrong_value(fmt::format("--form '{}' is not covered", for_display(text, 60)),
                "give slab, brick, cylinder or sphere");
}

heat::Material material_of(const CaseOptions& o) {
    const bool numbers = !o.density.empty() || !o.heat_capacity.empty() || !o.conductivity.empty();
    if (numbers == !o.food.empty()) {
        wrong_value("the material is not told, or told twice",
                    "give --food, or --density, --heat-capacity and --conductivity");
    }
    if (!numbers) {
        return heat::Material::of(known_food(o.food).composition);
    }
    return heat::Material::constant(
        {number_value({"--density", o.density, 10, 20000}, "kg/m3"),
         number_value({"--heat-capacity", o.heat_capacity, 100, 20000}, "J/(kg K)"),
         number_value({"--conductivity", o.conductivity, 0.001, 1000}, "W/(m K)")});
}

std::vector<std::string> words(std::string_view text, char by) {
    std::vector<std::string> out;
    for (;;) {
        const auto at = text.find(by);
        out.emplace_back(trimmed(text.substr(0, at)));
        if (at == std::string_view::npos) {
            return out;
        }
        text.remove_prefix(at + 1);
    }
}

heat::Side side_of(const std::string& text, const char* option) {
    constexpr std::array<const char*, 6> kSides{"left", "right", "front", "back", "bottom", "top"};
    const std::string name = text == "round" ? "left" : text;
    const auto found = std::find(kSides.begin(), kSides.end(), name);
    if (found == kSides.end()) {
        wrong_value(fmt::format("{} names no face: '{}'", option, for_display(text, 60)),
                    "give left, right, front, back, bottom, top or round");
    }
    return static_cast<heat::Side>(found - kSides.begin());
}

/// "top:h=20,air=3C,emissivity=0.9,film=0.1,wet=0.8"
void apply_face(heat::Body& body, const std::string& text) {
    const auto colon = text.find(':');
    if (colon == std::string::npos) {
        wrong_value(fmt::format("--face '{}' has no colon", for_display(text, 60)),
                    "write it like top:h=20,air=3C,emissivity=0.9,film=0.1,wet=0.8");
    }
    heat::Face& face = body.face(side_of(text.substr(0, colon), "--face"));
    for (const std::string& word : words(text.substr(colon + 1), ',')) {
        const auto equals = word.find('=');
        const std::string key = word.substr(0, equals);
        const std::string value = equals == std::string::npos ? "" : word.substr(equals + 1);
        if (key == "h") {
            face.surface.h_w_per_m2_k = number_value({"--face h", value, 0, 1e5}, "W/(m2 K)");
        } else if (key == "air") {
            face.air = celsius_value({"--face air", value, -40, 300});
        } else if (key == "emissivity") {
            face.surface.emissivity = number_value({"--face emissivity", value, 0, 1}, "");
        } else if (key == "film") {
            face.surface.film_m2_k_per_w = number_value({"--face film", value, 0, 100}, "m2 K/W");
        } else if (key == "wet") {
            face.surface.wet = true;
            face.surface.humidity = number_value({"--face wet", value, 0, 1}, "(humidity)");
        } else {
            wrong_value(fmt::format("--face does not know '{}'", for_display(key, 60)),
                        "give h, air, emissivity, film or wet");
        }
    }
}

/// "bottom:0.8mm,7900,477,14.9": thickness, density, heat capacity, conductivity; inmost first.
void apply_layer(heat::Body& body, const std::string& text) {
    const auto colon = text.find(':');
    const std::vector<std::string> parts = colon == std::string::npos
                                               ? std::vector<std::string>{}
                                               : words(text.substr(colon + 1), ',');
    if (parts.size() != 4) {
        wrong_value(fmt::format("--layer '{}' is not a layer", for_display(text, 60)),
                    "write it like bottom:0.8mm,7900,477,14.9 (thickness, kg/m3, J/(kg K), "
                    "W/(m K))");
    }
    body.face(side_of(text.substr(0, colon), "--layer"))
        .layers.push_back(
            {length_m({"--layer thickness", parts[0], 1e-5, 1.0}),
             heat::Material::constant(
                 {number_value({"--layer density", parts[1], 1, 20000}, "kg/m3"),
                  number_value({"--layer heat capacity", parts[2], 100, 20000}, "J/(kg K)"),
                  number_value({"--layer conductivity", parts[3], 0.001, 1000}, "W/(m K)")})});
}

heat::Body body_of(const CaseOptions& o) {
    heat::Body body{.form = form_of(o.form),
                    .length_m = 0.0,
                    .width_m = 0.0,
                    .thickness_m = 0.0,
                    .diameter_m = 0.0,
                    .material = material_of(o),
                    .faces = {}};
    const bool round = body.form == heat::Form::cylinder || body.form == heat::Form::sphere;
    if (body.form == heat::Form::brick) {
        body.length_m = length_m({"--length", o.length, 0.001, 5});
        body.width_m = length_m({"--width", o.width, 0.001, 5});
    }
    if (!round) {
        body.thickness_m = length_m({"--thickness", o.thickness, 0.001, 5});
    } else {
        body.diameter_m = length_m({"--diameter", o.diameter, 0.001, 5});
        if (body.form == heat::Form::cylinder && !o.length.empty()) {
            body.thickness_m = length_m({"--length", o.length, 0.001, 5});
        }
    }
    body.set_all({.h_w_per_m2_k = number_value({"--h", o.h, 0, 1e5}, "W/(m2 K)")});
    for (const std::string& face : o.faces) {
        apply_face(body, face);
    }
    for (const std::string& layer : o.layers) {
        apply_layer(body, layer);
    }
    return body;
}

std::optional<heat::Enclosure> enclosure_of(const CaseOptions& o, heat::Celsius air) {
    if (o.chest.empty() && o.chest_ua.empty()) {
        return std::nullopt;
    }
    if (!o.chest.empty() && !o.chest_ua.empty()) {
        wrong_value("the walls of the chest are told twice", "give --chest or --chest-ua");
    }
    heat::Enclosure e;
    e.capacity_j_per_k = number_value({"--chest-capacity", o.chest_capacity, 1, 1e8}, "J/K");
    e.wall_capacity_j_per_k = number_value({"--wall-capacity", o.wall_capacity, 0, 1e8}, "J/K");
    e.leak_w_per_k = number_value({"--leak", o.leak, 0, 1000}, "W/K");
    e.start =
        o.chest_start.empty() ? air : celsius_value({"--chest-start", o.chest_start, -40, 300});
    if (!o.chest_ua.empty()) {
        e.ua_w_per_k = number_value({"--chest-ua", o.chest_ua, 1e-4, 1e4}, "W/K");
        return e;
    }
    heat::Chest chest;
    const auto inside = lengths_m({"--chest", o.chest, 0.01, 10});
    chest.inside_length_m = inside[0];
    chest.inside_width_m = inside[1];
    chest.inside_height_m = inside[2];
    chest.wall_m = length_m({"--wall", o.wall, 0.001, 1});
    chest.foam_conductivity_w_per_m_k = number_value({"--foam", o.foam, 0.001, 100}, "W/(m K)");
    chest.inner_h_w_per_m2_k = number_value({"--chest-h", o.chest_h, 0.1, 1e4}, "W/(m2 K)");
    chest.outer_h_w_per_m2_k = chest.inner_h_w_per_m2_k;
    e.ua_w_per_k = heat::wall_conductance_w_per_k(chest);
    return e;
}

CaseAnswer answer(const CaseOptions& o) {
    CaseAnswer a;
    a.scale = scale_argument(o.scale);
    const heat::Celsius air = celsius_value({"--air", o.air, -40, 300});
    const heat::Celsius start = celsius_value({"--start", o.start, 0, 150});
    const heat::Celsius surface = o.start_surface.empty()
                                      ? start
                                      : celsius_value({"--start-surface", o.start_surface, 0, 150});
    a.situation = {.pieces = {{body_of(o),
                               {start, surface},
                               static_cast<int>(count_value("--pieces", o.pieces, 1000))}},
                   .air = air,
                   .enclosure = enclosure_of(o, air),
                   .cells_per_half = static_cast<int>(count_value("--cells", o.cells, 12)),
                   .tolerance_k = 1e-9};
    a.situation.cells_per_half = std::max(2, a.situation.cells_per_half);
    const Span until = span_value("--until", o.until, Span::hours(240));
    a.step = span_value("--step", o.step, Span::hours(1));
    if (until.ms() / a.step.ms() > 20000) {
        wrong_value("--step is too short for --until", "give at most 20000 steps");
    }
    for (const std::string& at : o.at) {
        a.at.push_back(span_value("--at", at, until));
    }
    if (a.at.empty()) {
        for (int i = 0; i <= 8; ++i) {
            a.at.push_back(Span::milliseconds(until.ms() * i / 8));
        }
    }
    for (const std::string& limit : o.limits) {
        a.limits.push_back(heat::celsius(limit_value("--limit", limit)));
    }
    a.run = heat::simulate_converged(a.situation, until, a.step);
    return a;
}

std::optional<Span> crossing(const CaseAnswer& a, heat::Point point, heat::Celsius limit) {
    const bool falls = a.run.course.front().pieces.front().*point >= limit;
    return falls ? heat::falls_below(a.run.course, 0, point, limit)
                 : heat::rises_above(a.run.course, 0, point, limit);
}

void print_text(std::ostream& out, const CaseAnswer& a) {
    out << fmt::format("Conduction case; two grids ({} and {} cells from centre to surface) and "
                       "steps ({} and half),\nput together by Richardson's rule.\n{}\n{:>9}",
                       a.situation.cells_per_half, 2 * a.situation.cells_per_half, to_text(a.step),
                       folded(kEstimateCaution, 0, 80), "hours");
    for (const NamedPoint& p : kPoints) {
        out << fmt::format("{:>12}", p.name);
    }
    out << fmt::format("{:>12}\n", "air");
    const auto number = [&](heat::Celsius t) {
        return a.scale == Scale::celsius ? t.degrees : t.degrees * 1.8 + 32.0;
    };
    for (const Span at : a.at) {
        out << fmt::format("{:9.4f}", at.in_seconds() / 3600.0);
        for (const NamedPoint& p : kPoints) {
            out << fmt::format("{:12.4f}", number(heat::value_at(a.run.course, 0, p.point, at)));
        }
        out << fmt::format("{:12.4f}\n", number(heat::air_at(a.run.course, at)));
    }
    for (const heat::Celsius limit : a.limits) {
        for (const NamedPoint& p : kPoints) {
            const auto at = crossing(a, p.point, limit);
            out << fmt::format("{:<8} passes {} {}\n", p.name, limit_text(limit, a.scale),
                               at ? fmt::format("at {:.5f} h", at->in_seconds() / 3600.0)
                                  : std::string{"not in this time"});
        }
    }
    // A difference of temperatures has no 32 in it.
    const heat::State& c = a.run.correction;
    const double size = a.scale == Scale::celsius ? 1.0 : 1.8;
    const char* unit = a.scale == Scale::celsius ? "C" : "F";
    out << fmt::format("Convergence: the rule took off at most {:.4f} {} degrees at the centre, "
                       "{:.4f} of the mean, {:.4f} at the surface.\nHeat balance closes to "
                       "{:.1e}.\n",
                       size * c.centre.degrees, unit, size * c.mean.degrees,
                       size * c.surface.degrees, a.run.imbalance);
}

void print_json(std::ostream& out, const CaseAnswer& a) {
    nlohmann::ordered_json rows = nlohmann::ordered_json::array();
    for (const Span at : a.at) {
        nlohmann::ordered_json row{{"at_s", at.in_seconds()}};
        for (const NamedPoint& p : kPoints) {
            row[fmt::format("{}_c", p.name)] = heat::value_at(a.run.course, 0, p.point, at).degrees;
        }
        row["air_c"] = heat::air_at(a.run.course, at).degrees;
        rows.push_back(row);
    }
    nlohmann::ordered_json crossings = nlohmann::ordered_json::array();
    for (const heat::Celsius limit : a.limits) {
        for (const NamedPoint& p : kPoints) {
            crossings.push_back({{"limit_c", limit.degrees},
                                 {"point", p.name},
                                 {"at_s", json_of(crossing(a, p.point, limit))}});
        }
    }
    nlohmann::ordered_json correction;
    for (const NamedPoint& p : kPoints) {
        correction[fmt::format("{}_k", p.name)] = (a.run.correction.*p.point).degrees;
    }
    const nlohmann::ordered_json json{{"format", "holdwarden-plan-case/1"},
                                      {"estimate", true},
                                      {"caution", kEstimateCaution},
                                      {"rows", rows},
                                      {"crossings", crossings},
                                      {"convergence", correction},
                                      {"heat_imbalance", a.run.imbalance}};
    out << json.dump(2) << "\n";
}

int run(const CaseOptions& o, Context& context) {
    const bool json = plan_wants_json(o.format);
    const CaseAnswer a = answer(o);
    json ? print_json(context.out, a) : print_text(context.out, a);
    return kDone;
}

} // namespace

std::vector<Command> plan_case_commands() {
    const auto o = std::make_shared<CaseOptions>();
    return {
        {.name = "plan case",
         .help = "Run a textbook conduction case with every physical input given",
         .declare =
             [o](Arguments& a) {
                 a.option("--form", o->form, "slab, brick, cylinder or sphere");
                 a.option("--length", o->length, "Left to right; of a cylinder: its height");
                 a.option("--width", o->width, "Front to back");
                 a.option("--thickness", o->thickness, "Bottom to top");
                 a.option("--diameter", o->diameter, "Of a cylinder or sphere");
                 a.option("--food", o->food, "Properties of a food by name, following temperature");
                 a.option("--density", o->density, "kg/m3");
                 a.option("--heat-capacity", o->heat_capacity, "J/(kg K)");
                 a.option("--conductivity", o->conductivity, "W/(m K)");
                 a.option("--start", o->start, "Temperature at the start (of the centre)");
                 a.option("--start-surface", o->start_surface, "Of the surface, if another");
                 a.option("--air", o->air, "Temperature around it");
                 a.option("--h", o->h, "Surface coefficient of every face, W/(m2 K)");
                 a.options("--face", o->faces,
                           "One face: top:h=20,air=3C,emissivity=0.9,film=0.1,wet=0.8");
                 a.options("--layer", o->layers, "A wall on a face: bottom:0.8mm,7900,477,14.9");
                 a.option("--chest", o->chest, "Inside of a closed chest, 50x32x30cm");
                 a.option("--chest-ua", o->chest_ua,
                          "Or conductance of all its walls, 1e-4 to 1e4 W/K");
                 a.option("--wall", o->wall, "Thickness of its wall, 1 mm to 1 m");
                 a.option("--foam", o->foam, "Conductivity of its foam, 0.001 to 100 W/(m K)");
                 a.option("--chest-h", o->chest_h, "Surface coefficient of its walls, W/(m2 K)");
                 a.option("--chest-capacity", o->chest_capacity,
                          "Heat capacity of its air and liner, 1 to 1e8 J/K");
                 a.option("--wall-capacity", o->wall_capacity,
                          "Heat capacity of its walls, half way out, 0 to 1e8 J/K");
                 a.option("--chest-start", o->chest_start, "Its temperature at the start");
                 a.option("--leak", o->leak, "Past its lid, 0 to 1000 W/K");
                 a.option("--pieces", o->pieces, "Equal pieces in it");
                 a.option("--until", o->until, "How long");
                 a.option("--step", o->step, "Time step of the coarser run");
                 a.option("--cells", o->cells,
                          "Cells from centre to surface, coarser run, 2 to 12");
                 a.options("--at", o->at, "Time to show; may be repeated");
                 a.options("--limit", o->limits, "Temperature whose crossing is sought");
                 a.option("--scale", o->scale, "F or C, for what is shown");
                 a.option("--format", o->format, "text or json");
                 a.example("holdwarden plan case --length 30cm --width 20cm --thickness 8cm "
                           "--density 1050 --heat-capacity 3150 --conductivity 0.44 --start 90C "
                           "--air 22C --h 8 --limit 60C");
             },
         .run = [o](Context& context) { return run(*o, context); }}};
}

} // namespace holdwarden::cli
