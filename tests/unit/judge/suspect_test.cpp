// Suspect readings: thresholds are common practice, no source; what is tested is that they mark
// what design says and nothing else.
#include "lots.hpp"

#include <holdwarden/judge/suspect.hpp>

#include <cmath>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

std::vector<records::Reading> series(std::vector<Row> rows, Scale scale = Scale::celsius) {
    std::vector<records::Reading> readings;
    for (const Row& row : rows) {
        readings.push_back(reading(row, scale));
    }
    return readings;
}

std::size_t suspects(const std::vector<records::Reading>& readings) {
    return static_cast<std::size_t>(std::ranges::count_if(readings, &records::Reading::suspect));
}

} // namespace

TEST_CASE("over five degrees in a minute is a step, five is not") {
    auto five = series({{0, 60}, {1, 55}, {2, 50}});
    judge::mark_steps(five);
    CHECK(suspects(five) == 0);
    auto more = series({{0, 60}, {1, 54.9}});
    judge::mark_steps(more);
    CHECK(suspects(more) == 1);
    auto half =
        series({{0, 60}, {0.1, 54.9}, {0.2, 60}}); // one bad reading, its neighbours trusted
    judge::mark_steps(half);
    CHECK(suspects(half) == 1);
    auto fahrenheit = series({{0, 140}, {1, 131}}, Scale::fahrenheit); // exactly 5 °C
    judge::mark_steps(fahrenheit);
    CHECK(suspects(fahrenheit) == 0);
}

TEST_CASE("a level that lasts is trusted again once food could have come to it") {
    std::vector<Row> rows{{0, 60}};
    for (int m = 1; m <= 30; ++m) {
        rows.push_back({double(m), 20});
    }
    auto readings = series(rows);
    judge::mark_steps(readings);
    CHECK(suspects(readings) ==
          7); // 40 degrees at 5 a minute: minutes 1 to 7 cannot be, minute 8 can
}

TEST_CASE("the figure a sensor shows when it starts is suspect away from the food's temperature, "
          "and fine near it") {
    auto away = series({{0, 60}, {60, 85.0}, {61, 60}});
    judge::mark_steps(away);
    CHECK(suspects(away) == 1);
    auto near = series({{0, 84.5}, {1, 85.0}, {2, 85.2}});
    judge::mark_steps(near);
    CHECK(suspects(near) == 0);
}

TEST_CASE("a probe that swings with a thermostat is not in food") {
    std::vector<Row> rows;
    for (int m = 0; m <= 120; m += 2) {
        rows.push_back({double(m), 65 + 4 * std::sin(m * 2 * 3.14159265 / 20)});
    }
    auto swinging = series(rows);
    judge::mark_air_like(swinging);
    CHECK(suspects(swinging) > 40);
    for (Row& row : rows) {
        row.degrees = 65 + 0.5 * std::sin(row.minutes); // noise of a tenth or five
    }
    auto noisy = series(rows);
    judge::mark_air_like(noisy);
    CHECK(suspects(noisy) == 0);
}

TEST_CASE("one value to the tenth for four hours and a hundred readings is pointed out and still "
          "counts") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).steady(0, 240, 2.4, 140.5);
    const auto runs = judge::stuck_runs(lot.history().points.front().readings);
    REQUIRE(runs.size() == 1);
    CHECK(runs.front().readings == 101);
    const auto j = lot.judged(fda());
    CHECK(j.overall == Verdict::met);
    CHECK_FALSE(j.notes.empty());
    Lot fewer;
    fewer.stage(Stage::hot_holding, 0).steady(0, 240, 2.5, 140.5);
    CHECK(judge::stuck_runs(fewer.history().points.front().readings).empty());
}
