// Targets, on one core: a one-day plan of 200 samples under 2 s; a forecast's update under 2 ms.
#include "../support/backtest.hpp"

#include <benchmark/benchmark.h>

using namespace backtest;

namespace {

void one_day_rest_plan(benchmark::State& state) {
    RestQuestion q;
    q.parts = usual_parts(3.25, Material::of(food_by_name("beef-brisket")->composition), true);
    q.chest = ChestQuestion{};
    q.until = Span::hours(24);
    q.samples = 200;
    q.limits = {Celsius{60}};
    for (auto _ : state) {
        benchmark::DoNotOptimize(plan_rest(q));
    }
}
BENCHMARK(one_day_rest_plan)->Unit(benchmark::kMillisecond);

void one_day_cool_plan(benchmark::State& state) {
    CoolQuestion q{.food = Material::of(food_by_name("chili")->composition)};
    q.length_m = 0.5;
    q.width_m = 0.3;
    q.depth_m = 0.05;
    q.container = *container_by_name("steel-pan");
    q.method = *method_by_name("walk-in");
    q.start = Celsius{70};
    q.windows = {Celsius{57.2}, Celsius{21.1}, Celsius{5}, Span::hours(2), Span::hours(6)};
    for (auto _ : state) {
        benchmark::DoNotOptimize(plan_cool(q));
    }
}
BENCHMARK(one_day_cool_plan)->Unit(benchmark::kMillisecond);

std::vector<TimedReading> readings(int count) {
    std::vector<TimedReading> out;
    for (int i = 0; i < count; ++i) {
        const double c = 22.0 + 68.0 * std::exp(-i / 48.0);
        out.push_back({Instant::from_unix_s(i * 300),
                       Temperature::of_thousandths(
                           static_cast<std::int32_t>(std::lround(c * 10)) * 100, Scale::celsius)});
    }
    return out;
}

void forecast_update(benchmark::State& state) {
    const auto known = readings(static_cast<int>(state.range(0)));
    const ForecastPrior planned = prior_of(scenarios()[1].told);
    const ForecastPrior& prior = state.range(1) != 0 ? planned : unknown_food();
    ForecastQuestion q;
    q.limits = {Temperature::of_degrees(50, Scale::celsius)};
    q.ambient = Ambient{Celsius{22}, 2.0};
    q.now = known.back().at;
    for (auto _ : state) {
        benchmark::DoNotOptimize(forecast_crossing(known, prior, q));
    }
}
BENCHMARK(forecast_update)->ArgsProduct({{12, 24, 36}, {0, 1}})->Unit(benchmark::kMicrosecond);

} // namespace

BENCHMARK_MAIN();
