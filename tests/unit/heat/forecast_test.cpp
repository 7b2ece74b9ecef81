#include "../../support/backtest.hpp"

#include <holdwarden/base/error.hpp>

#include <catch2/catch.hpp>

using namespace backtest;

namespace {

Temperature fahrenheit(double degrees) {
    return Temperature::of_thousandths(static_cast<std::int32_t>(std::lround(degrees * 1000)),
                                       Scale::fahrenheit);
}

/// Readings of `celsius_at(hours)` every five minutes, display in tenths of a degree Fahrenheit.
template <class F>
std::vector<TimedReading> every_five_minutes(double hours, F celsius_at) {
    std::vector<TimedReading> readings;
    for (int i = 0; i * 5 <= hours * 60 + 1e-9; ++i) {
        const double c = celsius_at(i / 12.0);
        readings.push_back(
            {Instant::from_unix_s(i * 300), fahrenheit(std::round((c * 1.8 + 32) * 10) / 10)});
    }
    return readings;
}

double newton(double hours) {
    return 22.0 + 68.0 * std::exp(-hours / 4.0);
}

ForecastQuestion ask(const std::vector<TimedReading>& readings, std::vector<Temperature> limits) {
    ForecastQuestion q;
    q.limits = std::move(limits);
    q.now = readings.empty() ? Instant{} : readings.back().at;
    return q;
}

} // namespace

TEST_CASE("a body that follows Newton's law is forecast as the closed form says") {
    // 90 °C into 22 °C with a time constant of 4 h reaches 57.2222 °C (135 °F) at 2.631322 h.
    const auto readings = every_five_minutes(1.5, newton);
    ForecastQuestion q = ask(readings, {fahrenheit(135)});
    q.ambient = Ambient{Celsius{22}, 1.5};
    const LimitForecast f = forecast_crossing(readings, unknown_food(), q).limits.front();
    REQUIRE(f.kind == ForecastKind::crossing);
    const double truth = 2.631322 * 60;
    CHECK((*f.earliest - Instant{}).in_minutes() < truth);
    CHECK((*f.latest - Instant{}).in_minutes() > truth);
    CHECK((*f.middle - Instant{}).in_minutes() == Approx(truth).margin(5.0));
    // The band is not narrower than a fifth of the time remaining on either side.
    const double remaining = (*f.middle - q.now).in_minutes();
    CHECK((*f.middle - *f.earliest).in_minutes() >= 0.2 * remaining - 0.01);
    CHECK((*f.latest - *f.middle).in_minutes() >= 0.2 * remaining - 0.01);
}

TEST_CASE("before there are readings enough only the plan speaks") {
    const Scenario brick = scenarios()[1];
    const ForecastPrior prior = prior_of(brick.told);
    for (const double hours : {0.0, 0.25}) { // one reading; four within 15 minutes
        const auto readings = every_five_minutes(hours, newton);
        const LimitForecast planned =
            forecast_crossing(readings, prior, ask(readings, {brick.limit})).limits.front();
        CHECK(planned.kind == ForecastKind::too_early);
        CHECK(planned.from_plan);
        REQUIRE(planned.earliest);
        REQUIRE(planned.latest);
        CHECK(*planned.earliest < *planned.latest);
        const LimitForecast bare =
            forecast_crossing(readings, unknown_food(), ask(readings, {brick.limit}))
                .limits.front();
        CHECK(bare.kind == ForecastKind::too_early);
        CHECK_FALSE(bare.earliest);
        CHECK_FALSE(bare.middle);
    }
}

TEST_CASE("while the core still rises no crossing is given") {
    const auto readings =
        every_five_minutes(1.0, [](double h) { return 88.0 + 4.0 * (1 - std::exp(-h)); });
    const Forecast f =
        forecast_crossing(readings, unknown_food(), ask(readings, {fahrenheit(140)}));
    CHECK(f.limits.front().kind == ForecastKind::rising);
    CHECK_FALSE(f.limits.front().middle);
    CHECK(f.slope_k_per_h > 1.0);
}

TEST_CASE("food that levels off above a limit is not forecast to pass it for certain") {
    const auto readings =
        every_five_minutes(4.0, [](double h) { return 60.0 + 30.0 * std::exp(-h / 1.5); });
    ForecastQuestion q = ask(readings, {fahrenheit(135)});
    q.ambient = Ambient{Celsius{60}, 1.0}; // measured: a cabinet; 135 °F is 57.2 °C
    const LimitForecast f = forecast_crossing(readings, unknown_food(), q).limits.front();
    CHECK((f.kind == ForecastKind::not_likely || f.kind == ForecastKind::may_never));
    CHECK_FALSE(f.latest);
    CHECK(f.share_never > 0.5);
}

TEST_CASE("a limit already passed is said to be") {
    const auto readings = every_five_minutes(4.0, newton);
    const Forecast f = forecast_crossing(readings, unknown_food(),
                                         ask(readings, {fahrenheit(140), fahrenheit(70)}));
    CHECK(f.limits[0].kind == ForecastKind::passed);
    CHECK(f.limits[1].kind != ForecastKind::passed);
}

TEST_CASE("a move to the walk-in restarts the fit from the readings after it") {
    const Scenario brick = scenarios()[1];
    Situation s = rest_situation(brick.told, std::vector<double>(8, 0.5));
    Simulation run{s};
    std::vector<double> course{run.sample().pieces.front().centre.degrees};
    for (int i = 1; i <= 60; ++i) {
        if (i == 36) { // after three hours
            run.move_to(Celsius{2}, Surface{.h_w_per_m2_k = 45});
        }
        run.advance(Span::minutes(5), Span::minutes(1));
        course.push_back(run.sample().pieces.front().centre.degrees);
    }
    const auto readings = every_five_minutes(
        5.0, [&](double h) { return course[static_cast<std::size_t>(std::lround(h * 12))]; });
    ForecastQuestion q = ask(readings, {fahrenheit(70)});
    q.ambient = Ambient{Celsius{2}, 2.0};
    const Forecast after = forecast_crossing(readings, unknown_food(), q);
    CHECK(after.restarted);
    REQUIRE(after.fitted_from);
    CHECK((*after.fitted_from - Instant{}).in_minutes() > 120);
    const std::vector<TimedReading> first(readings.begin(), readings.begin() + 30);
    q.now = first.back().at;
    q.ambient = Ambient{Celsius{22}, 2.0};
    CHECK_FALSE(forecast_crossing(first, unknown_food(), q).restarted);
}

TEST_CASE("a probe touched for one reading does not disturb the forecast") {
    auto readings = every_five_minutes(1.5, newton);
    ForecastQuestion q = ask(readings, {fahrenheit(135)});
    q.ambient = Ambient{Celsius{22}, 1.5};
    const Forecast calm = forecast_crossing(readings, unknown_food(), q);
    readings[10].value = fahrenheit(120);
    const Forecast touched = forecast_crossing(readings, unknown_food(), q);
    REQUIRE(touched.limits.front().middle);
    CHECK(std::abs((*touched.limits.front().middle - *calm.limits.front().middle).in_minutes()) <
          3.0);
}

TEST_CASE("bands contain the truth as often as they say, and are not wide for it") {
    // The goal of the project: 80 % bands contain the simulated truth at least 78 % of the time at
    // a quarter, half and three quarters of the way with sizes and coefficients off by up to 20 %,
    // half-widths near a fifth of the time remaining; a middle within 5 min for the 70 °F time at
    // half way. tests/bench/forecast_backtest measures it at length.
    Options options;
    options.trials = 25;
    options.seed = 11;
    for (const Scenario& scenario : scenarios()) {
        const std::vector<Score> scores = run(scenario, options);
        for (std::size_t quarter = 0; quarter < 3; ++quarter) {
            INFO(scenario.name << " at " << quarter + 1 << "/4");
            const Score& s = scores[quarter];
            CHECK(s.answered == s.asked);
            CHECK(static_cast<double>(s.covered) >= 0.78 * static_cast<double>(s.answered));
            CHECK(median(s.relative_half_width) < 0.30);
        }
        if (scenario.stage == Stage::cooling) {
            CHECK(median_size(scores[1].error_min) < 5.0);
        }
    }
}

TEST_CASE("no forecast ever shows a point without its band") {
    std::mt19937_64 random{5};
    for (int trial = 0; trial < 60; ++trial) {
        const auto any = [&](double low, double high) {
            return low + (high - low) * static_cast<double>(random() >> 11U) * 0x1p-53;
        };
        const double start = any(50, 95);
        const double end = any(-2, 70);
        const double tau = any(0.3, 15);
        const double noise = any(0, 1.5);
        const auto readings = every_five_minutes(any(0, 6), [&](double h) {
            return end + (start - end) * std::exp(-h / tau) + any(-noise, noise);
        });
        const Forecast f = forecast_crossing(
            readings, unknown_food(),
            ask(readings, {fahrenheit(140), fahrenheit(135), fahrenheit(70), fahrenheit(41)}));
        for (const LimitForecast& l : f.limits) {
            INFO("trial " << trial << " kind " << static_cast<int>(l.kind));
            if (l.middle) {
                REQUIRE(l.earliest);
                REQUIRE(l.latest);
                CHECK(*l.earliest <= *l.middle);
                CHECK(*l.middle <= *l.latest);
            }
            CHECK((l.kind == ForecastKind::crossing) == (l.middle.has_value() && !l.from_plan));
        }
    }
}

TEST_CASE("readings out of order are refused") {
    auto readings = every_five_minutes(1.0, newton);
    std::swap(readings[2], readings[5]);
    CHECK_THROWS_AS(forecast_crossing(readings, unknown_food(), ask(readings, {fahrenheit(70)})),
                    Error);
    CHECK_THROWS_AS(forecast_crossing({}, unknown_food(), ForecastQuestion{}), Error);
}
