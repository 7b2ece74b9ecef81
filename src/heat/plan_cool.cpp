#include <holdwarden/base/error.hpp>
#include <holdwarden/heat/plan_cool.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace holdwarden::heat {
namespace {

enum Coordinate : std::size_t {
    kDepth,
    kConductivity,
    kAir,
    kTop,
    kWall,
    kWater,
    kFlow,
    kHumidity,
    kCoordinates
};

constexpr CoolingMethod kMethods[] = {
    {"counter",
     "kitchen counter, still air",
     "Churchill & Chu with radiation (computed range)",
     {20, 25},
     {8, 13},
     {5, 11},
     {},
     {}},
    {"walk-in",
     "walk-in refrigerator",
     "engineering range, from memory; within 5-20 W/(m2 K) of Ryland et al. 2006, RURALS 1(1)",
     {1, 5},
     {8, 20},
     {8, 20},
     {},
     {}},
    {"blast-chiller",
     "blast chiller",
     "engineering range, from memory; Rabi et al. 2014, Int. J. Food Studies 3, measured 12 +- 4",
     {-3, 2},
     {15, 40},
     {15, 40},
     {},
     {}},
    {"ice-bath",
     "ice bath, nothing moving",
     "engineering range, from memory",
     {18, 25},
     {6, 13},
     {100, 300},
     Range{0, 2},
     {}},
    {"ice-bath-stirred",
     "ice bath, food and water stirred every 15 minutes",
     "engineering range, from memory",
     {18, 25},
     {6, 13},
     {300, 1000},
     Range{0, 2},
     Span::minutes(15)},
    {"walk-in-ice-bath",
     "ice bath standing in a walk-in refrigerator",
     "engineering range, from memory",
     {1, 5},
     {8, 20},
     {100, 300},
     Range{0, 2},
     {}},
};

// Conductivity, density and heat capacity of the walls: Incropera & DeWitt, app. A (from memory).
constexpr ContainerKind kContainers[] = {
    {"steel-pan", 0.0008, {7900, 477, 14.9}},
    {"aluminium-pan", 0.0010, {2700, 900, 200}},
    {"plastic-pan", 0.0030, {1200, 1200, 0.20}},
    {"stockpot", 0.0010, {7900, 477, 14.9}},
};

/// A lid or film with about 1 cm of air under it (0.026 W/(m K), radiation across the gap).
constexpr double kCoverFilm = 0.12;

void fail(std::string what, std::string where, std::string fix) {
    throw Error{ErrorKind::bad_input,
                {.what = std::move(what), .where = std::move(where), .fix = std::move(fix)}};
}

double coldest_around(const CoolingMethod& m) {
    return m.water_c ? std::min(m.water_c->low, m.air_c.low) : m.air_c.low;
}

void check(const CoolQuestion& q) {
    if (!(q.depth_m >= 0.005 && q.depth_m <= 1.0)) {
        fail(fmt::format("a depth of {} m is out of range", q.depth_m), "depth",
             "give 0.005 to 1 m (0.2 to 39 in)");
    }
    if (q.container_depth_m > 0.0 && q.depth_m > q.container_depth_m) {
        fail(fmt::format("a depth of {:.3f} m is beyond the container's {:.3f} m", q.depth_m,
                         q.container_depth_m),
             "depth", fmt::format("give at most {:.3f} m", q.container_depth_m));
    }
    if (q.start.degrees > 130.0 || q.start < q.windows.from) {
        fail(fmt::format("a start of {:.1f} °C does not begin a cooling", q.start.degrees), "start",
             fmt::format("give {:.1f} to 130 °C", q.windows.from.degrees));
    }
    if (q.windows.end.degrees < 0.0) {
        fail("not covered: cooling below freezing", "plan", "give a limit above 0 °C");
    }
    if (q.samples < 1 || q.samples > 100000) {
        fail(fmt::format("{} samples are out of range", q.samples), "samples", "give 1 to 100000");
    }
    if (coldest_around(q.method) >= q.windows.middle.degrees &&
        coldest_around(q.method) >= q.start.degrees) {
        fail("the surroundings are warmer than the food", "air",
             "a cooling needs air or water below the start");
    }
}

struct Outcome {
    std::optional<Span> starts;
    std::optional<Span> first;
    std::optional<Span> total;
    Course course;
};

/// Runs a sample; a stirred pan is mixed at each interval.
Outcome run(const CoolQuestion& q, std::span<const double> u, Span until) {
    Simulation simulation{cool_situation(q, u)};
    Outcome out;
    out.course.push_back(simulation.sample());
    Span at;
    Span step = Span::seconds(60);
    Span stir = q.method.stirred_every;
    for (int taken = 1; at < until; ++taken) {
        Span by = std::min(step, until - at);
        if (q.method.stirred_every > Span{}) {
            by = std::min(by, stir - at);
        }
        simulation.advance(by, by);
        at += by;
        Sample sample = simulation.sample();
        sample.at = at;
        out.course.push_back(std::move(sample));
        if (q.method.stirred_every > Span{} && at >= stir) {
            simulation.stir(0);
            stir += q.method.stirred_every;
        }
        if (out.course.back().pieces.front().warmest < q.windows.end) {
            break;
        }
        if (taken % 12 == 0) {
            const bool stirred = q.method.stirred_every > Span{};
            step = std::min(step + step, Span::minutes(stirred ? 3 : 10));
        }
    }
    const auto when = [&](Celsius limit) {
        return falls_below(out.course, 0, &State::warmest, limit);
    };
    out.starts = q.start > q.windows.from ? when(q.windows.from) : std::optional{Span{}};
    const auto since = [&](std::optional<Span> end) -> std::optional<Span> {
        return end && out.starts ? std::optional{*end - *out.starts} : std::nullopt;
    };
    out.first = since(when(q.windows.middle));
    out.total = since(when(q.windows.end));
    return out;
}

} // namespace

std::span<const CoolingMethod> cooling_methods() noexcept {
    return kMethods;
}
const CoolingMethod* method_by_name(std::string_view name) noexcept {
    const auto* found = std::find_if(std::begin(kMethods), std::end(kMethods),
                                     [&](const CoolingMethod& m) { return m.name == name; });
    return found == std::end(kMethods) ? nullptr : found;
}
std::span<const ContainerKind> container_kinds() noexcept {
    return kContainers;
}
const ContainerKind* container_by_name(std::string_view name) noexcept {
    const auto* found = std::find_if(std::begin(kContainers), std::end(kContainers),
                                     [&](const ContainerKind& c) { return c.name == name; });
    return found == std::end(kContainers) ? nullptr : found;
}

Situation cool_situation(const CoolQuestion& q, std::span<const double> u) {
    double conductivity = q.conductivity_factor.at(u[kConductivity]);
    if (q.flows) {
        conductivity *= 3.0 + 7.0 * u[kFlow]; // movement of a thin liquid: assumed, no source
    }
    Body pan{.form = q.diameter_m ? Form::cylinder : Form::brick,
             .length_m = q.length_m,
             .width_m = q.width_m,
             .thickness_m = q.depth_m * q.depth_factor.at(u[kDepth]),
             .diameter_m = q.diameter_m.value_or(0.0),
             .material = q.food.conducting(conductivity)};
    const Material wall = Material::constant(q.container.wall);
    const double wall_h = q.method.wall_h_w_per_m2_k.at(u[kWall]);
    for (Face& face : pan.faces) {
        face.surface = Surface{.h_w_per_m2_k = wall_h};
        if (q.container.wall_m > 0.0) {
            face.layers = {{q.container.wall_m, wall}};
        }
        if (q.method.water_c) {
            face.air = Celsius{q.method.water_c->at(u[kWater])};
        }
    }
    Face& top = pan.face(Side::top);
    top = Face{};
    top.surface.h_w_per_m2_k = q.method.top_h_w_per_m2_k.at(u[kTop]);
    if (q.covered) {
        top.surface.film_m2_k_per_w = kCoverFilm;
    } else {
        top.surface.wet = true;
        top.surface.humidity = q.humidity.at(u[kHumidity]);
    }
    return {.pieces = {{pan, Start::uniform(q.start)}},
            .air = Celsius{q.method.air_c.at(u[kAir])},
            .enclosure = {},
            .cells_per_half = q.cells_per_half,
            .tolerance_k = 1e-3};
}

CoolPlan plan_cool(const CoolQuestion& q) {
    check(q);
    const Span until = Span::milliseconds(3 * q.windows.total.ms());
    const Span every = Span::minutes(30);
    CoolPlan plan;
    for (Span at; at <= q.windows.total + q.windows.total; at += every) {
        plan.times.push_back(at);
    }
    std::vector<std::vector<double>> warmest(plan.times.size());
    std::vector<std::optional<Span>> starts;
    std::vector<std::optional<Span>> first;
    std::vector<std::optional<Span>> total;
    std::size_t within_first = 0;
    std::size_t within_both = 0;
    for (const auto& u : stratified(q.samples, kCoordinates, q.seed)) {
        Outcome out = run(q, u, until);
        for (std::size_t i = 0; i < plan.times.size(); ++i) {
            warmest[i].push_back(value_at(out.course, 0, &State::warmest, plan.times[i]).degrees);
        }
        const bool in_first = out.first && *out.first <= q.windows.first;
        within_first += in_first ? 1U : 0U;
        within_both += in_first && out.total && *out.total <= q.windows.total ? 1U : 0U;
        starts.push_back(out.starts);
        first.push_back(out.first);
        total.push_back(out.total);
    }
    for (const auto& at : warmest) {
        plan.warmest.push_back(band_of(at));
    }
    plan.starts = band_of(starts);
    plan.first = band_of(first);
    plan.total = band_of(total);
    const auto n = static_cast<double>(q.samples);
    plan.share_first = static_cast<double>(within_first) / n;
    plan.share_both = static_cast<double>(within_both) / n;
    if (plan.first.high) {
        plan.margin_first = q.windows.first - *plan.first.high;
    }
    if (plan.total.high) {
        plan.margin_total = q.windows.total - *plan.total.high;
    }
    return plan;
}

std::optional<double> greatest_depth_m(const CoolQuestion& question) {
    CoolQuestion q = question;
    q.samples = std::min<std::size_t>(q.samples, 40);
    q.container_depth_m = 0.0;
    const auto points = stratified(q.samples, kCoordinates, q.seed);
    // As plan_cool counts, but each sample runs no longer than the windows, and the count ends as
    // soon as more than a tenth have missed them.
    const auto fits = [&](double depth) {
        q.depth_m = depth;
        check(q);
        std::size_t missed = 0;
        for (const auto& u : points) {
            const Outcome out = run(q, u, q.windows.total + q.windows.first);
            const bool within = out.first && *out.first <= q.windows.first && out.total &&
                                *out.total <= q.windows.total;
            missed += within ? 0U : 1U;
            if (10 * missed > points.size()) {
                return false;
            }
        }
        return true;
    };
    double low = 0.01;
    double high = 0.40;
    if (!fits(low)) {
        return std::nullopt;
    }
    if (fits(high)) {
        return high;
    }
    while (high - low > 0.001) {
        const double middle = 0.5 * (low + high);
        (fits(middle) ? low : high) = middle;
    }
    return std::floor(low * 1000.0) / 1000.0;
}

} // namespace holdwarden::heat
