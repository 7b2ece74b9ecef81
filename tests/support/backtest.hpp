#pragma once
// Back-testing of forecasts on simulated courses whose sizes, coefficients, conductivity and
// ambient differ from what the forecaster was told. Shared by the unit test, which asserts a floor,
// and by the program that measures the figures of docs/how-forecasts-are-made.md.

#include <holdwarden/heat/forecast.hpp>

#include <cmath>
#include <random>
#include <string>
#include <vector>

namespace backtest {

using namespace holdwarden;
using namespace holdwarden::heat;

/// What the forecaster is told.
struct Scenario {
    std::string name;
    RestQuestion told;
    Temperature limit = Temperature::of_thousandths(0, Scale::celsius);
    Stage stage = Stage::resting;
};

struct Options {
    std::size_t trials = 40;
    std::uint64_t seed = 1;
    double wrong = 0.20;       ///< sizes and surface coefficients off by up to this share
    double ambient_sd_k = 1.5; ///< of the ambient told, about the true one
    double display_f = 0.1;    ///< step of the thermometer's display
    double noise_k = 0.05;     ///< of a reading
    bool plan = true;          ///< the planner's prior; else nothing known of the food
    bool ambient_known = true; ///< else what the stage lets assume
};

/// At a quarter, half and three quarters of the way.
struct Score {
    std::size_t asked = 0;
    std::size_t answered = 0; ///< with a band from the readings
    std::size_t covered = 0;
    std::vector<double> relative_half_width; ///< half of the band over the time remaining
    std::vector<double> error_min;           ///< middle less truth, minutes
};

inline Part brick(const char* name, double a, double b, double c, const Material& m) {
    return Part{.name = name,
                .form = Form::brick,
                .length_m = a,
                .width_m = b,
                .thickness_m = c,
                .diameter_m = 0.0,
                .joined = false,
                .material = m};
}

inline std::vector<Scenario> scenarios() {
    const Material beef = Material::of(food_by_name("beef-brisket")->composition);
    const Material stew = Material::of(food_by_name("stew")->composition);
    const auto f = [](int d) { return Temperature::of_degrees(d, Scale::fahrenheit); };
    const auto question = [&](Part part, double start, double air, Range h) {
        RestQuestion q;
        q.parts = {std::move(part)};
        q.size_factor = {0.85, 1.15};
        q.start_centre_c = Range::exactly(start);
        q.air_c = Range::exactly(air);
        q.h_w_per_m2_k = h;
        q.resting_face_factor = 1.0;
        q.cells_per_half = 5;
        return q;
    };
    Part slab = brick("core", 0, 0, 0.06, stew);
    slab.form = Form::slab;
    Part log = brick("core", 0, 0, 0.30, beef);
    log.form = Form::cylinder;
    log.diameter_m = 0.12;
    std::vector<Scenario> all;
    all.push_back({"slab, 135 to 70 °F at 3 °C", question(slab, f(135).in_celsius(), 3.0, {12, 24}),
                   f(70), Stage::cooling});
    all.push_back({"brick, 194 to 135 °F at 22 °C",
                   question(brick("core", 0.30, 0.20, 0.08, beef), 90, 22, {6, 11}), f(135),
                   Stage::resting});
    all.push_back(
        {"brick, 135 to 70 °F at 3 °C",
         question(brick("core", 0.30, 0.20, 0.06, stew), f(135).in_celsius(), 3.0, {12, 24}), f(70),
         Stage::cooling});
    all.push_back({"cylinder, 194 to 135 °F at 22 °C", question(log, 90, 22, {6, 11}), f(135),
                   Stage::resting});
    Scenario chest{"chest, 194 to 135 °F at 15 °C",
                   question(brick("core", 0.30, 0.20, 0.08, beef), 90, 15, {5, 9}), f(135),
                   Stage::resting};
    chest.told.chest = ChestQuestion{};
    chest.told.chest->start_c = {20, 60};
    all.push_back(chest);
    return all;
}

/// The true course of one trial.
inline Course truth_of(const Scenario& scenario, const Options& o, std::mt19937_64& random,
                       double& true_air) {
    const auto uniform = [&] { return static_cast<double>(random() >> 11U) * 0x1p-53; };
    const auto off = [&] { return 1.0 + o.wrong * (2.0 * uniform() - 1.0); };
    RestQuestion truth = scenario.told;
    truth.size_factor = Range::exactly(1.0);
    for (Part& part : truth.parts) {
        part.length_m *= off();
        part.width_m *= off();
        part.thickness_m *= off();
        part.diameter_m *= off();
    }
    truth.h_w_per_m2_k = Range::exactly(truth.h_w_per_m2_k.middle() * off());
    truth.conductivity_factor = Range::exactly(0.9 + 0.2 * uniform());
    truth.cells_per_half = 8;
    if (truth.chest) {
        ChestQuestion& c = *truth.chest;
        c.wall_factor = Range::exactly(c.wall_factor.middle() * off());
        c.leak_w_per_k = Range::exactly(c.leak_w_per_k.middle() * off());
        c.start_c = Range::exactly(c.start_c.at(uniform()));
    }
    true_air = truth.air_c.middle();
    const std::vector<double> middle(8, 0.5);
    const double stop = scenario.limit.in_celsius() - 0.5;
    return simulate(
        rest_situation(truth, middle),
        {.until = Span::hours(90), .first = Span::minutes(1), .largest = Span::minutes(5)},
        [&](const Sample& s) { return s.pieces.front().centre.degrees < stop; });
}

inline std::vector<Score> run(const Scenario& scenario, const Options& o) {
    std::mt19937_64 random{o.seed};
    const auto uniform = [&] { return static_cast<double>(random() >> 11U) * 0x1p-53; };
    const auto normal = [&] { // Box-Muller: std::normal_distribution differs by library
        return std::sqrt(-2.0 * std::log(1.0 - uniform())) *
               std::cos(6.283185307179586 * uniform());
    };
    const ForecastPrior prior = o.plan ? prior_of(scenario.told) : unknown_food();
    std::vector<Score> scores(3);
    for (std::size_t trial = 0; trial < o.trials; ++trial) {
        double air = 0.0;
        const Course course = truth_of(scenario, o, random, air);
        const auto crossing =
            falls_below(course, 0, &State::centre, Celsius{scenario.limit.in_celsius()});
        if (!crossing) {
            continue;
        }
        std::vector<TimedReading> readings;
        for (Span at; at < *crossing; at += Span::minutes(5)) {
            const double c = value_at(course, 0, &State::centre, at).degrees + o.noise_k * normal();
            const double steps = std::round((c * 1.8 + 32.0) / o.display_f);
            readings.push_back(
                {Instant{} + at, Temperature::of_thousandths(static_cast<std::int32_t>(std::lround(
                                                                 steps * o.display_f * 1000.0)),
                                                             Scale::fahrenheit)});
        }
        const double told_air = air + o.ambient_sd_k * normal();
        for (std::size_t quarter = 1; quarter <= 3; ++quarter) {
            const Span now =
                Span::milliseconds(crossing->ms() * static_cast<std::int64_t>(quarter) / 4);
            std::vector<TimedReading> known;
            for (const TimedReading& r : readings) {
                if (r.at - Instant{} <= now) {
                    known.push_back(r);
                }
            }
            ForecastQuestion question;
            question.limits = {scenario.limit};
            if (o.ambient_known) {
                question.ambient = Ambient{Celsius{told_air}, 2.0};
            } else {
                question.ambient = assumed_ambient(scenario.stage);
            }
            question.now = Instant{} + now;
            const Forecast f = forecast_crossing(known, prior, question);
            const LimitForecast& l = f.limits.front();
            Score& score = scores[quarter - 1];
            ++score.asked;
            if (l.kind != ForecastKind::crossing && l.kind != ForecastKind::may_never) {
                continue;
            }
            ++score.answered;
            const Instant truth = Instant{} + *crossing;
            score.covered += *l.earliest <= truth && (!l.latest || truth <= *l.latest) ? 1U : 0U;
            if (l.middle) {
                const double remaining = (truth - question.now).in_minutes();
                score.relative_half_width.push_back((*l.latest - *l.earliest).in_minutes() / 2.0 /
                                                    remaining);
                score.error_min.push_back((*l.middle - truth).in_minutes());
            }
        }
    }
    return scores;
}

inline double median(std::vector<double> v) {
    return v.empty() ? 0.0 : quantile(std::move(v), 0.5);
}
inline double median_size(std::vector<double> v) {
    for (double& x : v) {
        x = std::abs(x);
    }
    return median(std::move(v));
}

} // namespace backtest
