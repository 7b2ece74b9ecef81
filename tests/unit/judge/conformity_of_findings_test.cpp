// What the chance of conformity beside a finding is of. Phi and the parts of u: JCGM 106:2012, 7.3
// and JCGM 100:2008, 4.3.7 (clause numbers from memory); the limits are those of FDA Food Code
// 2022, 3-401.11 and 3-501.16.

#include "lots.hpp"

#include <cmath>

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

double phi(double z) {
    return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

constexpr auto F = Scale::fahrenheit;

Lot by_probe_good_to_one_degree(FoodKind food = FoodKind::other_tcs) {
    Lot lot{food};
    lot.history().probes.front().accuracy = TemperatureDelta::of_thousandths(1000, F);
    return lot;
}

Finding first(const LotJudgement& j, std::string_view id) {
    const auto found = std::ranges::find(j.findings, id, &Finding::requirement);
    REQUIRE(found != j.findings.end());
    return *found;
}

} // namespace

TEST_CASE("a time kept at a temperature is as sure as its coldest reading") {
    const auto kept = [](FoodKind food, double last) {
        Lot lot = by_probe_good_to_one_degree(food);
        lot.history().raw_mass_g = 6000;
        lot.stage(Stage::cooking, 0);
        lot.history().stages.front().oven = OvenKind::convection;
        lot.history().stages.front().setting = Temperature::of_thousandths(260'000, F);
        lot.readings({{0, 60}, {100, 145}, {105, 145}, {110, 145}, {115, 145}, {120, last}});
        return lot.served(130).judged(fda());
    };
    // 3-401.11(A)(2): 145 °F for 3 minutes. Kept at exactly 145 °F, then one reading of 150 °F.
    const Finding ground = first(kept(FoodKind::ground, 150), "cooking");
    CHECK(ground.verdict == Verdict::met);
    CHECK(ground.margin.temperature->thousandths() == 0);
    CHECK(ground.conformity->probability == Approx(0.5).margin(1e-6));
    // 3-401.11(B)(2): 138 °F for 18 minutes, kept with 7 °F to spare, is the widest margin of the
    // rows that these 20 minutes meet.
    const Finding roast = first(kept(FoodKind::intact_roast, 145), "cooking-roast");
    CHECK(roast.verdict == Verdict::met);
    CHECK(roast.margin.temperature->thousandths() == 7000);
    CHECK(roast.conformity->probability == Approx(phi(7 * std::sqrt(3.0))).margin(1e-6));
    // (A)(1)(b): 145 °F for 15 seconds, and 200 °F was read.
    const Finding hot = first(kept(FoodKind::whole_cut, 200), "cooking");
    CHECK(hot.margin.temperature->thousandths() == 55000);
}

TEST_CASE("no chance is told by a suspect reading, nor where an oven is what is missing") {
    Lot spike = by_probe_good_to_one_degree(FoodKind::poultry);
    spike.stage(Stage::cooking, 0).readings({{0, 60}, {60, 160}, {61, 185}, {62, 161}}).served(70);
    spike.history().points.front().readings[2].suspect = true;
    const Finding f = first(spike.judged(fda()), "cooking");
    CHECK(f.verdict == Verdict::not_shown);
    CHECK(f.conformity->probability < 0.001); // of 161 °F: 4 °F short, u = 1 / sqrt(3)
    CHECK(f.margin.temperature->thousandths() == -4000);
    Lot roast = by_probe_good_to_one_degree(FoodKind::intact_roast);
    roast.history().raw_mass_g = 3000;
    roast.stage(Stage::cooking, 0); // nothing is on record of the oven
    roast.readings({{0, 60}, {100, 154}, {105, 154}, {110, 154}}).served(120);
    const Finding unproven = first(roast.judged(fda()), "cooking-roast");
    CHECK(unproven.verdict != Verdict::met);
    CHECK_FALSE(unproven.conformity.has_value());
    CHECK_FALSE(unproven.margin.temperature.has_value());
}

TEST_CASE("a thermometer found to read high lowers the chance, though not the verdict") {
    // 136.5 °F, by one found 1 °F high at the ice point before the lot: 135.5 °F. u = a / sqrt(3),
    // and for the corrected one half a step of the display more: 0.05 / sqrt(3).
    Lot lot = by_probe_good_to_one_degree();
    lot.stage(Stage::hot_holding, 0).readings({{0, 136.5}, {60, 136.5}});
    const auto chance = [&] {
        return first(lot.judged(fda()), "hot-holding").conformity->probability;
    };
    CHECK(chance() == Approx(phi(1.5 * std::sqrt(3.0))).margin(1e-6));
    records::Probe& probe = lot.history().probes.front();
    probe.display_step = TemperatureDelta::of_thousandths(100, F);
    probe.checks = {{at(-600), Temperature::of_thousandths(33'000, F),
                     Temperature::of_thousandths(32'000, F), std::nullopt, true, true,
                     "ice-point"}};
    const double u = std::sqrt(1.0 / 3 + 0.01 / 12 + 0.0025 / 3);
    CHECK(chance() == Approx(phi(0.5 / u)).margin(1e-6));
    CHECK(first(lot.judged(fda()), "hot-holding").verdict == Verdict::met);
}
