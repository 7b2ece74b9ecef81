#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/plan_rest.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace holdwarden::heat {
namespace {

enum Coordinate : std::size_t {
    kSize,
    kConductivity,
    kStart,
    kAir,
    kH,
    kWall,
    kLeak,
    kChestStart,
    kCoordinates
};

Body body_of(const Part& part, double size, double h, double resting) {
    Body body{.form = part.form,
              .length_m = part.length_m * size,
              .width_m = part.width_m * size,
              .thickness_m = part.thickness_m * size,
              .diameter_m = part.diameter_m * size,
              .material = part.material};
    body.set_all(Surface{.h_w_per_m2_k = h});
    body.face(Side::bottom).surface.h_w_per_m2_k *= resting;
    return body;
}

double thinness(const Part& part) noexcept {
    const bool round = part.form == Form::cylinder || part.form == Form::sphere;
    return round ? part.diameter_m : part.thickness_m;
}

void check(const RestQuestion& question) {
    const auto not_covered = [](const std::string& what) {
        throw Error{ErrorKind::bad_input,
                    {.what = "not covered: " + what,
                     .where = "plan",
                     .fix = "freezing and thawing change the food in ways this model leaves out"}};
    };
    if (question.parts.empty() || question.samples < 1 || question.samples > 100000) {
        throw Error{ErrorKind::bad_input,
                    {.what = "a plan needs a piece and 1 to 100000 samples",
                     .where = "samples",
                     .fix = "give --samples 200"}};
    }
    if (question.start_centre_c.low < 0.0) {
        not_covered("food that starts frozen");
    }
    if (question.air_c.low < -1.0) {
        not_covered("a rest or hold in air below freezing");
    }
    if (question.until <= Span{} || question.every <= Span{}) {
        throw Error{ErrorKind::bad_input,
                    {.what = "a plan of no length",
                     .where = "until, every",
                     .fix = "give a time above 0, such as 12h"}};
    }
}

} // namespace

Situation rest_situation(const RestQuestion& q, std::span<const double> u) {
    Situation s;
    s.cells_per_half = q.cells_per_half;
    s.tolerance_k = 1e-3;
    s.air = Celsius{q.air_c.at(u[kAir])};
    const double centre = q.start_centre_c.at(u[kStart]);
    for (Part part : q.parts) {
        part.material = part.material.conducting(q.conductivity_factor.at(u[kConductivity]));
        // No heat passes where two parts are joined: the same as half of a body twice as long.
        part.length_m *= part.joined ? 2.0 : 1.0;
        s.pieces.push_back({body_of(part, q.size_factor.at(u[kSize]), q.h_w_per_m2_k.at(u[kH]),
                                    q.resting_face_factor),
                            {Celsius{centre}, Celsius{centre + q.start_surface_minus_centre_k}},
                            q.pieces,
                            part.joined ? 0.5 : 1.0});
    }
    if (q.chest) {
        const ChestQuestion& c = *q.chest;
        s.enclosure = Enclosure{.capacity_j_per_k = c.chest.capacity_j_per_k + c.filling_j_per_k,
                                .ua_w_per_k = c.ua_w_per_k ? c.ua_w_per_k->at(u[kWall])
                                                           : wall_conductance_w_per_k(c.chest) *
                                                                 c.wall_factor.at(u[kWall]),
                                .leak_w_per_k = c.leak_w_per_k.at(u[kLeak]),
                                .wall_capacity_j_per_k = c.wall_capacity_j_per_k,
                                .start = Celsius{c.start_c.at(u[kChestStart])}};
    }
    return s;
}

RestPlan plan_rest(const RestQuestion& q) {
    check(q);
    RestPlan plan;
    for (Span at; at <= q.until; at += q.every) {
        plan.times.push_back(at);
    }
    const auto thinnest = static_cast<std::size_t>(
        std::min_element(q.parts.begin(), q.parts.end(),
                         [](const Part& a, const Part& b) { return thinness(a) < thinness(b); }) -
        q.parts.begin());
    struct Wanted {
        std::string name;
        std::size_t part;
        Point point;
    };
    std::vector<Wanted> wanted;
    for (std::size_t p = 0; p < q.parts.size(); ++p) {
        wanted.push_back({q.parts[p].name, p, &State::centre});
    }
    wanted.push_back({"surface", thinnest, &State::surface});
    std::vector<std::vector<std::vector<double>>> values(
        wanted.size(), std::vector<std::vector<double>>(plan.times.size()));
    std::vector<std::vector<double>> air(plan.times.size());
    std::vector<std::vector<std::vector<std::optional<Span>>>> crossings(
        wanted.size(), std::vector<std::vector<std::optional<Span>>>(q.limits.size()));
    const Stepping stepping{
        .until = q.until, .first = Span::minutes(1), .largest = Span::minutes(20)};
    for (const auto& u : stratified(q.samples, kCoordinates, q.seed)) {
        const Situation situation = rest_situation(q, u);
        const Course course = simulate(situation, stepping);
        for (std::size_t w = 0; w < wanted.size(); ++w) {
            for (std::size_t i = 0; i < plan.times.size(); ++i) {
                values[w][i].push_back(
                    value_at(course, wanted[w].part, wanted[w].point, plan.times[i]).degrees);
            }
            for (std::size_t l = 0; l < q.limits.size(); ++l) {
                crossings[w][l].push_back(
                    falls_below(course, wanted[w].part, wanted[w].point, q.limits[l]));
            }
        }
        for (std::size_t i = 0; i < plan.times.size(); ++i) {
            air[i].push_back(air_at(course, plan.times[i]).degrees);
        }
    }
    for (std::size_t w = 0; w < wanted.size(); ++w) {
        PlannedPoint point{wanted[w].name, {}, {}};
        for (const auto& at : values[w]) {
            point.course.push_back(band_of(at));
        }
        for (std::size_t l = 0; l < q.limits.size(); ++l) {
            point.crossings.push_back({q.limits[l], band_of(crossings[w][l])});
        }
        plan.points.push_back(std::move(point));
    }
    for (const auto& at : air) {
        plan.air.push_back(band_of(at));
    }
    for (const Part& part : q.parts) {
        plan.piece_kg += body_of(part, q.size_factor.middle(), 1.0, 1.0).mass_kg();
    }
    return plan;
}

std::vector<Part> usual_parts(double cooked_kg, const Material& material, bool two_parts) {
    if (!(cooked_kg >= 0.1 && cooked_kg <= 100.0)) {
        throw Error{ErrorKind::bad_input,
                    {.what = fmt::format("a cooked mass of {} kg is out of range", cooked_kg),
                     .where = "cooked mass",
                     .fix = "give 0.1 to 100 kg"}};
    }
    // Proportions of a trimmed, cooked brisket: the thick end 14 x 20 x 7.5 cm, the flat end 17 x
    // 19 x 5 cm; of a shoulder 1.5 : 1.2 : 1. Common practice, no source.
    std::vector<Part> parts;
    if (two_parts) {
        parts.push_back({"core", Form::brick, 0.14, 0.20, 0.075, 0.0, true, material});
        parts.push_back({"flat", Form::brick, 0.17, 0.19, 0.050, 0.0, true, material});
    } else {
        parts.push_back({"core", Form::brick, 0.19, 0.15, 0.125, 0.0, false, material});
    }
    double kg = 0.0;
    for (const Part& part : parts) {
        kg += body_of(part, 1.0, 1.0, 1.0).mass_kg();
    }
    const double scale = std::cbrt(cooked_kg / kg);
    for (Part& part : parts) {
        part.length_m *= scale;
        part.width_m *= scale;
        part.thickness_m *= scale;
    }
    return parts;
}

} // namespace holdwarden::heat
