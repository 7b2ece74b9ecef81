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
    CHECK(beside(unread(170), 100) == Minutes{0, 100});
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
    CHECK(beside(read(90), 100) == Minutes{0, 80});
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
    CHECK(beside(by_time(first.served(150).judged(australia())), 50) == Minutes{0, 40});
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
    CHECK(beside(served, 70) == Minutes{180, 200}); // cooling and reheating have their own limits
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
    // What was read outside of the freezer says nothing of the time in it.
    CHECK(beside(frozen({{90, 6}, {95, 6}}), 30) == Minutes{5, 40});
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
    CHECK(beside(by_time(warm.served(180).judged(australia())), 20) == Minutes{0, 0});
    CHECK(by_time(warm.judged(australia())).verdict == Verdict::not_met);
}

TEST_CASE("what is out after the last return counts as well") {
    Lot lot;
    lot.stage(Stage::time_control, 0).stage(Stage::cold_holding, 60);
    lot.readings({{0, 4}, {60, 5}, {120, 10}, {280, 10}}, Scale::celsius);
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
    CHECK(read({{125, 15}, {425, 15}}).first == 300);
    // A point read once only: what is near counts at most, and only within the largest interval.
    CHECK(read({{435, 15}}) == Minutes{0, 115});
    CHECK(read({{5, 15}}) == Minutes{0, 115});
    CHECK(read({{125, 15}}) == Minutes{0, 230});
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
        RC_ASSERT(judge::worse(before->verdict, after->verdict) == after->verdict);
    });
}
