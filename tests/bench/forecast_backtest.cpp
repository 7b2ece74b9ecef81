// Measures how often the 80 % bands of forecasts contain the truth, how wide they are and how far
// their middle is off, on simulated courses. Usage: forecast_backtest [trials [seed]]
#include "../support/backtest.hpp"

#include <fmt/format.h>

#include <cstdlib>

using namespace backtest;

namespace {

void table(const char* title, const Options& options) {
    fmt::print("{}\n{:<36}{:>5}{:>9}{:>9}{:>12}{:>12}{:>10}\n", title, "", "way", "trials",
               "answer %", "in band %", "half/remain", "error min");
    for (const Scenario& scenario : scenarios()) {
        const std::vector<Score> scores = run(scenario, options);
        for (std::size_t i = 0; i < 3; ++i) {
            const Score& s = scores[i];
            const double answered = static_cast<double>(s.answered);
            fmt::print("{:<38}{:>5}{:>7}{:>9.0f}{:>12.1f}{:>12.3f}{:>10.1f}\n",
                       i == 0 ? scenario.name : "", fmt::format("{}/4", i + 1), s.asked,
                       100.0 * answered / static_cast<double>(s.asked),
                       100.0 * static_cast<double>(s.covered) / std::max(1.0, answered),
                       median(s.relative_half_width), median_size(s.error_min));
        }
    }
    fmt::print("\n");
}

} // namespace

int main(int argc, char** argv) {
    Options options;
    options.trials = argc > 1 ? static_cast<std::size_t>(std::atoi(argv[1])) : 200;
    options.seed = argc > 2 ? static_cast<std::uint64_t>(std::atoll(argv[2])) : 2026;
    table("Planned piece, sizes and coefficients wrong by up to 20 %, ambient told, 0.1 °F",
          options);
    options.display_f = 1.0;
    options.noise_k = 0.2;
    table("The same, display in whole °F, noise 0.2 K", options);
    options.display_f = 0.1;
    options.noise_k = 0.05;
    options.plan = false;
    table("Nothing known of the food, ambient told, 0.1 °F", options);
    options.ambient_known = false;
    table("Nothing known of food or ambient, 0.1 °F", options);
    return 0;
}
