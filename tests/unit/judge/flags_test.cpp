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
