// What people are asked to do, chosen by the worst case. The advice itself is the pack's and cites
// its own sources; here it is tested which of its rows is taken.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

const judge::Flag& flag_of(const LotJudgement& j, const std::string& requirement) {
    for (const judge::Flag& flag : j.flags) {
        if (j.findings[flag.finding].requirement == requirement) {
            return flag;
        }
    }
    FAIL("no flag for " << requirement);
    return j.flags.front();
}

std::vector<std::string> advice(const std::string& requirement, std::optional<Span> worst_case) {
    const codes::Advice* row = fda().advice_for(requirement, false, worst_case, std::nullopt);
    REQUIRE(row != nullptr);
    return row->act;
}

} // namespace

TEST_CASE("an unknown start takes the advice for an unknown time, not for the time seen") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 130}, {30, 100}});
    const auto j = lot.judged(fda(), 40);
    const auto& act = flag_of(j, "cooling-first-window").act;
    const auto unknown = advice("cooling-first-window", std::nullopt);
    CHECK(std::search(act.begin(), act.end(), unknown.begin(), unknown.end()) != act.end());
}

TEST_CASE("food that is gone is not to be reheated: its end is named instead") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 130}, {60, 130}}).served(90);
    const auto served = lot.judged(fda());
    CHECK(flag_of(served, "hot-holding").act.front().find("served at") != std::string::npos);
    Lot kept;
    kept.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 130}, {60, 130}});
    const auto j = kept.judged(fda());
    CHECK(flag_of(j, "hot-holding").act == advice("hot-holding", Span::minutes(60)));
}

TEST_CASE("a flag keeps its id as readings arrive") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 130}});
    const std::string first = lot.judged(fda()).flags.front().id;
    lot.readings({{60, 131}, {90, 136}});
    CHECK(lot.judged(fda()).flags.front().id == first);
}

TEST_CASE("a note asks for nothing") {
    Lot lot{FoodKind::intact_roast};
    lot.stage(Stage::cooking, 0).closes(60).readings({{0, 120}, {30, 145}, {31, 146}, {60, 140}});
    const auto j = lot.judged(fda());
    CHECK(only(j, "cooking").verdict == Verdict::met);
    CHECK(only(j, "cooking-roast").verdict != Verdict::met);
    CHECK(j.flags.empty());
}

TEST_CASE("a hold's advice is chosen by the time below in rests and holds together") {
    // Three hours below in the rest and two in the hold: more than the four hours up to which food
    // may be reheated (FDA, Managing Food Safety, regulator's manual; from memory).
    Lot lot;
    lot.stage(Stage::resting, 0).steady(0, 180, 30, 130);
    lot.stage(Stage::hot_holding, 200).readings({{200, 140}}).steady(210, 330, 30, 130);
    const auto j = lot.judged(fda());
    for (const judge::Flag& flag : j.flags) {
        INFO(flag.id);
        CHECK(flag.act == advice("hot-holding", Span::minutes(330)));
    }
    CHECK(j.flags.size() == 2);
}

TEST_CASE("a hot hold's advice is chosen by how cold it was, once it was too cold for two hours") {
    // Washington State Department of Health, table for power cuts: hot food at 0 to 2 h is reheated
    // at any temperature; at 2 to 4 h it is reheated at 130 °F or above, discarded at 129 °F or
    // below; over 4 h it is discarded. The pack's row begins below 130 °F, the stricter.
    const auto asked = [](double worst, double below_until) {
        Lot lot;
        lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {1, 134}, {20, worst}});
        lot.steady(40, below_until - 1, 20, 134).readings({{below_until, 150}});
        const auto j = lot.judged(fda());
        return flag_of(j, "hot-holding").act.front();
    };
    CHECK(asked(129, 115).starts_with("Reheat"));
    CHECK(asked(129, 180).starts_with("Discard"));
    CHECK(asked(129.9, 180).starts_with("Discard"));
    CHECK(asked(130, 180).starts_with("Reheat"));
    CHECK(asked(130, 235).starts_with("Reheat"));
    CHECK(asked(130, 250).starts_with("Discard"));
}

TEST_CASE("a roast's advice is to discard it once it was below its own limit for two hours") {
    // The same table: below 130 °F, the roast's limit, at 2 to 4 h: discarded.
    const auto first = [](Span time) {
        return fda()
            .advice_for("hot-holding-roast", false, time,
                        Temperature::of_degrees(129, Scale::fahrenheit))
            ->act.front();
    };
    CHECK(first(Span::hours(2)).starts_with("Reheat"));
    CHECK(first(Span::hours(2) + Span::milliseconds(1)).starts_with("Discard"));
}

TEST_CASE("a cold hold's advice is chosen by its warmest excursion") {
    // Two excursions, the milder one first; within two hours together. Tables for power cuts take
    // food that stayed below 50 °F (San Francisco and Washington health departments).
    Lot lot;
    lot.stage(Stage::cold_holding, 0)
        .readings({{0, 40}, {30, 43}, {60, 40}, {90, 52}, {100, 40}, {120, 40}});
    const auto j = lot.judged(fda());
    const auto& act = flag_of(j, "cold-holding").act;
    const auto* warm = fda().advice_for("cold-holding", false, Span::minutes(100),
                                        Temperature::of_degrees(52, Scale::fahrenheit));
    const auto* mild = fda().advice_for("cold-holding", false, Span::minutes(100),
                                        Temperature::of_degrees(43, Scale::fahrenheit));
    REQUIRE((warm != nullptr && mild != nullptr && warm->act != mild->act));
    CHECK(act == warm->act);
}

TEST_CASE("a cold hold's advice is chosen by its own time, in a lot that was never held hot") {
    Lot lot; // 43 °F, an hour at the most: below 50 °F and within the two hours of the same tables
    lot.stage(Stage::cold_holding, 0).readings({{0, 40}, {30, 43}, {60, 40}, {120, 40}});
    const auto* row = fda().advice_for("cold-holding", false, Span::minutes(60),
                                       Temperature::of_degrees(43, Scale::fahrenheit));
    const auto* unknown = fda().advice_for("cold-holding", false, std::nullopt,
                                           Temperature::of_degrees(43, Scale::fahrenheit));
    REQUIRE((row != nullptr && unknown != nullptr && row->act != unknown->act));
    CHECK(flag_of(lot.judged(fda()), "cold-holding").act == row->act);
}

TEST_CASE("what is not shown when its time is over is said to be acted on as a miss") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 136}, {20, 130}, {100, 72}, {130, 70}});
    const auto j = lot.judged(fda());
    CHECK(flag_of(j, "cooling-first-window").act.front() ==
          "Act as if it were not met: the record cannot prove otherwise.");
    Lot gap;
    gap.stage(Stage::hot_holding, 0).readings({{0, 140}, {180, 140}});
    const auto held = gap.judged(fda());
    REQUIRE_FALSE(held.findings[held.flags.front().finding].acts_as_missed);
    CHECK(held.flags.front().act.front().find("Act as if") == std::string::npos);
}

namespace {

codes::Pack pack_of(const std::string& id) {
    return codes::load_pack(std::string{HOLDWARDEN_SOURCE_DIR} + "/schema/codes/" + id + ".toml");
}

/// The first sentence of what to do about a hold that was wrong from just after 0 until `minutes`
/// at the longest.
std::string told(const std::string& pack, bool hot, double minutes) {
    Lot lot;
    const double right = hot ? 70 : 3;
    lot.stage(hot ? Stage::hot_holding : Stage::cold_holding, 0)
        .readings({{0, right}, {minutes / 2, hot ? 50.0 : 12.0}, {minutes, right}}, Scale::celsius);
    const auto j = lot.judged(pack_of(pack));
    const std::string requirement = hot ? "hot-holding" : "cold-holding";
    REQUIRE(only(j, requirement).verdict == Verdict::not_met);
    return flag_of(j, requirement).act.front();
}

} // namespace

TEST_CASE("advice for less than a time is chosen until that time, which is the next row's") {
    constexpr double kLast = 0.5 / 60; // half a second before
    // 2 hour / 4 hour guide (Food Standards Australia New Zealand): under 2 hours use it or
    // refrigerate it, from 2 hours use it; NSW Food Authority: 4 hours or longer, throw it out.
    for (const bool hot : {true, false}) {
        INFO(hot);
        CHECK(told("au-3.2.2", hot, 119.5).find("refrigerate it") != std::string::npos);
        CHECK(told("au-3.2.2", hot, 120 - kLast).find("refrigerate it") != std::string::npos);
        CHECK(told("au-3.2.2", hot, 120).starts_with("Use it now; do not"));
        CHECK(told("au-3.2.2", hot, 240 - kLast).starts_with("Use it now; do not"));
        CHECK(told("au-3.2.2", hot, 240).starts_with("Discard"));
    }
    // Food Safety and Hygiene (England) Regulations 2013, Schedule 4: hot food below 63 °C for less
    // than 2 hours, cold food above 8 °C for less than 4 hours.
    CHECK(told("uk-england", true, 120 - kLast).starts_with("Serve it at once"));
    CHECK(told("uk-england", true, 120).starts_with("Discard"));
    CHECK(told("uk-england", false, 240 - kLast).starts_with("Chill it"));
    CHECK(told("uk-england", false, 240).starts_with("Discard"));
    // Scotland gives no such period; England's is taken over (common practice, no source).
    CHECK(told("uk-scotland", true, 120 - kLast).starts_with("Reheat it to 82 °C"));
    CHECK(told("uk-scotland", true, 120).starts_with("Discard"));
}

TEST_CASE("a flag is planned as the row of advice says, whatever its source is called") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{0, 150}, {30, 130}, {60, 130}});
    codes::Pack pack = fda();
    for (codes::Advice& row : pack.advice) {
        row.source = "9 CFR 417.3(b)";
    }
    CHECK(flag_of(lot.judged(pack), "hot-holding").planned);
    for (codes::Advice& row : pack.advice) {
        row.source = "invented";
        row.planned = false;
    }
    CHECK_FALSE(flag_of(lot.judged(pack), "hot-holding").planned);
}
