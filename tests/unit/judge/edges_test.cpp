// Edges that only a changed operator or constant in the judge would show (see tests/mutation/run),
// and rules that few records touch. Figures: FDA Food Code 2022, as in the tests beside this one,
// unless said.
#include "lots.hpp"

#include <holdwarden/base/error.hpp>
#include <holdwarden/codes/house.hpp>

#include <set>

using namespace holdwarden;
using namespace holdwarden::test;
using codes::TemperatureLimit;
using codes::Words;

namespace {

Temperature f(int degrees) {
    return Temperature::of_degrees(degrees, Scale::fahrenheit);
}

codes::Pack pack_of(const std::string& id, codes::Rule rule) {
    codes::Pack pack;
    pack.id = "test";
    pack.requirements.push_back(
        {id, "test", codes::Status::seen_in_edition, "", {}, std::move(rule), ""});
    return pack;
}

codes::TableRow row(int degrees, Span keep) {
    return {TemperatureLimit{f(degrees), std::nullopt, Words::at_or_above}, keep,
            codes::Status::seen_in_edition};
}

Lot cook(std::vector<Row> rows, double closes) {
    Lot lot{FoodKind::whole_cut};
    lot.stage(Stage::cooking, 0).readings(std::move(rows)).closes(closes);
    return lot;
}

Verdict cooked(const Lot& lot, std::vector<codes::TableRow> rows) {
    return only(
               lot.judged(pack_of("cooking", codes::TableRule{std::move(rows), {}, false, {}}), 20),
               "cooking")
        .verdict;
}

/// A roast kept at 131 °F for two hours in a still dry oven whose air was read. 3-401.11(B): over
/// 10 lb, 250 °F (121 °C).
Verdict roasted(std::vector<Row> air) {
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).steady(0, 298, 20, 100).steady(300, 420, 5, 131).closes(420);
    lot.history().raw_mass_g = 6000;
    lot.history().stages.front().oven = OvenKind::still_dry;
    lot.history().stages.front().unit = "pit";
    records::AirSeries series{"pit", {}};
    for (const Row& r : air) {
        series.readings.push_back(reading(r));
    }
    lot.history().air = {{"cabinet", {}}, series};
    return only(lot.judged(fda()), "cooking-roast").verdict;
}

} // namespace

TEST_CASE("a roast of unknown weight is not milder than one of any weight") {
    // FSIS, Appendix A (1999): an oven of 250 °F for roasts of 10 lb and more; nothing for lighter.
    const auto roast = [](std::optional<std::int64_t> mass) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).readings({{0, 60}, {300, 158}, {301, 160}}).served(302);
        lot.history().raw_mass_g = mass;
        lot.history().stages.front().oven = OvenKind::convection;
        lot.history().stages.front().setting =
            Temperature::of_thousandths(250'000, Scale::fahrenheit);
        const LotJudgement j = lot.judged(
            codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/us-fsis.toml"));
        const auto found = std::ranges::find(j.findings, "cooking-roast", &Finding::requirement);
        REQUIRE(found != j.findings.end());
        return found->verdict;
    };
    CHECK(roast(5000) == Verdict::met);
    CHECK(roast(4000) == Verdict::not_shown);
    CHECK(roast(std::nullopt) == Verdict::not_shown);
}

TEST_CASE("an oven that fits every weight proves nothing for another kind of oven") {
    // FDA Food Code 2022, 3-401.11(B), less its row for light roasts in a still dry oven.
    codes::Pack pack = fda();
    for (codes::Requirement& r : pack.requirements) {
        if (auto* table = std::get_if<codes::TableRule>(&r.rule)) {
            std::erase_if(table->ovens, [](const codes::OvenRow& row) {
                return row.oven == OvenKind::still_dry && row.below_g;
            });
        }
    }
    const auto roast = [&](OvenKind oven) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).readings({{0, 60}, {300, 158}, {301, 160}}).served(302);
        lot.history().stages.front().oven = oven;
        lot.history().stages.front().setting = Temperature::of_degrees(350, Scale::fahrenheit);
        return only(lot.judged(pack), "cooking-roast").verdict;
    };
    CHECK(roast(OvenKind::convection) == Verdict::met);
    CHECK(roast(OvenKind::still_dry) == Verdict::not_shown);
}

TEST_CASE("each verdict and rule has a word and a name of its own") {
    std::set<std::string_view> words;
    std::set<std::string_view> names;
    for (const Verdict v :
         {Verdict::ended, Verdict::met, Verdict::open, Verdict::not_shown, Verdict::not_met}) {
        CHECK_FALSE(judge::to_words(v).empty());
        words.insert(judge::to_words(v));
        names.insert(judge::to_name(v));
        CHECK(judge::to_name(v).find(' ') == std::string_view::npos);
    }
    CHECK(words.size() == 5);
    CHECK(names.size() == 5);
    CHECK(judge::to_name(judge::DecisionRule::as_read) == "as-read");
    CHECK(judge::to_name(judge::DecisionRule::guarded) == "guarded");
}

TEST_CASE("the air of an oven must be right from its warming up to the end of the cook") {
    const std::vector<Row> whole{{0, 100}, {60, 250}, {180, 255}, {300, 250}, {420, 260}};
    CHECK(roasted(whole) == Verdict::met);
    CHECK(roasted({{0, 100}, {60, 249}, {420, 240}}) == Verdict::not_met); // never there
    CHECK(roasted({{0, 250}, {100, 249}, {200, 250}, {320, 250}}) ==
          Verdict::not_met); // left again
    CHECK(roasted({{0, 225}, {121, 225}, {200, 250}, {320, 250}}) == Verdict::not_met); // too late
    CHECK(roasted({{410, 250}}) == Verdict::not_shown);                  // one glance
    CHECK(roasted({{60, 250}, {180, 250}, {300, 250}}) == Verdict::met); // to within two hours
    // Still warming up when two hours are over, and not read as warm by then.
    CHECK(roasted({{0, 100}, {120, 249}, {121, 250}, {240, 250}, {360, 250}}) ==
          Verdict::not_shown);
    // Of two values of one instant the worse counts.
    CHECK(roasted({{60, 250}, {60, 249}, {180, 250}, {300, 250}, {420, 250}}) == Verdict::not_met);
    CHECK(roasted({{60, 250}, {181, 250}, {300, 250}, {420, 250}}) ==
          Verdict::not_shown);                                                 // silence
    CHECK(roasted({{60, 250}, {180, 250}, {299, 250}}) == Verdict::not_shown); // ends early
}

TEST_CASE("a typed reading serves 17 seconds and not 18") {
    Lot lot = cook({{0, 100}, {10, 145}, {20, 100}}, 20);
    lot.history().points.front().readings[1].origin = records::Origin::typed;
    CHECK(cooked(lot, {row(145, Span::seconds(17))}) == Verdict::met);
    CHECK(cooked(lot, {row(145, Span::seconds(18))}) == Verdict::not_shown);
}

TEST_CASE("time before the first reading counts for a row only if that reading is there") {
    // At or above 145 °F between minutes 5 and 8 at most.
    const Lot lot = cook({{5, 100}, {6, 145}, {7, 145}, {8, 100}}, 20);
    CHECK(cooked(lot, {row(145, Span::minutes(3))}) == Verdict::not_shown);
    CHECK(cooked(lot, {row(145, Span::minutes(3) + Span::milliseconds(1))}) == Verdict::not_met);
    const Lot first = cook({{5, 145}, {6, 145}, {7, 100}}, 20);
    CHECK(cooked(first, {row(145, Span::minutes(7))}) == Verdict::not_shown);
}

TEST_CASE("a reason tells a row that is reached from one that is kept") {
    const Lot lot = cook({{0, 100}, {5, 145}, {6, 146}, {8, 100}}, 20);
    const auto reason = [&](Span keep) {
        return only(lot.judged(
                        pack_of("cooking", codes::TableRule{{row(145, keep)}, {}, false, {}})),
                    "cooking")
            .reason;
    };
    CHECK(reason(Span{}).starts_with("Reached"));
    CHECK(reason(Span::minutes(1)).starts_with("At or above"));
}

TEST_CASE("of several times at a temperature the longest counts, whichever comes first") {
    // As 3-401.11(A)(2) reads "for": one unbroken time. Five minutes and one minute at 165 °F.
    const auto verdict = [](const std::vector<Row>& rows, Span keep) {
        const auto pack = pack_of("cooking", codes::TableRule{{row(165, keep)}, {}, false, {}});
        return only(cook(rows, 30).judged(pack), "cooking");
    };
    const std::vector<Row> long_first{{0, 100},  {5, 165},  {10, 165}, {15, 100},
                                      {20, 165}, {21, 165}, {25, 100}};
    const std::vector<Row> short_first{{0, 100},  {5, 165},  {6, 165}, {10, 100},
                                       {15, 165}, {20, 165}, {25, 100}};
    for (const auto& rows : {long_first, short_first}) {
        CHECK(verdict(rows, Span::minutes(5)).verdict == Verdict::met);
        CHECK(verdict(rows, Span::minutes(6)).elapsed.earliest == Span::minutes(5));
    }
}

TEST_CASE("a chilling start is counted from the end of the cook, and unknown without one") {
    // FSIS, stabilization guidance of 1999: chilling begun within 90 min of the end of the cook.
    codes::WindowRule rule;
    rule.start = codes::WindowStart::end_of_cooking;
    rule.to_stage = Stage::cooling;
    rule.within = {Span::minutes(90), true};
    codes::WindowRule window = rule;
    window.to_stage.reset();
    window.to = TemperatureLimit{f(70), std::nullopt, Words::at_or_below};
    window.within = {Span::minutes(200), true};
    codes::Pack pack = pack_of("cooling-start", rule);
    pack.requirements.push_back(
        {"cooling-total", "test", codes::Status::seen_in_edition, "", {}, window, ""});
    const auto judged = [&](double begun, double cold, bool cooked) {
        Lot lot;
        lot.stage(cooked ? Stage::cooking : Stage::preparing, 0).stage(Stage::preparing, 100);
        lot.stage(Stage::cooling, begun).readings({{0, 60}, {100, 160}, {begun, 150}, {cold, 70}});
        return lot.judged(pack);
    };
    CHECK(only(judged(190, 300, true), "cooling-start").verdict == Verdict::met);
    // Begun after 70 of 90 minutes: 20 to spare.
    CHECK(only(judged(170, 300, true), "cooling-start").margin.time == Span::minutes(20));
    CHECK(only(judged(190, 300, true), "cooling-total").verdict == Verdict::met);
    CHECK(only(judged(190, 301, true), "cooling-total").verdict == Verdict::not_shown);
    CHECK(only(judged(190.1, 300, true), "cooling-start").verdict == Verdict::not_met);
    CHECK(only(judged(150, 300, false), "cooling-start").verdict == Verdict::not_shown);
}

TEST_CASE("what is read in a reheat that fails is no reading of the cooling before it") {
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::reheating, 60).closes(200);
    lot.readings({{0, 140}, {5, 134}, {60, 100}, {140, 150}});
    CHECK(only(lot.judged(fda(), 200), "cooling-first-window").verdict == Verdict::not_shown);
}

TEST_CASE("straight lines reach to the readings themselves") {
    // 140 to 130 °F crosses 135 at minute 5; 70 °F is reached by the reading at 120.
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {10, 130}, {120, 70}});
    const auto j = lot.judged(fda());
    const Finding& found = only(j, "cooling-first-window");
    CHECK(minutes(found.elapsed.estimate) == Approx(115));
    CHECK(found.reason.starts_with("The food fell below 135"));
}

TEST_CASE("time below the limit runs through the change from a rest to a hold") {
    Lot lot;
    lot.stage(Stage::resting, 0).stage(Stage::hot_holding, 60);
    lot.readings({{0, 150}, {50, 134}, {70, 134}, {90, 136}, {150, 140}});
    const auto j = lot.judged(fda());
    CHECK(minutes(j.below_hot_limit.earliest) == Approx(20)); // minutes 50 to 70
    CHECK(minutes(j.below_hot_limit.latest) == Approx(90));   // minutes 0 to 90
}

TEST_CASE("several excursions are counted in the reason") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0)
        .readings({{0, 150}, {30, 134}, {60, 140}, {90, 130}, {120, 140}});
    CHECK(only(lot.judged(fda()), "hot-holding").reason.find("2 such stretches") !=
          std::string::npos);
}

TEST_CASE("a reheat's margin is that of its hottest reading") {
    Lot lot;
    lot.stage(Stage::reheating, 0).readings({{0, 41}, {30, 160}, {60, 120}}).closes(60);
    CHECK(only(lot.judged(fda()), "reheating").margin.temperature ==
          TemperatureDelta::of_thousandths(-5000, Scale::fahrenheit));
}

TEST_CASE("a reheat nobody measured is open while it runs and not shown after") {
    Lot lot;
    lot.stage(Stage::cold_holding, 0).readings({{0, 40}, {50, 40}}).stage(Stage::reheating, 60);
    CHECK(only(lot.judged(fda(), 70), "reheating").verdict == Verdict::open);
    CHECK(only(lot.judged(fda(), 70), "reheating-time").verdict == Verdict::open);
    lot.stage(Stage::hot_holding, 80);
    CHECK(only(lot.judged(fda(), 90), "reheating").verdict == Verdict::not_shown);
    CHECK(only(lot.judged(fda(), 90), "reheating-time").verdict == Verdict::not_shown);
}

TEST_CASE("a good reheat answers for the hold before it when time control begins") {
    const auto started = [](double hottest) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0)
            .stage(Stage::reheating, 60)
            .stage(Stage::time_control, 120);
        lot.readings({{0, 140}, {30, 100}, {60, 100}, {100, hottest}, {101, hottest}, {120, 140}})
            .served(200);
        return only(lot.judged(fda()), "time-control").verdict;
    };
    CHECK(started(165) == Verdict::met);
    CHECK(started(150) == Verdict::not_met);
}

TEST_CASE("time control before which something is not shown asks for what a miss asks") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::time_control, 300);
    lot.readings({{0, 140}, {200, 140}, {300, 140}}).served(400); // silent for 200 minutes
    const auto j = lot.judged(fda());
    CHECK(only(j, "time-control").verdict == Verdict::not_shown);
    CHECK(only(j, "time-control").acts_as_missed);
}

TEST_CASE("a ceiling read exactly every largest interval is watched") {
    Lot lot;
    lot.stage(Stage::time_control, 0).readings({{0, 41}, {120, 60}, {240, 66}}).served(360);
    lot.history().stages.front().form = records::TimeControlForm::six_hours;
    CHECK(only(lot.judged(fda()), "time-control-ceiling").verdict == Verdict::met);
}

TEST_CASE("where only one spell is allowed a second is a miss however short") {
    codes::TimeControlRule rule{TemperatureLimit{f(41), std::nullopt, Words::at_or_below},
                                std::nullopt,
                                {Span::hours(4), true},
                                false,
                                std::nullopt,
                                std::nullopt,
                                true};
    Lot lot;
    lot.stage(Stage::time_control, 0)
        .stage(Stage::cooking, 10)
        .stage(Stage::time_control, 20)
        .readings({{0, 41}})
        .served(30);
    CHECK(only(lot.judged(pack_of("time-control", rule)), "time-control").verdict ==
          Verdict::not_met);
    rule.one_spell = false;
    CHECK(only(lot.judged(pack_of("time-control", rule)), "time-control").verdict == Verdict::met);
}

TEST_CASE("without a recorded day of making, day 1 is the local day on which the cook began") {
    // The lot's start is noon of 31 October in Denver; the hour repeats in the night after.
    Lot lot;
    lot.stage(Stage::cooking, 60).stage(Stage::cold_holding, 300).readings({{300, 38}});
    const auto marked = [&](double day_minutes) {
        return only(lot.judged(fda(), day_minutes), "date-mark").verdict;
    };
    CHECK(marked(6 * 1440) == Verdict::open);                     // 6 November, day 7
    CHECK(marked(7 * 1440) == Verdict::not_met);                  // 7 November, day 8
    CHECK_FALSE(has(lot.judged(fda(), 300 + 1440), "date-mark")); // not over 24 hours yet
    lot.served(6 * 1440);
    CHECK(marked(6 * 1440) == Verdict::met);
}

TEST_CASE("a reading of a thermometer that is not on record clears no guard band") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {60, 150}});
    lot.history().probes.front().accuracy =
        TemperatureDelta::of_thousandths(500, Scale::fahrenheit);
    judge::Settings settings;
    settings.as_of = at(60);
    settings.rule = judge::DecisionRule::guarded;
    CHECK(judge::judge_lot(lot.history(), fda(), settings).overall == Verdict::met);
    for (auto& r : lot.history().points.front().readings) {
        r.probe = 1;
    }
    CHECK(judge::judge_lot(lot.history(), fda(), settings).overall == Verdict::not_shown);
}

TEST_CASE("a house may ask for a colder target or less time of a window, never for more without a "
          "variance") {
    using codes::HouseLimit;
    const auto sharpened = [](HouseLimit limit) {
        return std::get<codes::WindowRule>(
            codes::house_requirement(limit, fda(), FoodKind::other_tcs).rule);
    };
    const HouseLimit colder{.requirement = "cooling-total", .at = f(40)};
    CHECK(sharpened(colder).to->printed(Scale::fahrenheit) == f(40));
    const HouseLimit quicker{.requirement = "cooling-total", .within = Span::hours(4)};
    CHECK(sharpened(quicker).within.span == Span::hours(4));
    HouseLimit warmer{.requirement = "cooling-total", .at = f(45)};
    CHECK_THROWS_AS(sharpened(warmer), Error);
    HouseLimit slower{.requirement = "cooling-total", .within = Span::hours(7)};
    CHECK_THROWS_AS(sharpened(slower), Error);
    slower.variance = "plan 12";
    CHECK(sharpened(slower).within.span == Span::hours(7));
    const HouseLimit no_target{.requirement = "reheating-time", .at = f(165)};
    CHECK_THROWS_AS(sharpened(no_target), Error);
    const HouseLimit unknown{.requirement = "roasting", .at = f(165)};
    CHECK_THROWS_AS(sharpened(unknown), Error);
}

TEST_CASE("a straight line from and to the figures themselves is as long as it is, to the "
          "millisecond") {
    // FDA Food Code 2022, 3-501.14(A)(1): 135 to 70 °F; both figures are read, 100 min apart.
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 135}, {10, 125}, {90, 75}, {100, 70}, {110, 69}});
    CHECK(only(lot.judged(fda()), "cooling-first-window").elapsed.estimate == Span::minutes(100));
    // From 136 to 125 °F in ten minutes, 135 is crossed after 600,000 / 11 = 54,545.45 ms.
    Lot eleventh;
    eleventh.stage(Stage::cooling, 0).readings({{0, 136}, {10, 125}, {60, 70}});
    CHECK(only(eleventh.judged(fda()), "cooling-first-window").elapsed.estimate ==
          Span::milliseconds(3'600'000 - 54'545));
}

TEST_CASE(
    "of two values of one instant the straight line goes to the worse, whichever stands first") {
    // 3-501.16(A)(1): 135 °F or above. That the worse counts is the project's own reading.
    const auto estimate = [](std::vector<Row> rows) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).readings(std::move(rows));
        const LotJudgement j = lot.judged(fda());
        const Finding& f = only(j, "hot-holding");
        REQUIRE(f.excursions.size() == 1);
        return f.excursions.front().length.estimate;
    };
    // 140 to 130 °F in 30 minutes crosses at 15; 130 to 140 °F in 20 minutes at 50.
    for (const auto& [a, b] : {std::pair{135.2, 130.0}, std::pair{130.0, 135.2}}) {
        CHECK(estimate({{0, 140}, {30, a}, {30, b}, {40, 130}, {60, 140}}) == Span::minutes(35));
    }
    // 136 is nearer than 140: crossed after 1/6 of the way down and 5/6 of the way up.
    for (const auto& [a, b] : {std::pair{140.0, 136.0}, std::pair{136.0, 140.0}}) {
        CHECK(estimate({{0, a}, {0, b}, {30, 130}, {60, a}, {60, b}}) == Span::minutes(50));
    }
}

TEST_CASE("of more than eight readings that decide, the first and the last four are shown") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    for (int i = 0; i <= 8; ++i) {
        lot.readings({{10.0 * i, i % 2 == 0 ? 140.0 : 130.0}});
    }
    std::vector<double> shown;
    const LotJudgement j = lot.judged(fda());
    for (const records::Reading& r : only(j, "hot-holding").evidence) {
        shown.push_back((r.at - kStart).in_minutes());
    }
    CHECK(shown == std::vector<double>{0, 10, 20, 30, 50, 60, 70, 80});
    // Eight are eight.
    lot.history().points[0].readings.pop_back();
    CHECK(only(lot.judged(fda()), "hot-holding").evidence.size() == 8);
}

TEST_CASE("a cook's row that is not needed names the one that counts") {
    // 3-401.11(A)(1)(b) and (B). The sentence guards which of the two is named.
    const auto note = [](const std::string& other) {
        return "Not needed: the food may also be cooked by the " + other +
               " row, which counts here.";
    };
    const auto judged = [](double degrees, bool with_oven) {
        Lot lot{FoodKind::intact_roast};
        lot.stage(Stage::cooking, 0).closes(60);
        lot.readings({{0, 120}, {30, degrees}, {40, degrees}, {60, 120}});
        if (with_oven) {
            lot.history().stages.front().oven = OvenKind::still_dry;
            lot.history().stages.front().setting = f(350);
        }
        return lot.judged(fda());
    };
    // 145 °F for ten minutes: by both where the oven is known, by the row for whole meat where not.
    for (const bool with_oven : {false, true}) {
        const auto j = judged(145, with_oven);
        CHECK(only(j, "cooking").counts);
        CHECK_FALSE(only(j, "cooking-roast").counts);
        CHECK(std::ranges::count(only(j, "cooking-roast").notes, note("cooking")) == 1);
    }
    // 144 °F for ten minutes: by the roast's row alone, which asks for five.
    const auto roast = judged(144, true);
    CHECK(only(roast, "cooking-roast").counts);
    CHECK(std::ranges::count(only(roast, "cooking").notes, note("cooking-roast")) == 1);
}

TEST_CASE("what no code has a limit for is not said to be left unjudged") {
    Lot lot;
    lot.stage(Stage::preparing, 0).stage(Stage::frozen, 60).readings({{0, 40}, {120, 20}});
    for (const std::string& note : lot.judged(fda()).notes) {
        CHECK(note.find("has no limit for") == std::string::npos);
    }
}

TEST_CASE("suspect readings are counted over all points") {
    // The sentences guard the count, and the choice between one and many.
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 140}, {60, 140}});
    const auto noted = [&](const std::string& words) {
        const auto j = lot.judged(fda());
        return std::ranges::any_of(
            j.notes, [&](const std::string& note) { return note.starts_with(words); });
    };
    lot.history().points[0].readings[1].suspect = true;
    CHECK(noted("1 suspect reading: "));
    lot.readings({{0, 141}, {60, 141}}, Scale::fahrenheit, "top");
    lot.history().points[1].readings[0].suspect = true;
    CHECK(noted("2 suspect readings: "));
}

TEST_CASE("food that lives on elsewhere keeps its hold, and its days run on there") {
    Lot lot;
    lot.stage(Stage::cooling, 0).stage(Stage::cold_holding, 300);
    lot.readings({{0, 140}, {5, 134}, {100, 70}, {290, 41}}).steady(300, 3000, 100, 38);
    lot.history().end = records::LotEnd{Outcome::split, at(3000), ""};
    const auto split = lot.judged(fda());
    CHECK(only(split, "date-mark").verdict == Verdict::ended);
    CHECK(only(split, "cold-holding").verdict == Verdict::met);
    CHECK(only(split, "cooling-total").verdict == Verdict::met);
    CHECK(split.notes.back().ends_with(": what it became carries its record on."));
    lot.history().end->outcome = Outcome::handed_on;
    CHECK(lot.judged(fda()).notes.back().ends_with(
        ": the kitchen it went to carries its record on."));
}

TEST_CASE("a cooling that nobody ends is kept cold once the food is") {
    // FDA Food Code 2022, 3-501.17(A): over 24 hours at 41 °F or less, 7 days at most.
    const auto left = [](double last) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::cooking, 0).stage(Stage::cooling, 5);
        lot.readings({{0, 170}, {5, 166}, {60, 69}, {200, 40}, {last, 40}}).served(last);
        return lot.judged(fda());
    };
    CHECK_FALSE(has(left(200 + 1440), "date-mark")); // 24 hours, not over
    CHECK(only(left(200 + 1441), "date-mark").verdict == Verdict::met);
    CHECK(only(left(10 * 1440), "date-mark").verdict == Verdict::not_met);
}

TEST_CASE("a silence in a cooling that nobody ends is no cold hold that is shown") {
    // FDA Food Code 2022, 3-501.16(A)(2): 41 °F or less; the largest interval is 2 h (common
    // practice, no source).
    const auto left = [](std::vector<Row> rows, double end) {
        Lot lot{FoodKind::poultry};
        lot.stage(Stage::cooking, 0).stage(Stage::cooling, 5);
        lot.readings({{0, 170}, {5, 166}, {60, 69}, {200, 40}});
        lot.readings(std::move(rows)).served(end);
        return lot.judged(fda());
    };
    CHECK_FALSE(has(left({}, 320), "cold-holding"));
    CHECK_FALSE(has(left({{320, 40}, {440, 41}}, 560), "cold-holding"));
    CHECK(only(left({}, 321), "cold-holding").verdict == Verdict::not_shown);
    const auto night = left({{1200, 40}}, 1200);
    CHECK(only(night, "cold-holding").verdict == Verdict::not_shown);
    CHECK(night.overall == Verdict::not_shown);
    // Still warmer than that at the end: the cooling windows speak.
    CHECK_FALSE(has(left({{300, 45}}, 600), "cold-holding"));
}
