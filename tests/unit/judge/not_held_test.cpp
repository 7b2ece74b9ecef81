// Food that is prepared between two holds. FDA Food Code 2022, 3-501.16(A), leaves preparation out
// of holding (135 °F or above, 41 °F or less) and gives it no time; that no more than two hours
// pass as preparing is common practice, no source.

#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;

namespace {

struct Prepared {
    Stage before = Stage::hot_holding;
    Stage after = Stage::hot_holding;
    double good = 140; ///< in the holds, °F
    double end = 180;  ///< when the preparing, from minute 60 on, ended
};

/// The findings of the preparing itself.
std::vector<Finding> of_preparing(const Prepared& p, std::vector<Row> read,
                                  const codes::Pack& pack = fda()) {
    Lot lot;
    lot.stage(p.before, 0).stage(Stage::preparing, 60).stage(p.after, p.end);
    lot.readings({{0, p.good}, {60, p.good}}).readings(std::move(read));
    lot.readings({{p.end, p.good}, {p.end + 60, p.good}});
    lot.served(p.end + 60);
    std::vector<Finding> found = lot.judged(pack).findings;
    std::erase_if(found, [](const Finding& f) { return f.stage != Stage::preparing; });
    return found;
}

} // namespace

TEST_CASE("food prepared for more than two hours between two holds is not shown to be held") {
    // Exactly two hours pass, whatever was read in them; a minute more does not.
    CHECK(of_preparing({.end = 180}, {{120, 75}}).empty());
    for (const auto& read : {std::vector<Row>{}, std::vector<Row>{{120, 75}}}) {
        const auto found = of_preparing({.end = 181}, read);
        REQUIRE(found.size() == 1);
        CHECK(found[0].requirement == "hot-holding");
        CHECK(found[0].verdict == Verdict::not_shown);
        CHECK(found[0].acts_as_missed);
        CHECK(found[0].reason ==
              "It was prepared from 13:00 to 15:01 and then kept on as before. Nothing shows it at "
              "135 °F (57 °C) or above for 2 h 1 min of that; no more than 2 h pass as preparing.");
        CHECK(found[0].evidence.size() == read.size());
    }
    // Read hot often enough, it is held all the same.
    CHECK(of_preparing({.end = 300}, {{180, 136}}).empty());
    CHECK(of_preparing({.end = 301}, {{180, 136}}).size() == 1);
    CHECK(of_preparing({.end = 300}, {{179, 136}}).size() == 1);
    CHECK(of_preparing({.end = 300}, {{181, 136}}).size() == 1);
}

TEST_CASE("cold food prepared for more than two hours and put back is not shown to be held") {
    const Prepared two_hours{Stage::cold_holding, Stage::cold_holding, 38, 180};
    const Prepared longer{Stage::cold_holding, Stage::cold_holding, 38, 181};
    CHECK(of_preparing(two_hours, {{120, 60}}).empty());
    const auto found = of_preparing(longer, {{120, 60}, {130, 50}});
    REQUIRE(found.size() == 1);
    CHECK(found[0].requirement == "cold-holding");
    CHECK(found[0].verdict == Verdict::not_shown);
    REQUIRE(found[0].evidence.size() == 1); // the warmest
    CHECK(found[0].evidence[0].at == kStart + Span::minutes(120));
    CHECK(of_preparing({Stage::thawing, Stage::cold_holding, 38, 181}, {}).size() == 1);
    // From the cold to the hot is a reheat, from the hot to the cold a cooling: judged as those.
    CHECK(of_preparing({Stage::cold_holding, Stage::hot_holding, 140, 300}, {}).empty());
    CHECK(of_preparing({Stage::hot_holding, Stage::cold_holding, 38, 300}, {}).empty());
    CHECK(of_preparing({Stage::hot_holding, Stage::cooling, 140, 300}, {}).empty());
    // What time control limits, with what is prepared after it, is judged by its rule.
    CHECK(of_preparing({Stage::time_control, Stage::hot_holding, 140, 300}, {}).empty());
}

TEST_CASE("each point of what is prepared is looked at where it was read on the wrong side") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).stage(Stage::preparing, 60).stage(Stage::preparing, 100);
    lot.stage(Stage::hot_holding, 300);
    // The core is read hot each hour; the surface is not after 19:50, and was read below the limit.
    lot.readings({{0, 150}, {60, 150}, {120, 150}, {180, 150}, {240, 150}, {300, 150}, {360, 150}});
    lot.readings({{0, 140}, {110, 140}, {200, 134}, {210, 133}, {220, 134}, {300, 140}, {360, 140}},
                 Scale::fahrenheit, "surface");
    lot.served(360);
    std::vector<Finding> found = lot.judged(fda()).findings;
    std::erase_if(found, [](const Finding& f) { return f.stage != Stage::preparing; });
    REQUIRE(found.size() == 1); // the entries that follow each other are one
    CHECK(found[0].point == "surface");
    CHECK(found[0].reason.find("for 3 h 10 min of that") != std::string::npos);
    REQUIRE(found[0].evidence.size() == 1);
    CHECK(found[0].evidence[0].at == kStart + Span::minutes(210));
}

TEST_CASE("food never held before its preparing, or not held after it, is not judged there") {
    Lot first;
    first.stage(Stage::preparing, 0).stage(Stage::hot_holding, 300);
    first.readings({{0, 140}, {300, 140}, {360, 140}}).served(360);
    CHECK(first.judged(fda()).overall == Verdict::met);
    Lot last;
    last.stage(Stage::hot_holding, 0).stage(Stage::preparing, 60);
    last.readings({{0, 140}, {60, 140}}).served(300);
    CHECK(last.judged(fda()).overall == Verdict::met);
}

TEST_CASE("food left below the hot limit in a heating is told once, from its first to its last") {
    // Hot at 10 min, 134 °F at `below`, hot again more than two hours after the first.
    const auto found = [](double below, Stage second, double from) {
        Lot lot;
        lot.stage(Stage::cooking, 0).stage(Stage::preparing, 60).stage(second, from);
        lot.stage(Stage::preparing, 130).stage(Stage::hot_holding, 140);
        lot.readings({{10, 150}, {below, 134}, {140, 150}, {200, 150}}).served(200);
        std::vector<Finding> list = lot.judged(fda()).findings;
        std::erase_if(list, [](const Finding& f) {
            return f.requirement != "hot-holding" || f.stage == Stage::hot_holding;
        });
        return list;
    };
    for (const double below : {20.0, 60.0, 100.0, 110.0, 130.0}) {
        const auto list = found(below, Stage::reheating, 100);
        REQUIRE(list.size() == 1);
        CHECK(list[0].verdict == Verdict::not_shown);
        CHECK(list[0].acts_as_missed);
        CHECK(list[0].stage_from == kStart);
    }
    // Hot in both heatings, which are one: told once.
    Lot both;
    both.stage(Stage::cooking, 0).stage(Stage::preparing, 60).stage(Stage::reheating, 100);
    both.stage(Stage::hot_holding, 300);
    both.readings({{10, 150}, {105, 150}, {110, 134}, {300, 150}, {310, 150}}).served(310);
    const auto j = both.judged(fda());
    CHECK(std::ranges::count_if(j.findings, [](const Finding& f) {
              return f.requirement == "hot-holding" && f.stage != Stage::hot_holding;
          }) == 1);
    CHECK(found(80, Stage::reheating, 100).empty());  // on the bench, for less than two hours
    CHECK(found(132, Stage::reheating, 100).empty()); // likewise
}
