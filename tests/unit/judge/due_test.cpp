// What a lot waits for. The limits are those of the FDA Food Code 2022: 3-501.14(A) and
// 3-501.19(B).
#include "lots.hpp"

#include <holdwarden/judge/due.hpp>

using namespace holdwarden;
using namespace holdwarden::test;
using judge::Due;

namespace {

std::vector<Due> due(Lot& lot, double now) {
    judge::Settings settings;
    settings.as_of = at(now);
    return judge::due_of(lot.history(), judge::judge_lot(lot.history(), fda(), settings), settings);
}

const Due* find(const std::vector<Due>& all, Due::What what, const std::string& requirement = "") {
    const auto found = std::ranges::find_if(all, [&](const Due& d) {
        return d.what == what && (requirement.empty() || d.requirement == requirement);
    });
    return found == all.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("a hold wants its next reading within the largest interval of the last") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{5, 140}, {50, 141}});
    const auto all = due(lot, 60);
    REQUIRE(all.size() == 1);
    CHECK(all[0].by == at(170));
    // A reading then still closes the gap, a moment later it no longer does.
    lot.readings({{170, 140}});
    CHECK(only(lot.judged(fda(), 170), "hot-holding").verdict == Verdict::met);
    Lot late;
    late.stage(Stage::hot_holding, 0).readings({{5, 140}, {50, 141}, {170.1, 140}});
    CHECK(only(late.judged(fda(), 170.1), "hot-holding").verdict == Verdict::not_shown);
}

TEST_CASE("without a reading the stage's beginning counts, and a suspect reading is none") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0);
    CHECK(due(lot, 10)[0].by == at(120));
    lot.readings({{60, 140}});
    lot.history().points[0].readings[0].suspect = true;
    CHECK(due(lot, 61)[0].by == at(120));
}

TEST_CASE("a window closes when its time is over from its earliest start") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}});
    const auto all = due(lot, 60);
    const Due* first = find(all, Due::What::target, "cooling-first-window");
    REQUIRE(first != nullptr);
    CHECK(first->by ==
          at(10 + 120)); // the clock may have started right after the last at 135 or above
    // A reading at 70 °F then is met; a minute later it no longer is.
    lot.readings({{130, 70}});
    CHECK(only(lot.judged(fda(), 130), "cooling-first-window").verdict == Verdict::met);
    Lot late;
    late.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}, {131, 70}});
    CHECK(only(late.judged(fda(), 131), "cooling-first-window").verdict != Verdict::met);
}

TEST_CASE("food held by time waits for its end, not for readings") {
    Lot lot;
    lot.stage(Stage::hot_holding, -60).readings({{-60, 140}, {0, 140}});
    lot.stage(Stage::time_control, 0);
    const auto all = due(lot, 60);
    CHECK(find(all, Due::What::reading) == nullptr);
    REQUIRE(find(all, Due::What::end) != nullptr);
    CHECK(find(all, Due::What::end)->by == at(240));
}

TEST_CASE("a lot that ended, or has done nothing yet, waits for nothing") {
    Lot lot;
    lot.stage(Stage::hot_holding, 0).readings({{5, 140}}).served(60);
    CHECK(due(lot, 61).empty());
    CHECK_FALSE(due(lot, 59).empty()); // as things stood then
    Lot nothing;
    CHECK(due(nothing, 61).empty());
}

TEST_CASE("what waits is told soonest first") {
    Lot lot;
    lot.stage(Stage::cooling, 0).readings({{0, 140}, {10, 136}, {30, 130}});
    const auto all = due(lot, 60);
    REQUIRE(all.size() >= 2);
    CHECK(std::ranges::is_sorted(all, {}, &Due::by));
}
