// Alternatives and caps that packs may carry. The figures here are the FSIS stabilization options
// as published in 1999 (130 to 80 °F in 1.5 h and 80 to 40 °F in 5 h; chilling begun within 90 min
// of the cook), put together by hand so that the test does not hang on a pack's file.
#include "lots.hpp"

using namespace holdwarden;
using namespace holdwarden::test;
using codes::TemperatureLimit;
using codes::Words;

namespace {

Temperature f(int degrees) {
    return Temperature::of_degrees(degrees, Scale::fahrenheit);
}

codes::Requirement window(const std::string& id, const std::string& option,
                          codes::WindowStart start, int from, int to, Span within,
                          const std::string& after = "") {
    codes::WindowRule rule;
    rule.start = start;
    if (after.empty()) {
        rule.from = TemperatureLimit{f(from), std::nullopt, Words::at_or_above};
    }
    rule.after = after;
    rule.to = TemperatureLimit{f(to), std::nullopt, Words::at_or_below};
    rule.within = {within, true};
    return {id, "test", codes::Status::seen_in_edition, "", {}, rule, option};
}

codes::Pack options_pack() {
    codes::Pack pack;
    pack.id = "test";
    pack.requirements = {
        window("cooling-first-window", "1", codes::WindowStart::falls_below, 130, 80,
               Span::minutes(90)),
        window("cooling-second-window", "1", codes::WindowStart::end_of_window, 0, 40,
               Span::hours(5), "cooling-first-window"),
        window("cooling-first-window", "2", codes::WindowStart::falls_below, 120, 80,
               Span::hours(1)),
        window("cooling-total", "2", codes::WindowStart::falls_below, 120, 55, Span::hours(6)),
    };
    codes::WindowRule chill;
    chill.start = codes::WindowStart::end_of_cooking;
    chill.to_stage = Stage::cooling;
    chill.within = {Span::minutes(90), true};
    pack.requirements.push_back(
        {"cooling-start", "test", codes::Status::seen_in_edition, "", {}, chill, "2"});
    return pack;
}

} // namespace

TEST_CASE("one option met in all its requirements will do, the other stays as a note") {
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.readings({{0, 131},
                  {5, 129},
                  {30, 119},
                  {93, 79.5},
                  {390, 40}}); // 130 to 80 in 88 to 93; 120 to 80 in over an hour
    const auto slow = lot.judged(options_pack());
    CHECK(slow.overall == Verdict::not_shown); // 93 min is more than 90 in the worst case
    Lot good;
    good.stage(Stage::cooling, 0);
    good.readings({{0, 131}, {5, 129}, {20, 121}, {25, 119}, {80, 81}, {88, 79.5}, {379, 40}});
    const auto j = good.judged(options_pack());
    CHECK(j.overall == Verdict::met);
    for (const Finding& finding : j.findings) {
        CHECK(finding.counts == (finding.option == "1")); // option 2 has no cook on record
    }
}

TEST_CASE("a second window counted from the end of the first starts with the bracket in which the "
          "first ended") {
    Lot lot;
    lot.stage(Stage::cooling, 0);
    lot.readings({{0, 131}, {5, 129}, {60, 81}, {80, 79}, {360, 41}, {361, 40}});
    const auto j = lot.judged(options_pack());
    const Finding& second = only(j, "cooling-second-window");
    CHECK(minutes(second.elapsed.earliest) ==
          Approx(280)); // still above 40 at 360, first ended by 80
    CHECK(minutes(second.elapsed.latest) == Approx(301)); // from 60
    CHECK(second.verdict == Verdict::not_shown);
}

TEST_CASE("a pack may cap how often food is reheated") {
    codes::Pack pack;
    codes::TableRule once;
    once.rows = {{TemperatureLimit{f(165), std::nullopt, Words::at_or_above}, Span{},
                  codes::Status::remembered}};
    once.most_times = 1;
    pack.requirements = {{"reheating", "test", codes::Status::remembered, "", {}, once, ""}};
    Lot lot;
    lot.stage(Stage::reheating, 0)
        .stage(Stage::cold_holding, 60)
        .stage(Stage::reheating, 120)
        .closes(180);
    lot.readings({{0, 41}, {50, 170}, {60, 41}, {120, 41}, {170, 170}});
    std::vector<Verdict> verdicts;
    for (const Finding& finding : lot.judged(pack).findings) {
        verdicts.push_back(finding.verdict);
    }
    CHECK(verdicts == std::vector{Verdict::met, Verdict::not_met});
    CHECK(lot.judged(pack).findings[1].reason.starts_with(
        "Reheat number 2, and the code allows 1. "));
    // Of two caps the lower one stands, whichever is printed first.
    codes::TableRule thrice = once;
    thrice.most_times = 3;
    pack.requirements.push_back(
        {"reheating", "test", codes::Status::remembered, "", {}, thrice, ""});
    CHECK(lot.judged(pack).overall == Verdict::not_met);
    std::swap(pack.requirements[0], pack.requirements[1]);
    CHECK(lot.judged(pack).overall == Verdict::not_met);
}
