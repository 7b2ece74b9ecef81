// House limits, the probability shown beside a margin, and the time between the limits.
#include "lots.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/judge/adopted.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using codes::HouseLimit;

namespace {

constexpr auto F = Scale::fahrenheit;

HouseLimit hot_140() {
    return {"hot-holding",
            Temperature::of_degrees(140, F),
            std::nullopt,
            at(-1000),
            "R",
            "quality",
            ""};
}

LotJudgement with_house(const Lot& lot, std::vector<HouseLimit> house) {
    judge::Settings settings;
    settings.as_of = lot.last_reading();
    auto copy = lot;
    judge::Adopted adopted;
    adopted.pack = &fda();
    adopted.house = codes::in_force(house, copy.history().stages.front().from);
    return judge::judge_adopted(copy.history(), {&adopted, 1}, settings);
}

std::vector<std::string> sources(const LotJudgement& j) {
    std::vector<std::string> found;
    for (const Finding& finding : j.findings) {
        found.push_back(finding.source);
    }
    return found;
}

} // namespace

TEST_CASE(
    "a stricter house figure gives a finding of its own and leaves the code's verdict alone") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 137}, {60, 137}});
    const auto j = with_house(lot, {hot_140()});
    CHECK(j.overall == Verdict::met);
    CHECK(j.house_overall == Verdict::not_met);
    CHECK(sources(j) == std::vector<std::string>{"code", "house"});
    REQUIRE(j.flags.size() == 1);
    CHECK(j.flags.front().id.starts_with("house/"));
}

TEST_CASE("a house limit adopted later does not judge an earlier night") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 137}, {60, 137}});
    HouseLimit later = hot_140();
    later.since = at(30);
    CHECK_FALSE(with_house(lot, {later}).house_overall.has_value());
}

TEST_CASE("a cooling total of four hours is judged beside the code's six") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {5, 134}, {100, 70}, {300, 41}});
    HouseLimit four;
    four.requirement = "cooling-total";
    four.within = Span::hours(4);
    four.since = at(-1);
    const auto j = with_house(lot, {four});
    CHECK(j.overall == Verdict::met);
    CHECK(j.house_overall == Verdict::not_shown); // 41 °F was reached between 100 and 300
}

TEST_CASE("a figure looser than the code is refused, unless a variance is named") {
    HouseLimit loose = hot_140();
    loose.at = Temperature::of_thousandths(134'900, F);
    CHECK_THROWS_AS(codes::house_requirement(loose, fda(), FoodKind::other_tcs), Error);
    loose.at = Temperature::of_degrees(135, F);
    CHECK_NOTHROW(codes::house_requirement(loose, fda(), FoodKind::other_tcs));
    loose.at = Temperature::of_thousandths(56'900, Scale::celsius);
    CHECK_THROWS_AS(codes::house_requirement(loose, fda(), FoodKind::other_tcs), Error);
    loose.variance = "  ";
    CHECK_THROWS_AS(codes::house_requirement(loose, fda(), FoodKind::other_tcs), Error);
    loose.variance = "plan 12";
    CHECK(codes::house_requirement(loose, fda(), FoodKind::other_tcs).clause.find("plan 12") !=
          std::string::npos);
    HouseLimit cold;
    cold.requirement = "cold-holding";
    cold.at = Temperature::of_degrees(42, F);
    CHECK_THROWS_AS(codes::house_requirement(cold, fda(), FoodKind::other_tcs), Error);
    HouseLimit longer;
    longer.requirement = "cooling-total";
    longer.within = Span::hours(7);
    CHECK_THROWS_AS(codes::house_requirement(longer, fda(), FoodKind::other_tcs), Error);
    HouseLimit nonsense;
    nonsense.requirement = "date-mark";
    CHECK_THROWS_AS(codes::house_requirement(nonsense, fda(), FoodKind::other_tcs), Error);
}

TEST_CASE("a house figure of one scale is never easier than the code's figure of the other") {
    // FDA Food Code 2022, 3-501.16(A)(1): 57 °C (135 °F) or above; 3-501.14(A): cooled from 57 °C
    // (135 °F) to 21 °C (70 °F). 57 °C is 134.6 °F, and 70 °F is 21.1 °C.
    const auto hot = [](Temperature at, const char* variance = "") {
        HouseLimit limit = hot_140();
        limit.at = at;
        limit.variance = variance;
        return std::get<codes::HoldRule>(
                   codes::house_requirement(limit, fda(), FoodKind::other_tcs).rule)
            .limit;
    };
    constexpr auto C = Scale::celsius;
    const auto tenths = [](int value, Scale scale) {
        return Temperature::of_thousandths(value * 100, scale);
    };
    const auto right = [](const codes::TemperatureLimit& limit, Temperature reading) {
        return limit.side(reading) == codes::Side::right;
    };
    SECTION("given in C: the F figure is the code's, which is the stricter") {
        const auto limit = hot(Temperature::of_degrees(57, C));
        CHECK(right(limit, tenths(570, C)));
        CHECK_FALSE(right(limit, tenths(569, C)));
        CHECK(right(limit, tenths(1350, F)));
        CHECK_FALSE(right(limit, tenths(1349, F)));
        CHECK_FALSE(right(limit, tenths(1348, F))); // 57.1 °C
        CHECK(limit.to_text() == "135 °F (57 °C) or above");
    }
    SECTION("given in F: readings in C are compared exactly, for the code's figure is the milder") {
        const auto limit = hot(Temperature::of_degrees(140, F)); // exactly 60 °C
        CHECK(right(limit, tenths(600, C)));
        CHECK_FALSE(right(limit, tenths(599, C)));
        CHECK(limit.to_text() == "140 °F or above");
        const auto same = hot(Temperature::of_degrees(135, F)); // 57.2 °C
        CHECK_FALSE(right(same, tenths(572, C)));
        CHECK(right(same, tenths(573, C)));
    }
    SECTION("stricter than the code's figure of either scale: exact in the other") {
        const auto limit = hot(tenths(573, C)); // 135.14 °F
        CHECK_FALSE(right(limit, tenths(1351, F)));
        CHECK(right(limit, tenths(1352, F)));
    }
    SECTION("looser by a variance: as given, and exact in the other") {
        const auto limit = hot(Temperature::of_degrees(55, C), "plan 12"); // exactly 131 °F
        CHECK(right(limit, tenths(1310, F)));
        CHECK_FALSE(right(limit, tenths(1309, F)));
    }
    SECTION("a variance that loosens nothing lets nothing by") {
        CHECK_FALSE(right(hot(Temperature::of_degrees(57, C), "plan 12"), tenths(1348, F)));
    }
    SECTION("a target to cool to") {
        const HouseLimit target{.requirement = "cooling-first-window",
                                .at = Temperature::of_degrees(70, F)};
        const auto limit = *std::get<codes::WindowRule>(
                                codes::house_requirement(target, fda(), FoodKind::other_tcs).rule)
                                .to;
        CHECK(right(limit, tenths(700, F)));
        CHECK_FALSE(right(limit, tenths(701, F)));
        CHECK(right(limit, tenths(210, C)));
        CHECK_FALSE(right(limit, tenths(211, C))); // 69.98 °F
    }
}

TEST_CASE("MET-2: a probability is shown only where the thermometer's accuracy is known") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 58.0}, {60, 57.8}}, Scale::celsius);
    CHECK_FALSE(only(lot.judged(fda()), "hot-holding").conformity.has_value());
    // u = a / sqrt(3): a stated accuracy of 0.6062 C gives u = 0.35 C, and check value 9 says
    // 0.98886.
    lot.history().probes.front().accuracy = TemperatureDelta::of_thousandths(606, Scale::celsius);
    const auto conformity = only(lot.judged(fda()), "hot-holding").conformity;
    REQUIRE(conformity.has_value());
    CHECK(conformity->probability == Approx(0.98886).margin(0.0005));
}

TEST_CASE("time between the cold and the hot limit runs over the whole life of the lot") {
    Lot lot;
    lot.stage(Stage::cooking, 0).stage(Stage::cooling, 100).stage(Stage::cold_holding, 400);
    lot.readings({{0, 40},
                  {30, 60},
                  {60, 130},
                  {70, 140},
                  {100, 160},
                  {110, 134},
                  {200, 70},
                  {390, 42},
                  {400, 41},
                  {500, 39}});
    const auto j = lot.judged(fda());
    CHECK(minutes(j.between_limits.earliest) == Approx(30 + 280)); // 30 to 60, 110 to 390
    CHECK(minutes(j.between_limits.latest) == Approx(70 + 300));   // 0 to 70, 100 to 400
}
