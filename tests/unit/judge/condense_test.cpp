// What a condenser keeps of small hand-made series, and when that may be judged. Expected: the rule
// in condense.hpp, worked out by hand beside each series; that judgements stay the same is
// properties_condense_test.cpp's matter.
#include "lots.hpp"

#include <holdwarden/judge/condense.hpp>
#include <holdwarden/judge/suspect.hpp>

#include <ostream>

using namespace holdwarden;
using namespace holdwarden::test;
using judge::Condenser;
using judge::Condensing;
using records::Reading;

namespace {

/// A reading as it is kept: when, how many were left out before it, and whether all of those showed
/// its value.
struct Kept {
    double minutes;
    unsigned left_out = 0;
    bool flat = false;
    friend bool operator==(const Kept&, const Kept&) = default;
};
[[maybe_unused]] std::ostream& operator<<(std::ostream& out, const Kept& k) {
    return out << k.minutes << ": " << k.left_out << (k.flat ? " flat" : "");
}
using Keeps = std::vector<Kept>;

/// The limits of FDA Food Code 2022 for most food: hot holding 135 °F (57 °C) or above, cold
/// holding 41 °F (5 °C) or less; cooling windows to 70 °F (21 °C) between them.
Condensing how_fda() {
    judge::Settings settings;
    Condensing how{settings};
    how.add(fda(), FoodKind::other_tcs);
    return how;
}

codes::Requirement some(codes::Rule rule) {
    codes::Requirement r = *fda().find_one("hot-holding", FoodKind::other_tcs);
    r.rule = std::move(rule);
    return r;
}
codes::TemperatureLimit limit(int fahrenheit, codes::Words words) {
    return {Temperature::of_degrees(fahrenheit, Scale::fahrenheit), std::nullopt, words};
}
codes::Requirement hold(int fahrenheit, codes::Words words) {
    return some(codes::HoldRule{limit(fahrenheit, words)});
}
codes::Requirement window(codes::TemperatureLimit from, std::optional<codes::TemperatureLimit> to) {
    codes::WindowRule rule;
    rule.from = from;
    rule.to = to;
    return some(rule);
}

std::optional<std::pair<int, int>> range(const Condensing& how, double degrees, Stage stage,
                                         Scale scale = Scale::fahrenheit) {
    const auto found = how.range_of(reading({0, degrees}, scale).value, stage);
    return found ? std::optional{std::pair{found->from, found->to}} : std::nullopt;
}

Keeps kept_of(const std::vector<Reading>& readings, const Condensing& how,
              Stage stage = Stage::hot_holding) {
    Condenser condenser{how};
    condenser.begin(stage);
    for (const Reading& r : readings) {
        condenser.add(r);
    }
    Keeps keeps;
    std::size_t all = 0;
    for (const Reading& r : condenser.kept()) {
        keeps.push_back({(r.at - kStart).in_minutes(), r.left_out, r.flat == 1});
        all += 1 + r.left_out;
    }
    CHECK(all == readings.size()); // each is kept or counted
    return keeps;
}

std::vector<Reading> series(const std::vector<Row>& rows, Scale scale = Scale::fahrenheit) {
    std::vector<Reading> readings;
    for (const Row& row : rows) {
        readings.push_back(reading(row, scale));
    }
    return readings;
}

Keeps kept(const std::vector<Row>& rows, Stage stage = Stage::hot_holding) {
    return kept_of(series(rows), how_fda(), stage);
}

/// `count` readings of one value, each minute from `from` on.
std::vector<Row> flat(double from, int count, double degrees, double step = 1) {
    std::vector<Row> rows;
    for (int i = 0; i < count; ++i) {
        rows.push_back({from + i * step, degrees});
    }
    return rows;
}
std::vector<Row> operator+(std::vector<Row> a, const std::vector<Row>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

} // namespace

TEST_CASE("readings are told apart at each figure, to the thousandth, and only holds on the right "
          "side are condensed") {
    const Condensing how = how_fda();
    const auto none = std::optional<std::pair<int, int>>{};
    using Pair = std::pair<int, int>;
    for (const Stage stage : {Stage::hot_holding, Stage::resting}) {
        CHECK(range(how, 135, stage)->first == 135'000);
        CHECK(range(how, 134.999, stage) == none);
        CHECK(range(how, 57, stage, Scale::celsius)->first == 57'000);
        CHECK(range(how, 56.999, stage, Scale::celsius) == none);
        CHECK(range(how, 40, stage) == none);
    }
    CHECK(range(how, 200, Stage::hot_holding)->first == 135'000);
    // A roast's time may go on in the rest (note to the chart of 3-401.11(B)(2)): by its rows too.
    Condensing of_a_roast{judge::Settings{}};
    of_a_roast.add(fda(), FoodKind::intact_roast);
    CHECK(range(of_a_roast, 200, Stage::resting)->first == 165'000);
    CHECK(range(how, 200, Stage::resting)->first == 135'000);
    // Nothing is told apart above 135 °F in a hold: up to far above any reading (500 °C is 932 °F).
    CHECK(range(how, 135, Stage::hot_holding)->second > 932'000);
    for (const Stage stage : {Stage::cold_holding, Stage::thawing, Stage::frozen}) {
        // 41 °F itself belongs to what is right, 41.001 °F is the first that does not.
        CHECK(range(how, 41, stage)->second == 41'001);
        CHECK(range(how, 41.001, stage) == none);
        CHECK(range(how, 5, stage, Scale::celsius)->second == 5'001);
        CHECK(range(how, 5.001, stage, Scale::celsius) == none);
        CHECK(range(how, 40, stage)->first < -112'000); // below any reading: -80 °C is -112 °F
        CHECK(range(how, 150, stage) == none);
    }
    CHECK(range(how, 150, Stage::time_control) == none);
    CHECK(range(how, 40, Stage::time_control) == none);
    CHECK_FALSE(judge::condenses(Stage::time_control));
    CHECK(judge::condenses(Stage::frozen));
    CHECK(judge::condenses(Stage::resting));
    // Anything else wherever the food is, from figure to figure: FDA Food Code 2022 3-501.14,
    // above 70 °F is still to be cooled, 70 °F is there.
    for (const Stage stage : {Stage::cooling, Stage::preparing, Stage::initial_heating}) {
        CHECK(judge::condenses(stage));
        CHECK(range(how, 150, stage)->first == 135'000);
        CHECK(range(how, 134.999, stage) == Pair{70'001, 135'000});
        CHECK(range(how, 70, stage) == Pair{41'001, 70'001});
        CHECK(range(how, 41, stage)->second == 41'001);
    }

    SECTION("a table's rows part cooks and reheats only") {
        Condensing rows{judge::Settings{}};
        rows.add(hold(135, codes::Words::at_or_above));
        codes::TableRule table;
        table.rows.push_back({limit(165, codes::Words::at_or_above), Span::seconds(15)});
        table.rows.push_back({limit(145, codes::Words::at_or_above), Span::minutes(4)});
        rows.add(some(table));
        for (const Stage stage : {Stage::cooking, Stage::reheating}) {
            CHECK(range(rows, 144.999, stage) == Pair{135'000, 145'000});
            CHECK(range(rows, 145, stage) == Pair{145'000, 165'000});
            CHECK(range(rows, 165, stage)->first == 165'000);
        }
        for (const Stage stage : {Stage::hot_holding, Stage::cooling}) {
            CHECK(range(rows, 145, stage)->first == 135'000);
            CHECK(range(rows, 145, stage)->second > 932'000);
        }
    }
    SECTION("a window's figure parts what a hold would not") {
        Condensing more{judge::Settings{}};
        more.add(hold(135, codes::Words::at_or_above));
        more.add(window(limit(150, codes::Words::at_or_above), limit(160, codes::Words::above)));
        CHECK(range(more, 149.999, Stage::hot_holding) == Pair{135'000, 150'000});
        CHECK(range(more, 150, Stage::hot_holding) == Pair{150'000, 160'001});
        CHECK(range(more, 160, Stage::hot_holding) == Pair{150'000, 160'001});
        CHECK(range(more, 160.001, Stage::hot_holding)->first == 160'001);
    }
}

TEST_CASE("packaged food is told apart by the rows of other food too, for it may be heated again") {
    // FDA Food Code 2022, 3-403.11(C): 135 °F for its first reheat; 3-403.11(A): 165 °F after.
    Condensing how{judge::Settings{}};
    how.add(fda(), FoodKind::packaged_ready_to_eat);
    CHECK(range(how, 165, Stage::reheating)->first == 165'000);
    CHECK(range(how, 164.999, Stage::reheating)->second == 165'000);
}

TEST_CASE("of several limits of holds only what meets all of them is condensed") {
    using Words = codes::Words;
    for (const bool turned : {false, true}) {
        Condensing how{judge::Settings{}};
        how.add(hold(turned ? 135 : 130, Words::at_or_above));
        how.add(hold(turned ? 38 : 41, Words::at_or_below));
        how.add(hold(turned ? 130 : 135, Words::at_or_above));
        how.add(hold(turned ? 41 : 38, Words::at_or_below));
        CHECK_FALSE(range(how, 134.999, Stage::hot_holding));
        CHECK(range(how, 135, Stage::hot_holding));
        CHECK_FALSE(range(how, 38.001, Stage::cold_holding));
        CHECK(range(how, 38, Stage::cold_holding));
    }
}

TEST_CASE("no limit at all: nothing is condensed") {
    const Condensing how{judge::Settings{}};
    CHECK_FALSE(range(how, 200, Stage::hot_holding));
    CHECK_FALSE(range(how, 30, Stage::cold_holding));
}

TEST_CASE("guarded: what lies within the thermometer's band of a figure is kept whole") {
    // JCGM 106: right for sure at the figure and the band or more, wrong for sure beyond the band.
    judge::Settings settings;
    settings.rule = judge::DecisionRule::guarded;
    settings.tolerance = TemperatureDelta::of_thousandths(1'000, Scale::fahrenheit);
    Condensing how{settings};
    how.add(hold(135, codes::Words::at_or_above));
    how.add(hold(41, codes::Words::at_or_below));
    CHECK_FALSE(range(how, 135.999, Stage::hot_holding));
    CHECK(range(how, 136, Stage::hot_holding)->first == 136'000);
    CHECK_FALSE(range(how, 40.001, Stage::cold_holding));
    CHECK(range(how, 40, Stage::cold_holding)->second == 40'001);
    // As a window's figure it parts three ways: 149 °F and the thousandth below, 150, 151.
    how.add(window(limit(150, codes::Words::at_or_above), std::nullopt));
    using Pair = std::pair<int, int>;
    CHECK(range(how, 148, Stage::hot_holding) == Pair{136'000, 149'000});
    CHECK(range(how, 149, Stage::hot_holding) == Pair{149'000, 150'000});
    CHECK(range(how, 150, Stage::hot_holding) == Pair{150'000, 151'000});
    CHECK(range(how, 151, Stage::hot_holding)->first == 151'000);
    // Without a tolerance only the figure itself parts.
    settings.tolerance.reset();
    Condensing bare{settings};
    bare.add(hold(135, codes::Words::at_or_above));
    CHECK(range(bare, 135, Stage::hot_holding));
    settings.tolerance = TemperatureDelta::of_thousandths(1'000, Scale::fahrenheit);
    settings.rule = judge::DecisionRule::as_read;
    Condensing as_read{settings};
    as_read.add(hold(135, codes::Words::at_or_above));
    CHECK(range(as_read, 135, Stage::hot_holding));
}

TEST_CASE("where no reading can be surely right, no hold is condensed") {
    // A band wider than all readings: JCGM 106, nothing lies a band's width from the figure.
    judge::Settings settings;
    settings.rule = judge::DecisionRule::guarded;
    settings.tolerance = TemperatureDelta::of_thousandths(2'000'000, Scale::fahrenheit);
    Condensing wide{settings};
    wide.add(hold(135, codes::Words::at_or_above));
    wide.add(hold(41, codes::Words::at_or_below));
    // A figure that no reading reaches.
    Condensing high{judge::Settings{}};
    high.add(hold(1500, codes::Words::at_or_above));
    high.add(hold(-400, codes::Words::at_or_below));
    for (const Condensing* how : {&wide, &high}) {
        for (const double degrees : {-80.0, 30.0, 41.0, 135.0, 150.0, 900.0}) {
            CHECK_FALSE(range(*how, degrees, Stage::hot_holding));
            CHECK_FALSE(range(*how, degrees, Stage::cold_holding));
        }
    }
    // A limit that can be met beside it changes nothing.
    high.add(hold(135, codes::Words::at_or_above));
    high.add(hold(41, codes::Words::at_or_below));
    CHECK_FALSE(range(high, 150, Stage::hot_holding));
    CHECK_FALSE(range(high, 30, Stage::cold_holding));
}

TEST_CASE("of a run its ends, its extremes and what shows one value at its end are kept") {
    // The last reading has a value of its own; before it come six, of which the first, the highest
    // (2), the lowest (4) and the last (5) are kept.
    CHECK(kept({{0, 150}, {1, 150.5}, {2, 151}, {3, 150.5}, {4, 149}, {5, 149.5}, {6, 150}}) ==
          Keeps{{0}, {2, 1}, {4, 1}, {5}, {6}});
    // The lowest first.
    CHECK(kept({{0, 150}, {1, 149.5}, {2, 149}, {3, 149.5}, {4, 151}, {5, 150.5}, {6, 150}}) ==
          Keeps{{0}, {2, 1}, {4, 1}, {5}, {6}});
    // Of several lowest or highest the first; the run's first may be one of them.
    CHECK(kept({{0, 150}, {1, 150.5}, {2, 151}, {3, 150}, {4, 151}, {5, 150.5}, {6, 150.2}}) ==
          Keeps{{0}, {2, 1}, {5, 2}, {6}});
    CHECK(kept({{0, 150}, {1, 149.5}, {2, 149}, {3, 150}, {4, 149}, {5, 149.5}, {6, 150}}) ==
          Keeps{{0}, {2, 1}, {5, 2}, {6}});
    // The highest is the last before the one value at the end, and stands once.
    CHECK(kept({{0, 150}, {1, 150.2}, {2, 150.5}, {3, 150.2}, {4, 150.2}, {5, 150.2}}) ==
          Keeps{{0}, {2, 1}, {3}, {5, 1, true}});
    CHECK(kept({{0, 150}, {1, 150.5}}) == Keeps{{0}, {1}});
    CHECK(kept({{0, 150}}) == Keeps{{0}});
    CHECK(kept({}).empty());
}

TEST_CASE("one value all along is kept as such") {
    CHECK(kept(flat(0, 10, 150)) == Keeps{{0}, {9, 8, true}});
    CHECK(kept(flat(0, 3, 150)) == Keeps{{0}, {2, 1, true}});
    CHECK(kept(flat(0, 2, 150)) == Keeps{{0}, {1}});
    CHECK(kept(flat(0, 10, 40), Stage::cold_holding) == Keeps{{0}, {9, 8, true}});
    // One value at the end, after others.
    CHECK(kept(flat(0, 1, 150) + flat(1, 4, 150.5)) == Keeps{{0}, {1}, {4, 2, true}});
}

TEST_CASE("what began as one value is kept as such, for it may go on from what stands before") {
    CHECK(kept(flat(0, 3, 150) + std::vector<Row>{{3, 150.5}}) == Keeps{{0}, {2, 1, true}, {3}});
    CHECK(kept(flat(0, 2, 150) + std::vector<Row>{{2, 150.5}, {3, 150.2}}) ==
          Keeps{{0}, {1}, {2}, {3}});
    CHECK(kept({{0, 150}, {1, 150.5}, {2, 150.2}, {3, 150.3}}) == Keeps{{0}, {1}, {2}, {3}});
    // Only the first value after a break: the next one is part of a run.
    CHECK(kept(flat(0, 3, 150) + flat(3, 3, 150.5) + std::vector<Row>{{6, 150.2}}) ==
          Keeps{{0}, {2, 1, true}, {3}, {5, 1}, {6}});
    CHECK(kept(std::vector<Row>{{0, 150.2}} + flat(1, 3, 150) + flat(4, 3, 150.5) +
               std::vector<Row>{{7, 150.2}}) == Keeps{{0}, {1}, {4, 2}, {6, 1}, {7}});
}

TEST_CASE("a value that may be stuck is kept as such: a hundred readings and four hours") {
    // suspect.hpp; common practice, no source. Other readings before, so that it is not the first
    // value after a break.
    const auto with = [](int count, double step) {
        const double end = 1 + count * step;
        return kept(std::vector<Row>{{0, 150}} + flat(1, count, 151, step) +
                    std::vector<Row>{{end, 150.5}, {end + 1, 150.2}});
    };
    // 100 readings 3 min apart: 99 * 3 = 297 min.
    CHECK(with(100, 3) == Keeps{{0}, {1}, {298, 98, true}, {301}, {302}});
    // 99: not stuck, so part of the run: first, highest, last of it, and the last value.
    CHECK(with(99, 3) == Keeps{{0}, {1}, {298, 98}, {299}});
    // 101 readings 2.4 min apart are exactly four hours, 100 are less.
    CHECK(with(101, 2.4).size() == 5);
    CHECK(with(100, 2.4).size() == 4);
}

TEST_CASE("a run ends where anything else comes") {
    const Condensing how = how_fda();
    // Five readings of one value; the middle one is changed. Unchanged: its two ends. What stands
    // for itself is kept, and parts the run in two.
    const auto with = [&](auto change) {
        auto readings = series(flat(0, 7, 150));
        change(readings[3]);
        return kept_of(readings, how);
    };
    const Keeps whole{{0}, {6, 5, true}};
    const Keeps parted{{0}, {2, 1, true}, {3}, {4}, {6, 1, true}};
    CHECK(with([](Reading&) {}) == whole);
    CHECK(with([](Reading& r) { r.suspect = true; }) == parted);
    CHECK(with([](Reading& r) { r.origin = records::Origin::typed; }) == parted);
    CHECK(with([](Reading& r) { r.probe = 1; }) == parted);
    // Not a whole hundredth of a degree.
    CHECK(with([](Reading& r) { r.value = reading({0, 150.001}).value; }) == parted);
    CHECK(with([](Reading& r) { r.value = reading({0, 134}).value; }).size() > 2);
    // 65.6 °C is 150.08 °F.
    CHECK(with([](Reading& r) { r.value = reading({0, 65.6}, Scale::celsius).value; }) == parted);
}

namespace {
std::vector<Reading> flat_series(double step) {
    return series(flat(0, 3, 150, step));
}
} // namespace

TEST_CASE("a run goes on over the largest interval and ends beyond it") {
    // Two hours, unless the site says otherwise (common practice, no source).
    CHECK(kept({{0, 150}, {120, 150}, {240, 150}}) == Keeps{{0}, {240, 1, true}});
    CHECK(kept({{0, 150}, {120.001, 150}, {240, 150}}) == Keeps{{0}, {120.001}, {240}});
    Condensing how = how_fda();
    how.at_least_every(Span::minutes(15));
    how.at_least_every(Span::minutes(30)); // the smallest counts
    CHECK(how.largest_interval(Stage::hot_holding) == Span::minutes(15));
    // Ten minutes vouch for a time at a temperature (reach.cpp; common practice, no source).
    CHECK(how.largest_interval(Stage::cooking) == Span::minutes(10));
    CHECK(how.largest_interval(Stage::reheating) == Span::minutes(10));
    CHECK(how.largest_interval(Stage::cooling) == Span::minutes(15));
    CHECK(kept_of(series({{0, 150}, {15, 150}, {30, 150}}), how).size() == 2);
    CHECK(kept_of(series({{0, 150}, {16, 150}, {30, 150}}), how).size() == 3);
    how.at_least_every(Span::minutes(5));
    CHECK(how.largest_interval(Stage::hot_holding) == Span::minutes(5));
    CHECK(how.largest_interval(Stage::cooking) == Span::minutes(5));
    CHECK(kept_of(flat_series(10), how_fda(), Stage::cooking).size() == 2);
    CHECK(kept_of(flat_series(10.001), how_fda(), Stage::cooking).size() == 3);
}

TEST_CASE("a run is narrower than what may be a swing, and leaves no figure behind") {
    // A swing is 2 °C, 3.6 °F, or more (suspect.hpp).
    CHECK(kept({{0, 150}, {1, 153.59}, {2, 150}, {3, 150}, {4, 150}}) ==
          Keeps{{0}, {1}, {2}, {4, 1, true}});
    CHECK(kept({{0, 150}, {1, 151}, {2, 153.59}, {3, 152}, {4, 151}}) ==
          Keeps{{0}, {2, 1}, {3}, {4}});
    // Upwards and downwards 3.6 °F begins a new run, whose first stands before its others.
    CHECK(kept({{0, 150}, {1, 151}, {2, 153.6}, {3, 152}, {4, 151}}) ==
          Keeps{{0}, {1}, {2}, {3}, {4}});
    CHECK(kept({{0, 153.6}, {1, 152}, {2, 150}, {3, 151}, {4, 152}}) ==
          Keeps{{0}, {1}, {2}, {3}, {4}});
    CHECK(kept({{0, 153.59}, {1, 152}, {2, 150}, {3, 151}, {4, 152}}) ==
          Keeps{{0}, {2, 1}, {3}, {4}});
    // 135 °F itself is right, 134.99 °F stands alone.
    CHECK(kept({{0, 135.5}, {1, 135.2}, {2, 135}, {3, 135.2}, {4, 135.4}}) ==
          Keeps{{0}, {2, 1}, {3}, {4}});
    CHECK(kept({{0, 135.5}, {1, 135.2}, {2, 134.99}, {3, 135.2}, {4, 135.4}}) ==
          Keeps{{0}, {1}, {2}, {3}, {4}});
}

TEST_CASE("after a step no food can make, what is trusted last stays the measure") {
    // Over 5 °C (9 °F) in a minute (suspect.hpp). 170 stands alone; 150 goes on from 150.
    CHECK(kept({{0, 150}, {1, 170}, {2, 150}, {3, 150}, {4, 150}}) ==
          Keeps{{0}, {1}, {2}, {4, 1, true}});
    // Food that truly got there, minutes later, is the new measure.
    CHECK(kept({{0, 150}, {1, 170}, {3, 170}, {4, 170}, {5, 170}}) ==
          Keeps{{0}, {1}, {3}, {5, 1, true}});
    // Of two values of one instant the first is the measure, even if the second is far off.
    CHECK(kept({{0, 150}, {0, 160}, {1, 150}, {2, 150}, {3, 150}}) ==
          Keeps{{0}, {0}, {1}, {3, 1, true}});
}

TEST_CASE("of an instant with two values both stand, and nothing left out leads up to the first") {
    CHECK(kept(flat(0, 4, 150) + std::vector<Row>{{3, 150.5}, {4, 150}}) ==
          Keeps{{0}, {2, 1, true}, {3}, {3}, {4}});
    CHECK(kept(flat(0, 2, 150) + std::vector<Row>{{1, 150.5}, {2, 150}}) ==
          Keeps{{0}, {1}, {1}, {2}});
    CHECK(kept({{0, 150}, {1, 150.2}, {2, 150.5}, {2, 150.7}, {3, 150.7}}) ==
          Keeps{{0}, {1}, {2}, {2}, {3}});
    // A third value of the instant as well.
    CHECK(kept(flat(0, 4, 150) + std::vector<Row>{{3, 150.5}, {3, 150.5}}) ==
          Keeps{{0}, {2, 1, true}, {3}, {3}, {3}});
}

TEST_CASE("the second value of an instant begins no run, wherever the first stands") {
    // 134 °F is on the wrong side and stands alone.
    CHECK(kept({{0, 134}, {0, 150}, {1, 150}, {2, 150}}) == Keeps{{0}, {0}, {1}, {2}});
    CHECK(kept({{0, 130}, {1, 134}, {1, 150}, {2, 150}, {3, 150}}) ==
          Keeps{{0}, {1}, {1}, {2}, {3}});
}

TEST_CASE("a new stage begins a new run, and what was looked at between goes on") {
    const Condensing how = how_fda();
    Condenser condenser{how};
    condenser.begin(Stage::resting);
    for (int m = 0; m < 5; ++m) {
        condenser.add(reading({double(m), 150}));
        REQUIRE(condenser.kept().back().at == at(m));
        REQUIRE(condenser.kept().size() == (m == 0 ? 1 : 2));
    }
    condenser.begin(Stage::hot_holding);
    for (int m = 5; m < 10; ++m) {
        condenser.add(reading({double(m), 150}));
    }
    condenser.begin(Stage::time_control); // each reading matters
    condenser.add(reading({10, 150}));
    condenser.add(reading({11, 150}));
    condenser.add(reading({12, 150}));
    std::vector<unsigned> left_out;
    for (const Reading& r : condenser.kept()) {
        left_out.push_back(r.left_out);
    }
    CHECK(left_out == std::vector<unsigned>{0, 3, 0, 3, 0, 0, 0});
}

namespace {

/// A hold of which the readings between 0 and 60 min, and between 60 and 120, were left out.
Lot condensed_hold() {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {60, 150}, {120, 150}});
    for (const std::size_t i : {1U, 2U}) {
        lot.history().points[0].readings[i].left_out = 59;
        lot.history().points[0].readings[i].flat = 1;
    }
    return lot;
}

bool links(Lot lot, double as_of = 120, bool guarded = false) {
    judge::Settings settings;
    settings.as_of = at(as_of);
    settings.rule = guarded ? judge::DecisionRule::guarded : judge::DecisionRule::as_read;
    return judge::links_hold(lot.history(), settings);
}

} // namespace

TEST_CASE("a single reading that was left out vouches for the time between as it would itself") {
    // 0, 100 and 200 min are never two hours apart; that of 100 is not there.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {200, 150}});
    CHECK(lot.judged(fda()).overall == Verdict::not_shown);
    lot.history().points[0].readings[1].left_out = 1;
    CHECK(lot.judged(fda()).overall == Verdict::met);
    // The same while food is prepared, and in a cooling that was broken off.
    for (const Stage between : {Stage::preparing, Stage::cooling}) {
        Lot paused;
        paused.stage(Stage::hot_holding, 0).stage(between, 60).stage(Stage::hot_holding, 240);
        paused.readings({{0, 150}, {60, 150}, {240, 150}, {300, 150}});
        CHECK(paused.judged(fda()).overall == Verdict::not_shown);
        paused.history().points[0].readings[3].left_out = 1; // after it
        CHECK(paused.judged(fda()).overall == Verdict::not_shown);
        paused.history().points[0].readings[2].left_out = 1;
        CHECK(paused.judged(fda()).overall != Verdict::not_met);
        const auto j = paused.judged(fda());
        CHECK(std::ranges::none_of(j.findings, [&](const Finding& f) {
            return f.stage == Stage::preparing || f.requirement == "reheating";
        }));
    }
}

TEST_CASE("a condensed record is judged only if nothing falls between what was left out") {
    REQUIRE(links(condensed_hold()));
    const auto with = [](auto change) {
        Lot lot = condensed_hold();
        change(lot.history());
        return links(lot);
    };
    using records::LotHistory;
    const auto stage_at = [&](double minute, Stage stage = Stage::hot_holding) {
        Lot lot = condensed_hold();
        lot.stage(stage, minute);
        return links(lot);
    };
    CHECK(stage_at(60)); // a reading of that instant counts on both sides
    CHECK_FALSE(stage_at(59));
    CHECK_FALSE(stage_at(61));
    CHECK(links(condensed_hold(), 60));
    CHECK_FALSE(links(condensed_hold(), 59));
    CHECK(links(condensed_hold(), 1000));
    CHECK(with([](LotHistory& l) { l.cut = at(60); }));
    CHECK_FALSE(with([](LotHistory& l) { l.cut = at(61); }));
    CHECK(with([](LotHistory& l) { l.closes = at(120); }));
    CHECK_FALSE(with([](LotHistory& l) { l.closes = at(119); }));
    CHECK(with([](LotHistory& l) { l.end = records::LotEnd{Outcome::served, at(120), ""}; }));
    CHECK_FALSE(with([](LotHistory& l) { l.end = records::LotEnd{Outcome::served, at(1), ""}; }));
}

TEST_CASE("a condensed record is judged only where no reading could have been corrected, marked or "
          "told otherwise") {
    using records::LotHistory;
    const auto with = [](auto change) {
        Lot lot = condensed_hold();
        change(lot.history());
        return links(lot);
    };
    CHECK_FALSE(with([](LotHistory& l) { l.sources.emplace_back(); }));
    CHECK_FALSE(with([](LotHistory& l) { l.came_from.emplace_back(); }));
    CHECK_FALSE(with([](LotHistory& l) { l.marks.emplace_back(); }));
    CHECK_FALSE(with([](LotHistory& l) { l.amendments.emplace_back(); }));
    CHECK_FALSE(with([](LotHistory& l) { l.first_recorded = std::make_shared<LotHistory>(); }));
    CHECK_FALSE(with([](LotHistory& l) { l.points[0].readings[1].suspect = true; }));
    CHECK_FALSE(with([](LotHistory& l) { l.points[0].readings[0].suspect = true; }));
    CHECK_FALSE(with([](LotHistory& l) { l.points[0].readings[0].left_out = 1; }));
    // A second value of the last instant: what was left out vouches for the time before it only.
    CHECK_FALSE(with([](LotHistory& l) { l.points[0].readings.push_back(reading({120, 151})); }));
    CHECK(with([](LotHistory& l) { l.points[0].readings.push_back(reading({121, 151})); }));
    // A single reading left out is as many as a hundred.
    Lot single = condensed_hold();
    single.history().points[0].readings[1].left_out = 1;
    single.history().points[0].readings[2].left_out = 0;
    CHECK(links(single));
    single.history().marks.emplace_back();
    CHECK_FALSE(links(single));
    // The same things are no matter where nothing was left out.
    Lot whole;
    whole.stage(Stage::time_control, 0).readings({{0, 150}, {60, 150}});
    whole.history().marks.emplace_back();
    CHECK(links(whole));
}

TEST_CASE("a condensed record is judged only where no stage asks for every reading") {
    const auto after = [](std::vector<Stage> stages) {
        Lot lot = condensed_hold();
        double minute = 120;
        for (const Stage stage : stages) {
            lot.stage(stage, minute++);
        }
        return links(lot);
    };
    CHECK(after({Stage::cooling, Stage::cold_holding}));
    CHECK(after({Stage::cooking, Stage::hot_holding}));
    CHECK_FALSE(after({Stage::time_control}));
    CHECK_FALSE(after({Stage::cold_holding, Stage::hot_holding})); // a reheat nobody entered
    CHECK_FALSE(after({Stage::frozen, Stage::preparing, Stage::resting}));
    // Cooked or reheated between, it is a hold like any other.
    CHECK(after({Stage::cooling, Stage::cooking, Stage::hot_holding}));
    CHECK(after({Stage::cold_holding, Stage::reheating, Stage::hot_holding}));
}

TEST_CASE("a roast's cook is kept whole: its lethality is summed over each reading") {
    CHECK(judge::cooks_of(FoodKind::intact_roast) == judge::Cooks::whole);
    CHECK(judge::cooks_of(FoodKind::whole_cut) == judge::Cooks::condensed);
    const Condensing how = how_fda();
    const auto kept_by = [&](judge::Cooks cooks, Stage stage) {
        Condenser condenser{how, cooks};
        condenser.begin(stage);
        for (const Reading& r : series(flat(0, 9, 150))) {
            condenser.add(r);
        }
        return condenser.kept().size();
    };
    CHECK(kept_by(judge::Cooks::whole, Stage::cooking) == 9);
    CHECK(kept_by(judge::Cooks::condensed, Stage::cooking) == 2);
    CHECK(kept_by(judge::Cooks::whole, Stage::hot_holding) == 2);
    CHECK(kept_by(judge::Cooks::whole, Stage::reheating) == 2);

    const auto links_as = [](FoodKind food, Stage stage, double cooked_from = 0) {
        Lot lot;
        lot.history().food = food;
        lot.stage(stage, 0);
        if (cooked_from > 0) {
            lot.stage(Stage::cooking, cooked_from);
        }
        lot.readings({{0, 150}, {60, 150}, {120, 150}});
        lot.history().points[0].readings[1].left_out = 59;
        return links(lot);
    };
    CHECK(links_as(FoodKind::whole_cut, Stage::cooking));
    CHECK_FALSE(links_as(FoodKind::intact_roast, Stage::cooking));
    CHECK(links_as(FoodKind::intact_roast, Stage::hot_holding));
    // What was left out before the cook's first reading is none of the cook's.
    CHECK(links_as(FoodKind::intact_roast, Stage::hot_holding, 60));
    // Nor what was left out of the hold that followed it, or of a rest after that.
    const auto links_after = [](double held_from, std::optional<double> rested_from) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).stage(Stage::hot_holding, held_from);
        if (rested_from) {
            lot.stage(Stage::resting, *rested_from);
        }
        lot.readings({{0, 150}, {60, 150}, {120, 150}, {180, 150}});
        lot.history().points[0].readings[2].left_out = 59;
        return links(lot, 180);
    };
    CHECK(links_after(60, {}));
    CHECK(links_after(60, 120));
    CHECK_FALSE(links_after(120, {}));
    CHECK_FALSE(links_after(120, 180));
}

TEST_CASE("air that was not told whole judges no oven") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {60, 150}, {120, 150}});
    REQUIRE(links(lot));
    lot.history().air.push_back({"pit", series({{0, 250}, {60, 250}})});
    CHECK(links(lot));
    lot.history().air[0].readings[1].left_out = 59;
    CHECK_FALSE(links(lot));
}

TEST_CASE("a condensed record is judged only where its thermometer's checks say one thing of all "
          "that was left out") {
    const auto check = [](double minute, double shown) {
        return records::CheckPoint{.at = at(minute),
                                   .shown_found = reading({0, shown}).value,
                                   .truth = reading({0, 32}).value,
                                   .shown_left = {},
                                   .passed = true,
                                   .usable = true,
                                   .method = "ice-point"};
    };
    const auto checked = [&](records::CheckPoint point) {
        Lot lot = condensed_hold();
        lot.history().probes[0].checks_kept = true;
        lot.history().probes[0].checks = {std::move(point)};
        return links(lot);
    };
    CHECK(checked(check(-10, 32)));
    CHECK(checked(check(0, 32)));
    CHECK_FALSE(checked(check(1, 32)));
    CHECK_FALSE(checked(check(60, 32))); // at a reading: the check tells of that one, not of before
    CHECK(checked(check(121, 32)));
    CHECK_FALSE(checked(check(-10, 32.1))); // it corrects
    const auto overdue = [&](double from, std::optional<double> to) {
        Lot lot = condensed_hold();
        lot.history().probes[0].checks_kept = true;
        lot.history().probes[0].checks = {check(-10, 32)};
        lot.history().probes[0].overdue = {{at(from), to ? std::optional{at(*to)} : std::nullopt}};
        return links(lot);
    };
    CHECK(overdue(-5, -1));
    CHECK(overdue(-5, 0));
    CHECK(overdue(121, {}));
    CHECK_FALSE(overdue(60, {}));
    CHECK_FALSE(overdue(-5, 60));
    // Guarded by an accuracy of its own: the readings were told apart by another.
    Lot lot = condensed_hold();
    CHECK(links(lot, 120, true));
    lot.history().probes[0].accuracy = TemperatureDelta::of_thousandths(500, Scale::celsius);
    CHECK(links(lot));
    CHECK_FALSE(links(lot, 120, true));
}
