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

/// Which of them are suspect, by place.
std::vector<std::size_t> marked(std::span<const records::Reading> readings) {
    std::vector<std::size_t> places;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        if (readings[i].suspect) {
            places.push_back(i);
        }
    }
    return places;
}
using Places = std::vector<std::size_t>;

/// A reading each five minutes.
std::vector<records::Reading> each_five(const std::vector<double>& degrees, double apart = 5) {
    std::vector<Row> rows;
    for (std::size_t i = 0; i < degrees.size(); ++i) {
        rows.push_back({apart * static_cast<double>(i), degrees[i]});
    }
    return series(rows);
}

std::size_t suspects(const std::vector<records::Reading>& readings) {
    return static_cast<std::size_t>(std::ranges::count_if(readings, &records::Reading::suspect));
}

} // namespace

TEST_CASE("over five degrees in a minute is a step, five is not") {
    auto five = series({{0, 60}, {1, 55}, {2, 50}});
    judge::mark_steps(five);
    CHECK(suspects(five) == 0);
    auto more = series({{-1, 60}, {0, 60}, {1, 54.9}});
    judge::mark_steps(more);
    CHECK(marked(more) == Places{2});
    // One bad reading, its neighbours trusted.
    auto half = series({{-1, 60}, {0, 60}, {0.1, 54.9}, {0.2, 60}});
    judge::mark_steps(half);
    CHECK(marked(half) == Places{2});
    auto fahrenheit = series({{0, 140}, {1, 131}}, Scale::fahrenheit); // exactly 5 °C
    judge::mark_steps(fahrenheit);
    CHECK(suspects(fahrenheit) == 0);
}

TEST_CASE("a level that lasts is trusted again once food could have come to it") {
    std::vector<Row> rows{{-1, 60}, {0, 60}};
    for (int m = 1; m <= 30; ++m) {
        rows.push_back({double(m), 20});
    }
    auto readings = series(rows);
    judge::mark_steps(readings);
    CHECK(suspects(readings) ==
          7); // 40 degrees at 5 a minute: minutes 1 to 7 cannot be, minute 8 can
}

TEST_CASE("of a step nothing before it decides between, neither side is trusted") {
    const auto marks = [](std::vector<Row> rows) {
        auto readings = series(std::move(rows));
        judge::mark_steps(readings);
        return marked(readings);
    };
    // 82 °C alone, then 16: no food was both; minute 13.2 is the first that 16 °C could be true of.
    CHECK(marks({{0, 82}, {0.5, 16}, {1, 16}, {14, 16}}) == Places{0, 1, 2});
    CHECK(marks({{0, 82}, {1, 82}, {1.5, 16}, {18, 16}}) == Places{2}); // two bear each other out
    // Ten minutes before is near enough in time, five degrees near enough in value.
    CHECK(marks({{0, 40}, {10, 82}, {10.5, 16}, {60, 16}}) == Places{2});
    CHECK(marks({{0, 40}, {10.1, 82}, {10.6, 16}, {60, 16}}) == Places{1, 2});
    CHECK(marks({{0, 77}, {30, 82}, {30.5, 16}, {60, 16}}) == Places{2});
    CHECK(marks({{0, 76.9}, {30, 82}, {30.5, 16}, {60, 16}}) == Places{1, 2});
    // Two thermometers at one place that take turns and do not agree.
    CHECK(marks({{0, 74}, {0.2, 49}, {0.4, 74}, {0.6, 49}}) == Places{0, 1, 2, 3});
    // A power-on figure is no reading to be measured against.
    CHECK(marks({{0, 60}, {30, 85}, {60, 60}}) == Places{1});
}

TEST_CASE("a sensor that starts with its power-on figure is not believed") {
    auto logged = series({{0, 85}, {0.2, 20}, {1, 20}});
    judge::mark_steps(logged);
    CHECK(marked(logged) == Places{0});
    auto typed = series({{0, 85}, {30, 84}});
    typed[0].origin = records::Origin::typed; // a person read it
    judge::mark_steps(typed);
    CHECK(marked(typed).empty());
}

TEST_CASE("what lies between two steps is doubted whole unless it lasts") {
    const auto marks = [](int minutes) {
        std::vector<Row> rows{{-1, 38}, {0, 38}};
        for (int m = 1; m <= minutes; ++m) {
            rows.push_back({double(m), 77});
        }
        rows.push_back({minutes + 1.0, 38});
        auto readings = series(rows);
        judge::mark_steps(readings);
        return suspects(readings);
    };
    // 39 degrees are possible after 7.8 minutes: 8 and on are trusted again, until it steps back.
    CHECK(marks(15) == 16);
    CHECK(marks(29) == 30);
    CHECK(marks(30) == 8); // the step back comes 30 minutes after the step
    CHECK(marks(31) == 8);
}

TEST_CASE("what lies between two single bad readings stays trusted") {
    std::vector<Row> rows;
    for (int m = 0; m <= 40; ++m) {
        rows.push_back({double(m), m == 10 || m == 25 ? 90.0 : 60.0});
    }
    auto readings = series(rows);
    judge::mark_steps(readings);
    CHECK(marked(readings) == Places{10, 25});
}

TEST_CASE("the figure a sensor shows when it starts is fine near the food's temperature") {
    auto near = series({{0, 84.5}, {1, 85.0}, {2, 85.2}});
    judge::mark_steps(near);
    CHECK(suspects(near) == 0);
}

TEST_CASE("a step is measured exactly across the scales") {
    // 60 °C is 140 °F; five degrees Celsius are nine degrees Fahrenheit.
    auto down = series({{-1, 60}, {0, 60}});
    down.push_back(reading({1, 131}, Scale::fahrenheit));
    judge::mark_steps(down);
    CHECK(marked(down).empty());
    down[2] = reading({1, 130.999}, Scale::fahrenheit);
    judge::mark_steps(down);
    CHECK(marked(down) == Places{2});
    auto up = series({{-1, 55}, {0, 55}});
    up.push_back(reading({1, 140}, Scale::fahrenheit));
    judge::mark_steps(up);
    CHECK(marked(up).empty());
    up[2] = reading({1, 140.001}, Scale::fahrenheit);
    judge::mark_steps(up);
    CHECK(marked(up) == Places{2});
}

TEST_CASE("a figure that sensors show instead of a temperature is suspect, in its own scale only") {
    struct Shown {
        double before, shown;
        Scale scale;
        bool suspect;
    };
    const Shown rows[] = {
        {60, 85, Scale::celsius, true},
        {60, 85.1, Scale::celsius, false},
        {60, -99.9, Scale::celsius, true},
        {60, -99, Scale::celsius, true},
        {60, -99.8, Scale::celsius, false},
        {80, 85, Scale::celsius, false}, // five degrees: near
        {79.9, 85, Scale::celsius, true},
        {140, 185, Scale::fahrenheit, true},
        {140, 185.1, Scale::fahrenheit, false},
        {150, 185, Scale::celsius, false},
        {120, 85, Scale::fahrenheit, false},
    };
    for (const Shown& row : rows) {
        INFO(row.shown);
        auto readings = series({{0, row.before}, {60, row.shown}, {120, row.before}}, row.scale);
        judge::mark_steps(readings);
        CHECK(marked(readings) == (row.suspect ? Places{1} : Places{}));
    }
}

TEST_CASE("four turns of two degrees within an hour are air: from the first to the last of them") {
    // Turns at 10, 20, 30, 40 and 50 minutes.
    auto rising = each_five({60, 61, 62, 61, 60, 61, 62, 61, 60, 61, 62});
    judge::mark_air_like(rising);
    CHECK(marked(rising) == Places{2, 3, 4, 5, 6, 7, 8});
    auto falling = each_five({62, 61, 60, 61, 62, 61, 60, 61, 62, 61, 60});
    judge::mark_air_like(falling);
    CHECK(marked(falling) == Places{2, 3, 4, 5, 6, 7, 8});
    // Further than needed before it turns: the turn is where it was furthest.
    auto wide = each_five({60, 62, 65, 62, 60, 57, 60, 62, 65, 62, 60, 57, 60});
    judge::mark_air_like(wide);
    CHECK(marked(wide) == Places{2, 3, 4, 5, 6, 7, 8, 9, 10, 11});
    // A level at the top: it turned when it first came there.
    auto flat = each_five({60, 62, 62, 60, 60, 62, 62, 60, 60, 62});
    judge::mark_air_like(flat);
    CHECK(marked(flat) == Places{1, 2, 3, 4, 5, 6, 7});
    // Three turns, or turns of less than two degrees, are nothing.
    auto three = each_five({60, 62, 60, 62, 60});
    judge::mark_air_like(three);
    CHECK(marked(three).empty());
    auto small = each_five({60, 61.9, 60, 61.9, 60, 61.9, 60, 61.9, 60});
    judge::mark_air_like(small);
    CHECK(marked(small).empty());
    // From the first of four turns to the last: exactly an hour is within, more is not.
    auto hour = each_five({60, 62, 60, 62, 60, 62}, 20);
    judge::mark_air_like(hour);
    CHECK(marked(hour) == Places{1, 2, 3, 4});
    auto longer = each_five({60, 62, 60, 62, 60, 62}, 20.1);
    judge::mark_air_like(longer);
    CHECK(marked(longer).empty());
    // Only what it is given: the reading behind the last would make the fourth turn.
    auto more = each_five({60, 62, 60, 62, 60, 62});
    judge::mark_air_like(std::span{more}.first(5));
    CHECK(marked(more).empty());
}

TEST_CASE("a surface may swing with the air, the core may not") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    for (const char* point : {"surface", "core"}) {
        lot.readings({{0, 60}, {5, 62}, {10, 60}, {15, 62}, {20, 60}, {25, 62}}, Scale::celsius,
                     point);
    }
    judge::mark_suspects(lot.history());
    CHECK(marked(lot.history().points[0].readings).empty());
    CHECK(marked(lot.history().points[1].readings) == Places{1, 2, 3, 4});
}

TEST_CASE("a stuck run is told from its first reading to its last, each run by itself") {
    std::vector<Row> rows;
    for (int i = 0; i < 100; ++i) { // 99 steps of 240 / 99 minutes
        rows.push_back({i * 240.0 / 99, 60.5});
    }
    const auto exactly = series(rows);
    const auto one = judge::stuck_runs(exactly);
    REQUIRE(one.size() == 1);
    CHECK(one[0].from == at(0));
    CHECK(one[0].to == at(240));
    CHECK(one[0].readings == 100);
    CHECK(judge::stuck_runs(std::span{exactly}.first(99)).empty());
    for (Row& row : rows) {
        row.minutes *= 239.9 / 240;
    }
    CHECK(judge::stuck_runs(series(rows)).empty());
    // Hundredths are a finer display than one that sticks to its last tenth.
    for (Row& row : rows) {
        row = {row.minutes * 2, 60.55};
    }
    CHECK(judge::stuck_runs(series(rows)).empty());
    // Two runs on each other's heels.
    std::vector<Row> two;
    for (int i = 0; i < 200; ++i) {
        two.push_back({i * 3.0, i < 100 ? 60.5 : 60.6});
    }
    const auto both = judge::stuck_runs(series(two));
    REQUIRE(both.size() == 2);
    CHECK(both[0].readings == 100);
    CHECK(both[1].from == at(300));
    CHECK(both[1].readings == 100);
    // Fifty of one value at the end of many others are no hundred.
    std::vector<Row> end;
    for (int i = 0; i < 150; ++i) {
        end.push_back({i * 5.0, i < 100 ? 60.0 + i % 2 : 63.0});
    }
    CHECK(judge::stuck_runs(series(end)).empty());
    // Only what it is given.
    const auto given = series(two);
    CHECK(judge::stuck_runs(std::span{given}.subspan(99)).front().readings == 100);
    CHECK(judge::stuck_runs(std::span{given}.first(99)).empty());
}

TEST_CASE("what was left out unseen ends a stuck run right there") {
    // 99 readings of one value, then one before which something else was left out: reading.hpp.
    std::vector<Row> rows;
    for (int i = 0; i < 110; ++i) {
        rows.push_back({i * 3.0, 60.5});
    }
    auto readings = series(rows);
    REQUIRE(judge::stuck_runs(readings).size() == 1);
    readings[99].left_out = 1;
    CHECK(judge::stuck_runs(readings).empty());
    readings[99].flat = 1; // what was left out showed the very same
    REQUIRE(judge::stuck_runs(readings).size() == 1);
    CHECK(judge::stuck_runs(readings)[0].readings == 111);
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

TEST_CASE("a suspect reading does not put off the start of a second window") {
    // Australia New Zealand Food Standards Code 3.2.2 cl. 7(3): 60 to 21 °C within 2 h, then to 5
    // °C within a further 4 h. Trusted readings show 21 °C reached after minute 60 only: 330 - 60
    // is more than 240 min, 330 - 100 would be less.
    const codes::Pack australia =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/au-3.2.2.toml");
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.readings({{0, 61}, {5, 59}, {60, 30}, {100, 26}, {110, 20}, {300, 6}, {330, 5}},
                 Scale::celsius);
    CHECK(only(lot.judged(australia), "cooling-second-window").verdict == Verdict::met);
    lot.history().points.front().readings[3].suspect = true;
    CHECK(only(lot.judged(australia), "cooling-second-window").verdict == Verdict::not_shown);
}

TEST_CASE("a window whose start only a suspect reading shows says so, and not a decision rule") {
    // FDA Food Code 2022, 3-501.14(A): the start is not shown; a probe still in the air.
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.readings({{0, 140}, {0.5, 90}, {12, 88}, {30, 69}, {90, 41}}).closes(91);
    judge::mark_suspects(lot.history());
    const auto f = only(lot.judged(fda()), "cooling-first-window");
    CHECK(f.verdict == Verdict::not_shown);
    CHECK(f.reason == "What would show it (a reading at or above 135 °F) is suspect, and a suspect "
                      "reading is never counted for the food.");
}
