// All times between the cold and the hot limit add up: the 2 hour / 4 hour guide of Food Standards
// Australia New Zealand and the NSW Food Authority (seen in accounts): under 2 hours in all between
// 5 °C and 60 °C the food may be put back, under 4 hours it may be used. How times in storage are
// found from readings is the project's own reading: docs/how-limits-are-read.md.
#include "lots.hpp"
#include "random_lots.hpp"

#include <holdwarden/judge/keep_until.hpp>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

const codes::Pack& australia() {
    static const codes::Pack pack =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/au-3.2.2.toml");
    return pack;
}

Finding by_time(const LotJudgement& j) {
    return only(j, "time-control");
}

/// What is added up beside `out` minutes under time control: {at least, at most}, in minutes.
using Minutes = std::pair<double, double>;
Minutes beside(const Finding& f, double out) {
    return {f.elapsed.earliest->in_minutes() - out, f.elapsed.latest->in_minutes() - out};
}

/// Cold from 0 to `from`, then what `add` says, then out at 600 for `out` minutes.
template <class Add>
Finding then_out(Add add, double out, Span largest = Span::minutes(120)) {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).readings({{0, 4}, {60, 4}}, Scale::celsius);
    add(lot);
    lot.stage(Stage::time_control, 600).readings({{600, 4}}, Scale::celsius).served(600 + out);
    judge::Settings settings;
    settings.as_of = at(600 + out);
    settings.largest_interval = largest;
    settings.zone = Zone::named("America/Denver");
    return by_time(judge::judge_lot(lot.history(), australia(), settings));
}

/// Cold and read every 90 minutes until 600.
void cold_until_600(Lot& lot, double from) {
    for (double minute = from; minute < 600; minute += 90) {
        lot.readings({{minute, 4}}, Scale::celsius);
    }
}

} // namespace

TEST_CASE("time between the limits while food is prepared adds up to its time out") {
    const auto prepared = [](double until, double out) {
        return then_out(
            [&](Lot& lot) {
                lot.stage(Stage::preparing, 60).stage(Stage::cold_holding, until);
                lot.readings({{70, 15}, {until - 10, 15}, {until, 4}}, Scale::celsius);
                cold_until_600(lot, until + 90);
            },
            out);
    };
    // Between the readings at 15 °C at least; from the cold one before to the cold one after at
    // most.
    CHECK(beside(prepared(120, 60), 60) == Minutes{40, 60});
    CHECK(prepared(120, 179).verdict == Verdict::met);
    CHECK(prepared(120, 180).verdict == Verdict::not_shown); // 3 h 40 min to 4 h
    CHECK(prepared(120, 199).verdict == Verdict::not_shown);
    CHECK(prepared(120, 199).acts_as_missed);
    CHECK(prepared(120, 200).verdict == Verdict::not_met);
    CHECK(prepared(120, 179).reason.starts_with("Out for between 3 h 39 min and 3 h 59 min"));
    CHECK(prepared(120, 180).reason ==
          "All times at neither 5 °C or below nor 60 °C or above add up: by the record between "
          "3 h 40 min and 4 h; the code allows less than 4 h.");
    SECTION("and forbids to put it back from two hours on") {
        CHECK(prepared(179, 10).verdict == Verdict::met); // 1 h 59 min at most
        CHECK(prepared(180, 10).verdict == Verdict::not_shown);
        CHECK_THAT(prepared(180, 10).reason,
                   Catch::StartsWith("At 2026-10-31 15:00 it went back to "));
        CHECK(prepared(199, 10).verdict == Verdict::not_shown);
        CHECK(prepared(199, 10).acts_as_missed);
        CHECK(prepared(200, 10).verdict == Verdict::not_met);
        CHECK_THAT(prepared(200, 10).reason,
                   Catch::StartsWith("At 2026-10-31 15:20 it went back to "));
    }
}

TEST_CASE("food prepared with no reading may have been warm all the while") {
    const auto unread = [](double until) {
        return then_out(
            [&](Lot& lot) {
                lot.stage(Stage::preparing, 70).stage(Stage::cold_holding, until);
                lot.readings({{until + 10, 4}}, Scale::celsius);
                cold_until_600(lot, until + 100);
            },
            100);
    };
    // Cold before and after: it may have been warm and been chilled again.
    CHECK(beside(unread(170), 100) == Minutes{0, 110}); // and up to its first reading after
    CHECK(beside(unread(171), 100) == Minutes{0, 121}); // a silence, from reading to reading
    // Cold up to the last reading in it: food on the bench gets no colder.
    const auto read = [](double last) {
        return then_out(
            [&](Lot& lot) {
                lot.stage(Stage::preparing, 70).stage(Stage::cold_holding, 170);
                lot.readings({{last, 4}, {174, 4}}, Scale::celsius);
                cold_until_600(lot, 240);
            },
            100);
    };
    CHECK(beside(read(90), 100) == Minutes{0, 84});
    CHECK(beside(read(170), 100) == Minutes{0, 0});
    // Nothing read after it at all.
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::preparing, 30).stage(Stage::time_control, 50);
    lot.readings({{0, 4}}, Scale::celsius).served(100);
    CHECK(beside(by_time(lot.judged(australia())), 50) == Minutes{0, 20});
    // Nothing read before it.
    Lot first;
    first.stage(Stage::preparing, 0).stage(Stage::cold_holding, 40);
    first.stage(Stage::time_control, 100).readings({{60, 4}, {100, 4}}, Scale::celsius);
    CHECK(beside(by_time(first.served(150).judged(australia())), 50) == Minutes{0, 60});
}

TEST_CASE("an excursion in storage adds up, and is a finding of its own") {
    const auto warm = [](double minutes, double out) {
        return then_out(
            [&](Lot& lot) {
                lot.readings({{100, 6}, {100 + minutes, 6}, {110 + minutes, 5}}, Scale::celsius);
                cold_until_600(lot, 200 + minutes);
            },
            out);
    };
    CHECK(beside(warm(60, 60), 60) == Minutes{60, 110});
    CHECK(warm(60, 60).verdict == Verdict::met);
    CHECK(warm(60, 129).verdict == Verdict::met);
    CHECK(warm(60, 130).verdict == Verdict::not_shown);
    CHECK(warm(60, 180).verdict == Verdict::not_met);
}

TEST_CASE("a good reheat takes no time back") {
    // Hot-held below 60 °C for three hours, then reheated, cooled in time, kept cold.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::reheating, 200).stage(Stage::cooling, 230);
    lot.stage(Stage::cold_holding, 400).stage(Stage::time_control, 500);
    lot.readings({{0, 62},
                  {10, 50},
                  {100, 50},
                  {190, 50},
                  {220, 75},
                  {230, 61},
                  {330, 20},
                  {400, 4},
                  {450, 4},
                  {500, 4}},
                 Scale::celsius);
    const Finding served = by_time(lot.served(570).judged(australia()));
    CHECK(beside(served, 70) == Minutes{180, 220}); // 0 to 220: cooling has limits of its own
    CHECK(served.verdict == Verdict::not_met);
}

TEST_CASE("a silence in storage longer than the largest interval adds up at most") {
    CHECK(beside(then_out([](Lot& lot) { cold_until_600(lot, 150); }, 30), 30) == Minutes{0, 0});
    // From the reading at 60 to the one at 600.
    CHECK(beside(then_out([](Lot&) {}, 30), 30) == Minutes{0, 540});
    CHECK(then_out([](Lot&) {}, 30).verdict == Verdict::not_shown);
    CHECK(beside(then_out([](Lot& lot) { cold_until_600(lot, 150); }, 30, Span::minutes(89)), 30) ==
          Minutes{0, 540});
    CHECK(beside(then_out([](Lot& lot) { cold_until_600(lot, 150); }, 30, Span::minutes(90)), 30) ==
          Minutes{0, 0});
    // Another point's readings vouch as well.
    const auto other = [](Lot& lot) {
        lot.readings({{150, 4}, {250, 4}, {350, 4}, {450, 4}, {550, 4}}, Scale::celsius, "edge");
    };
    CHECK(beside(then_out(other, 30), 30) == Minutes{0, 0});
}

TEST_CASE("the worst point is the least, all points together the most") {
    const auto two = [](Lot& lot) {
        cold_until_600(lot, 150);
        lot.readings({{0, 4}, {100, 6}, {130, 6}, {140, 5}, {600, 4}}, Scale::celsius, "edge");
        lot.readings({{245, 6}, {265, 6}}, Scale::celsius);
    };
    // edge: 100 to 130 for sure, 0 to 140 at most; core: 245 to 265, 240 to 330.
    CHECK(beside(then_out(two, 30), 30) == Minutes{30, 230});
}

TEST_CASE("frozen food adds up only where it was read out of the cold") {
    const auto frozen = [](std::vector<Row> rows) {
        return then_out(
            [&](Lot& lot) {
                lot.stage(Stage::frozen, 100).stage(Stage::thawing, 500);
                lot.readings(std::move(rows), Scale::celsius);
                lot.readings({{500, 0}, {550, 3}}, Scale::celsius);
            },
            30);
    };
    // Unread from 60 on: 40 minutes of that in cold holding, longer than the largest interval.
    CHECK(beside(frozen({}), 30) == Minutes{0, 40});
    CHECK(beside(frozen({{100, -18}}), 30) == Minutes{0, 0});
    CHECK(beside(frozen({{100, -18}, {200, 10}, {260, 10}, {270, 0}}), 30) == Minutes{60, 170});
    // Put in warm, and not read before it was thawed.
    CHECK(beside(frozen({{90, 6}, {95, 6}}), 30) == Minutes{5, 440});
}

TEST_CASE("food that cools down in the cold store adds up once it is cold") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cold_holding, 60).stage(Stage::time_control, 500);
    lot.readings({{0, 65}, {60, 61}, {170, 21}, {300, 5}, {310, 6}, {330, 6}, {340, 5}},
                 Scale::celsius);
    lot.readings({{420, 5}, {500, 5}}, Scale::celsius);
    CHECK(beside(by_time(lot.served(520).judged(australia())), 20) == Minutes{20, 40});
    // Never cold: that is the cooling's own miss, and no time out began in the cold.
    Lot warm;
    warm.stage(Stage::hot_holding, 0)
        .stage(Stage::cold_holding, 60)
        .stage(Stage::time_control, 160);
    warm.readings({{0, 65}, {60, 61}, {150, 21}}, Scale::celsius);
    CHECK(beside(by_time(warm.served(180).judged(australia())), 20) == Minutes{0, 100});
    CHECK(by_time(warm.judged(australia())).verdict == Verdict::not_met);
}

TEST_CASE("what is out after the last return counts as well") {
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, 60);
    lot.readings({{0, 4}, {60, 5}, {120, 10}, {200, 10}, {280, 10}}, Scale::celsius);
    CHECK(by_time(lot.judged(australia(), 200)).verdict == Verdict::met); // 1 h to 3 h 20 min
    CHECK(by_time(lot.judged(australia(), 239)).verdict == Verdict::met);
    CHECK(by_time(lot.judged(australia(), 240)).verdict == Verdict::not_shown);
    CHECK(by_time(lot.judged(australia(), 300)).verdict == Verdict::not_shown); // 3 h 40 min
    lot.readings({{301, 10}}, Scale::celsius);
    CHECK(by_time(lot.judged(australia(), 301)).verdict == Verdict::not_met); // 4 h 1 min
}

TEST_CASE("a reading that proves nothing counts at most") {
    const auto read = [](judge::Settings settings) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 100);
        lot.readings({{0, 4}, {40, 5}, {60, 5}, {80, 4}, {100, 4}}, Scale::celsius).served(120);
        settings.as_of = at(120);
        return by_time(judge::judge_lot(lot.history(), australia(), settings));
    };
    CHECK(beside(read({}), 20) == Minutes{0, 0});
    judge::Settings guarded;
    guarded.rule = judge::DecisionRule::guarded;
    guarded.tolerance = TemperatureDelta::of_thousandths(500, Scale::celsius);
    CHECK(beside(read(guarded), 20) == Minutes{0, 80});
}

TEST_CASE("food still out and its label have the time left that nothing has used up") {
    Lot lot;
    lot.stage(Stage::preparing, 0).stage(Stage::cold_holding, 30).stage(Stage::time_control, 60);
    lot.readings({{30, 4}, {60, 4}}, Scale::celsius);
    const Finding f = by_time(lot.judged(australia(), 100));
    CHECK(f.verdict == Verdict::open);
    CHECK(f.reason.find("16:30") != std::string::npos); // 4 h out, less the 30 minutes before
    judge::Settings settings;
    settings.as_of = at(100);
    CHECK(judge::time_mark(lot.history(), australia(), settings)->until == at(60 + 240 - 30));
    CHECK(by_time(lot.judged(australia(), 270)).verdict == Verdict::not_shown);
}

namespace {

/// Cooled from 0 to 4 °C at 200, and what follows from 210 on; out at 1400.
Finding cooled_then(std::vector<std::pair<Stage, double>> stages, std::vector<Row> rows,
                    double out) {
    Lot lot;
    lot.stage(Stage::cooling, 0);
    for (const auto& [stage, from] : stages) {
        lot.stage(stage, from);
    }
    lot.stage(Stage::time_control, 1400);
    lot.readings({{0, 61}, {90, 20}, {200, 4}, {1400, 4}}, Scale::celsius);
    lot.readings(std::move(rows), Scale::celsius).served(1400 + out);
    return by_time(lot.judged(australia()));
}

/// Read cold every 100 minutes from `from` on.
std::vector<Row> cold_from(double from, std::vector<Row> rows) {
    for (double minute = from; minute < 1400; minute += 100) {
        rows.push_back({minute, 4});
    }
    return rows;
}

} // namespace

TEST_CASE("food that was cooled counts in the cold store from the start") {
    // A night nobody measured, from the cooling's cold reading on.
    CHECK(beside(cooled_then({{Stage::cold_holding, 210}}, {}, 60), 60) == Minutes{0, 1200});
    CHECK(cooled_then({{Stage::cold_holding, 210}}, {}, 60).verdict == Verdict::not_shown);
    CHECK(cooled_then({{Stage::cold_holding, 210}}, cold_from(300, {}), 60).verdict ==
          Verdict::met);
    // Warm again before its first cold reading there.
    const auto rows = cold_from(500, {{220, 15}, {320, 15}, {420, 15}});
    CHECK(beside(cooled_then({{Stage::cold_holding, 210}}, rows, 60), 60) == Minutes{200, 300});
    CHECK(beside(cooled_then({{Stage::thawing, 210}}, rows, 60), 60) == Minutes{200, 300});
    CHECK(beside(cooled_then({{Stage::preparing, 210}, {Stage::cold_holding, 260}}, rows, 60),
                 60) == Minutes{200, 300});
}

TEST_CASE("food left in its cooling stage counts there once it is cold") {
    CHECK(beside(cooled_then({}, {}, 60), 60) == Minutes{0, 1200});
    CHECK(cooled_then({}, {}, 60).verdict == Verdict::not_shown);
    CHECK(cooled_then({}, cold_from(300, {}), 60).verdict == Verdict::met);
    const auto rows = cold_from(500, {{220, 15}, {320, 15}, {420, 15}});
    CHECK(beside(cooled_then({}, rows, 60), 60) == Minutes{200, 300});
    CHECK(beside(cooled_then({{Stage::cooling, 210}}, rows, 60), 60) == Minutes{200, 300});
}

TEST_CASE("a cooling that was missed is not taken back by a reheat") {
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::reheating, 610).stage(Stage::cooling, 645);
    lot.stage(Stage::cold_holding, 860).stage(Stage::time_control, 880);
    lot.readings({{0, 61},
                  {100, 40},
                  {200, 30},
                  {300, 30},
                  {400, 30},
                  {500, 30},
                  {610, 30},
                  {640, 75},
                  {645, 75},
                  {650, 62},
                  {740, 20},
                  {850, 4},
                  {860, 4},
                  {880, 4}},
                 Scale::celsius);
    CHECK(by_time(lot.served(1000).judged(australia())).verdict == Verdict::not_met);
}

TEST_CASE("what was read before the food was out says nothing of the time after it") {
    const auto back = [](std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 200);
        lot.stage(Stage::cold_holding, 210).stage(Stage::time_control, 320);
        lot.readings({{0, 4}, {100, 4}, {200, 4}, {310, 4}, {320, 4}}, Scale::celsius);
        return by_time(
            lot.readings(std::move(rows), Scale::celsius).served(330).judged(australia()));
    };
    CHECK(beside(back({}), 20) == Minutes{0, 100}); // put back at 210, read at 310
    CHECK(beside(back({{230, 4}}), 20) == Minutes{0, 20});
    CHECK(beside(back({{210, 4}}), 20) == Minutes{0, 0});
    CHECK(beside(back({{230, 9}, {250, 4}}), 20) == Minutes{0, 40});
    // Nothing was read after it at all.
    Lot unread;
    unread.stage(Stage::time_control, 0).stage(Stage::cold_holding, 10);
    unread.readings({{0, 4}}, Scale::celsius);
    CHECK(beside(by_time(unread.judged(australia(), 60)), 10) == Minutes{0, 50});
}

TEST_CASE("what was read on either side of time out proves nothing of the time between") {
    const auto read = [](std::vector<Row> other) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 110);
        lot.stage(Stage::cold_holding, 120).stage(Stage::time_control, 430);
        lot.readings({{0, 4}, {100, 4}, {120, 4}, {220, 4}, {320, 4}, {420, 4}, {430, 4}},
                     Scale::celsius);
        lot.readings(std::move(other), Scale::celsius, "edge");
        return beside(by_time(lot.served(460).judged(australia())), 40);
    };
    CHECK(read({{115, 15}, {435, 15}}).first == 0);
    CHECK(read({{125, 15}, {225, 15}, {325, 15}, {425, 15}}).first == 300);
    // A point read once only: what is near counts at most, within the largest interval.
    CHECK(read({{435, 15}}) == Minutes{0, 115});
    CHECK(read({{5, 15}}) == Minutes{0, 420}); // last read warm: to the end
    CHECK(read({{125, 15}}) == Minutes{0, 415});
}

TEST_CASE("frozen food read warm counts from the reading before, and no less than it shows") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::frozen, 60).stage(Stage::thawing, 400);
    lot.stage(Stage::time_control, 510);
    lot.readings(
        {{0, 4}, {55, 10}, {170, 10}, {200, -8}, {300, -18}, {400, -18}, {450, 4}, {510, 4}},
        Scale::celsius);
    // 55 to 170 for sure, 0 to 200 at most.
    CHECK(beside(by_time(lot.served(520).judged(australia())), 10) == Minutes{115, 200});
}

namespace {

struct Entry {
    Stage stage;
    double from;
};

/// A life of stages and readings, served at `end`.
Finding lived(const std::vector<Entry>& stages, std::vector<Row> rows, double end) {
    Lot lot;
    for (const Entry& entry : stages) {
        lot.stage(entry.stage, entry.from);
    }
    return by_time(lot.readings(std::move(rows), Scale::celsius).served(end).judged(australia()));
}

} // namespace

TEST_CASE("food that is cold already is not cooled: what it spends in cooling counts") {
    // After time control: at 15 °C from 61 to 225.
    const auto after_out = [](double end) {
        return lived({{Stage::cooking, 0},
                      {Stage::cooling, 5},
                      {Stage::cold_holding, 31},
                      {Stage::time_control, 41},
                      {Stage::cooling, 61},
                      {Stage::cold_holding, 236},
                      {Stage::time_control, 250}},
                     {{0, 75},
                      {5, 65},
                      {30, 4},
                      {31, 4},
                      {38, 4},
                      {61, 15},
                      {140, 15},
                      {225, 15},
                      {235, 4},
                      {236, 4},
                      {240, 4},
                      {250, 4}},
                     end);
    };
    CHECK(beside(after_out(290), 60) == Minutes{164, 177}); // 38 to 41, 61 to 235
    CHECK(after_out(292).verdict == Verdict::met);
    CHECK(after_out(293).verdict == Verdict::not_shown);
    CHECK(after_out(306).verdict == Verdict::not_met);
    // After the bench, from 40 on; put back into the cooling at 3 h 25 min.
    const Finding after_bench = lived({{Stage::cooking, 0},
                                       {Stage::cooling, 5},
                                       {Stage::cold_holding, 31},
                                       {Stage::preparing, 40},
                                       {Stage::cooling, 245},
                                       {Stage::cold_holding, 336},
                                       {Stage::time_control, 350}},
                                      {{0, 75},
                                       {5, 65},
                                       {30, 4},
                                       {31, 4},
                                       {40, 4},
                                       {44, 15},
                                       {140, 15},
                                       {245, 15},
                                       {300, 15},
                                       {335, 4},
                                       {336, 4},
                                       {350, 4}},
                                      360);
    CHECK(beside(after_bench, 10) == Minutes{256, 295});
    CHECK(after_bench.verdict == Verdict::not_met);
}

TEST_CASE("heating counts: a reheat whole, a cook unless it came hot") {
    const auto heated = [](Stage stage, std::vector<Row> rows) {
        rows.insert(rows.begin(), {{0, 4}, {60, 4}});
        return lived({{Stage::cold_holding, 0},
                      {stage, 60},
                      {Stage::hot_holding, 160},
                      {Stage::time_control, 200}},
                     rows, 210);
    };
    const std::vector<Row> never{{100, 30}, {150, 30}, {160, 30}, {200, 30}};
    const std::vector<Row> hot{{100, 30}, {140, 65}, {150, 65}, {160, 65}, {200, 65}};
    CHECK(beside(heated(Stage::cooking, never), 10) == Minutes{100, 140});
    CHECK(beside(heated(Stage::cooking, hot), 10) == Minutes{0, 0});
    CHECK(beside(heated(Stage::initial_heating, hot), 10) == Minutes{0, 0});
    CHECK(beside(heated(Stage::reheating, never), 10) == Minutes{100, 140});
    CHECK(beside(heated(Stage::reheating, hot), 10) == Minutes{0, 80});
    // Hot, and off again in the same cook.
    CHECK(
        beside(heated(Stage::cooking,
                      {{80, 30}, {100, 65}, {110, 50}, {130, 50}, {140, 65}, {160, 65}, {200, 65}}),
               10) == Minutes{20, 40});
    // Nobody read it while it was heated: it may never have been hot, nor cold again at once.
    const std::vector<Row> unread{{160, 65}, {200, 65}};
    CHECK(beside(heated(Stage::cooking, {{170, 65}, {200, 65}}), 10) == Minutes{0, 110});
    CHECK(beside(heated(Stage::reheating, {{170, 65}, {200, 65}}), 10) == Minutes{0, 110});
    CHECK(beside(heated(Stage::cooking, unread), 10) == Minutes{0, 0}); // on the boundary: in it
    CHECK(beside(heated(Stage::reheating, unread), 10) == Minutes{0, 100});
}

TEST_CASE("a cold reading when a cook began is not of the cooling after it") {
    const Finding f = lived({{Stage::cold_holding, 0},
                             {Stage::cooking, 60},
                             {Stage::cooling, 90},
                             {Stage::cold_holding, 330},
                             {Stage::time_control, 360}},
                            {{0, 4},
                             {50, 4},
                             {60, 4},
                             {92, 75},
                             {120, 55},
                             {150, 40},
                             {180, 20},
                             {300, 10},
                             {330, 4},
                             {340, 4},
                             {360, 4}},
                            370);
    // The cook, in which nothing was read hot, and the two minutes up to the first hot reading.
    CHECK(beside(f, 10) == Minutes{0, 32});
}

TEST_CASE("a stray hot reading in the cold makes no cooling of what follows") {
    const Finding f = lived({{Stage::cooling, 0},
                             {Stage::cold_holding, 100},
                             {Stage::cold_holding, 300},
                             {Stage::time_control, 500}},
                            {{0, 61},
                             {60, 20},
                             {90, 4},
                             {100, 4},
                             {200, 61},
                             {210, 15},
                             {300, 15},
                             {400, 15},
                             {410, 4},
                             {500, 4}},
                            510);
    CHECK(beside(f, 10) == Minutes{190, 310}); // 210 to 400; 100 to 410
}

TEST_CASE("two readings in stages that one lies between do not show that one warm") {
    const Finding f = lived({{Stage::preparing, 0},
                             {Stage::cold_holding, 75},
                             {Stage::preparing, 185},
                             {Stage::cold_holding, 190},
                             {Stage::time_control, 260}},
                            {{0, 4}, {72, 15}, {186, 6}, {200, 4}, {260, 4}}, 270);
    CHECK(beside(f, 10) == Minutes{0, 200}); // 0 to 200
}

TEST_CASE("food put warm into the freezer counts there until it was read cold") {
    const auto frozen_after = [](Stage stage) {
        return lived({{Stage::cold_holding, 0},
                      {stage, 70},
                      {Stage::frozen, 160},
                      {Stage::thawing, 910},
                      {Stage::time_control, 1090}},
                     {{0, 4},
                      {60, 4},
                      {80, 15},
                      {150, 15},
                      {700, -18},
                      {900, -18},
                      {910, -18},
                      {1000, -5},
                      {1080, 4},
                      {1090, 4}},
                     1100);
    };
    CHECK(beside(frozen_after(Stage::preparing), 10) == Minutes{70, 640}); // 60 to 700
    CHECK(beside(frozen_after(Stage::time_control), 100) ==
          Minutes{0, 550}); // 60 to 70, 160 to 700
}

TEST_CASE(
    "a cooling ends with the first cold reading, but that nothing is surely out in its stage") {
    const auto cooled = [](std::vector<Row> rows) {
        return beside(lived({{Stage::cooling, 0}, {Stage::time_control, 300}}, rows, 310), 10);
    };
    const std::vector<Row> again{{150, 62}, {200, 30}, {260, 4}, {300, 4}};
    std::vector<Row> rows{{0, 61}, {100, 4}};
    rows.insert(rows.end(), again.begin(), again.end());
    CHECK(cooled(rows) == Minutes{0, 160}); // 100 to 260
    rows = {{0, 4}};
    rows.insert(rows.end(), again.begin(), again.end());
    CHECK(cooled(rows) == Minutes{0, 260}); // 0 to 260
    CHECK(cooled({{0, 61}, {100, 4}, {150, 62}, {200, 30}, {230, 30}, {260, 4}}).first == 0);
    CHECK(cooled({{0, 4}, {150, 62}, {200, 30}, {230, 30}, {260, 4}}).first == 0);
    // First read between the limits: it may be cooling still.
    CHECK(cooled({{0, 30}, {60, 30}, {100, 4}, {200, 4}, {300, 4}}) == Minutes{0, 100});
    const Finding kept =
        lived({{Stage::hot_holding, 0}, {Stage::cold_holding, 60}, {Stage::time_control, 300}},
              {{0, 65}, {60, 4}, {100, 61}, {110, 15}, {190, 15}, {200, 4}, {300, 4}}, 310);
    CHECK(beside(kept, 10) == Minutes{80, 200});
}

TEST_CASE("a short stay between good readings counts nothing, read or not") {
    const Finding f = lived({{Stage::hot_holding, 0},
                             {Stage::resting, 60},
                             {Stage::hot_holding, 90},
                             {Stage::time_control, 150}},
                            {{0, 65}, {50, 65}, {100, 65}, {150, 65}}, 160);
    CHECK(beside(f, 10) == Minutes{0, 0});
}

TEST_CASE("what lies between two warm readings is theirs up to the boundaries of stages") {
    const auto warm = [](double first, double second) {
        return lived({{Stage::preparing, 0},
                      {Stage::cold_holding, 75},
                      {Stage::preparing, 185},
                      {Stage::time_control, 260}},
                     {{0, 4}, {first, 15}, {second, 15}, {259, 4}, {260, 4}}, 270)
            .elapsed.earliest->in_minutes();
    };
    CHECK(warm(72, 180) == 118); // 10 of time control
    CHECK(warm(75, 180) == 115);
    CHECK(warm(75, 185) == 120);
    CHECK(warm(72, 185) == 10);
    CHECK(warm(75, 186) == 10);
    // A cook that came hot and fell off again, up to its end.
    const Finding f = lived({{Stage::cold_holding, 0},
                             {Stage::cooking, 60},
                             {Stage::hot_holding, 160},
                             {Stage::time_control, 200}},
                            {{0, 4}, {60, 4}, {100, 65}, {110, 50}, {160, 50}, {200, 65}}, 210);
    CHECK(beside(f, 10) == Minutes{50, 100});
}

TEST_CASE("a point last read warm as a stage began counts until it is read again") {
    Lot lot;
    lot.stage(Stage::time_control, 0)
        .stage(Stage::cold_holding, 10)
        .stage(Stage::time_control, 600);
    lot.readings({{0, 4}, {10, 4}}, Scale::celsius).steady(60, 600, 60, 4, Scale::celsius);
    lot.readings({{0, 4}, {10, 15}}, Scale::celsius, "edge").served(610);
    CHECK(beside(by_time(lot.judged(australia())), 20) == Minutes{0, 590});
}

TEST_CASE("a cook that came hot counts once it is not hot any more") {
    // Out of the cold, cooked, and lukewarm ten hours later, at the next reading.
    const auto cooked = [](Stage next, std::vector<Row> rows) {
        rows.insert(rows.begin(), {{0, 4}, {55, 4}, {60, 4}, {80, 75}});
        return lived({{Stage::cold_holding, 0},
                      {Stage::cooking, 60},
                      {next, 700},
                      {Stage::time_control, 760}},
                     rows, 770);
    };
    // Resting: from 80 on, up to the end of the silence and of the lukewarm time.
    CHECK(beside(cooked(Stage::resting, {{705, 30}, {759, 30}, {760, 30}}), 10) ==
          Minutes{55, 680});
    // Read hot to its end it counts from there.
    CHECK(beside(cooked(Stage::resting, {{180, 75},
                                         {280, 75},
                                         {380, 75},
                                         {480, 75},
                                         {580, 75},
                                         {690, 75},
                                         {705, 65},
                                         {760, 65}}),
                 10) == Minutes{0, 0});
    // What is cooled after it is cooled under limits of its own, from where the cook ends.
    CHECK(beside(cooked(Stage::cooling, {{180, 75},
                                         {280, 75},
                                         {380, 75},
                                         {480, 75},
                                         {580, 75},
                                         {690, 75},
                                         {705, 30},
                                         {750, 4},
                                         {760, 4}}),
                 10) == Minutes{0, 10});
}

TEST_CASE("each point goes by its own readings in a cook") {
    const auto cooked = [](std::vector<Row> other) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, 100).stage(Stage::time_control, 150);
        lot.readings({{0, 4}, {40, 65}, {100, 65}, {150, 65}}, Scale::celsius);
        lot.readings(std::move(other), Scale::celsius, "edge").served(160);
        return beside(by_time(lot.judged(australia())), 10);
    };
    CHECK(cooked({{0, 20}, {60, 65}, {100, 65}, {150, 65}}) == Minutes{0, 0});
    CHECK(cooked({{0, 20}, {60, 30}, {150, 65}}) == Minutes{0, 150}); // hot next, after the cook
    CHECK(cooked({{100, 65}, {150, 65}}) == Minutes{0, 0});
    CHECK(cooked({{110, 30}, {150, 65}}) == Minutes{0, 150}); // first read after it
    CHECK(cooked({{100, 30}, {150, 65}}) == Minutes{0, 150});
    CHECK(cooked({{0, 20}, {60, 30}, {150, 30}}) == Minutes{60, 150});
    CHECK(cooked({{0, 65}, {20, 50}, {50, 50}, {60, 65}, {150, 65}}) == Minutes{30, 60});
}

TEST_CASE("out of a cook only the cooling that follows is exempt, point by point") {
    // `core` is read at 80 and not before it is out of the cook; `edge` is read hot all the while.
    const auto cooked = [](std::vector<Entry> after, std::vector<Row> core, std::vector<Row> edge) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::cooking, 60);
        for (const Entry& entry : after) {
            lot.stage(entry.stage, entry.from);
        }
        lot.stage(Stage::time_control, 760);
        lot.readings({{0, 4}, {55, 4}, {60, 4}, {80, 75}}, Scale::celsius);
        lot.readings(std::move(core), Scale::celsius);
        lot.readings({{180, 75}, {280, 75}, {380, 75}, {480, 75}, {600, 75}}, Scale::celsius,
                     "edge");
        lot.readings(std::move(edge), Scale::celsius, "edge").served(770);
        return beside(by_time(lot.judged(australia())), 10);
    };
    const std::vector<Row> cold{{705, 30}, {750, 4}, {760, 4}};
    CHECK(cooked({{Stage::resting, 700}}, {{705, 30}, {759, 30}, {760, 30}},
                 {{690, 75}, {705, 65}, {760, 65}}) == Minutes{55, 680});
    CHECK(cooked({{Stage::cooling, 700}}, cold, {{690, 75}, {705, 30}, {750, 4}, {760, 4}}) ==
          Minutes{0, 620}); // 80 to 700
    CHECK(cooked({{Stage::preparing, 690}, {Stage::cooling, 700}}, cold,
                 {{690, 75}, {695, 75}, {705, 30}, {750, 4}, {760, 4}}) == Minutes{0, 625});
    // Under 60 °C when the cook ends: since its last hot reading.
    const std::vector<Row> hot{{180, 75}, {280, 75}, {380, 75}, {480, 75}, {600, 75}, {700, 75}};
    std::vector<Row> kept = hot;
    kept.insert(kept.end(), cold.begin(), cold.end());
    CHECK(cooked({{Stage::cooling, 700}}, kept, {{700, 75}, {750, 4}, {760, 4}}) == Minutes{0, 0});
    CHECK(cooked({{Stage::cooling, 700}}, kept, {{700, 50}, {750, 4}, {760, 4}}) ==
          Minutes{0, 100});
    CHECK(cooked({{Stage::cooling, 700}}, kept, {{700, 50}}) == Minutes{0, 160}); // not read since
}

TEST_CASE("food cooled by the first reading after it counts nothing") {
    const Finding f =
        lived({{Stage::cooling, 0}, {Stage::time_control, 85}}, {{0, 61}, {85, 4}}, 95);
    CHECK(beside(f, 10) == Minutes{0, 0});
}

TEST_CASE("only a hot reading at the last vouches for the rest of a reheat") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::reheating, 60).stage(Stage::hot_holding, 160);
    lot.stage(Stage::time_control, 200);
    lot.readings({{0, 4}, {60, 4}, {100, 65}, {170, 65}, {200, 65}}, Scale::celsius);
    CHECK(beside(by_time(Lot{lot}.served(210).judged(australia())), 10) == Minutes{0, 40});
    lot.readings({{0, 4}, {60, 4}, {110, 4}}, Scale::celsius, "edge").served(210);
    CHECK(beside(by_time(lot.judged(australia())), 10) == Minutes{0, 140}); // from 60 on
}

TEST_CASE("a heating that was read only as it began counts up to its end") {
    const auto heated = [](Stage stage) {
        const Finding f = lived({{Stage::cold_holding, 0},
                                 {stage, 190},
                                 {Stage::cold_holding, 305},
                                 {Stage::time_control, 400}},
                                {{0, 4}, {100, 4}, {190, 4}, {310, 4}, {400, 4}}, 410);
        return beside(f, 10);
    };
    CHECK(heated(Stage::cooking) == Minutes{0, 120}); // 190 to 310
    CHECK(heated(Stage::reheating) == Minutes{0, 120});
}

TEST_CASE("a point that was hot and is not read while it cools is not known to have cooled") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::cooling, 30).stage(Stage::cold_holding, 200);
    lot.stage(Stage::time_control, 300);
    lot.readings({{0, 75}, {30, 75}, {60, 55}, {120, 20}, {190, 4}, {200, 4}, {300, 4}},
                 Scale::celsius);
    lot.readings({{0, 75}, {30, 75}, {310, 25}}, Scale::celsius, "edge").served(320);
    CHECK(beside(by_time(lot.judged(australia())), 20) == Minutes{0, 270}); // 30 to 300
}

TEST_CASE("food whose cooling was broken off before it was cold starts no time control") {
    // Standard 3.2.2 clause 7(3): to 5 °C within 4 hours of 21 °C.
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::time_control, 85);
    lot.readings({{0, 61}, {25, 30}, {50, 20}, {80, 4}, {85, 4}}, Scale::celsius);
    CHECK(by_time(Lot{lot}.served(110).judged(australia())).verdict == Verdict::met);
    lot.readings({{0, 61}, {25, 30}, {50, 20}}, Scale::celsius, "edge").served(110);
    CHECK(by_time(lot.judged(australia())).verdict != Verdict::met);
}

TEST_CASE(
    "a point that was hot when it was last read, and was put to the cold since, starts nothing") {
    // Its reading is older than the largest interval, 2 h (common practice, no source).
    const auto started = [](double degrees, Stage put) {
        Lot lot;
        lot.stage(Stage::preparing, 0).stage(put, 30).stage(Stage::time_control, 160);
        lot.readings({{0, 4}, {30, 4}, {120, 4}, {160, 4}}, Scale::celsius);
        lot.readings({{0, degrees}, {30, degrees}}, Scale::celsius, "edge").served(165);
        return by_time(lot.judged(australia()));
    };
    CHECK(started(75, Stage::thawing).verdict == Verdict::not_shown);
    CHECK(started(75, Stage::thawing).reason.find("before the start shows it at") !=
          std::string::npos);
    CHECK(started(4, Stage::thawing).verdict == Verdict::met);
    CHECK(started(75, Stage::preparing).reason.find("before the start shows it at") ==
          std::string::npos); // not put to the cold: its time is in the sum
}

TEST_CASE("a reading from before a heating starts no time control, and is no wrong start") {
    // 3-501.19(B)(1).
    const auto started = [](std::vector<Row> before) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::cooking, 60).stage(Stage::time_control, 90);
        lot.readings(std::move(before), Scale::fahrenheit, "surface").served(200);
        lot.readings({{85, 170}, {86, 170}, {90, 170}});
        return by_time(lot.judged(fda()));
    };
    CHECK(started({{0, 38}, {30, 38}}).verdict == Verdict::not_shown);
    CHECK(started({{0, 38}, {30, 38}, {61, 38}}).verdict == Verdict::not_shown);
    // In a hold it speaks of that hold.
    Lot held;
    held.stage(Stage::hot_holding, 0).stage(Stage::time_control, 60);
    held.readings({{0, 140}, {50, 100}}).served(100);
    CHECK(by_time(held.judged(fda())).reason.starts_with("It did not start at"));
    CHECK(started({{0, 38}, {30, 38}, {90, 38}}).verdict ==
          Verdict::not_met); // hot and cold at once
    Lot only_before;
    only_before.stage(Stage::cold_holding, 0)
        .stage(Stage::cooking, 60)
        .stage(Stage::time_control, 90);
    only_before.readings({{0, 38}, {55, 38}, {61, 38}}).served(200);
    CHECK(by_time(only_before.judged(fda())).verdict == Verdict::not_shown);
}

TEST_CASE("a cold reading as a hot hold began is not one of its end") {
    const Finding f =
        lived({{Stage::cold_holding, 0}, {Stage::hot_holding, 30}, {Stage::time_control, 60}},
              {{0, 4}, {30, 4}}, 100);
    CHECK(f.verdict == Verdict::not_shown);
    CHECK(f.reason.find("before the start shows it at") != std::string::npos);
}

TEST_CASE("a hot reading from before the cold is no wrong start") {
    const Finding f =
        lived({{Stage::hot_holding, 0}, {Stage::cold_holding, 30}, {Stage::time_control, 60}},
              {{0, 65}, {20, 65}}, 100);
    CHECK(f.verdict == Verdict::not_shown);
}

TEST_CASE("a return is held against all that went before, at least and at most") {
    // Prepared first of all, warm for 2 h 5 min, and put back.
    const Finding first =
        lived({{Stage::preparing, 0}, {Stage::cold_holding, 130}, {Stage::time_control, 200}},
              {{0, 15}, {60, 15}, {125, 15}, {130, 4}, {200, 4}}, 210);
    CHECK(first.verdict == Verdict::not_met);
    CHECK(first.reason.find("it went back to") != std::string::npos);
    // 1 h 55 min out, and at most 11 minutes from an unread bench on: under two hours is not shown.
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, 90).stage(Stage::preparing, 200);
    lot.stage(Stage::cold_holding, 210)
        .stage(Stage::time_control, 300)
        .stage(Stage::cold_holding, 325);
    lot.readings({{0, 4}, {90, 4}, {200, 4}, {211, 4}, {300, 4}, {325, 4}}, Scale::celsius);
    const Finding second = by_time(lot.judged(australia(), 340));
    CHECK(second.verdict == Verdict::not_shown);
    CHECK(second.reason.find("the record does not show that the times before it") !=
          std::string::npos);
    CHECK(beside(second, 115) == Minutes{0, 11});
}

TEST_CASE("food that was heated or cooled since its last reading starts no time control") {
    // 3-501.19(B)(1): 41 °F or less, or 135 °F or more, when removed from temperature control.
    const auto started = [](std::vector<Stage> before, double degrees) {
        Lot lot;
        double minute = 0;
        for (const Stage stage : before) {
            lot.stage(stage, minute);
            minute += 30;
        }
        lot.stage(Stage::time_control, 60);
        lot.readings({{0, degrees}, {20, degrees}}).served(100);
        return by_time(lot.judged(fda()));
    };
    CHECK(started({Stage::cold_holding}, 40).verdict == Verdict::met);
    CHECK(started({Stage::cold_holding, Stage::preparing}, 40).verdict == Verdict::met);
    CHECK(started({Stage::hot_holding, Stage::preparing}, 140).verdict == Verdict::met);
    for (const Stage heats : {Stage::initial_heating, Stage::cooking, Stage::reheating,
                              Stage::resting, Stage::hot_holding}) {
        const Finding f = started({Stage::cold_holding, heats}, 40);
        CHECK(f.verdict != Verdict::met);
        CHECK(f.reason.find("before the start shows it at") != std::string::npos);
    }
    for (const Stage cools : {Stage::cooling, Stage::cold_holding, Stage::frozen, Stage::thawing}) {
        CHECK(started({Stage::hot_holding, cools}, 140).verdict != Verdict::met);
    }
}

TEST_CASE("what is due is what is left in the worst case") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).stage(Stage::preparing, 70).stage(Stage::cold_holding, 170);
    lot.stage(Stage::time_control, 300);
    lot.readings({{0, 4}, {60, 4}, {80, 15}, {120, 15}, {175, 4}, {280, 4}, {300, 4}},
                 Scale::celsius);
    const Finding f = by_time(lot.judged(australia(), 320));
    CHECK(f.verdict == Verdict::open);
    CHECK(f.elapsed.earliest == Span::minutes(60));
    CHECK(f.worst_so_far == Span::minutes(135));
}

TEST_CASE("readings of one instant speak only where they agree") {
    const auto read = [](std::vector<Row> rows) {
        return beside(then_out(
                          [&](Lot& lot) {
                              lot.readings(rows, Scale::celsius);
                              cold_until_600(lot, 240);
                          },
                          30),
                      30);
    };
    CHECK(read({{150, 4}, {150, 15}, {160, 15}}) == Minutes{0, 180});
    CHECK(read({{150, 15}, {150, 15}, {160, 15}}) == Minutes{10, 180});
    CHECK(read({{150, 4}, {150, 4}, {160, 4}}) == Minutes{0, 0});
}

TEST_CASE(
    "a silence begins with the first point that was cold, and where nothing is read at once") {
    Lot two;
    two.stage(Stage::cooling, 0).stage(Stage::cold_holding, 210).stage(Stage::time_control, 1400);
    two.readings({{0, 61}, {90, 20}, {200, 4}, {1400, 4}}, Scale::celsius);
    two.readings({{0, 61}, {90, 20}, {1000, 4}, {1400, 4}}, Scale::celsius, "edge");
    CHECK(beside(by_time(two.served(1420).judged(australia())), 20) == Minutes{0, 1200});
    Lot none;
    none.stage(Stage::cold_holding, 0).stage(Stage::time_control, 200).served(220);
    CHECK(beside(by_time(none.judged(australia())), 20) == Minutes{0, 200});
    // The end of a stage ends a silence of exactly the largest interval in time.
    const auto last_read = [](double minute) {
        Lot lot;
        lot.stage(Stage::cold_holding, 0).stage(Stage::time_control, 200).served(220);
        return beside(by_time(lot.readings({{minute, 4}}, Scale::celsius).judged(australia())), 20);
    };
    CHECK(last_read(80) == Minutes{0, 0});
    CHECK(last_read(79) == Minutes{0, 121});
}

TEST_CASE("what was read of food before it was hot is not of food that was cooled") {
    Lot raw;
    raw.stage(Stage::cooking, 0).stage(Stage::cold_holding, 60).stage(Stage::time_control, 500);
    raw.readings({{0, 4}, {20, 30}, {60, 61}, {170, 21}, {300, 5}, {400, 5}, {500, 5}},
                 Scale::celsius);
    CHECK(beside(by_time(raw.served(520).judged(australia())), 20) == Minutes{0, 0});
    // Hot only as its hot hold began.
    CHECK(
        beside(
            lived({{Stage::hot_holding, 0}, {Stage::cold_holding, 60}, {Stage::time_control, 200}},
                  {{0, 65}, {90, 20}, {150, 4}, {200, 4}}, 210),
            10) == Minutes{0, 60});
    // Cold when its cooling began: what followed was no cooling of hot food.
    Lot cold;
    cold.stage(Stage::cooling, 0).stage(Stage::time_control, 200);
    cold.readings({{0, 4}, {10, 15}, {100, 15}, {110, 4}, {200, 4}}, Scale::celsius);
    CHECK(beside(by_time(cold.served(220).judged(australia())), 20) == Minutes{90, 110});
}

TEST_CASE("a record that begins in the cold has food cooled from hot in a cooling only") {
    const auto cooled = [](std::vector<Entry> stages) {
        stages.push_back({Stage::time_control, 300});
        return beside(lived(stages, {{0, 65}, {10, 65}, {100, 20}, {200, 4}, {300, 4}}, 310), 10);
    };
    CHECK(cooled({{Stage::cooling, 0}}) == Minutes{0, 0});
    CHECK(cooled({{Stage::preparing, 0}, {Stage::cooling, 10}}) == Minutes{0, 0});
    CHECK(cooled({{Stage::cold_holding, 0}, {Stage::cooling, 50}}) == Minutes{0, 40}); // 10 to 50
    CHECK(cooled({{Stage::cold_holding, 0}}) == Minutes{0, 190});
    CHECK(cooled({{Stage::preparing, 0}, {Stage::cold_holding, 10}}) == Minutes{0, 190});
}

TEST_CASE("a reading on the boundary of a freezing is of it") {
    const auto frozen = [](std::vector<Row> rows) {
        return beside(then_out(
                          [&](Lot& lot) {
                              lot.stage(Stage::frozen, 100).stage(Stage::thawing, 500);
                              lot.readings(rows, Scale::celsius);
                              lot.readings({{500, 0}, {550, 3}}, Scale::celsius);
                          },
                          30),
                      30);
    };
    CHECK(frozen({{100, 10}, {200, -5}}) == Minutes{0, 140});             // 60 to 200
    CHECK(frozen({{100, -18}, {450, -5}, {500, 10}}) == Minutes{0, 100}); // 450 to 550
}

TEST_CASE("the boundaries of time out are those of the stages beside it") {
    const auto out_first = [](std::vector<Row> core, std::vector<Row> edge) {
        Lot lot;
        lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, 20);
        lot.readings(std::move(core), Scale::celsius);
        if (!edge.empty()) {
            lot.readings(std::move(edge), Scale::celsius, "edge");
        }
        return beside(by_time(lot.judged(australia(), 60)), 20);
    };
    CHECK(out_first({{0, 4}, {10, 15}, {30, 15}, {40, 4}, {60, 4}}, {}) == Minutes{0, 20});
    CHECK(out_first({{0, 4}, {20, 15}, {40, 15}, {50, 4}, {60, 4}}, {}) == Minutes{20, 30});
    // Another point that is cold again soon does not speak for this one.
    CHECK(out_first({{0, 4}, {60, 4}}, {{21, 4}, {60, 4}}) == Minutes{0, 40});
    CHECK(out_first({{0, 4}, {20, 4}, {60, 4}}, {}) == Minutes{0, 0});
    Lot before;
    before.stage(Stage::cold_holding, 0).stage(Stage::time_control, 100);
    before.readings({{0, 4}, {80, 15}, {100, 15}}, Scale::celsius);
    CHECK(beside(by_time(before.served(120).judged(australia())), 20) == Minutes{20, 100});
}

TEST_CASE("readings on either side of a whole reheat do not speak for the hold after it") {
    const auto held = [](std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).stage(Stage::reheating, 100);
        lot.stage(Stage::hot_holding, 130).stage(Stage::time_control, 200);
        lot.readings({{0, 65}, {200, 65}}, Scale::celsius);
        lot.readings(std::move(rows), Scale::celsius);
        return beside(by_time(lot.served(210).judged(australia())), 10);
    };
    CHECK(held({{90, 65}, {140, 65}}) == Minutes{0, 40}); // nor for a reheat nobody read
    CHECK(held({{100, 65}, {140, 65}}) == Minutes{0, 40});
    CHECK(held({{90, 65}, {110, 75}, {140, 65}}) == Minutes{0, 0});
    CHECK(held({{90, 65}, {120, 75}, {140, 65}}) == Minutes{0, 0});
    CHECK(held({{90, 65}, {130, 75}, {140, 65}}) == Minutes{0, 0}); // on the boundary: in it
}

namespace {

/// A life with two points, `core` and `edge`.
Lot two_points(const std::vector<Entry>& stages, std::vector<Row> core, std::vector<Row> edge) {
    Lot lot;
    for (const Entry& entry : stages) {
        lot.stage(entry.stage, entry.from);
    }
    lot.readings(std::move(core), Scale::celsius);
    lot.readings(std::move(edge), Scale::celsius, "edge");
    return lot;
}

Finding served(Lot lot, double end) {
    return by_time(lot.served(end).judged(australia()));
}

} // namespace

// From here on: what does not count has to be shown not to, point by point and however its stages
// were entered. The project's own reading, the strict one, of the guide's "all times".

TEST_CASE("a point that was not read hot in a cook or a reheat counts all of it") {
    const auto cooked = [](Stage next) {
        return served(two_points({{Stage::time_control, 0}, {Stage::cooking, 10}, {next, 240}},
                                 {{0, 4}, {240, 65}, {245, 65}},
                                 {{10, 4}, {130, 30}, {240, 30}, {245, 65}}),
                      250);
    };
    for (const Stage next : {Stage::hot_holding, Stage::reheating, Stage::cooking}) {
        // To its hot reading, or to the next cook, in which it came hot.
        CHECK(beside(cooked(next), 10) == Minutes{0, next == Stage::cooking ? 230 : 235});
        CHECK(cooked(next).verdict == Verdict::not_shown);
    }
    // Out again, of which the start is in the sum as well: no miss by itself.
    CHECK(cooked(Stage::time_control).verdict == Verdict::not_shown);
    for (const Stage heats : {Stage::cooking, Stage::initial_heating, Stage::reheating}) {
        const auto heated = [&](std::vector<Row> core, std::vector<Row> edge) {
            return beside(served(two_points({{Stage::cold_holding, 0},
                                             {heats, 60},
                                             {Stage::cold_holding, 120},
                                             {Stage::time_control, 240}},
                                            std::move(core), std::move(edge)),
                                 250),
                          10);
        };
        const std::vector<Row> cold{{0, 4}, {60, 4}, {120, 4}, {180, 4}, {240, 4}};
        CHECK(heated(cold, cold) == Minutes{0, 60}); // what it was in between nobody saw
        // Not read in it at all, and cold on either side: also what follows up to then.
        CHECK(heated({{0, 4}, {50, 4}, {130, 4}, {240, 4}}, cold) == Minutes{0, 70});
        // Read cold in it and not again: who knows how it went on.
        CHECK(heated(cold, {{0, 4}, {100, 4}}) == Minutes{0, 180});
        // `core` comes hot as it begins and is cooled after it. For `edge`, cold as it began or
        // ended is not in the middle of it.
        const std::vector<Row> hot{{0, 4}, {60, 65}, {120, 65}, {180, 20}, {240, 4}};
        const double before = 60; // `core`, out of the cold
        CHECK(heated(hot, {{0, 4}, {60, 4}}) == Minutes{0, before + 60});
        CHECK(heated(hot, {{0, 4}, {60, 4}, {120, 4}}) == Minutes{0, before + 60});
        CHECK(heated(hot, {{120, 4}, {240, 4}}) == Minutes{0, before + 60}); // read by its end
        CHECK(heated(hot, {{121, 4}, {240, 4}}) == Minutes{0, before});
    }
}

TEST_CASE("a heating is not shown by a point though it comes first or last, or goes on") {
    // First of all.
    CHECK(beside(lived({{Stage::cooking, 0}, {Stage::cold_holding, 60}, {Stage::time_control, 120}},
                       {{0, 4}, {30, 4}, {60, 4}, {120, 4}}, 130),
                 10) == Minutes{0, 60});
    // Read first in the reheat that follows the cook, and ends the record.
    CHECK(
        beside(served(two_points(
                          {{Stage::time_control, 0}, {Stage::cooking, 10}, {Stage::reheating, 50}},
                          {{0, 4}, {10, 4}, {30, 65}, {50, 65}, {60, 65}, {70, 65}},
                          {{60, 65}, {70, 65}}),
                      70),
               10) == Minutes{0, 40}); // 10 to 50
    // Cold as one heating followed another: in the middle of it, and not read since.
    CHECK(beside(served(two_points({{Stage::cooking, 0},
                                    {Stage::reheating, 60},
                                    {Stage::cold_holding, 120},
                                    {Stage::time_control, 240}},
                                   {{0, 65}, {60, 65}, {120, 65}, {180, 20}, {240, 4}},
                                   {{0, 4}, {60, 4}}),
                        250),
                 10) == Minutes{0, 240});
    // Hot as a reheat began: on the boundary, in it.
    const auto reheated = [](double last) {
        return beside(
            served(two_points({{Stage::hot_holding, 0},
                               {Stage::reheating, 100},
                               {Stage::hot_holding, 130},
                               {Stage::time_control, 200}},
                              {{0, 65}, {100, 65}, {120, 65}, {200, 65}}, {{0, 65}, {last, 65}}),
                   210),
            10);
    };
    CHECK(reheated(100) == Minutes{0, 0});
    CHECK(reheated(99) == Minutes{0, 30});
}

TEST_CASE("a point last read hot counts where the food is cold after it, from the start or not") {
    CHECK(beside(served(two_points({{Stage::cooling, 0}, {Stage::time_control, 100}},
                                   {{0, 65}, {50, 20}, {90, 4}, {100, 4}}, {{0, 65}}),
                        110),
                 10) == Minutes{0, 100});
    // Out of the cold, and hot as the hot hold began: nothing says that it went back.
    CHECK(beside(served(two_points({{Stage::cold_holding, 0},
                                    {Stage::hot_holding, 60},
                                    {Stage::time_control, 120}},
                                   {{0, 4}, {55, 4}, {60, 65}, {120, 65}}, {{60, 65}}),
                        130),
                 10) == Minutes{0, 5}); // 55 to 60
}

TEST_CASE("a silence while food is cooled counts unless every point read by then is") {
    const auto cooled = [](double edge) {
        return beside(served(two_points({{Stage::cooling, 0}, {Stage::time_control, 200}},
                                        {{0, 61}, {200, 4}}, {{edge, 4}}),
                             210),
                      10);
    };
    CHECK(cooled(200) == Minutes{0, 200}); // as the cooling ends: by then
    CHECK(cooled(201) == Minutes{0, 0});
    // Read hot at one point as a silence in the freezer began; cold before that at another.
    const auto frozen = [](double core, double edge) {
        return beside(
            served(two_points(
                       {{Stage::hot_holding, 0}, {Stage::frozen, 60}, {Stage::time_control, 400}},
                       {{0, 65}, {core, 65}, {300, 4}, {400, 4}}, {{edge, 4}, {310, 4}}),
                   410),
            10);
    };
    CHECK(frozen(62, 61) == Minutes{0, 238}); // 62 to 300
    CHECK(frozen(61, 62) == Minutes{0, 0});
}

TEST_CASE("food that was hot already does not come hot by a cook") {
    for (const Stage next : {Stage::cooking, Stage::initial_heating}) {
        const Finding f = lived({{Stage::cooking, 0},
                                 {next, 60},
                                 {Stage::hot_holding, 190},
                                 {Stage::time_control, 200}},
                                {{0, 4}, {10, 65}, {50, 65}, {70, 30}, {170, 30}, {180, 65}}, 210);
        CHECK(beside(f, 10) == Minutes{0, 130}); // 50 to 180
        // Nor after the bench; out of the cold it does.
        const auto again = [&](Stage between, std::vector<Row> rows) {
            rows.insert(rows.begin(), {{0, 4}, {10, 65}, {50, 65}, {60, 65}});
            rows.insert(rows.end(), {{170, 65}, {200, 65}, {240, 65}});
            return beside(lived({{Stage::cooking, 0},
                                 {between, 60},
                                 {next, 120},
                                 {Stage::hot_holding, 180},
                                 {Stage::time_control, 240}},
                                rows, 250),
                          10);
        };
        CHECK(again(Stage::preparing, {{70, 30}, {120, 30}}) == Minutes{50, 110}); // 60 to 170
        CHECK(again(Stage::cooling, {{80, 20}, {110, 4}, {120, 4}}) == Minutes{0, 0});
    }
}

TEST_CASE("cold food put to a hot hold that nobody read counts there") {
    const Finding f = lived({{Stage::cold_holding, 0},
                             {Stage::hot_holding, 10},
                             {Stage::cold_holding, 100},
                             {Stage::time_control, 120}},
                            {{0, 4}, {5, 4}, {110, 4}, {120, 4}}, 130);
    CHECK(beside(f, 10) == Minutes{0, 100}); // 10 to 110
}

TEST_CASE("only what is read hot, and read cold while it is cooled, is cooled from hot") {
    // 250 minutes of a cook, 101 of a cooling; `core` is hot all the cook and cooled in time.
    const auto cooled = [](std::vector<Row> edge) {
        return served(
            two_points({{Stage::cooking, 0}, {Stage::cooling, 250}, {Stage::time_control, 351}},
                       {{0, 4},
                        {20, 75},
                        {120, 75},
                        {220, 75},
                        {250, 75},
                        {255, 59},
                        {300, 20},
                        {350, 4},
                        {351, 4}},
                       std::move(edge)),
            360);
    };
    CHECK(beside(cooled({{0, 4}, {20, 65}, {250, 65}, {350, 4}}), 9) == Minutes{0, 0});
    // Fallen below 60 °C in the cook; read next after the cooling; never hot.
    CHECK(beside(cooled({{0, 4}, {20, 65}, {30, 30}, {350, 4}}), 9) == Minutes{0, 230});
    CHECK(beside(cooled({{0, 4}, {20, 65}, {30, 30}, {355, 4}}), 9) == Minutes{0, 331});
    CHECK(beside(cooled({{0, 4}, {20, 65}, {355, 4}}), 9) == Minutes{0, 331});
    CHECK(beside(cooled({{0, 4}, {20, 30}, {355, 4}}), 9) == Minutes{0, 351});
    for (const auto& edge : {std::vector<Row>{{0, 4}, {20, 65}, {30, 30}, {355, 4}},
                             std::vector<Row>{{0, 4}, {20, 65}, {355, 4}},
                             std::vector<Row>{{0, 4}, {20, 30}, {355, 4}}}) {
        CHECK(cooled(edge).verdict == Verdict::not_shown);
    }
}

TEST_CASE("thawing is no cooling of food that was cooked") {
    const Finding f = lived({{Stage::cooking, 0}, {Stage::thawing, 60}, {Stage::time_control, 160}},
                            {{0, 4}, {20, 75}, {60, 75}, {100, 30}, {160, 4}}, 170);
    CHECK(beside(f, 10) == Minutes{0, 100});
}

TEST_CASE("a point that was hot and is not read while the food cools counts") {
    const std::vector<Row> core{{50, 75}, {60, 65}, {65, 59}, {120, 20}, {220, 4}};
    const Finding never =
        served(two_points({{Stage::cooking, 0}, {Stage::cooling, 60}, {Stage::time_control, 220}},
                          core, {{50, 75}}),
               225);
    CHECK(beside(never, 5) == Minutes{0, 160});
    CHECK(never.verdict == Verdict::not_shown); // nor did it start cold, as far as is known
    // Read next in a reheat, still hot.
    std::vector<Row> again = core;
    again.insert(again.end(), {{310, 4}, {400, 4}, {405, 65}, {410, 65}, {415, 59}, {450, 20}});
    again.insert(again.end(), {{560, 4}});
    const Finding reheated = served(two_points({{Stage::cooking, 0},
                                                {Stage::cooling, 60},
                                                {Stage::reheating, 400},
                                                {Stage::cooling, 410},
                                                {Stage::time_control, 560}},
                                               again, {{50, 75}, {410, 65}, {415, 59}, {560, 4}}),
                                    570);
    CHECK(beside(reheated, 10) == Minutes{0, 350}); // 60 to 410
    CHECK(reheated.verdict == Verdict::not_shown);
}

TEST_CASE("coolings that good reheats break off count") {
    // Standard 3.2.2 clause 7(3): 60 °C to 21 °C within 2 hours, to 5 °C within 4 more. Each of the
    // first three is broken off in time.
    Lot lot;
    double start = 0;
    for (int i = 0; i < 3; ++i) {
        lot.stage(Stage::cooling, start).stage(Stage::reheating, start + 110);
        lot.readings({{start, 65}, {start + 5, 59}, {start + 105, 30}, {start + 115, 65}},
                     Scale::celsius);
        start += 120;
    }
    lot.stage(Stage::cooling, start).stage(Stage::time_control, start + 200);
    lot.readings({{start, 65}, {start + 5, 59}, {start + 90, 20}, {start + 200, 4}},
                 Scale::celsius);
    const Finding f = served(lot, start + 210);
    CHECK(beside(f, 10) == Minutes{0, 345}); // three times 115
    CHECK(f.verdict == Verdict::not_shown);
}

TEST_CASE("what was out twice since its last reading counts from the first time on") {
    for (const bool twice : {false, true}) {
        std::vector<Entry> stages{{Stage::preparing, 5}, {Stage::cold_holding, 10}};
        if (twice) {
            stages.insert(stages.end(), {{Stage::preparing, 220}, {Stage::cold_holding, 225}});
        }
        stages.push_back({Stage::time_control, 240});
        const Finding f =
            served(two_points(stages, {{110, 4}, {220, 4}, {240, 4}}, {{0, 4}, {235, 4}}), 260);
        CHECK(beside(f, 20) == Minutes{0, twice ? 235 : 230}); // from 5 on
        CHECK(f.verdict == Verdict::not_shown);
    }
}

TEST_CASE("a silence is as long whatever stages it lies in") {
    const auto reheated =
        lived({{Stage::time_control, 0}, {Stage::reheating, 100}, {Stage::hot_holding, 230}},
              {{0, 4}, {115, 65}, {260, 65}, {350, 65}}, 350);
    CHECK(beside(reheated, 100) == Minutes{0, 160}); // 100 to 260
    CHECK(reheated.verdict == Verdict::not_shown);
    // After the last reading, and before the first.
    for (const auto& stages :
         {std::vector<Entry>{{Stage::cold_holding, 30}},
          std::vector<Entry>{{Stage::cold_holding, 30}, {Stage::cold_holding, 171}}}) {
        std::vector<Entry> life{{Stage::time_control, 0}};
        life.insert(life.end(), stages.begin(), stages.end());
        const Finding tail = lived(life, {{0, 4}, {30, 4}, {110, 4}}, 321);
        CHECK(beside(tail, 30) == Minutes{0, 211});
        CHECK(tail.verdict == Verdict::not_shown);
    }
    for (const auto& stages :
         {std::vector<Entry>{{Stage::cold_holding, 0}},
          std::vector<Entry>{{Stage::cold_holding, 0}, {Stage::cold_holding, 115}}}) {
        std::vector<Entry> life = stages;
        life.push_back({Stage::time_control, 230});
        const Finding head = lived(life, {{230, 4}}, 250);
        CHECK(beside(head, 20) == Minutes{0, 230});
        CHECK(head.verdict == Verdict::not_shown);
    }
}

TEST_CASE("time out ends a silence: it counts by the clock itself") {
    // Read 100 minutes before it was out, and an hour after that.
    CHECK(beside(lived({{Stage::cold_holding, 0}, {Stage::time_control, 160}},
                       {{0, 4}, {60, 4}, {220, 5}}, 300),
                 140) == Minutes{0, 0});
    CHECK(beside(lived({{Stage::cold_holding, 0}, {Stage::time_control, 181}},
                       {{0, 4}, {60, 4}, {220, 5}}, 300),
                 119) == Minutes{0, 121});
}

TEST_CASE("food stays put in warm until it is read, however often its stages are entered") {
    for (const auto& stages :
         {std::vector<Entry>{{Stage::frozen, 10}},
          std::vector<Entry>{{Stage::frozen, 10}, {Stage::frozen, 11}},
          std::vector<Entry>{{Stage::cooling, 10}, {Stage::frozen, 20}},
          std::vector<Entry>{{Stage::cold_holding, 10}, {Stage::cold_holding, 11}}}) {
        std::vector<Entry> life{{Stage::time_control, 0}};
        life.insert(life.end(), stages.begin(), stages.end());
        life.push_back({Stage::time_control, 600});
        const Finding f = lived(life, {{0, 4}}, 640);
        CHECK(beside(f, 50) == Minutes{0, 590});
        CHECK(f.verdict == Verdict::not_shown);
    }
    // Heated and not read since: that is no food that went in cold either.
    CHECK(beside(lived({{Stage::cold_holding, 0},
                        {Stage::cooking, 60},
                        {Stage::frozen, 90},
                        {Stage::thawing, 500},
                        {Stage::time_control, 560}},
                       {{0, 4}, {50, 4}, {560, 4}}, 570),
                 10) == Minutes{0, 510}); // 50 to 560
    // Frozen when the record begins: nothing says that it was put in warm.
    CHECK(beside(lived({{Stage::frozen, 0}, {Stage::thawing, 900}, {Stage::time_control, 960}},
                       {{910, -5}, {960, 4}}, 970),
                 10) == Minutes{0, 10}); // 900 to 910
}

TEST_CASE("food that is prepared and then reheated goes back as well") {
    // The guide: from two hours on it is not put back.
    const auto reheated = [](double at) {
        return lived({{Stage::cold_holding, 0},
                      {Stage::preparing, 60},
                      {Stage::reheating, at},
                      {Stage::cooling, at + 20},
                      {Stage::time_control, at + 170}},
                     {{0, 4},
                      {60, 4},
                      {70, 15},
                      {at - 70, 15},
                      {at, 15},
                      {at + 10, 65},
                      {at + 20, 65},
                      {at + 30, 59},
                      {at + 70, 20},
                      {at + 170, 4}},
                     at + 175);
    };
    CHECK(reheated(230).verdict == Verdict::not_met); // 2 h 40 min at 15 °C
    CHECK(reheated(230).reason.find("it went back to ") != std::string::npos);
    CHECK(reheated(190).verdict == Verdict::not_met);
    CHECK(reheated(189).verdict == Verdict::not_shown); // between 1 h 59 min and 2 h 9 min
    CHECK(reheated(179).verdict == Verdict::met);
}

TEST_CASE("warm on the bench is no wrong start of food that was put to the cold after it") {
    const auto started = [](std::vector<Row> rows) {
        return lived({{Stage::cold_holding, 0},
                      {Stage::preparing, 10},
                      {Stage::cold_holding, 30},
                      {Stage::time_control, 110}},
                     rows, 115)
            .verdict;
    };
    CHECK(started({{0, 4}, {10, 4}, {25, 12}}) == Verdict::not_shown);
    CHECK(started({{0, 4}, {10, 4}, {30, 12}}) == Verdict::not_shown);
    CHECK(started({{0, 4}, {10, 4}, {25, 12}, {100, 12}}) == Verdict::not_met);
    CHECK(started({{0, 4}, {10, 4}, {25, 12}, {100, 4}}) == Verdict::met);
}

TEST_CASE("two warm readings further apart than the largest interval prove nothing between them") {
    const auto warm = [](double apart) {
        return lived({{Stage::cold_holding, 0}, {Stage::time_control, 620}},
                     {{0, 4}, {10, 6}, {10 + apart, 6}, {620, 4}}, 621);
    };
    CHECK(beside(warm(120), 1).first == 120);
    CHECK(beside(warm(121), 1).first == 0);
    CHECK(beside(warm(600), 1) == Minutes{0, 620});
    CHECK(warm(600).verdict == Verdict::not_shown);
}

TEST_CASE("a later start that is not cold is in the sum, and is not shown") {
    // The guide was seen to count from the refrigerator.
    const auto again = [](double degrees) {
        return lived(
                   {{Stage::time_control, 0}, {Stage::cold_holding, 10}, {Stage::time_control, 60}},
                   {{0, 4}, {10, 4}, {60, degrees}}, 100)
            .verdict;
    };
    CHECK(again(4) == Verdict::met);
    CHECK(again(8) == Verdict::not_shown);
    CHECK(again(65) == Verdict::not_shown);
}

namespace {

/// Never a published food's life: stages at random, with no cooling, whose own clocks go by other
/// limits.
std::optional<Finding> any_time_control(const records::LotHistory& lot) {
    judge::Settings settings;
    settings.as_of = lot.end ? lot.end->at : lot.points.front().readings.back().at;
    const LotJudgement j = judge::judge_lot(lot, australia(), settings);
    const auto found = std::ranges::find(j.findings, "time-control", &Finding::requirement);
    return found == j.findings.end() ? std::nullopt : std::optional{*found};
}

bool counts_by_readings(Stage stage) {
    return stage == Stage::cold_holding || stage == Stage::hot_holding || stage == Stage::resting ||
           stage == Stage::preparing;
}

} // namespace

TEST_CASE("what is added up is never more at least than at most, nor less for a warm reading") {
    rc::prop(property_name(), [] {
        records::LotHistory lot = any_lot();
        RC_PRE(!lot.points.empty() && !lot.points.front().readings.empty());
        lot.stages.back().stage = Stage::time_control;
        for (records::StageEntry& entry : lot.stages) {
            entry.stage = entry.stage == Stage::cooling ? Stage::cold_holding : entry.stage;
        }
        const auto before = any_time_control(lot);
        RC_PRE(before.has_value());
        RC_ASSERT(*before->elapsed.earliest <=
                  before->elapsed.latest.value_or(before->worst_so_far.value_or(Span{})));
        const std::size_t i =
            static_cast<std::size_t>(whole(0, static_cast<int>(lot.stages.size())));
        RC_PRE(counts_by_readings(lot.stages[i].stage));
        const Instant end = i + 1 < lot.stages.size() ? lot.stages[i + 1].from
                                                      : lot.points.front().readings.back().at;
        auto& readings = lot.points.front().readings;
        records::Reading warm = readings.front();
        warm.value = Temperature::of_degrees(30, Scale::celsius);
        warm.at = Instant::from_unix_ms((lot.stages[i].from.unix_ms() + end.unix_ms()) / 2);
        RC_PRE(warm.at <= readings.back().at);
        readings.insert(std::ranges::upper_bound(readings, warm.at, {}, &records::Reading::at),
                        warm);
        const auto after = any_time_control(lot);
        RC_ASSERT(after.has_value());
        RC_ASSERT(*after->elapsed.earliest >= *before->elapsed.earliest);
        // It may leave unknown what was a wrong start, when the food was heated since.
        const auto proven = [](Verdict v) {
            return v != Verdict::not_met && v != Verdict::not_shown;
        };
        RC_ASSERT(proven(before->verdict) || !proven(after->verdict));
    });
}

namespace {

/// Stages at random, some of them entered again, with one to three points read now and then, also
/// as a stage begins or ends: cold, hot, and between the limits up to their figures.
records::LotHistory any_life() {
    constexpr std::array<Stage, 11> kStages{
        Stage::cold_holding, Stage::preparing,       Stage::time_control, Stage::cooking,
        Stage::reheating,    Stage::initial_heating, Stage::hot_holding,  Stage::resting,
        Stage::cooling,      Stage::frozen,          Stage::thawing};
    constexpr std::array<double, 7> kRead{4, 4, 5, 65, 60, 59.9, 20};
    Lot lot;
    std::vector<int> bounds{0};
    const int stages = whole(2, 9);
    const int out = whole(0, stages);
    for (int i = 0; i < stages; ++i) {
        const bool again = i > 0 && whole(0, 4) == 0;
        const Stage stage = i == out ? Stage::time_control
                            : again  ? lot.history().stages.back().stage
                                     : *rc::gen::elementOf(kStages);
        lot.stage(stage, bounds.back());
        bounds.push_back(bounds.back() + *rc::gen::element(1, 10, 60, 119, 120, 121, 240));
    }
    if (std::ranges::find(lot.history().stages, Stage::time_control, &records::StageEntry::stage) ==
        lot.history().stages.end()) {
        lot.history().stages.back().stage = Stage::time_control;
    }
    const int points = whole(1, 4);
    for (int p = 0; p < points; ++p) {
        std::vector<Row> rows;
        for (const int bound : bounds) {
            for (const int minute : {bound, bound + whole(1, 120)}) {
                if (minute <= bounds.back() && whole(0, 3) != 0) {
                    rows.push_back({double(minute), *rc::gen::elementOf(kRead)});
                }
            }
        }
        std::ranges::sort(rows, {}, &Row::minutes);
        rows.erase(std::unique(rows.begin(), rows.end(),
                               [](Row a, Row b) { return a.minutes == b.minutes; }),
                   rows.end());
        lot.readings(std::move(rows), Scale::celsius, "point " + std::to_string(p));
    }
    return lot.served(bounds.back()).history();
}

Span at_most(const records::LotHistory& lot) {
    return any_time_control(lot).value().elapsed.latest.value();
}

Instant end_of(const records::LotHistory& lot, std::size_t stage) {
    return stage + 1 < lot.stages.size() ? lot.stages[stage + 1].from : lot.end->at;
}

/// A life in which a stage becomes another from the middle on, until `back` is entered.
records::LotHistory entered(records::LotHistory lot, std::size_t i, Stage stage,
                            std::optional<Stage> back) {
    const std::int64_t from = lot.stages[i].from.unix_ms();
    const std::int64_t third = (end_of(lot, i).unix_ms() - from) / 3;
    const auto entry = [&](Stage what, std::int64_t when) {
        records::StageEntry added = lot.stages[i];
        added.stage = what;
        added.from = Instant::from_unix_ms(when);
        return added;
    };
    const auto next = lot.stages.begin() + static_cast<std::ptrdiff_t>(i) + 1;
    std::vector<records::StageEntry> added{entry(stage, from + third)};
    if (back) {
        added.push_back(entry(*back, from + 2 * third));
    }
    lot.stages.insert(next, added.begin(), added.end());
    return lot;
}

bool is_hot(const records::Reading& r) {
    return r.value.thousandths() >= 60'000; // Celsius, as all of any_life
}

bool is_heating(Stage stage) {
    return stage == Stage::cooking || stage == Stage::initial_heating || stage == Stage::reheating;
}

/// Whether some point that was read by its end was not read hot in a stage.
bool is_not_shown_hot(const records::LotHistory& lot, std::size_t i) {
    const Instant from = lot.stages[i].from;
    const Instant to = end_of(lot, i);
    return std::ranges::any_of(lot.points, [&](const records::PointSeries& point) {
        return point.readings.front().at <= to &&
               std::ranges::none_of(point.readings, [&](const records::Reading& r) {
                   return from <= r.at && r.at <= to && is_hot(r);
               });
    });
}

/// The holds in which nothing was read for longer than the largest interval, from reading to
/// reading of any point, with nothing but holds and reheats between them.
Span silences_in_holds(const records::LotHistory& lot) {
    std::vector<Instant> read;
    for (const records::PointSeries& point : lot.points) {
        std::ranges::transform(point.readings, std::back_inserter(read), &records::Reading::at);
    }
    std::ranges::sort(read);
    Span sum;
    for (std::size_t i = 1; i < read.size(); ++i) {
        bool held = read[i] - read[i - 1] > Span::minutes(120);
        for (std::size_t k = 0; k < lot.stages.size(); ++k) {
            const bool here = lot.stages[k].from < read[i] && read[i - 1] < end_of(lot, k);
            const Stage stage = lot.stages[k].stage;
            held = held && (!here || stage == Stage::hot_holding || stage == Stage::resting ||
                            stage == Stage::reheating);
        }
        sum += held ? read[i] - read[i - 1] : Span{};
    }
    return sum;
}

} // namespace

TEST_CASE("a stage entered again, food taken out of it, a heating or a silence is never less") {
    rc::prop(property_name(), [] {
        const records::LotHistory lot = any_life();
        RC_PRE(std::ranges::all_of(
            lot.points, [](const records::PointSeries& point) { return !point.readings.empty(); }));
        RC_LOG() << described(lot);
        const Span before = at_most(lot);
        const auto i = static_cast<std::size_t>(whole(0, static_cast<int>(lot.stages.size())));
        const Stage stage = lot.stages[i].stage;
        RC_ASSERT(at_most(entered(lot, i, stage, std::nullopt)) >= before);
        if (counts_by_readings(stage)) {
            RC_ASSERT(at_most(entered(lot, i, Stage::preparing, stage)) >= before);
        }
        Span heated;
        for (std::size_t k = 0; k < lot.stages.size(); ++k) {
            if (is_heating(lot.stages[k].stage) && is_not_shown_hot(lot, k)) {
                heated += end_of(lot, k) - lot.stages[k].from;
            }
        }
        RC_ASSERT(before >= heated);
        RC_ASSERT(before >= silences_in_holds(lot));
    });
}
