// FSIS Appendix A (January 1999, updated June 1999), beef roasts, 6.5-log column, read in two
// copies that agree; the logs per row were computed from the inferred line with an independent
// program.
#include "lots.hpp"

#include <holdwarden/judge/lethality.hpp>

#include <cmath>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

judge::Lethality constant(double degrees, double length) {
    std::vector<records::Reading> readings;
    const int steps = static_cast<int>(std::ceil(length / 5.0));
    for (int i = 0; i <= steps; ++i) {
        readings.push_back(reading({length * i / steps, degrees}));
    }
    return judge::lethality(readings);
}

} // namespace

TEST_CASE("each printed row of the 6.5-log column scores as computed, and never short of 6.5") {
    struct PrintedRow {
        double degrees, minutes, logs;
    };
    const PrintedRow rows[] = {{130, 112, 6.55}, {131, 89, 6.55}, {132, 71, 6.58}, {133, 56, 6.53},
                               {134, 45, 6.60},  {135, 36, 6.65}, {136, 28, 6.51}, {137, 23, 6.73},
                               {138, 18, 6.63},  {139, 15, 6.95}, {140, 12, 7.00}, {141, 9, 6.61},
                               {142, 8, 7.39},   {143, 6, 6.98},  {144, 5, 7.32},  {145, 4, 7.37}};
    for (const PrintedRow& row : rows) {
        INFO(row.degrees);
        CHECK(constant(row.degrees, row.minutes).log_reductions == Approx(row.logs).margin(0.0051));
    }
    const double seconds[] = {169, 134, 107, 85, 67, 54, 43, 34, 27, 22, 17, 14}; // 146 to 157 °F
    for (int i = 0; i < 12; ++i) {
        INFO(146 + i);
        CHECK(constant(146 + i, seconds[i] / 60).log_reductions >= 6.5);
    }
}

TEST_CASE("no credit below the table, across a long gap, or for a suspect reading") {
    CHECK(constant(129.9, 600).log_reductions == 0);
    std::vector<records::Reading> gap{reading({0, 150}), reading({11, 150})};
    CHECK(judge::lethality(gap).log_reductions == 0);
    std::vector<records::Reading> suspect{reading({0, 150}), reading({5, 150})};
    suspect[1].suspect = true;
    CHECK(judge::lethality(suspect).log_reductions == 0);
}

TEST_CASE("the trapezoid over-credits a rising line by the published factor") {
    // (x/2) coth(x/2) with z = 10 °F: +40.7 % at 10 °F a sample, computed independently; z = 10.01
    // here, so 40.6 %.
    const std::vector<records::Reading> rising{reading({0, 140}), reading({1, 150})};
    const double exact = judge::lethality(rising).equivalent_minutes_at_140f;
    const double x = std::log(10.0) * 10 / 10.01;
    const double trapezoid = (1.0 + std::pow(10.0, 10 / 10.01)) / 2;
    CHECK(trapezoid / exact == Approx(x / 2 / std::tanh(x / 2)).epsilon(1e-9));
    CHECK(trapezoid / exact == Approx(1.407).margin(0.002));
}

TEST_CASE("a line that crosses 130 °F is credited for its part above, rising and falling") {
    // The integral of 10^((T - 140) / z) along a straight line is dt (L1 - L0) / ln(L1 / L0): here
    // over the upper half of 120 to 140 °F in four minutes, L from 10^(-10 / z) to 1.
    const double low = std::pow(10.0, -10 / 10.01);
    const double upper_half = 2 * (1 - low) / (std::log(10.0) * 10 / 10.01);
    const std::vector<records::Reading> rising{reading({0, 120}), reading({4, 140})};
    const std::vector<records::Reading> falling{reading({0, 140}), reading({4, 120})};
    CHECK(judge::lethality(rising).equivalent_minutes_at_140f == Approx(upper_half).epsilon(1e-9));
    CHECK(judge::lethality(falling).equivalent_minutes_at_140f == Approx(upper_half).epsilon(1e-9));
    // A line that just touches 130 °F has no length there.
    const std::vector<records::Reading> touching{reading({0, 129}), reading({4, 130})};
    CHECK(judge::lethality(touching).equivalent_minutes_at_140f == 0);
}

TEST_CASE("a gap of ten minutes itself is credited") {
    const std::vector<records::Reading> ten{reading({0, 140}), reading({10, 140})};
    CHECK(judge::lethality(ten).equivalent_minutes_at_140f == Approx(10).epsilon(1e-12));
    const std::vector<records::Reading> more{reading({0, 140}), reading({10.1, 140})};
    CHECK(judge::lethality(more).equivalent_minutes_at_140f == 0);
}

TEST_CASE("a cook that kept no row and earned less than one log has a note of what it earned") {
    // Above 130 °F on the lines to and from one reading, at it for no time.
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).readings({{0, 120}, {5, 131}, {10, 120}});
    const LotJudgement j = lot.judged(fda());
    REQUIRE(j.cooks.size() == 1);
    CHECK(j.cooks[0].rows.empty());
    CHECK(j.cooks[0].lethality.log_reductions > 0);
    CHECK(j.cooks[0].lethality.log_reductions < 1);
}

TEST_CASE("a cook that kept no row of the table and earned no logs has no note") {
    // FDA Food Code 2022, 3-401.11(B)(2): the rows begin at 130 °F.
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).steady(0, 60, 5, 129);
    CHECK(lot.judged(fda()).cooks.empty());
    lot.readings({{65, 130}}); // reached, and kept for no time
    CHECK(lot.judged(fda()).cooks.empty());
    lot.readings({{70, 130}, {75, 131}});
    const LotJudgement j = lot.judged(fda());
    REQUIRE(j.cooks.size() == 1);
    REQUIRE(j.cooks[0].rows.size() == 1); // at 131 °F for an instant only
    CHECK(j.cooks[0].rows[0].longest == Span::minutes(10));
}

TEST_CASE("a thermometer found to read high lessens both claims of a cook") {
    // 140 °F for 30 minutes by one that read 33 °F in ice: 139 °F. 10^(-1 / 10.01) of the rate.
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).steady(0, 30, 5, 140);
    const double as_read = lot.judged(fda()).cooks.at(0).lethality.equivalent_minutes_at_140f;
    CHECK(as_read == Approx(30).epsilon(1e-9));
    lot.history().probes.front().checks = {{at(-600),
                                            Temperature::of_thousandths(33'000, Scale::fahrenheit),
                                            Temperature::of_thousandths(32'000, Scale::fahrenheit),
                                            std::nullopt, true, true, "ice-point"}};
    const LotJudgement j = lot.judged(fda());
    REQUIRE(j.cooks.size() == 1);
    CHECK(j.cooks[0].lethality.equivalent_minutes_at_140f ==
          Approx(30 * std::pow(10.0, -1 / 10.01)).epsilon(1e-9));
    // 3-401.11(B)(2): 140 °F has a row, which the corrected readings do not reach.
    CHECK(std::ranges::none_of(
        j.cooks[0].rows, [](const judge::RowKept& row) { return row.at.starts_with("140"); }));
}

TEST_CASE("a cook of which a check leaves no claim is not told") {
    // 3-401.11(B)(2): the table begins at 130 °F; no credit is given below it. 130.5 °F by a
    // thermometer that read 33 °F in ice was 129.5 °F.
    const auto cooks = [](double degrees, std::int32_t ice) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).steady(0, 30, 5, degrees);
        lot.history().probes.front().checks = {
            {at(-600), Temperature::of_thousandths(ice, Scale::fahrenheit),
             Temperature::of_thousandths(32'000, Scale::fahrenheit), std::nullopt, true, true,
             "ice-point"}};
        return lot.judged(fda()).cooks;
    };
    CHECK(cooks(130.5, 32'000).size() == 1);
    CHECK(cooks(130.5, 33'000).empty());
    CHECK(cooks(131.5, 33'000).size() == 1);
}

TEST_CASE("a cook of which a check leaves a little of one claim is told") {
    // A single peak keeps no row for any time; the straight lines to it are above 130 °F for
    // minutes.
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).readings({{0, 120}, {5, 138}, {10, 120}});
    lot.history().probes.front().checks = {{at(-600),
                                            Temperature::of_thousandths(33'000, Scale::fahrenheit),
                                            Temperature::of_thousandths(32'000, Scale::fahrenheit),
                                            std::nullopt, true, true, "ice-point"}};
    const auto cooks = lot.judged(fda()).cooks;
    REQUIRE(cooks.size() == 1);
    CHECK(cooks[0].rows.empty());
    CHECK(cooks[0].lethality.log_reductions > 0);
    CHECK(cooks[0].lethality.log_reductions < 1);
}
