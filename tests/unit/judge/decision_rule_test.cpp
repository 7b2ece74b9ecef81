// How a verdict, its decision rule and its uncertainty are told: JCGM 106:2012 (simple and guarded
// acceptance; 7.3 from memory for the number), ILAC-G8:09/2019, 4.2.3 (four outcomes). The check
// values are rows 1 to 12 of the table that conformity_test holds against the formulas, here held
// against FDA Food Code 2022 as it prints Celsius: 5 °C, 57 °C, 74 °C. Where a table of decision
// rules says "guard: fail" inside the band, a record is `not shown` here.
#include "lots.hpp"

#include <holdwarden/judge/words.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using judge::Zone4;

namespace {

constexpr auto C = Scale::celsius;
constexpr auto F = Scale::fahrenheit;

Lot held(Stage stage, double degrees, Scale scale) {
    Lot lot;
    lot.stage(stage, 0).readings({{0, degrees}, {60, degrees}}, scale);
    return lot;
}

std::optional<TemperatureDelta> band(double degrees, Scale scale) {
    return TemperatureDelta::of_thousandths(static_cast<std::int32_t>(degrees * 1000 + 0.5), scale);
}

} // namespace

TEST_CASE("MET-6: check values 1 to 12 as holds and cooks, simple and guarded by U") {
    struct Value {
        int number;
        Stage stage;
        const char* requirement;
        double reading;
        double expanded; ///< U = 2 u, the guard band
        Verdict simple;
        Verdict guarded;
    };
    const auto cold = Stage::cold_holding;
    const auto hot = Stage::hot_holding;
    const auto cook = Stage::cooking;
    const Value values[] = {
        {1, cold, "cold-holding", 4.2, 1.0, Verdict::met, Verdict::not_shown},
        {2, cold, "cold-holding", 4.2, 0.5, Verdict::met, Verdict::met},
        {3, cold, "cold-holding", 5.0, 1.0, Verdict::met, Verdict::not_shown},
        {5, cook, "cooking", 74.0, 1.0, Verdict::met, Verdict::not_shown},
        {6, cook, "cooking", 74.5, 1.0, Verdict::met, Verdict::not_shown},
        {7, cook, "cooking", 75.0, 1.0, Verdict::met, Verdict::met}, // exactly on the band
        {8, cook, "cooking", 73.6, 1.0, Verdict::not_met, Verdict::not_met},
        {9, hot, "hot-holding", 57.8, 0.7, Verdict::met, Verdict::met},
        {12, cold, "cold-holding", 4.0, 1.16, Verdict::met, Verdict::not_shown},
    };
    for (const Value& v : values) {
        INFO(v.number);
        Lot lot = held(v.stage, v.reading, C);
        lot.closes(60);
        CHECK(only(lot.judged(fda(), 60), v.requirement).verdict == v.simple);
        CHECK(only(lot.judged(fda(), 60, band(v.expanded, C)), v.requirement).verdict == v.guarded);
    }
    // 4: 5.6 °C against 5 °C is wrong as read; where the food comes from is unknown, so that the
    // cold hold binds once a reading is right.
    Lot lot;
    lot.stage(cold, 0).readings({{0, 5.0}, {60, 5.6}}, C);
    CHECK(only(lot.judged(fda()), "cold-holding").verdict == Verdict::not_met);
    CHECK(only(lot.judged(fda(), std::nullopt, band(1.0, C)), "cold-holding").verdict ==
          Verdict::not_met);
}

TEST_CASE("MET-6: check values 10 and 11, simple and guarded by U") {
    // 10: 61.0 °C against 60 °C or above, U = 1.2 °C (Standard 3.2.2 of Australia has that limit).
    const codes::Pack au =
        codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/au-3.2.2.toml");
    Lot hot = held(Stage::hot_holding, 61.0, C);
    hot.closes(60);
    CHECK(only(hot.judged(au, 60), "hot-holding").verdict == Verdict::met);
    CHECK(only(hot.judged(au, 60, band(1.2, C)), "hot-holding").verdict == Verdict::not_shown);
    // 11: -18.4 °C against -18 °C or below, U = 1.0 °C. No shipped pack judges frozen storage, so
    // the limit is put into a pack's cold hold.
    codes::Pack frozen = fda();
    for (codes::Requirement& r : frozen.requirements) {
        if (r.id == "cold-holding") {
            r.rule = codes::HoldRule{
                .limit = {std::nullopt, parse_temperature("-18C"), codes::Words::at_or_below}};
        }
    }
    Lot cold = held(Stage::cold_holding, -18.4, C);
    cold.closes(60);
    CHECK(only(cold.judged(frozen, 60), "cold-holding").verdict == Verdict::met);
    CHECK(only(cold.judged(frozen, 60, band(1.0, C)), "cold-holding").verdict ==
          Verdict::not_shown);
}

TEST_CASE("MET-1: a verdict tells U and which of the four outcomes applies") {
    const auto outcome = [](double degrees) {
        Lot lot = held(Stage::hot_holding, degrees, F);
        lot.history().probes.front().accuracy = band(1.0, F); // u = 0.577, U = 1.155 °F
        const auto conformity = only(lot.judged(fda()), "hot-holding").conformity;
        REQUIRE(conformity.has_value());
        CHECK(2 * conformity->standard_uncertainty.thousandths() == Approx(1155).margin(2));
        return conformity->zone;
    };
    CHECK((outcome(136.2) == Zone4::pass));
    CHECK((outcome(136.1) == Zone4::conditional_pass));
    CHECK((outcome(135.0) == Zone4::conditional_pass));
    CHECK((outcome(134.9) == Zone4::conditional_fail));
    CHECK((outcome(133.8) == Zone4::fail));
}

TEST_CASE("MET-2: a chance is told to three digits, and never as certainty") {
    judge::Conformity c;
    c.standard_uncertainty = TemperatureDelta::of_thousandths(500, C);
    c.probability = 0.94520; // check value 1
    CHECK(judge::conformity_text(c).starts_with("0.945 that"));
    c.probability = 0.99931; // check value 2
    CHECK(judge::conformity_text(c).starts_with("more than 0.999 that"));
    c.probability = 0.0001;
    CHECK(judge::conformity_text(c).starts_with("less than 0.001 that"));
    // ± 1 °C: u = 1 / √3 = 0.577 °C (GUM, JCGM 100:2008, 4.3.7), U = 2 u.
    c.standard_uncertainty = TemperatureDelta::of_thousandths(577, Scale::celsius);
    CHECK(judge::conformity_text(c).find("U = ± 1.2 °C") != std::string::npos);
}

TEST_CASE("MET-3: another decision rule adds a verdict and leaves the first as it was") {
    const Lot lot = held(Stage::hot_holding, 135.5, F);
    const auto before = lot.judged(fda());
    const auto guarded = lot.judged(fda(), std::nullopt, band(1.0, F));
    const auto again = lot.judged(fda());
    CHECK(before.overall == Verdict::met);
    CHECK(guarded.overall == Verdict::not_shown);
    CHECK(again.overall == before.overall);
    CHECK(only(again, "hot-holding").reason == only(before, "hot-holding").reason);
}

TEST_CASE("MET-4, MET-5: a time not shown cites the readings around it and what would settle it") {
    // Set B: 57 °C is passed between 0 and 45, 21 °C between 160 and 210 minutes.
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.readings({{0, 60.0}, {45, 50.0}, {120, 30.0}, {160, 24.0}, {210, 19.0}, {420, 4.5}}, C);
    const Finding f = only(lot.judged(fda()), "cooling-first-window");
    REQUIRE(f.verdict == Verdict::not_shown);
    std::vector<Instant> cited;
    for (const records::Reading& r : f.evidence) {
        cited.push_back(r.at);
    }
    CHECK(cited == std::vector{at(0), at(45), at(160), at(210)});
    CHECK(f.settle.find("21 °C") != std::string::npos);
    // 18:00Z is noon in Denver: two hours after the earliest start.
    CHECK(f.settle.find("14:00") != std::string::npos);
}
