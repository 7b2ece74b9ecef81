#include "plan_json.hpp"

#include <holdwarden/cli/band_chart.hpp>
#include <holdwarden/cli/code_text.hpp>
#include <holdwarden/cli/commands.hpp>
#include <holdwarden/cli/csv_arguments.hpp>
#include <holdwarden/cli/packs.hpp>
#include <holdwarden/cli/pan_arguments.hpp>
#include <holdwarden/cli/plan_limits.hpp>
#include <holdwarden/cli/plan_values.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <ostream>

namespace holdwarden::cli {
namespace {

struct CoolOptions {
    PanArguments pan;
    std::vector<std::string> methods;
    std::string start = "160F";
    std::string code = kDefaultPack;
    std::string samples = "200";
    std::string seed = "1";
    std::string scale = "F";
    std::string format;
    std::string svg;
};

struct MethodPlan {
    heat::CoolingMethod method;
    heat::CoolPlan plan;
    std::optional<double> greatest_depth_m;
};

struct CoolAnswer {
    Scale scale = Scale::fahrenheit;
    std::string code;
    PackWindows limits;
    std::string food;
    double depth_m = 0.0;
    heat::Celsius start;
    std::size_t samples = 0;
    std::uint64_t seed = 0;
    std::vector<MethodPlan> methods;
};

CoolAnswer answer(const CoolOptions& o, Context& context) {
    CoolAnswer a;
    a.scale = scale_argument(o.scale);
    const codes::Pack pack = load_named_pack(context, o.code);
    a.code = pack.id;
    const auto limits = cooling_windows(pack, a.scale);
    if (!limits) {
        wrong_value(fmt::format("--code {} has no two cooling windows to plan for", pack.id),
                    "give a pack that has them, such as " + std::string{kDefaultPack});
    }
    a.limits = *limits;
    heat::CoolQuestion q = o.pan.to_question();
    q.windows = limits->windows;
    q.start = celsius_value({"--start", o.start, q.windows.from.degrees, 120});
    q.samples = count_value("--samples", o.samples, 5000);
    q.seed = count_value("--seed", o.seed, 1'000'000'000);
    a.food = o.pan.food;
    a.depth_m = q.depth_m;
    a.start = q.start;
    a.samples = q.samples;
    a.seed = q.seed;
    std::vector<std::string> names = o.methods;
    if (names.empty()) {
        names = {"walk-in"};
    }
    if (names.size() == 1 && names.front() == "all") {
        names.clear();
        for (const heat::CoolingMethod& method : heat::cooling_methods()) {
            names.emplace_back(method.name);
        }
    }
    for (const std::string& name : names) {
        q.method = method_argument(name);
        a.methods.push_back({q.method, heat::plan_cool(q), heat::greatest_depth_m(q)});
    }
    return a;
}

BandChart chart_of(const CoolAnswer& a) {
    const MethodPlan& first = a.methods.front();
    return {.title = fmt::format("Warmest spot, {} (estimate)", first.method.title),
            .times = first.plan.times,
            .clock = {},
            .series = {{"food", first.plan.warmest}},
            .limits = {a.limits.windows.from, a.limits.windows.middle, a.limits.windows.end},
            .scale = a.scale};
}

std::string margin_text(const std::optional<Span>& margin) {
    if (!margin) {
        return "not reached while the plan looks";
    }
    return *margin < Span{} ? hours_text(Span{} - *margin) + " too late"
                            : hours_text(*margin) + " to spare";
}

void print_text(std::ostream& out, const CoolAnswer& a) {
    const heat::CoolingWindows& w = a.limits.windows;
    out << fmt::format("Plan: cool {}, {:.1f} cm ({:.1f} in) deep, from {}\n", a.food,
                       a.depth_m * 100, a.depth_m / 0.0254, degrees_text(a.start, a.scale));
    out << fmt::format("Windows of {} ({}): {} to {} within {}, to {} within {} in all.\n", a.code,
                       a.limits.clauses, to_text(a.limits.from), to_text(a.limits.middle),
                       to_text(w.first), to_text(a.limits.end), to_text(w.total));
    out << fmt::format("{} samples, seed {}; bands from 10 to 90 %, of the warmest spot, counted "
                       "from {}.\n{}",
                       a.samples, a.seed, to_text(a.limits.from), folded(kEstimateCaution, 0, 80));
    for (const MethodPlan& m : a.methods) {
        const Span looked = w.total + w.total + w.total;
        out << fmt::format("\n{} ({})\n", m.method.title, m.method.name);
        out << fmt::format("  to {:<7} {}\n             late edge: {}; in time {}\n",
                           to_text(a.limits.middle), band_text(m.plan.first, looked),
                           margin_text(m.plan.margin_first), share_text(m.plan.share_first));
        out << fmt::format("  to {:<7} {}\n             late edge: {}\n", to_text(a.limits.end),
                           band_text(m.plan.total, looked), margin_text(m.plan.margin_total));
        out << fmt::format("  both windows {}: {}\n", share_text(m.plan.share_both),
                           m.plan.fits() ? "likely in time; take readings to prove it"
                                         : "do not count on it");
        out << (m.greatest_depth_m
                    ? fmt::format("  greatest depth that likely passes: {:.1f} cm ({:.1f} in)\n",
                                  *m.greatest_depth_m * 100, *m.greatest_depth_m / 0.0254)
                    : std::string{"  no depth of 1 cm or more is likely to pass this way\n"});
        out << fmt::format("  coefficients: {}\n", m.method.source);
    }
    out << "\n" << text_chart(chart_of(a));
}

void print_json(std::ostream& out, const CoolAnswer& a) {
    nlohmann::ordered_json methods = nlohmann::ordered_json::array();
    for (const MethodPlan& m : a.methods) {
        methods.push_back(
            {{"method", m.method.name},
             {"first", json_of(m.plan.first)},
             {"total", json_of(m.plan.total)},
             {"share_first", m.plan.share_first},
             {"share_both", m.plan.share_both},
             {"margin_first_s", json_of(m.plan.margin_first)},
             {"margin_total_s", json_of(m.plan.margin_total)},
             {"fits", m.plan.fits()},
             {"greatest_depth_m", m.greatest_depth_m ? nlohmann::ordered_json(*m.greatest_depth_m)
                                                     : nlohmann::ordered_json(nullptr)},
             {"source", m.method.source},
             {"times_s", json_of(m.plan.times)},
             {"warmest", json_of(m.plan.warmest)}});
    }
    const nlohmann::ordered_json json{{"format", "holdwarden-plan-cool/1"},
                                      {"estimate", true},
                                      {"caution", kEstimateCaution},
                                      {"code", a.code},
                                      {"clauses", a.limits.clauses},
                                      {"food", a.food},
                                      {"depth_m", a.depth_m},
                                      {"start_c", a.start.degrees},
                                      {"windows",
                                       {{"from_c", a.limits.windows.from.degrees},
                                        {"middle_c", a.limits.windows.middle.degrees},
                                        {"end_c", a.limits.windows.end.degrees},
                                        {"first_s", a.limits.windows.first.in_seconds()},
                                        {"total_s", a.limits.windows.total.in_seconds()}}},
                                      {"samples", a.samples},
                                      {"seed", a.seed},
                                      {"methods", methods}};
    out << json.dump(2) << "\n";
}

int run(const CoolOptions& o, Context& context) {
    const bool json = plan_wants_json(o.format);
    const CoolAnswer a = answer(o, context);
    if (!o.svg.empty()) {
        write_svg(chart_of(a), o.svg);
    }
    json ? print_json(context.out, a) : print_text(context.out, a);
    return kDone;
}

} // namespace

std::vector<Command> plan_cool_commands() {
    const auto o = std::make_shared<CoolOptions>();
    return {{.name = "plan cool",
             .help = "Estimate whether a pan makes both cooling windows, and how deep it may be",
             .declare =
                 [o](Arguments& a) {
                     o->pan.declare(a);
                     a.options("--method", o->methods,
                               "walk-in, blast-chiller, ice-bath, ice-bath-stirred, "
                               "walk-in-ice-bath, counter; repeat to compare, or all");
                     a.option("--start", o->start, "Temperature of the food at the start");
                     a.option("--code", o->code, "Code pack whose windows are planned for");
                     a.option("--samples", o->samples, "How many samples");
                     a.option("--seed", o->seed, "Seed of the samples: same seed, same plan");
                     a.option("--scale", o->scale, "F or C, for what is shown");
                     a.option("--format", o->format, "text or json");
                     a.option("--svg", o->svg, "Also draw the first method's chart into this file");
                     a.example("holdwarden plan cool --food chili --depth 2in --method walk-in "
                               "--method ice-bath-stirred");
                 },
             .run = [o](Context& context) { return run(*o, context); }}};
}

} // namespace holdwarden::cli
